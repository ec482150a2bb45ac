"""Views of derived numbers: tables, sentences and charts, as plain text in order."""

from dataclasses import dataclass

from speccomp.documents.views import Table


@dataclass(frozen=True, slots=True)
class Printed:
    """A derived number as a figure prints it: its name and its text."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class ChartView:
    """
    A cure chart, its numbers in print units.

    `times`, `lower`, `nominal` and `upper` are the corners of the setpoint's line and of its band;
    `drying` the spans of time in which a hold counts as drying. `boiling` and `allowed` are the
    temperatures at which water boils and that a wet part may have. `alt` says what it shows.
    """

    time_label: str
    temperature_label: str
    times: tuple[float, ...]
    lower: tuple[float, ...]
    nominal: tuple[float, ...]
    upper: tuple[float, ...]
    drying: tuple[tuple[float, float], ...]
    boiling: float | None
    allowed: float | None
    alt: str


@dataclass(frozen=True, slots=True)
class FigureView:
    """
    Derived numbers as they are read: a table, sentences below it, a chart where one helps.

    `kind` is the use, for the style: mixes, batch, window, use, clock, life, cure, check or
    samples; mixes, window and use are read before the actions of a step. `lead` are
    sentences to be read first, `strong` the columns set large. `names` are the beginnings of the
    names of all numbers in it, as they are shown beside it; `printed` the numbers themselves.
    """

    kind: str
    table: Table | None
    lead: tuple[str, ...]
    sentences: tuple[str, ...]
    strong: frozenset[int]
    chart: ChartView | None
    names: tuple[str, ...]
    printed: tuple[Printed, ...]

    @property
    def first(self) -> bool:
        """Whether the operator needs it before the actions of the step."""
        return self.kind in ("mixes", "window", "use")
