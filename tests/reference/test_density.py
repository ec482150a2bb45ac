"""Mixture density and fills against worked numbers and pint's own registry."""

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from speccomp.calc.batch import (
    BatchNeeds,
    density_with_air,
    mixed_density,
    mixed_density_by_volume,
    paste_mass,
    paste_volume,
    whole_containers,
)
from speccomp.calc.discs import disc_volume
from speccomp.calc.limits import Limits
from speccomp.calc.ratio import component_masses, mass_ratio, parts_by_weight
from speccomp.quantities import quantity

OTHER = pint.UnitRegistry()
KG_PER_L = "kg/L"
PASTE = ([100, 40], [3.15, 1.00])


def mixed(parts, densities):
    return mixed_density(parts, [quantity(rho, KG_PER_L) for rho in densities])


@pytest.mark.parametrize(
    ("parts", "densities", "expected", "millilitres"),
    [
        (*PASTE, 1.951327, 71.74603),
        ([100, 35], [3.95, 1.40], 2.683019, 50.31646),
        ([50, 50], [2.65, 1.00], 1.452055, 68.86792),
        ([100, 38], [2.70, 1.05], 1.884538, 73.22751),
    ],
)
def test_ideal_mixing(parts, densities, expected: float, millilitres: float) -> None:
    """Arithmetic: 1/rho = sum(w/rho); the mass-weighted mean would be wrong."""
    found = mixed(parts, densities).m_as("kg/L")
    assert found == pytest.approx(expected, rel=2e-6)
    assert sum(parts) / found == pytest.approx(millilitres, rel=2e-6)


def test_volume_fraction_and_air() -> None:
    """Arithmetic on the first mix: liquid fills 0.557522; 3 % air leaves 1.892788 kg/L."""
    rho = mixed(*PASTE)
    assert 40 / 140 * rho.m_as("kg/L") / 1.00 == pytest.approx(0.557522, rel=2e-6)
    assert density_with_air(rho, 0.03).m_as("kg/L") == pytest.approx(1.892788, rel=2e-6)


def test_a_bag_of_powder() -> None:
    """Arithmetic: a 50 lb bag at 40 parts gives 16.27173 L and takes 9.071847 kg of liquid."""
    bag = quantity(50, "lb")
    ratio = mass_ratio(Limits(None, 40.0), 100)
    assert bag.m_as("kg") * ratio.target == pytest.approx(9.071847, rel=2e-6)
    total = bag * 1.4
    powder, liquid = component_masses(total, [100, 40])
    assert liquid.m_as("kg") == pytest.approx(9.071847, rel=2e-6)
    assert powder.m_as("lb") == pytest.approx(50)
    volume = total / mixed(*PASTE)
    assert volume.m_as("L") == pytest.approx(16.27173, rel=2e-6)
    assert volume.m_as("ft3") == pytest.approx(0.574631, rel=2e-6)
    _, at_38 = component_masses(quantity(50 * 1.38, "lb"), [100, 38])
    assert at_38.m_as("kg") == pytest.approx(8.618255, rel=2e-6)


def fill(volume, parts: int = 1, loss: float = 0.0, extra: float = 0.0):
    needs = BatchNeeds(parts, Limits(None, volume), loss, quantity(extra, "cm3"))
    return paste_mass(needs, mixed(*PASTE)).target


@pytest.mark.parametrize(
    ("volume", "kilograms"),
    [
        (quantity(1, "qt"), 1.846645),
        (quantity(1, "gal"), 7.386578),
        (quantity(0.9, "gal"), 6.647920),
        (quantity(1, "fl oz"), 0.0577076),
        (quantity(0.8 * 250, "cm3"), 0.390265),
    ],
)
def test_fills(volume, kilograms: float) -> None:
    """Arithmetic on the first mix; the last is a coat of 0.8 mm on 0.25 m2."""
    assert fill(volume).m_as("kg") == pytest.approx(kilograms, rel=6e-6)


def test_discs() -> None:
    """Arithmetic: discs of 50 x 10 mm and 2 x 0.5 in, and six of the latter with 15 % loss."""
    metric = disc_volume(quantity(50, "mm"), quantity(10, "mm"))
    inch = disc_volume(quantity(2, "in"), quantity(0.5, "in"))
    assert metric.m_as("mL") == pytest.approx(19.63495, rel=2e-6)
    assert inch.m_as("mL") == pytest.approx(25.74074, rel=2e-6)
    needs = BatchNeeds(6, Limits(None, inch), 0.15, quantity(0, "cm3"))
    assert paste_volume(needs).target.m_as("mL") == pytest.approx(177.6111, rel=2e-6)
    assert fill(inch, parts=6, loss=0.15).m_as("g") == pytest.approx(346.577, rel=2e-6)


def test_whole_cans() -> None:
    """Common practice, no source: a plan that needs 3.2 gallons takes 4 cans."""
    assert whole_containers(quantity(3.2, "gal"), quantity(1, "gal")) == 4


mixes = st.lists(st.tuples(st.floats(0.1, 500), st.floats(0.5, 8)), min_size=1, max_size=5)


@given(mixes)
def test_density_against_pint(mix: list[tuple[float, float]]) -> None:
    """Weigh the components in pounds and add up their volumes in gallons with pint."""
    parts, densities = zip(*mix, strict=True)
    mass = sum(parts) * OTHER.pound
    volume = sum(
        (p * OTHER.pound / (rho * OTHER("kg/L"))).to("gallon")
        for p, rho in zip(parts, densities, strict=True)
    )
    expected = (mass / volume).m_as("lb/gallon")
    assert mixed(parts, densities).m_as("lb/gal") == pytest.approx(expected, rel=1e-9)


@given(mixes)
def test_density_by_volume_agrees_with_density_by_weight(mix: list[tuple[float, float]]) -> None:
    parts, numbers = zip(*mix, strict=True)
    densities = [quantity(rho, KG_PER_L) for rho in numbers]
    by_volume = mixed_density_by_volume(parts, densities)
    by_weight = mixed_density(parts_by_weight(parts, densities), densities)
    assert by_volume.magnitude == pytest.approx(by_weight.magnitude, rel=1e-12)
