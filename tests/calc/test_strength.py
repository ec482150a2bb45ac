import math

import pytest

from speccomp.calc.strength import (
    briquet_tensile_strength,
    circle_area,
    compressive_strength,
    flexural_strength_3_point,
    flexural_strength_quarter_point,
    flexural_strength_third_point,
    rectangle_area,
    slenderness,
    span_to_depth,
    splitting_tensile_strength,
)
from speccomp.quantities import quantity

from .faults import fault


def mm(value: float):
    return quantity(value, "mm")


def newtons(value: float):
    return quantity(value, "N")


def area(value: float):
    return quantity(value, "mm2")


def stress(found) -> float:
    assert str(found.units) == "megapascal"
    return found.magnitude


def test_areas() -> None:
    assert rectangle_area(mm(4), mm(3)).magnitude == 12
    assert str(rectangle_area(mm(4), mm(3)).units) == "square_millimeter"
    assert circle_area(mm(10)).magnitude == pytest.approx(25 * math.pi)
    assert str(circle_area(mm(10)).units) == "square_millimeter"


@pytest.mark.parametrize("strength", [compressive_strength, briquet_tensile_strength])
def test_force_on_an_area(strength) -> None:
    assert stress(strength(newtons(80_000), area(2500))) == pytest.approx(32)
    assert stress(strength(quantity(80, "kN"), quantity(25, "cm2"))) == pytest.approx(32)
    assert stress(strength(newtons(0), area(1))) == 0


def test_bending() -> None:
    bar = newtons(500), mm(40), mm(4), mm(3)
    assert stress(flexural_strength_third_point(*bar)) == pytest.approx(20_000 / 36)
    assert stress(flexural_strength_3_point(*bar)) == pytest.approx(1.5 * 20_000 / 36)
    assert stress(flexural_strength_quarter_point(*bar)) == pytest.approx(0.75 * 20_000 / 36)


def test_splitting() -> None:
    found = splitting_tensile_strength(newtons(5000), mm(25), mm(50))
    assert stress(found) == pytest.approx(10_000 / (math.pi * 1250))


def test_shape() -> None:
    assert span_to_depth(mm(40), mm(3)) == pytest.approx(40 / 3)
    assert slenderness(mm(300), mm(150)) == 2


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: rectangle_area(mm(0), mm(1)),
            "RangeError: The width is 0 mm; it must be more than zero.",
        ),
        (
            lambda: rectangle_area(mm(1), mm(0)),
            "RangeError: The depth is 0 mm; it must be more than zero.",
        ),
        (
            lambda: circle_area(mm(0)),
            "RangeError: The diameter is 0 mm; it must be more than zero.",
        ),
        (
            lambda: compressive_strength(newtons(-1), area(1)),
            "RangeError: The force is -1 N; it must not be less than zero.",
        ),
        (
            lambda: briquet_tensile_strength(newtons(1), area(0)),
            "RangeError: The area is 0 mm2; it must be more than zero.",
        ),
        (
            lambda: flexural_strength_3_point(newtons(-1), mm(1), mm(1), mm(1)),
            "RangeError: The force is -1 N; it must not be less than zero.",
        ),
        (
            lambda: flexural_strength_3_point(newtons(1), mm(0), mm(1), mm(1)),
            "RangeError: The span is 0 mm; it must be more than zero.",
        ),
        (
            lambda: flexural_strength_3_point(newtons(1), mm(1), mm(0), mm(1)),
            "RangeError: The width is 0 mm; it must be more than zero.",
        ),
        (
            lambda: flexural_strength_3_point(newtons(1), mm(1), mm(1), mm(0)),
            "RangeError: The depth is 0 mm; it must be more than zero.",
        ),
        (
            lambda: splitting_tensile_strength(newtons(-1), mm(1), mm(1)),
            "RangeError: The force is -1 N; it must not be less than zero.",
        ),
        (
            lambda: splitting_tensile_strength(newtons(1), mm(0), mm(1)),
            "RangeError: The length is 0 mm; it must be more than zero.",
        ),
        (
            lambda: splitting_tensile_strength(newtons(1), mm(1), mm(0)),
            "RangeError: The diameter is 0 mm; it must be more than zero.",
        ),
        (
            lambda: span_to_depth(mm(0), mm(1)),
            "RangeError: The span is 0 mm; it must be more than zero.",
        ),
        (
            lambda: span_to_depth(mm(1), mm(0)),
            "RangeError: The depth is 0 mm; it must be more than zero.",
        ),
        (
            lambda: slenderness(mm(0), mm(1)),
            "RangeError: The length is 0 mm; it must be more than zero.",
        ),
        (
            lambda: slenderness(mm(1), mm(0)),
            "RangeError: The diameter is 0 mm; it must be more than zero.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
