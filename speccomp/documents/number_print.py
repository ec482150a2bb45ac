"""Print derived numbers in the plant's units, limits on the safe side, each with its name noted."""

from collections.abc import Iterable
from decimal import Decimal

from speccomp.derive import AnyNumber, Number
from speccomp.documents.figure_views import ChartView, FigureView, Printed
from speccomp.documents.views import Table
from speccomp.quantities import (
    Direction,
    Kind,
    PrintUnits,
    Quantity,
    print_value,
    quantity,
    round_to_place,
)
from speccomp.quantities.registry import unit_of
from speccomp.quantities.units import NO_BREAK, pint_name

_MOST_BRANCHES = 3
_NOISE = ".12g"
_LONG = 120
_PLAIN_DIGITS = 5
_EXACT_DIGITS = 9


class Printer:
    """
    Prints the numbers of one figure and notes which ones.

    `toward` is the safe side of a limit: up for a lower one, down for an upper one.
    """

    def __init__(self, units: PrintUnits) -> None:
        self.units = units
        self._printed: dict[Printed, None] = {}

    def value(self, number: AnyNumber, digits: int = 3, toward: Direction = "nearest") -> str:
        """Return a number to significant digits; a plain number or fraction as a per cent."""
        value = number.value
        if isinstance(value, int):
            return self.note(number, str(value))
        if isinstance(value, float):
            share = quantity(value, "")
            text = print_value(share, Kind.FRACTION, self.units, digits, toward)
            return self.note(number, text)
        text = print_value(value, kind_of(number), self.units, digits, toward)
        return self.note(number, text)

    def reading(self, number: Number[Quantity], step: Quantity, toward: Direction) -> str:
        """
        Return a number as a display shows it that goes in steps.

        Where the plant prints another unit than the display, the display's follows in brackets.
        """
        text = print_reading(number.value, step, kind_of(number), self.units, toward)
        return self.note(number, text)

    def to_step(self, number: Number[Quantity], step: Quantity, toward: Direction) -> str:
        """Return a number to the last place of a step."""
        text = print_to_step(number.value, step, kind_of(number), self.units, toward)
        return self.note(number, text)

    def clock(self, number: Number[Quantity], toward: Direction = "nearest") -> str:
        """Return a time as hours and minutes from the start: 1:05."""
        return self.note(number, print_clock(number.value, toward))

    def duration(self, number: Number[Quantity], toward: Direction = "nearest") -> str:
        """Return a time in whole minutes, from two hours on as hours and minutes: 2:05 h."""
        return self.note(number, print_duration(number.value, toward))

    def note(self, number: AnyNumber, text: str) -> str:
        """Note that a number is printed with a text, and return the text."""
        self._printed[Printed(number.name, text)] = None
        return text

    def figure(
        self,
        kind: str,
        table: Table | None,
        sentences: Iterable[str] = (),
        lead: Iterable[str] = (),
        strong: Iterable[int] = (),
        chart: ChartView | None = None,
    ) -> FigureView:
        """Return the figure that holds what was printed."""
        first, below = tuple(lead), tuple(sentences)  # what prints while it is gone through
        printed = tuple(self._printed)
        return FigureView(
            kind,
            table,
            first,
            below,
            frozenset(strong),
            chart,
            beginnings(item.name for item in printed),
            printed,
        )


def kind_of(number: AnyNumber) -> Kind:
    """Return the kind of a number that is a quantity."""
    if number.kind is None:
        raise ValueError("a quantity without a kind")
    return number.kind


def print_reading(
    value: Quantity, step: Quantity, kind: Kind, units: PrintUnits, toward: Direction
) -> str:
    """Return a reading to the last place of the display's step, rounded to the safe side."""
    display = unit_of(value) or units.default_unit(kind)
    text = print_to_step(value, step, kind, units, toward)
    if units.unit_for(kind, display) == display:
        return text
    shown = PrintUnits(units.system, ((kind, display),))
    return f"{text} [{print_to_step(value, step, kind, shown, toward)}]"


