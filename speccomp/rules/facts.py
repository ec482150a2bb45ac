"""What a rule may look at."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from speccomp.derive import Derived
from speccomp.findings import Finding
from speccomp.model.process import Process


@dataclass(frozen=True, slots=True)
class Facts:
    """The model of one definition, what follows from it, and the day on which it is checked."""

    process: Process
    today: date
    derived: Derived


Check = Callable[[Facts], Iterator[Finding]]
