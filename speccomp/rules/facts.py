"""What a rule may look at."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from speccomp.cautions.coverage import Coverage
from speccomp.derive import Derived
from speccomp.findings import Finding
from speccomp.model.process import Process


@dataclass(frozen=True, slots=True)
class Facts:
    """
    The model of one definition, what follows from it, and the day on which it is checked.

    Without `coverage` the rules about cautions make their own.
    """

    process: Process
    today: date
    derived: Derived
    coverage: Coverage | None = None


Check = Callable[[Facts], Iterator[Finding]]
