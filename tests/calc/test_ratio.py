import math

import pytest

from speccomp.calc.limits import Limits
from speccomp.calc.ratio import (
    RatioUncertainty,
    Reading,
    component_masses,
    given,
    mass_ratio,
    mass_ratio_by_volume,
    parts_by_weight,
    ratio_uncertainty,
    scaled_ratio,
    summed_readings,
    worst_case_ratio,
    written,
)
from speccomp.quantities import quantity

from .faults import fault


def grams(value: float):
    return quantity(value, "g")


def density(value: float):
    return quantity(value, "g/cm3")


def reading(mass: float, error: float) -> Reading:
    return Reading(grams(mass), grams(error))


def plain(masses) -> list[float]:
    assert all(str(m.units) == "gram" for m in masses)
    return [m.magnitude for m in masses]


def test_ratio_by_weight() -> None:
    assert mass_ratio(Limits(25.0, 26.0, 27.0), 100) == Limits(0.25, 0.26, 0.27)
    assert mass_ratio(Limits(1.0, None, 2.0), 4) == Limits(0.25, None, 0.5)
    assert mass_ratio(Limits(None, 2.0, None), 4) == Limits(None, 0.5, None)
    assert mass_ratio(Limits(1.0), 4) == Limits(0.25)
    assert mass_ratio(Limits(None, None, 1.0), 4) == Limits(None, None, 0.25)


def test_ratio_by_volume() -> None:
    ratio = mass_ratio_by_volume(Limits(0.9, 1.0, 1.1), 4, density(1.4), quantity(2.8, "kg/L"))
    assert (ratio.lower, ratio.target, ratio.upper) == pytest.approx((0.1125, 0.125, 0.1375))


def test_scaled_ratio() -> None:
    assert scaled_ratio(Limits(1.0, 2.0, 3.0), 10) == Limits(10.0, 20.0, 30.0)


def test_component_masses() -> None:
    assert plain(component_masses(grams(252), [100, 26])) == pytest.approx([200, 52])
    assert plain(component_masses(quantity(0.3, "kg"), [1, 2, 3])) == pytest.approx([50, 100, 150])
    assert plain(component_masses(grams(0), [1, 1])) == [0, 0]


def test_parts_by_weight() -> None:
    parts = parts_by_weight([4, 1, 2], [density(2.0), density(1.0), density(3.0)])
    assert parts == pytest.approx((4, 0.5, 3))


def test_worst_case_ratio() -> None:
    low, high = worst_case_ratio([reading(60, 0.5), reading(40, 0.5)], reading(26, 0.4))
    assert low == pytest.approx(25.6 / 101)
    assert high == pytest.approx(26.4 / 99)


def test_ratio_uncertainty() -> None:
    found = ratio_uncertainty([reading(60, 0.3), reading(40, 0.4)], reading(25, 0.2))
    squares = (0.2 / 25) ** 2 / 3 + (0.3**2 + 0.4**2) / 3 / 100**2
    assert found.ratio == 0.25
    assert found.standard == pytest.approx(0.25 * math.sqrt(squares), rel=1e-14)
    assert found.expanded == pytest.approx(0.5 * math.sqrt(squares), rel=1e-14)
    assert ratio_uncertainty([reading(50, 0)], reading(25, 0)) == RatioUncertainty(0.5, 0, 0)


def test_ratio_uncertainty_converts_units() -> None:
    mixed = ratio_uncertainty([Reading(quantity(0.1, "kg"), quantity(300, "mg"))], reading(25, 0.2))
    assert mixed.standard == pytest.approx(
        ratio_uncertainty([reading(100, 0.3)], reading(25, 0.2)).standard
    )


def test_summed_readings() -> None:
    assert summed_readings([reading(60, 0.25), reading(40, 0.5)]) == (100, 0.75)


def test_how_a_ratio_is_written() -> None:
    assert given(Limits(1.0, None, 3.0)) == [1.0, 3.0]
    assert written(Limits(0.25, 0.26, 0.27)) == "0.25 to 0.26 to 0.27"


PART = Limits(1.0, 2.0, 3.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: mass_ratio(PART, 0),
            "RangeError: The part of the reference is 0; it must be more than zero.",
        ),
        (
            lambda: mass_ratio(Limits(0.0, 1.0, 2.0), 1),
            "RangeError: The part is 0; it must be more than zero.",
        ),
        (
            lambda: mass_ratio(Limits(2.0, 1.0, 3.0), 1),
            "LimitError: The limits of the part are out of order: 2 to 1 to 3.",
        ),
        (lambda: mass_ratio(Limits(), 1), "LimitError: The part has neither a target nor a limit."),
        (
            lambda: mass_ratio_by_volume(PART, 0, density(1), density(1)),
            "RangeError: The part of the reference is 0; it must be more than zero.",
        ),
        (
            lambda: mass_ratio_by_volume(PART, 1, density(0), density(1)),
            "RangeError: The density of the component is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: mass_ratio_by_volume(PART, 1, density(1), density(0)),
            "RangeError: The density of the reference is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: component_masses(grams(-1), [1]),
            "RangeError: The mass of the mix is -1 g; it must not be less than zero.",
        ),
        (lambda: component_masses(grams(1), []), "LimitError: The mix has no parts."),
        (
            lambda: component_masses(grams(1), [1, 0]),
            "RangeError: The part is 0; it must be more than zero.",
        ),
        (
            lambda: parts_by_weight([1, 1], [density(1)]),
            "LimitError: The mix has 2 parts, with densities of 1.",
        ),
        (lambda: parts_by_weight([], []), "LimitError: The mix has no parts."),
        (
            lambda: parts_by_weight([0], [density(1)]),
            "RangeError: The part is 0; it must be more than zero.",
        ),
        (
            lambda: parts_by_weight([1], [density(0)]),
            "RangeError: The density of the component is 0 g/cm3; it must be more than zero.",
        ),
        (lambda: summed_readings([]), "LimitError: There is no reading."),
        (
            lambda: summed_readings([reading(0, 1)]),
            "RangeError: The reading is 0 g; it must be more than zero.",
        ),
        (
            lambda: summed_readings([reading(1, -1)]),
            "RangeError: The permissible error is -1 g; it must not be less than zero.",
        ),
        (
            lambda: worst_case_ratio([reading(1, 1)], reading(1, 0)),
            "RangeError: The scale error of 1 g is not below the reading of 1 g.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
