"""The numbers that follow from a definition, each with formula, inputs and source."""

from speccomp.derive.derived import Derived, Making, derive
from speccomp.derive.explain import explain_number, print_number
from speccomp.derive.numbers import AnyNumber, Formula, Gap, Input, Number

__all__ = [
    "AnyNumber",
    "Derived",
    "Formula",
    "Gap",
    "Input",
    "Making",
    "Number",
    "derive",
    "explain_number",
    "print_number",
]
