"""Whole and decimal numbers from floats, safe against the last bit."""

import math
from decimal import Decimal


def whole_up(number: float) -> int:
    """
    Return the least whole number that is not less than `number`.

    A number within 1e-9 of a whole one is taken as that one, so that 0.3/0.1 counts as 3.
    """
    nearest = round(number)
    return nearest if _is_whole(number, nearest) else math.ceil(number)


def whole_down(number: float) -> int:
    """
    Return the greatest whole number that is not greater than `number`.

    A number within 1e-9 of a whole one is taken as that one, so that 0.3/0.1 counts as 3.
    """
    nearest = round(number)
    return nearest if _is_whole(number, nearest) else math.floor(number)


def reaches(number: float, wanted: float) -> bool:
    """Tell whether a number is at least another one, a difference of 1e-9 of it left out."""
    return number >= wanted or math.isclose(number, wanted, rel_tol=1e-9)


def _is_whole(number: float, nearest: int) -> bool:
    return math.isclose(number, nearest, rel_tol=1e-14, abs_tol=1e-9)


def decimal_product(number: int, step: float) -> float:
    """Return `number` steps as a person reckons it: 3 steps of 0.1 are 0.3."""
    return float(number * Decimal(repr(float(step))))


def decimal_sum(first: float, second: float) -> float:
    """Return a sum as a person reckons it: 1.1 - 0.2 is 0.9."""
    return float(Decimal(repr(float(first))) + Decimal(repr(float(second))))
