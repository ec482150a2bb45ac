import math

import pytest

from speccomp.calc.limits import Limits
from speccomp.calc.ratio import (
    UNCONVERTED,
    RatioUncertainty,
    Reading,
    component_masses,
    conversion,
    given,
    mass_per_volume,
    mass_ratio,
    measured_ratio,
    parts_by_weight,
    ratio_uncertainty,
    scaled_ratio,
    summed_readings,
    volume_per_mass,
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


def sides(limits: Limits) -> tuple:
    return limits.lower, limits.target, limits.upper


def test_what_a_part_by_volume_weighs() -> None:
    rho = Limits(quantity(1900, "kg/m3"), density(2.0), density(2.2))
    assert sides(mass_per_volume(rho)) == pytest.approx((1.9, 2.0, 2.2))
    assert sides(mass_per_volume(Limits(None, density(2.0)))) == (2.0, 2.0, 2.0)
    assert sides(mass_per_volume(Limits(density(1.0), None, density(2.0)))) == (1.0, 1.5, 2.0)
    assert sides(mass_per_volume(Limits(density(1.0)))) == (1.0, 1.0, 1.0)
    assert sides(mass_per_volume(Limits(None, None, density(1.5)))) == (1.5, 1.5, 1.5)


def test_what_room_a_part_by_weight_takes() -> None:
    rho = Limits(density(1.6), density(2.0), density(2.5))
    assert sides(volume_per_mass(rho)) == pytest.approx((0.4, 0.5, 0.625))


def test_the_worst_densities_set_the_conversion() -> None:
    own, reference = Limits(1.9, 2.0, 2.2), Limits(0.8, 1.0, 1.25)
    assert sides(conversion(own, reference)) == pytest.approx((1.9 / 1.25, 2.0, 2.2 / 0.8))
    assert sides(conversion(own, UNCONVERTED)) == (1.9, 2.0, 2.2)


def test_ratio_by_volume() -> None:
    factor = conversion(
        mass_per_volume(Limits(None, density(1.4))),
        mass_per_volume(Limits(None, quantity(2.8, "kg/L"))),
    )
    ratio = measured_ratio(mass_ratio(Limits(0.9, 1.0, 1.1), 4), factor)
    assert sides(ratio) == pytest.approx((0.1125, 0.125, 0.1375))


def test_densities_with_limits_narrow_the_ratio() -> None:
    factor = Limits(0.5, 0.52, 0.55)
    found = measured_ratio(Limits(0.5, 0.6, 0.7), factor)
    assert sides(found) == pytest.approx((0.5 * 0.55, 0.6 * 0.52, 0.7 * 0.5))
    assert sides(measured_ratio(Limits(0.5), factor)) == (pytest.approx(0.275), None, None)
    high = measured_ratio(Limits(None, 0.7, 0.7), factor)
    assert sides(high) == (None, pytest.approx(0.35), pytest.approx(0.35))
    low = measured_ratio(Limits(0.5, 0.5), factor)
    assert sides(low) == (pytest.approx(0.275), pytest.approx(0.275), None)
    assert sides(measured_ratio(Limits(None, 0.5), factor)) == (None, pytest.approx(0.26), None)
    assert sides(measured_ratio(PART, UNCONVERTED)) == (1.0, 2.0, 3.0)


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


def test_a_conversion_is_taken_out_again() -> None:
    # 60 cm3 to 100 g with 0.4 to 0.6 to 0.8 cm3/g: 1 as written, a third either way.
    factor = Limits(0.4, 0.6, 0.8)
    readings = [reading(100, 1)], Reading(quantity(60, "mL"), quantity(1.2, "cm3"))
    low, high = worst_case_ratio(*readings, factor)
    assert low == pytest.approx(58.8 / 101 / 0.8)
    assert high == pytest.approx(61.2 / 99 / 0.4)
    found = ratio_uncertainty(*readings, factor)
    assert found.ratio == pytest.approx(1)
    squares = (0.02**2 + 0.01**2 + (1 / 3) ** 2) / 3
    assert found.standard == pytest.approx(math.sqrt(squares), rel=1e-12)
    assert found.expanded == pytest.approx(2 * math.sqrt(squares), rel=1e-12)


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
            lambda: mass_per_volume(Limits(None, density(0))),
            "RangeError: The density is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: mass_per_volume(Limits(density(2), None, density(1))),
            "LimitError: The limits of the density are out of order: 2 g/cm3 to 1 g/cm3.",
        ),
        (
            lambda: mass_per_volume(Limits(None, grams(1))),
            "KindError: The density is 1 g; a density is needed.",
        ),
        (
            lambda: conversion(Limits(1.0, None, 2.0), UNCONVERTED),
            "LimitError: The factor 1 to 2 needs a target and both limits.",
        ),
        (
            lambda: measured_ratio(Limits(0.58, 0.60, 0.62), Limits(1.9, 2.0, 2.1)),
            "LimitError: The densities are known to ±5 %, and the ratio 0.58 to 0.6 to 0.62 leaves "
            "no room for that.",
        ),
        (
            lambda: measured_ratio(Limits(0.0, 1.0), UNCONVERTED),
            "RangeError: The part is 0; it must be more than zero.",
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
            lambda: summed_readings([Reading(quantity(1, "mm"), grams(0))]),
            "KindError: The reading is 1 mm; a mass or a volume is needed.",
        ),
        (
            lambda: summed_readings([reading(1, 0), Reading(quantity(1, "mL"), grams(0))]),
            "KindError: The reading is 1 mL; a mass is needed.",
        ),
        (
            lambda: worst_case_ratio(
                [Reading(quantity(1, "mL"), quantity(2, "mL"))], reading(1, 0)
            ),
            "RangeError: The error of 2 cm3 is not below the reading of 1 cm3.",
        ),
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
            "RangeError: The error of 1 g is not below the reading of 1 g.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
