"""Where a derived number comes from, as text."""

from difflib import get_close_matches

from speccomp.derive.derived import Derived
from speccomp.derive.numbers import AnyNumber, Gap, Input
from speccomp.quantities import Kind, PrintUnits, print_value

_DIGITS = 6


def print_number(number: AnyNumber, units: PrintUnits, digits: int = _DIGITS) -> str:
    """Return a number for print, to six significant digits unless told otherwise."""
    value = number.value
    if isinstance(value, int):
        return str(value)
    if isinstance(value, float):
        if number.kind is Kind.FRACTION:
            return f"{value * 100:.{digits}g} %"
        return f"{value:.{digits}g}"
    if number.kind is None:
        raise ValueError("a quantity without a kind")
    return print_value(value, number.kind, units, digits=digits)


def explain_number(derived: Derived, name: str, units: PrintUnits) -> str:
    """
    Return where a number comes from: value, formula, inputs with their places, source, notes.

    `name` may also be the beginning of names, and all below it are listed; an unknown name gives
    the nearest known ones.
    """
    number = derived.numbers.get(name)
    if number is not None:
        return "\n".join(_explained(number, derived, units))
    below = [other for key, other in derived.numbers.items() if key.startswith(f"{name}.")]
    gaps = [gap for gap in derived.gaps if gap.name == name or gap.name.startswith(f"{name}.")]
    if below or gaps:
        lines = [f"{other.name}: {other.title}, {print_number(other, units)}" for other in below]
        return "\n".join([*lines, *map(_gap, gaps)])
    near = get_close_matches(name, derived.numbers, n=5, cutoff=0.3)
    known = ", ".join(near) if near else ", ".join(sorted(_sections(derived)))
    return f"No number is called `{name}`. Near to it: {known}"


def _sections(derived: Derived) -> set[str]:
    return {name.partition(".")[0] for name in derived.numbers}


def _gap(gap: Gap) -> str:
    return f"{gap.name}: not calculated, {gap.reason}"


def _explained(number: AnyNumber, derived: Derived, units: PrintUnits) -> list[str]:
    lines = [
        f"{number.title}: {print_number(number, units)}",
        f"  name     {number.name}",
        f"  formula  {number.formula.text}",
    ]
    lead = "  from     "
    for item in number.inputs:
        lines.append(lead + _input(item, derived, units))
        lead = " " * len(lead)
    lines.append(f"  source   {number.formula.source}")
    if number.note:
        lines.append(f"  note     {number.note}")
    return lines


def _input(item: Input, derived: Derived, units: PrintUnits) -> str:
    if item.number:
        value = print_number(derived.numbers[item.number], units)
        return f"{item.name}: {value} (see {item.number})"
    place = f" ({item.span.file}:{item.span.line}:{item.span.column})" if item.span.file else ""
    return f"{item.name}: {item.text}{place}"
