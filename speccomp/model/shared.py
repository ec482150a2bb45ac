"""Parts of the model that the plant file and the process definition share."""

from dataclasses import dataclass, field
from enum import StrEnum

from speccomp.findings import Span

NOWHERE = Span("", 1, 1, 1, 1)


def span_field() -> Span:
    """Declare a place that neither equality nor hashing looks at."""
    result: Span = field(default=NOWHERE, compare=False, repr=False)
    return result


class Signal(StrEnum):
    """Signal words by ANSI Z535.6 / ISO 3864: the first three are about people."""

    DANGER = "danger"
    WARNING = "warning"
    CAUTION = "caution"
    NOTICE = "notice"

    @property
    def rank(self) -> int:
        """0 for the strongest word."""
        return list(Signal).index(self)


@dataclass(frozen=True, slots=True)
class Setting:
    """A choice, and whether the definition made it or the plant's default did."""

    value: str
    inherited: bool = False
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Reaction:
    """What is done when a result lies outside its limit; `responsible` is a role id."""

    id: str
    title: str
    actions: tuple[str, ...]
    responsible: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Record:
    """A form or log; `keep` is a period such as `10 years`."""

    id: str
    title: str
    keep: str
    where: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Caution:
    """
    What can hurt people or the product, and how to avoid it.

    `before` holds ids of steps; empty for a general caution.
    """

    topic: str
    signal: Signal
    hazard: str
    consequence: str
    avoid: str
    gear: tuple[str, ...]
    before: tuple[str, ...]
    span: Span = span_field()
