"""Rounding of decimal numbers: to nearest by ASTM E29, and to the safe side for limits."""

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction
from math import ceil, floor
from typing import Literal

Direction = Literal["nearest", "up", "down"]
_LONG = 28
_NOISE = 12


def power_at_most(value: Fraction) -> int:
    """Return the exponent of the largest power of ten that does not exceed a positive value."""
    exponent = len(str(value.numerator)) - len(str(value.denominator))
    return exponent if Fraction(10) ** exponent <= value else exponent - 1


def power_of_ten(exponent: int) -> Decimal:
    """Return 10 to a whole exponent as a decimal with one digit."""
    return Decimal((0, (1,), exponent))


def round_half_even(value: Decimal | Fraction, place: Decimal) -> Decimal:
    """
    Round to the nearest multiple of a power of ten, a tie to the even digit.

    Source: the rounding method of ASTM E29. `place` is the power of ten, such as `0.1` or `100`.
    """
    return round_to_place(value, place, "nearest")


def round_to_place(value: Decimal | Fraction, place: Decimal, direction: Direction) -> Decimal:
    """Round to a multiple of a power of ten: to nearest half to even, or always up or down."""
    steps = Fraction(value) / Fraction(place)
    match direction:
        case "nearest":
            count = round(steps)
        case "up":
            count = ceil(steps)
        case "down":
            count = floor(steps)
    exponent = place.adjusted()
    if exponent > 0:
        return Decimal(count * 10**exponent)
    return Decimal(f"{count}E{exponent}")


def significant_digits(value: Decimal) -> int:
    """Count the digits of a number as written, zeros at the end included; 1 for a zero."""
    return len(value.as_tuple().digits)


def round_significant(
    value: Decimal | Fraction, digits: int, direction: Direction = "nearest"
) -> Decimal:
    """Round to a number of significant digits, keeping zeros at the end: 9.996 to 3 is 10.0."""
    exact = Fraction(value)
    if not exact:
        return Decimal(0)
    exponent = power_at_most(abs(exact)) - digits + 1
    rounded = round_to_place(exact, power_of_ten(exponent), direction)
    if rounded and power_at_most(abs(Fraction(rounded))) - digits + 1 > exponent:
        return round_to_place(rounded, power_of_ten(exponent + 1), "nearest")
    return rounded


def inward_place(band: Fraction) -> Decimal:
    """Return the largest power of ten not above a twentieth of a band: a tenth is lost at most."""
    return power_of_ten(power_at_most(band / 20))


def round_inward(
    lower: Decimal | Fraction, upper: Decimal | Fraction, place: Decimal
) -> tuple[Decimal, Decimal]:
    """
    Round a lower limit up and an upper limit down, so that nothing more is allowed.

    Source: the rule of ASME A112.18.1/CSA B125.1, Annex A.2(e). Where no multiple of `place`
    lies between the limits, a finer place is taken. `lower` must be below `upper`.
    """
    while (low := round_to_place(lower, place, "up")) > (
        high := round_to_place(upper, place, "down")
    ):
        place = power_of_ten(place.adjusted() - 1)
    return low, high


def converted_place(last_place: int, scale: Fraction) -> Decimal:
    """
    Return the place a converted number is rounded to, so that it is no coarser than the original.

    `last_place` is the exponent of the original's last digit and `scale` the size of its unit in
    the new one. Source: NIST SP 811 (2008), B.7.2: 36 ft is 11.0 m and not 11 m.
    """
    return power_of_ten(power_at_most(Fraction(10) ** last_place * scale))


def without_noise(value: float) -> Fraction:
    """Return a float as the decimal of 12 significant digits next to it: 0.1 + 0.2 is 0.3."""
    return Fraction(format(value, f".{_NOISE}g"))


def decimal_below(value: Fraction) -> Decimal:
    """Return a fraction as a decimal of 28 digits, rounded down if it has more."""
    return _decimal(value, ROUND_FLOOR)


def decimal_above(value: Fraction) -> Decimal:
    """Return a fraction as a decimal of 28 digits, rounded up if it has more."""
    return _decimal(value, ROUND_CEILING)


def _decimal(value: Fraction, rounding: str) -> Decimal:
    context = Context(prec=_LONG, rounding=rounding)
    return context.divide(Decimal(value.numerator), Decimal(value.denominator))