def print_to_step(
    value: Quantity, step: Quantity, kind: Kind, units: PrintUnits, toward: Direction
) -> str:
    """Return a value to the last place of a step, or of the step as converted."""
    unit = units.unit_for(kind, unit_of(value) or units.default_unit(kind))
    return print_value(value, kind, units, _digits(value, step, kind, unit), toward)


def _digits(value: Quantity, step: Quantity, kind: Kind, unit: str) -> int:
    """Return how many significant digits a value has down to the last place of a step."""
    difference = kind is Kind.TEMPERATURE_DIFFERENCE
    apart = difference or kind is Kind.TEMPERATURE
    own = pint_name(unit, difference=difference) or "dimensionless"
    size = Decimal(format(abs(value.m_as(own)), _NOISE))
    smallest = step.m_as(pint_name(unit, difference=apart) or "dimensionless")
    one = Decimal(format(smallest, _NOISE))
    same = unit_of(step) == unit
    place = min(int(one.normalize().as_tuple().exponent), 0) if same else one.adjusted()
    return max(1, size.adjusted() - place + 1) if size else 1


def print_plain(value: Quantity, kind: Kind, units: PrintUnits) -> str:
    """Return a value of a file with as few digits as say it, three where none say it exactly."""
    texts = [print_value(value, kind, units, digits) for digits in range(1, _PLAIN_DIGITS + 1)]
    exact = _number(print_value(value, kind, units, _EXACT_DIGITS))
    return next((text for text in texts if _number(text) == exact), texts[2])


def _number(text: str) -> Decimal:
    return Decimal(text.partition(NO_BREAK)[0].replace("−", "-"))


def span(low: str, high: str) -> str:
    """Return two printed numbers as a range, the unit once where both have the same."""
    first, _, unit = low.partition(NO_BREAK)
    same = unit and high.endswith(f"{NO_BREAK}{unit}") and NO_BREAK not in unit
    return f"{first if same else low} to {high}"


def print_clock(value: Quantity, toward: Direction = "nearest") -> str:
    """Return a time as hours and minutes, rounded to a whole minute: 1:05."""
    whole = _whole_minutes(value, toward)
    return f"{whole // 60}:{whole % 60:02d}"


def print_duration(value: Quantity, toward: Direction = "nearest") -> str:
    """Return a time in whole minutes, from two hours on as hours and minutes: 2:05 h."""
    whole = _whole_minutes(value, toward)
    if whole < _LONG:
        return f"{whole}{NO_BREAK}min"
    return f"{whole // 60}:{whole % 60:02d}{NO_BREAK}h"


def _whole_minutes(value: Quantity, toward: Direction) -> int:
    minutes = Decimal(format(value.m_as("min"), _NOISE))
    return int(round_to_place(minutes, Decimal(1), toward))


def beginnings(names: Iterable[str]) -> tuple[str, ...]:
    """
    Return few beginnings of dotted names that lead to all of them.

    A beginning that is a name itself stands for that name only, so it never stands for others.
    """
    roots: dict[str, list[str]] = {}
    for name in dict.fromkeys(names):
        roots.setdefault(name.partition(".")[0], []).append(name)
    found: list[str] = []
    for root, group in roots.items():
        common = _common(group)
        if "." in common or common in group:
            found.append(common)
            continue
        branches: dict[str, list[str]] = {}
        for name in group:
            branches.setdefault(".".join(name.split(".")[:2]), []).append(name)
        shared = [_common(branch) for branch in branches.values()]
        found += shared if len(shared) <= _MOST_BRANCHES and root not in shared else [root]
    return tuple(found)


def _common(names: list[str]) -> str:
    """Return the longest dotted beginning that all names share and that is none of them."""
    if len(names) == 1:
        return names[0]
    parts = [name.split(".") for name in names]
    shared = 0
    while all(len(p) > shared + 1 for p in parts) and len({p[shared] for p in parts}) == 1:
        shared += 1
    return ".".join(parts[0][:shared]) or parts[0][0]
