"""Ratios by volume against worked numbers, pint and uncertainties."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from speccomp.calc.limits import Limits
from speccomp.calc.ratio import (
    UNCONVERTED,
    Reading,
    conversion,
    mass_per_volume,
    mass_ratio,
    measured_ratio,
    ratio_uncertainty,
    scaled_ratio,
    volume_per_mass,
    worst_case_ratio,
)
from speccomp.quantities import quantity

OTHER = pint.UnitRegistry()
KG_PER_L = "kg/L"


def rho(low: float, target: float, high: float) -> Limits:
    return Limits(*(quantity(value, KG_PER_L) for value in (low, target, high)))


def exactly(value: float, unit: str = KG_PER_L) -> Limits:
    return Limits(None, quantity(value, unit))


def test_a_quart_of_paint() -> None:
    """Arithmetic with exact factors: 12.5 lb/gal is 1.4978303 kg/L, a quart of it 3.125 lb."""
    weight = mass_per_volume(exactly(12.5, "lb/gal"))
    assert weight.target == pytest.approx(1.4978303, rel=1e-7)
    quart = quantity(1, "qt").m_as("cm3")
    assert quart * weight.target == pytest.approx(1417.47616, rel=1e-8)
    room = volume_per_mass(exactly(12.5, "lb/gal"))
    assert quantity(3.125, "lb").m_as("g") * room.target == pytest.approx(quart, rel=1e-12)


def test_liquid_volume_fraction_of_a_mix() -> None:
    """
    Arithmetic: 100 parts of 3.15 and 40 parts of 1.00 kg/L hold 0.557522 of liquid by volume.

    So the ratio by volume is 0.557522/(1 - 0.557522) = 1.26, and back 0.40 by weight.
    """
    share = 0.557522
    by_volume = mass_ratio(Limits(None, share), 1 - share)
    factor = conversion(mass_per_volume(exactly(1.00)), mass_per_volume(exactly(3.15)))
    assert measured_ratio(by_volume, factor).target == pytest.approx(0.40, rel=4e-6)
    assert scaled_ratio(by_volume, 100).target == pytest.approx(126.0, rel=4e-6)


densities = st.floats(0.5, 8)
spreads = st.floats(0, 0.05)


@given(st.floats(0.05, 5), densities, densities)
def test_a_ratio_by_volume_against_pint(ratio: float, own: float, reference: float) -> None:
    """Measure out a gallon of the reference and weigh both in pounds with pint."""
    gallon = 1 * OTHER.gallon
    weight = (ratio * gallon * own * OTHER(KG_PER_L)).to("lb")
    other = (gallon * reference * OTHER(KG_PER_L)).to("lb")
    factor = conversion(mass_per_volume(exactly(own)), mass_per_volume(exactly(reference)))
    found = measured_ratio(Limits(None, ratio), factor)
    assert found.target == pytest.approx((weight / other).m_as(""), rel=1e-9)
    poured = conversion(volume_per_mass(exactly(own)), UNCONVERTED)
    volume = (ratio * OTHER.pound / (own * OTHER(KG_PER_L))).m_as("cm**3")
    per_gram = volume / (1 * OTHER.pound).m_as("g")
    assert measured_ratio(Limits(None, ratio), poured).target == pytest.approx(per_gram, rel=1e-9)


@given(
    st.floats(0.05, 5),
    st.floats(0.12, 0.5),
    densities,
    densities,
    st.tuples(spreads, spreads),
    st.tuples(*[st.floats(-1, 1)] * 2, st.floats(0, 1)),
)
def test_whatever_the_densities_are_the_ratio_holds(
    target: float,
    width: float,
    own: float,
    reference: float,
    spread: tuple[float, float],
    places: tuple[float, float, float],
) -> None:
    """Any amount the converted ratio allows, with any densities inside their limits, by pint."""
    wanted = Limits(target * (1 - width), target, target * (1 + width))
    ours = rho(own * (1 - spread[0]), own, own * (1 + spread[0]))
    theirs = rho(reference * (1 - spread[1]), reference, reference * (1 + spread[1]))
    found = measured_ratio(wanted, conversion(mass_per_volume(ours), mass_per_volume(theirs)))
    weight = (found.lower + places[2] * (found.upper - found.lower)) * OTHER.gram
    volume = weight / (own * (1 + places[0] * spread[0]) * OTHER("g/mL"))
    other = 1 * OTHER.gram / (reference * (1 + places[1] * spread[1]) * OTHER("g/mL"))
    true = (volume / other).m_as("")
    assert wanted.lower * (1 - 1e-9) <= true <= wanted.upper * (1 + 1e-9)


@given(
    st.floats(10, 1e4), st.floats(1e-3, 0.2), st.floats(10, 1e4), densities, st.floats(0.001, 0.05)
)
def test_uncertainty_by_volume_against_uncertainties(
    powder: float, error: float, liquid: float, bulk: float, spread: float
) -> None:
    """A liquid in a cylinder to a powder on a scale; the bulk density as a rectangle."""
    root = math.sqrt(3)
    room = volume_per_mass(rho(bulk * (1 - spread), bulk, bulk * (1 + spread)))
    factor = conversion(
        UNCONVERTED, mass_per_volume(rho(bulk * (1 - spread), bulk, bulk * (1 + spread)))
    )
    assert (factor.lower, factor.target, factor.upper) == pytest.approx(
        (room.lower, room.target, room.upper)
    )
    readings = (
        [Reading(quantity(powder, "g"), quantity(error, "g"))],
        Reading(quantity(liquid, "mL"), quantity(error, "mL")),
    )
    found = ratio_uncertainty(*readings, factor)
    half = (factor.upper - factor.lower) / 2
    referee = (
        ufloat(liquid, error / root)
        / ufloat(powder, error / root)
        / ufloat(factor.target, half / root)
    )
    assert found.ratio == pytest.approx(referee.nominal_value, rel=1e-9)
    assert found.standard == pytest.approx(referee.std_dev, rel=1e-9)
    low, high = worst_case_ratio(*readings, factor)
    assert low <= found.ratio <= high
