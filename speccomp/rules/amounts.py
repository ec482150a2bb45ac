"""Computed amounts in the sentences of findings."""

from decimal import Decimal

from speccomp.model.plant import Equipment
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


def oven_parts(oven: Equipment | None) -> str:
    """Return what an oven adds to a setpoint, piece by piece."""
    if oven is None:
        return ""
    pieces = (
        (oven.control_tolerance, "control"),
        (oven.non_uniformity, "non-uniformity"),
        (oven.sensor_error, "sensor"),
    )
    return ", ".join(f"{value.text.strip()} {what}" for value, what in pieces if value is not None)
