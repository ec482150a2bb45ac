"""Numbers in print: which unit a plant prints, and limits converted without ever widening."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import isfinite

from pint import DimensionalityError

from speccomp.quantities.errors import QuantityError
from speccomp.quantities.kinds import AS_WRITTEN, KINDS, Kind, with_article
from speccomp.quantities.registry import Quantity, unit_of
from speccomp.quantities.rounding import (
    Direction,
    converted_place,
    inward_place,
    power_of_ten,
    round_half_even,
    round_inward,
    round_significant,
    round_to_place,
    significant_digits,
    without_noise,
)
from speccomp.quantities.toleranced import Toleranced
from speccomp.quantities.units import canonical_unit, convert, pint_name
from speccomp.quantities.writing import IN_PRINT, write_range, write_toleranced

_SHORT = 8
_FEWEST_DIGITS = 3
_FINEST_TEMPERATURE = power_of_ten(-9)
_COHERENT = {"Pa": "kPa", "K/s": "K/min"}
_TIMES_FROM = ((Fraction(10_800), "h"), (Fraction(120), "min"))


class System(StrEnum):
    """The system of units that a plant prints."""

    SI = "SI"
    CUSTOMARY = "US customary"


@dataclass(frozen=True, slots=True)
class PrintUnits:
    """
    The units a plant prints: those of a system, with exceptions by kind.

    A unit that belongs to the system is printed as written (kilograms and grams both belong to
    SI); another is printed in its counterpart. A kind with an exception is always printed in
    that unit.
    """

    system: System
    exceptions: tuple[tuple[Kind, str], ...] = ()

    @classmethod
    def for_system(cls, system: str, overrides: Mapping[str, str] | None = None) -> "PrintUnits":
        """
        Make the print units of a system, with a unit of their own for some kinds.

        Raises QuantityError for an unknown system or kind, and for a unit that cannot measure it.
        """
        if system not in tuple(System):
            choices = " or ".join(f"`{choice}`" for choice in System)
            raise QuantityError(f"`{system}` is not a system of units", hint=f"write {choices}")
        chosen = (_exception(kind, unit) for kind, unit in (overrides or {}).items())
        return cls(System(system), tuple(sorted(chosen)))

    def default_unit(self, kind: Kind) -> str:
        """Return the canonical print unit of a value that was not written in any unit."""
        known = KINDS[kind]
        default = known.si if self.system is System.SI else known.customary
        return dict(self.exceptions).get(kind, default)

    def unit_for(self, kind: Kind, written: str) -> str:
        """Return the canonical print unit of a value written in a canonical unit."""
        known = KINDS[kind]
        counterparts = known.to_si if self.system is System.SI else known.to_customary
        return dict(self.exceptions).get(kind, counterparts.get(written, written))


def _exception(kind_text: str, unit_text: str) -> tuple[Kind, str]:
    if kind_text not in tuple(Kind):
        kinds = ", ".join(f"`{kind}`" for kind in Kind if kind not in AS_WRITTEN)
        raise QuantityError(f"`{kind_text}` is not a kind of quantity", hint=f"choose from {kinds}")
    kind = Kind(kind_text)
    if kind in AS_WRITTEN:
        raise QuantityError(f"{with_article(kind)} is printed as written, not in a chosen unit")
    unit = canonical_unit(unit_text)
    if unit not in KINDS[kind].units:
        units = ", ".join(f"`{unit}`" for unit in KINDS[kind].units if unit)
        raise QuantityError(
            f"`{unit_text}` is not a unit of {kind}", 0, len(unit_text), f"choose from {units}"
        )
    return kind, unit


@dataclass(frozen=True, slots=True)
class _Printed:
    target: Decimal | None
    lower: Decimal | None
    upper: Decimal | None
    unit: str


def print_toleranced(value: Toleranced, units: PrintUnits) -> str:
    """
    Return a value for print, in the plant's unit, never allowing more than was written.

    In its own unit a value is printed as written; limits that its text leaves to be computed
    (`26 g ± 4 %`) follow. In another unit the target and the limits are followed by the value as
    written in brackets: `82.2 °C, 76.7 to 87.7 °C [180 ± 10 °F]`.
    """
    printed = _printed(value, units)
    as_written = write_toleranced(value, IN_PRINT)
    if printed.unit == value.unit:
        return f"{as_written}, {_limits_text(printed)}" if value.has_computed_limits else as_written
    target = ""
    if printed.target is not None:
        target = IN_PRINT.with_unit(IN_PRINT.number(printed.target), printed.unit)
    parts = (target, _limits_text(printed))
    return f"{', '.join(part for part in parts if part)} [{as_written}]"


def printed_limits(
    value: Toleranced, units: PrintUnits
) -> tuple[Decimal | None, Decimal | None, str]:
    """Return the lower and the upper limit exactly as printed, and their canonical unit."""
    printed = _printed(value, units)
    return printed.lower, printed.upper, printed.unit


def print_value(
    value: Quantity,
    kind: Kind,
    units: PrintUnits,
    digits: int = 3,
    round_to: Direction = "nearest",
) -> str:
    """
    Return a computed quantity for print, rounded to significant digits; a count is made whole.

    It is printed in its own unit if that is one of its kind and of the plant's system, else in
    the plant's; what a formula returns in coherent SI units is put in the everyday ones first, as
    a time of 120 s or more in minutes and from 3 h in hours. `round_to` is the safe side where
    there is one. Raises QuantityError for a value that is not of the kind or not finite.
    """
    unit, exact = _in_print_unit(value, kind, units)
    if kind is Kind.COUNT:
        rounded = round_to_place(exact, power_of_ten(0), round_to)
    else:
        rounded = round_significant(exact, digits, round_to)
    return IN_PRINT.with_unit(IN_PRINT.number(rounded), unit)


def _limits_text(printed: _Printed) -> str:
    low, high = printed.lower, printed.upper
    if low is not None and high is not None:
        return write_range(low, high, printed.unit, IN_PRINT)
    if low is not None:
        return f"at least {IN_PRINT.with_unit(IN_PRINT.number(low), printed.unit)}"
    if high is not None:
        return f"at most {IN_PRINT.with_unit(IN_PRINT.number(high), printed.unit)}"
    return ""


def _printed(value: Toleranced, units: PrintUnits) -> _Printed:
    unit = units.unit_for(value.kind, value.unit)
    if unit == value.unit and not (
        value.has_computed_limits and _is_long(value.lower, value.upper)
    ):
        return _Printed(value.target, value.lower, value.upper, unit)
    low, high = value.exact_limits_in(unit)
    if low is not None and high is not None:
        place = inward_place(high - low)
        lower, upper = round_inward(low, high, place)
        target = value.target
        if target is not None:
            nearest = round_half_even(value.exact_in(target, unit), place)
            target = min(max(nearest, lower), upper)
        return _Printed(target, lower, upper, unit)
    return _Printed(
        _converted_target(value, unit),
        _converted_limit(value.lower, low, "up"),
        _converted_limit(value.upper, high, "down"),
        unit,
    )


def _is_long(*numbers: Decimal | None) -> bool:
    return any(number is not None and significant_digits(number) > _SHORT for number in numbers)


def _converted_target(value: Toleranced, unit: str) -> Decimal | None:
    """Convert a bare target to no fewer digits than it was written with, three if not exact."""
    if value.target is None:
        return None
    last_place = int(value.target.as_tuple().exponent)
    place = converted_place(last_place, convert(Fraction(1), value.unit, unit))
    exact = value.exact_in(value.target, unit)
    while True:
        nearest = round_half_even(exact, place)
        digits = nearest.adjusted() - place.adjusted() + 1
        if nearest == exact or digits >= _FEWEST_DIGITS:
            return nearest
        place = power_of_ten(place.adjusted() - 1)


def _converted_limit(
    written: Decimal | None, exact: Fraction | None, direction: Direction
) -> Decimal | None:
    """Round a converted limit inward, to the written digits plus one, three at least."""
    if written is None or exact is None:
        return None
    digits = significant_digits(written)
    most = max(digits + 1, _FEWEST_DIGITS)
    while (rounded := round_significant(exact, digits, direction)) != exact and digits < most:
        digits += 1
    return rounded


def _in_print_unit(value: Quantity, kind: Kind, units: PrintUnits) -> tuple[str, Fraction]:
    magnitude = float(value.magnitude)
    if not isfinite(magnitude):
        raise QuantityError(f"{magnitude} is not {with_article(kind)} that can be printed")
    written = unit_of(value)
    if written in ("degC", "degF"):
        is_difference = str(value.units).startswith("delta_")
        if kind is (Kind.TEMPERATURE if is_difference else Kind.TEMPERATURE_DIFFERENCE):
            raise QuantityError(f"{value} is not {with_article(kind)}")
    if written and written in KINDS[kind].units:
        exact = without_noise(magnitude)
        unit = units.unit_for(kind, _everyday(written, exact))
        exact = convert(exact, written, unit, point=kind is Kind.TEMPERATURE)
    else:
        unit = units.default_unit(kind)
        exact = _through_registry(value, kind, unit)
    if kind is Kind.TEMPERATURE:
        return unit, Fraction(round_half_even(exact, _FINEST_TEMPERATURE))
    return unit, exact


def _everyday(unit: str, number: Fraction) -> str:
    """Return the unit that a number in a coherent SI unit is put in before it is printed."""
    if unit == "s":
        return next((longer for least, longer in _TIMES_FROM if abs(number) >= least), unit)
    return _COHERENT.get(unit, unit)


def _through_registry(value: Quantity, kind: Kind, unit: str) -> Fraction:
    difference = kind in (Kind.TEMPERATURE_DIFFERENCE, Kind.RAMP_RATE)
    try:
        converted = value.to(pint_name(unit, difference=difference) or "dimensionless")
    except DimensionalityError:
        raise QuantityError(f"{value} is not {with_article(kind)}") from None
    return without_noise(float(converted.magnitude))
