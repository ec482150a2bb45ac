"""Computed amounts in the sentences of findings."""

from decimal import Decimal

from speccomp.quantities import (
    Direction,
    Kind,
    PrintUnits,
    Quantity,
    Toleranced,
    print_value,
    round_significant,
)
from speccomp.rules.facts import Facts

_NO_BREAK = "\u00a0"
_EXACT = ".15g"


def amount(
    facts: Facts,
    value: Quantity,
    kind: Kind,
    like: Toleranced | None = None,
    round_to: Direction = "nearest",
    digits: int = 3,
) -> str:
    """
    Return a computed quantity to three digits, in the unit of a value that the author wrote.

    Without such a value, or for another kind, it is in the plant's unit. `round_to` is the side
    on which a bound stays true.
    """
    units = facts.process.plant.units
    if like is not None and like.kind is kind and like.unit:
        units = PrintUnits(units.system, ((kind, like.unit),))
    return print_value(value, kind, units, digits, round_to).replace(_NO_BREAK, " ")


def per_cent(fraction: float, digits: int = 3, round_to: Direction = "nearest") -> str:
    """Return a fraction in per cent; `round_to` is the side on which a bound stays true."""
    exact = Decimal(format(fraction * 100, _EXACT))
    return f"{round_significant(exact, digits, round_to).normalize():f} %"
