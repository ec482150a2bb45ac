from math import inf, nan

import pytest

from speccomp.calc.magnitudes import (
    KINDS,
    count,
    exceeds,
    fraction_below_one,
    kelvin,
    kelvin_difference,
    like,
    magnitude,
    not_negative,
    open_fraction,
    positive,
    positive_number,
    shown,
)
from speccomp.quantities import quantity

from .faults import fault

EXAMPLES = {
    "g": "kg",
    "cm3": "L",
    "g/cm3": "lb/gal",
    "mm": "in",
    "m": "ft",
    "mm2": "in2",
    "s": "h",
    "Pa": "psi",
    "N": "lbf",
    "degC": "degF",
    "delta_degC": "K",
    "K/s": "degF/h",
    "J/mol": "kJ/mol",
    "m2/s": "mm2/s",
}


@pytest.mark.parametrize("unit", KINDS)
def test_each_unit_can_be_read_and_something_else_cannot(unit: str) -> None:
    assert magnitude(quantity(1, EXAMPLES[unit]), unit, "value") == pytest.approx(
        quantity(1, EXAMPLES[unit]).m_as(unit)
    )
    assert fault(lambda: magnitude(quantity(1, "V"), unit, "value")) == (
        f"KindError: The value is 1 V; {KINDS[unit]} is needed."
    )


def test_kinds_are_named_in_words() -> None:
    assert KINDS == {
        "g": "a mass",
        "cm3": "a volume",
        "g/cm3": "a density",
        "mm": "a length",
        "m": "a length",
        "mm2": "an area",
        "s": "a time",
        "Pa": "a pressure",
        "N": "a force",
        "degC": "a temperature",
        "delta_degC": "a temperature difference",
        "K/s": "a heating rate",
        "J/mol": "an activation energy",
        "m2/s": "a diffusivity",
    }


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: magnitude(quantity(26.5, "mm"), "g", "powder"),
            "KindError: The powder is 26.5 mm; a mass is needed.",
        ),
        (
            lambda: magnitude(quantity(inf, "g"), "g", "powder"),
            "RangeError: The powder is inf; a finite number is needed.",
        ),
        (
            lambda: magnitude(quantity(nan, "g"), "g", "powder"),
            "RangeError: The powder is nan; a finite number is needed.",
        ),
        (
            lambda: positive(quantity(0, "g"), "g", "powder"),
            "RangeError: The powder is 0 g; it must be more than zero.",
        ),
        (
            lambda: positive(quantity(-1.5, "g"), "g", "powder"),
            "RangeError: The powder is -1.5 g; it must be more than zero.",
        ),
        (
            lambda: positive(quantity(1, "mm"), "g", "powder"),
            "KindError: The powder is 1 mm; a mass is needed.",
        ),
        (
            lambda: not_negative(quantity(-0.5, "g"), "g", "error"),
            "RangeError: The error is -0.5 g; it must not be less than zero.",
        ),
        (
            lambda: kelvin(quantity(-273.15, "degC"), "oven"),
            "RangeError: The oven is -273.15 °C; that is not above absolute zero.",
        ),
        (
            lambda: kelvin(quantity(0, "K"), "oven"),
            "RangeError: The oven is 0 K; that is not above absolute zero.",
        ),
        (
            lambda: kelvin(quantity(82, "degC") - quantity(77, "degC"), "oven"),
            "KindError: The oven is 5 Δ°C; a temperature is needed.",
        ),
        (
            lambda: kelvin_difference(quantity(5, "degC"), "tolerance"),
            "KindError: The tolerance is 5 °C; a temperature difference is needed.",
        ),
        (
            lambda: kelvin_difference(quantity(-5, "K"), "tolerance"),
            "RangeError: The tolerance is -5 K; it must not be less than zero.",
        ),
        (
            lambda: positive_number(0, "part"),
            "RangeError: The part is 0; it must be more than zero.",
        ),
        (
            lambda: positive_number(nan, "part"),
            "RangeError: The part is nan; it must be more than zero.",
        ),
        (
            lambda: positive_number(inf, "part"),
            "RangeError: The part is inf; it must be more than zero.",
        ),
        (
            lambda: fraction_below_one(-0.01, "loss"),
            "RangeError: The loss is -0.01; it must be at least 0 and less than 1.",
        ),
        (
            lambda: fraction_below_one(1, "loss"),
            "RangeError: The loss is 1; it must be at least 0 and less than 1.",
        ),
        (
            lambda: open_fraction(0, "part"),
            "RangeError: The part is 0; it must lie between 0 and 1.",
        ),
        (
            lambda: open_fraction(1, "part"),
            "RangeError: The part is 1; it must lie between 0 and 1.",
        ),
        (lambda: count(2, 3, "number"), "RangeError: The number is 2; it must be at least 3."),
        (
            lambda: exceeds(quantity(1, "g"), quantity(1, "mm")),
            "KindError: 1 g cannot be compared with 1 mm.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message


def test_values_on_the_edge_are_taken() -> None:
    assert not_negative(quantity(0, "g"), "g", "error") == 0
    assert positive(quantity(1e-9, "g"), "g", "powder") == 1e-9
    assert kelvin(quantity(0.5, "K"), "oven") == pytest.approx(0.5)
    assert kelvin_difference(quantity(0, "K"), "tolerance") == 0
    assert positive_number(0.5, "part") == 0.5
    assert fraction_below_one(0, "loss") == 0
    assert fraction_below_one(0.99, "loss") == 0.99
    assert open_fraction(0.5, "part") == 0.5
    assert count(3, 3, "number") == 3


def test_points_and_differences_of_temperature() -> None:
    assert kelvin(quantity(25, "degC"), "oven") == pytest.approx(298.15)
    assert kelvin(quantity(298.15, "K"), "oven") == pytest.approx(298.15)
    assert kelvin(quantity(77, "degF"), "oven") == pytest.approx(298.15)
    fahrenheit = quantity(90, "degF") - quantity(72, "degF")
    assert kelvin_difference(fahrenheit, "tolerance") == pytest.approx(10)
    assert kelvin_difference(quantity(10, "K"), "tolerance") == 10


def test_like_keeps_the_unit_of_the_model() -> None:
    made = like(2.5, quantity(1, "oz"))
    assert (made.magnitude, str(made.units)) == (2.5, "ounce")


def test_exceeds_compares_across_units() -> None:
    assert exceeds(quantity(1, "lb"), quantity(450, "g"))
    assert not exceeds(quantity(1, "kg"), quantity(1000, "g"))
    assert not exceeds(quantity(1, "g"), quantity(2, "g"))


def test_shown_has_six_figures_and_the_symbol() -> None:
    assert shown(quantity(1234.5678, "g")) == "1234.57 g"
