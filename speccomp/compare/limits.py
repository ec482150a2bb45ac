"""What became of a limit: restated, wider, narrower, shifted, made one-sided, and by how much."""

from decimal import Decimal
from fractions import Fraction

from speccomp.compare.change import Measured, Size
from speccomp.quantities import (
    Direction,
    QuantityError,
    Toleranced,
    round_significant,
    same_meaning,
)

SAME_LIMIT = frozenset({"restated", "digits-changed"})
"""Kinds of change after which a limit allows exactly what it allowed before."""

_DIGITS = 4
_DIFFERENCES = {"degC": "K"}
_NEAREST: Direction = "nearest"
_Ends = tuple[Fraction | None, Fraction | None]


def limit_change(before: Toleranced, after: Toleranced) -> tuple[str, Size | None]:
    """Return the name of the kind of change between two limits, and its size."""
    if before.kind is not after.kind or before.is_limit is not after.is_limit:
        return "limit-replaced", None
    try:
        old, old_target = before.exact_limits_in(after.unit), _target(before, after.unit)
    except QuantityError:
        return "limit-replaced", None
    new, new_target = after.exact_limits_in(after.unit), _target(after, after.unit)
    if same_meaning(before, after) or _rounded_alike(before, after):
        return "digits-changed" if _other_digits(before, after) else "restated", None
    if _sides(old) != _sides(new):
        return _other_sides(_sides(old), _sides(new)), _common_side(old, new, after)
    kind, of = _same_sides(old, new) if before.is_limit else ("value-changed", Measured.TARGET)
    ends = {
        Measured.BAND: (_width(old), _width(new)),
        Measured.MIDDLE: (_middle(old), _middle(new)),
        Measured.LOWER: (old[0], new[0]),
        Measured.UPPER: (old[1], new[1]),
        Measured.TARGET: (old_target, new_target),
    }
    return kind, _moved(of, *ends[of], after, _width(old))


def _other_digits(before: Toleranced, after: Toleranced) -> bool:
    """Tell whether a limit in the same unit is given more or less finely: 60 ± 3, 60.0 ± 3.0."""
    if not before.is_limit or before.unit != after.unit or before.form is not after.form:
        return False
    names = ("target", "lower", "upper", "plus", "minus")
    pairs = [(getattr(before, name), getattr(after, name)) for name in names]
    return before.tolerance_unit == after.tolerance_unit and any(
        one is not None
        and other is not None
        and one.as_tuple().exponent != other.as_tuple().exponent
        for one, other in pairs
    )


def _rounded_alike(before: Toleranced, after: Toleranced) -> bool:
    """
    Tell whether two bare targets in different units are the same but for rounding.

    180 °F and 82.2 °C are: half a unit of the last digit of one of them covers the difference. A
    limit is never rounded like that, for it would allow more or less than before.
    """
    if before.is_limit or before.unit == after.unit:
        return False
    return any(
        abs(Fraction(one.target) - other) <= Fraction(1, 2) * Fraction(10) ** exponent
        for one, another in ((before, after), (after, before))
        if one.target is not None and (other := _target(another, one.unit)) is not None
        for exponent in (int(one.target.as_tuple().exponent),)
    )


def _same_sides(old: _Ends, new: _Ends) -> tuple[str, Measured]:
    """Compare limits that are closed on the same sides."""
    both = all(_sides(old))
    one_side = Measured.UPPER if old[0] is None else Measured.LOWER
    if old == new:
        return "target-moved", Measured.TARGET
    if _contains(new, old):
        return "limit-wider", Measured.BAND if both else one_side
    if _contains(old, new):
        return "limit-narrower", Measured.BAND if both else one_side
    return "limit-shifted", Measured.MIDDLE


def _contains(outer: _Ends, inner: _Ends) -> bool:
    """Tell whether limits allow all that others allow; both are closed on the same sides."""
    above = outer[0] is None or inner[0] is None or outer[0] <= inner[0]
    below = outer[1] is None or inner[1] is None or inner[1] <= outer[1]
    return above and below


def _other_sides(old: tuple[bool, bool], new: tuple[bool, bool]) -> str:
    if all(new):
        return "limit-side-added"
    return "limit-side-removed" if all(old) else "limit-reversed"


def _common_side(old: _Ends, new: _Ends, after: Toleranced) -> Size | None:
    """Return how far the side moved that both limits have; None where it did not."""
    for of, was, now in zip((Measured.LOWER, Measured.UPPER), old, new, strict=True):
        if was is not None and now is not None and was != now:
            return _moved(of, was, now, after, _width(old))
    return None


def _sides(ends: _Ends) -> tuple[bool, bool]:
    return ends[0] is not None, ends[1] is not None


def _width(ends: _Ends) -> Fraction | None:
    return None if ends[0] is None or ends[1] is None else ends[1] - ends[0]


def _middle(ends: _Ends) -> Fraction | None:
    return None if ends[0] is None or ends[1] is None else (ends[0] + ends[1]) / 2


def _target(value: Toleranced, unit: str) -> Fraction | None:
    return None if value.target is None else value.exact_in(value.target, unit)


def _moved(
    of: Measured,
    old: Fraction | None,
    new: Fraction | None,
    after: Toleranced,
    band: Fraction | None,
) -> Size | None:
    """Return how far something moved; None where one of the two is not there."""
    if old is None or new is None:
        return None
    unit = _DIFFERENCES.get(after.unit, after.unit) if after.is_point else after.unit
    share = _rounded(100 * (new - old) / band) if band else None
    return Size(of, _rounded(new - old), unit, share)


def _rounded(value: Fraction) -> Decimal:
    """Return a number to four significant digits, without zeros that say nothing."""
    rounded = round_significant(abs(value), _DIGITS, _NEAREST).normalize()
    plain = rounded if int(rounded.as_tuple().exponent) <= 0 else rounded.quantize(Decimal(1))
    return -plain if value < 0 else plain


def allows_more(kind: str, size: Size | None) -> bool:
    """
    Tell whether a limit that changed in this way may lead to something it did not lead to before.

    A target that moves between the same limits does; one that is only stated does not. A limit
    that gets a second side does where the side that it had moves out.
    """
    if kind == "target-moved":
        return size is not None
    if kind == "limit-side-added" and size is not None:
        return size.amount > 0 if size.of is Measured.UPPER else size.amount < 0
    return kind not in (*SAME_LIMIT, "limit-narrower", "limit-side-added")


def is_inside(limit: Toleranced, validated: Toleranced) -> bool:
    """Tell whether a limit allows nothing outside a validated range."""
    try:
        return validated.contains(limit)
    except QuantityError:
        return False
