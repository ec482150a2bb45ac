"""Toleranced values, their kinds and units: read in one grammar, printed by one formatter."""

from speccomp.quantities.errors import QuantityError
from speccomp.quantities.grammar import parse_toleranced
from speccomp.quantities.kinds import KINDS, Kind, KindOfLimit, kinds_of_unit, with_article
from speccomp.quantities.printing import (
    PrintUnits,
    System,
    print_toleranced,
    print_value,
    printed_limits,
)
from speccomp.quantities.registry import Quantity, get_registry, quantity
from speccomp.quantities.rounding import (
    Direction,
    round_half_even,
    round_inward,
    round_significant,
    round_to_place,
    significant_digits,
)
from speccomp.quantities.toleranced import Form, Toleranced, same_meaning
from speccomp.quantities.unit_choice import accepted_form
from speccomp.quantities.units import canonical_unit
from speccomp.quantities.writing import format_toleranced

__all__ = [
    "KINDS",
    "Direction",
    "Form",
    "Kind",
    "KindOfLimit",
    "PrintUnits",
    "Quantity",
    "QuantityError",
    "System",
    "Toleranced",
    "accepted_form",
    "canonical_unit",
    "format_toleranced",
    "get_registry",
    "kinds_of_unit",
    "parse_toleranced",
    "print_toleranced",
    "print_value",
    "printed_limits",
    "quantity",
    "round_half_even",
    "round_inward",
    "round_significant",
    "round_to_place",
    "same_meaning",
    "significant_digits",
    "with_article",
]
