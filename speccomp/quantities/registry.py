"""The one pint registry: floats with units for the calculations, no unit beyond the trade's."""

from functools import cache
from itertools import product
from typing import TypeAlias

import pint

from speccomp.quantities.errors import QuantityError
from speccomp.quantities.kinds import KINDS, Kind
from speccomp.quantities.units import ambiguous_unit, canonical_unit, pint_definitions, pint_name

Quantity: TypeAlias = pint.Quantity[float]
"""A float with a unit of the one registry."""

_DEFINED_FOR_CALCULATION = ("radian = 57.29577951308232 * degree = rad",)
_DIFFERENCES = frozenset({Kind.TEMPERATURE_DIFFERENCE, Kind.RAMP_RATE})


@cache
def get_registry() -> "pint.UnitRegistry[float]":
    """
    Return the registry, built on first use from the unit table.

    It knows the units of the table and no prefixes, so that `mil` is a thousandth of an inch and
    `min` a minute, and a rotation speed stays one. Symbols that are names (`g`, `degC`, `lb/gal`,
    `cm3`) can be used in its expressions; `N·m` is `N*m` there.
    """
    return pint.UnitRegistry([*pint_definitions(), *_DEFINED_FOR_CALCULATION])


def quantity(value: float, unit: str, kind: Kind | None = None) -> Quantity:
    """
    Make a quantity from a number and a unit in any accepted spelling.

    `degC` and `degF` give a point on the scale, or a difference if `kind` says so; in a product
    or quotient they are always differences. Raises QuantityError for an unknown unit.
    """
    canonical = canonical_unit(unit)
    name = pint_name(canonical, difference=kind in _DIFFERENCES)
    if canonical and not name:
        meant = ambiguous_unit(unit)
        hint = f"write `{meant}`" if meant else ""
        raise QuantityError(f"`{unit}` is not a known unit", 0, len(unit), hint)
    return get_registry().Quantity(float(value), name)


def unit_of(value: Quantity) -> str | None:
    """Return the canonical text of a quantity's unit if the table has it, a difference or not."""
    return _texts_by_unit().get(str(value.units))


@cache
def _texts_by_unit() -> dict[str, str]:
    registry = get_registry()
    found: dict[str, str] = {}
    for known in KINDS.values():
        for text, difference in product(known.units, (False, True)):
            name = pint_name(text, difference=difference)
            # The registry writes a single unit as it is named here; only products are put in order.
            unit = name if name.isidentifier() else str(registry.Quantity(1.0, name).units)
            found.setdefault(unit, text)
    return found
