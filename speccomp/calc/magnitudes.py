"""Read quantities as plain numbers in a fixed unit, with the checks every formula needs."""

import math

from speccomp.calc.errors import KindError, RangeError
from speccomp.quantities import Quantity, quantity

CELSIUS_ZERO = 273.15
"""The zero of the Celsius scale in kelvin."""

KINDS = {
    "g": "a mass",
    "cm3": "a volume",
    "g/cm3": "a density",
    "mm": "a length",
    "m": "a length",
    "s": "a time",
    "Pa": "a pressure",
    "N": "a force",
    "mm2": "an area",
    "degC": "a temperature",
    "delta_degC": "a temperature difference",
    "K/s": "a heating rate",
    "J/mol": "an activation energy",
    "m2/s": "a diffusivity",
}
"""What a unit measures, in words."""


_AMOUNTS = tuple((unit, quantity(1, unit).dimensionality) for unit in ("g", "cm3"))


def shown(value: Quantity) -> str:
    """Return a quantity as an error message shows it."""
    return f"{value:.6g~P}"


def magnitude(value: Quantity, unit: str, name: str) -> float:
    """
    Return the number of `unit`s in a quantity.

    `unit` is a key of KINDS; `name` is what the quantity is called in the message.
    Raises KindError when it measures something else, RangeError when it is not finite.
    """
    try:
        number = float(value.m_as(unit))
    except TypeError:  # what the registry raises where units do not convert
        message = f"The {name} is {shown(value)}; {KINDS[unit]} is needed."
        raise KindError(message) from None
    if not math.isfinite(number):
        raise RangeError(f"The {name} is {number}; a finite number is needed.")
    return number


def amount_unit(value: Quantity, name: str) -> str:
    """
    Return the unit in which an amount is counted: `g` for a mass, `cm3` for a volume.

    `name` is what the amount is called in the message. Raises KindError for anything else.
    """
    dimensions = value.dimensionality
    for unit, wanted in _AMOUNTS:
        if dimensions == wanted:
            return unit
    raise KindError(f"The {name} is {shown(value)}; a mass or a volume is needed.")


def like(number: float, model: Quantity) -> Quantity:
    """Return a number in the unit of another quantity."""
    return type(model)(number, model.units)


def exceeds(first: Quantity, second: Quantity) -> bool:
    """Tell whether the first quantity is the greater; raises KindError for different kinds."""
    try:
        return bool(first > second)
    except TypeError:  # what the registry raises where units do not convert
        raise KindError(f"{shown(first)} cannot be compared with {shown(second)}.") from None


def positive(value: Quantity, unit: str, name: str) -> float:
    """Return the number of `unit`s, greater than zero; raises RangeError and KindError."""
    number = magnitude(value, unit, name)
    if number <= 0:
        raise RangeError(f"The {name} is {shown(value)}; it must be more than zero.")
    return number


def not_negative(value: Quantity, unit: str, name: str) -> float:
    """Return the number of `unit`s, zero or more; raises RangeError and KindError."""
    number = magnitude(value, unit, name)
    if number < 0:
        raise RangeError(f"The {name} is {shown(value)}; it must not be less than zero.")
    return number


def kelvin(value: Quantity, name: str) -> float:
    """
    Return a temperature in kelvin.

    Raises KindError for anything else, a temperature difference included, and RangeError
    at or below absolute zero.
    """
    number = magnitude(value, "degC", name) + CELSIUS_ZERO
    if number <= 0:
        raise RangeError(f"The {name} is {shown(value)}; that is not above absolute zero.")
    return number


def kelvin_difference(value: Quantity, name: str) -> float:
    """
    Return a temperature difference of zero or more in kelvin.

    Raises KindError for anything else, a temperature on an offset scale included, and
    RangeError below zero.
    """
    return not_negative(value, "delta_degC", name)


def positive_number(number: float, name: str) -> float:
    """Return a plain number that is finite and greater than zero; raises RangeError."""
    if not (math.isfinite(number) and number > 0):
        raise RangeError(f"The {name} is {number:g}; it must be more than zero.")
    return number


def fraction_below_one(number: float, name: str) -> float:
    """Return a plain number from 0 up to, but not including, 1; raises RangeError."""
    if not 0 <= number < 1:
        raise RangeError(f"The {name} is {number:g}; it must be at least 0 and less than 1.")
    return number


def open_fraction(number: float, name: str) -> float:
    """Return a plain number between 0 and 1, neither included; raises RangeError."""
    if not 0 < number < 1:
        raise RangeError(f"The {name} is {number:g}; it must lie between 0 and 1.")
    return number


def count(number: int, least: int, name: str) -> int:
    """Return a count that is at least `least`; raises RangeError."""
    if number < least:
        raise RangeError(f"The {name} is {number}; it must be at least {least}.")
    return number
