"""A toleranced value as text: one arrangement, in the spelling of files or in that of print."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from speccomp.quantities.kinds import Kind
from speccomp.quantities.toleranced import Form, Toleranced
from speccomp.quantities.units import NO_BREAK, agreeing_unit, printed_unit

_SUPERSCRIPTS = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


@dataclass(frozen=True, slots=True)
class Spelling:
    """How numbers, units and signs are spelled; `space` is what stands inside one expression."""

    number: Callable[[Decimal], str]
    unit: Callable[[str, str], str]
    space: str
    minus: str

    def with_unit(self, number: str, unit: str) -> str:
        """Return a number, or the end of an expression, with a unit behind it."""
        spelled = self.unit(unit, number)
        gap = "" if spelled in ("", "°") else self.space
        return f"{number}{gap}{spelled}"


def _printed_number(number: Decimal) -> str:
    mantissa, _, power = (
        str(number).replace("-", "−", 1 if number.is_signed() else 0).partition("E")
    )
    if not power:
        return mantissa
    raised = power.removeprefix("+").translate(_SUPERSCRIPTS)
    return f"{mantissa}{NO_BREAK}×{NO_BREAK}10{raised}"


IN_FILES = Spelling(lambda number: str(number).lower(), agreeing_unit, " ", "-")
IN_PRINT = Spelling(_printed_number, printed_unit, NO_BREAK, "−")


def format_toleranced(value: Toleranced) -> str:
    """Return the canonical text of a value with the author's digits; it reads back equal."""
    return write_toleranced(value, IN_FILES)


def write_toleranced(value: Toleranced, spelling: Spelling) -> str:
    """Return a value as its author arranged it, in the given spelling."""
    number, unit = spelling.number, value.unit
    match value:
        case Toleranced(
            form=Form.PLUS_MINUS,
            target=Decimal() as target,
            plus=Decimal() as plus,
            minus=Decimal() as minus,
        ):
            return _plus_minus(value, target, plus, minus, spelling)
        case Toleranced(form=Form.RANGE, lower=Decimal() as low, upper=Decimal() as high):
            return write_range(low, high, unit, spelling)
        case Toleranced(form=Form.AT_LEAST, lower=Decimal() as low):
            return f"at least {spelling.with_unit(number(low), unit)}"
        case Toleranced(form=Form.AT_MOST, upper=Decimal() as high):
            return f"at most {spelling.with_unit(number(high), unit)}"
        case Toleranced(form=Form.EXACT, target=Decimal() as target):
            return spelling.with_unit(number(target), unit)
    raise ValueError(f"a value of form {value.form} without its numbers")


def write_range(low: Decimal, high: Decimal, unit: str, spelling: Spelling) -> str:
    """Return `18 to 24 h`."""
    return f"{spelling.number(low)} to {spelling.with_unit(spelling.number(high), unit)}"


def _plus_minus(
    value: Toleranced, target: Decimal, plus: Decimal, minus: Decimal, spelling: Spelling
) -> str:
    head = spelling.number(target)
    # `26 ± 4 %` of a ratio can be read in two ways, so its unit is written twice.
    if value.has_computed_limits or (value.kind is Kind.RATIO and value.unit == "%"):
        head = spelling.with_unit(head, value.unit)
    if str(plus) == str(minus):
        tail = f"±{spelling.space}{spelling.number(plus)}"
    else:
        tail = f"+{spelling.number(plus)}/{spelling.minus}{spelling.number(minus)}"
    return f"{head}{spelling.space}{spelling.with_unit(tail, value.tolerance_unit)}"
