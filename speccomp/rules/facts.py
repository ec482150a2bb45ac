"""What a rule may look at."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from speccomp.findings import Finding
from speccomp.model.process import Process


@dataclass(frozen=True, slots=True)
class Facts:
    """The model of one definition and the day on which it is checked."""

    process: Process
    today: date


Check = Callable[[Facts], Iterator[Finding]]
