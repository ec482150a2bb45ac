"""What a toleranced value means: its limits computed, and found possible or not."""

from decimal import Context, Decimal
from fractions import Fraction

from speccomp.quantities.errors import QuantityError
from speccomp.quantities.kinds import KINDS, Kind, with_article
from speccomp.quantities.phrases import Phrase
from speccomp.quantities.rounding import decimal_above, decimal_below
from speccomp.quantities.toleranced import Form, Toleranced, exact_tolerance
from speccomp.quantities.unit_choice import (
    accepted_form,
    kind_from,
    tolerance_unit_for,
    unit_for_kind,
)

# Wide enough for sums of numbers of 20 digits anywhere between 1e-30 and 1e30.
_EXACT = Context(prec=100)


def value_from(phrase: Phrase, kind: Kind | None, text: str) -> Toleranced:
    """
    Make the value that a phrase stands for; the kind follows from the unit if it is None.

    Raises QuantityError with places in `text`.
    """
    known = kind_from(phrase.unit, text) if kind is None else kind
    unit = unit_for_kind(phrase.unit, known, text)
    match phrase.form:
        case Form.PLUS_MINUS:
            value = _plus_minus(phrase, known, unit, text)
        case Form.RANGE:
            value = _range(phrase, known, unit, text)
        case Form.AT_LEAST:
            value = Toleranced(known, phrase.form, unit, lower=phrase.first.value, text=text)
        case Form.AT_MOST:
            value = Toleranced(known, phrase.form, unit, upper=phrase.first.value, text=text)
        case Form.EXACT:
            value = Toleranced(known, phrase.form, unit, target=phrase.first.value, text=text)
    _check_numbers(phrase, value)
    _check_possible(value)
    _check_meant(value)
    return value


def _plus_minus(phrase: Phrase, kind: Kind, unit: str, text: str) -> Toleranced:
    target, plus, minus = phrase.first, phrase.second, phrase.third
    if plus is None or minus is None:
        raise ValueError("a plus-minus form without its tolerances")
    tolerance_unit = tolerance_unit_for(phrase, unit, kind, text)
    for number in (plus, minus):
        if number.value < 0:
            raise QuantityError(
                f"the tolerance {number.value} is below zero",
                number.start,
                number.end,
                f"write `± {-number.value}`",
            )
    lower = _shifted(target.value, minus.value, -1, unit, tolerance_unit)
    upper = _shifted(target.value, plus.value, 1, unit, tolerance_unit)
    if lower >= upper:
        raise QuantityError(
            f"`{text.strip()}` leaves nothing between its limits",
            min(plus.start, minus.start),
            max(plus.end, minus.end),
            accepted_form(kind),
        )
    return Toleranced(
        kind,
        Form.PLUS_MINUS,
        unit,
        target.value,
        lower,
        upper,
        plus.value,
        minus.value,
        tolerance_unit,
        text,
    )


def _shifted(target: Decimal, by: Decimal, sign: int, unit: str, by_unit: str) -> Decimal:
    """Return a limit; one that no decimal of 28 digits hits is rounded into the interval."""
    if by_unit == unit:
        return _EXACT.add(target, by if sign > 0 else by.copy_negate())
    limit = Fraction(target) + sign * exact_tolerance(target, by, by_unit, unit)
    decimal = (decimal_above(limit) if sign < 0 else decimal_below(limit)).normalize(_EXACT)
    return (
        decimal.quantize(Decimal(1), None, _EXACT)
        if int(decimal.as_tuple().exponent) > 0
        else decimal
    )


def _range(phrase: Phrase, kind: Kind, unit: str, text: str) -> Toleranced:
    low, high = phrase.first, phrase.second
    if high is None:
        raise ValueError("a range without its upper end")
    if low.value >= high.value:
        wrong = "is upside down" if low.value > high.value else "leaves nothing between its limits"
        hint = accepted_form(kind)
        if low.value > high.value:
            hint = f"write `{high.value} to {low.value} {phrase.unit.text}`"
        raise QuantityError(f"`{text.strip()}` {wrong}", low.start, high.end, hint)
    return Toleranced(kind, phrase.form, unit, lower=low.value, upper=high.value, text=text)


def _check_numbers(phrase: Phrase, value: Toleranced) -> None:
    if value.kind is not Kind.COUNT:
        return
    tolerances = () if value.has_computed_limits else (phrase.second, phrase.third)
    for number in (phrase.first, *tolerances):
        if number is not None and Fraction(number.value).denominator != 1:
            raise QuantityError(
                f"{number.value} is not a whole number; a count is",
                number.start,
                number.end,
                accepted_form(value.kind),
            )


def _check_possible(value: Toleranced) -> None:
    lowest = next(n for n in (value.lower, value.target, value.upper) if n is not None)
    highest = next(n for n in (value.upper, value.target, value.lower) if n is not None)
    wrong = ""
    if not KINDS[value.kind].signed and lowest < 0:
        wrong = f"goes down to {_shown(lowest, value)}; {with_article(value.kind)} is never below 0"
    elif value.is_point and value.exact_in(lowest, "K") < 0:
        wrong = f"goes down to {_shown(lowest, value)}, which is below absolute zero"
    elif value.kind is Kind.HUMIDITY and highest > 100:
        wrong = f"goes up to {_shown(highest, value)}; humidity is never above 100 %"
    if wrong:
        message = f"`{value.text.strip()}` {wrong}"
        raise QuantityError(message, 0, len(value.text), accepted_form(value.kind))


def _check_meant(value: Toleranced) -> None:
    """Refuse a length whose tolerance is larger than itself; an offset is written as a range."""
    target, lower, upper = value.target, value.lower, value.upper
    if value.kind is not Kind.LENGTH or target is None or lower is None or upper is None:
        return
    if target > 0 > lower:
        down, most = f" to {_shown(lower, value)},", _shown(upper, value)
        hint = f"write `at most {most}`, or `{lower} to {most}` if it may be negative"
        if value.has_computed_limits:
            down, hint = "", "write one upper limit, or a range if it may be negative"
        message = f"`{value.text.strip()}` goes down{down} below zero"
        raise QuantityError(message, 0, len(value.text), hint)


def _shown(number: Decimal, value: Toleranced) -> str:
    return f"{number} {value.unit}".rstrip()
