"""Boiling water and the standard atmosphere against published tables and two libraries."""

import pytest
from fluids import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st
from iapws.iapws97 import _PSat_T, _TSat_P

from speccomp.calc.air_and_water import (
    boiling_point,
    geopotential,
    pressure_at_elevation,
    saturation_pressure,
    saturation_temperature,
)
from speccomp.quantities import quantity


@pytest.mark.parametrize(
    ("megapascals", "kelvins"), [(0.1, 372.755919), (1, 453.035632), (10, 584.149488)]
)
def test_if97_table_36(megapascals: float, kelvins: float) -> None:
    """IAPWS R7-97(2012), Table 36, as quoted in the tests of several implementations."""
    boils = saturation_temperature(quantity(megapascals, "MPa"))
    assert boils.m_as("K") == pytest.approx(kelvins, abs=1e-6)


@pytest.mark.parametrize(
    ("kelvins", "megapascals"),
    [(300, 0.00353658941), (500, 2.63889776), (600, 12.3443146)],
)
def test_if97_table_35(kelvins: float, megapascals: float) -> None:
    """IAPWS R7-97(2012), Table 35, as quoted in the tests of several implementations."""
    pressure = saturation_pressure(quantity(kelvins, "K"))
    assert pressure.m_as("MPa") == pytest.approx(megapascals, rel=1e-8)


@pytest.mark.parametrize(
    ("kilopascals", "celsius"),
    [
        (101.325, 99.9743),
        (84, 94.804),
        (90, 96.687),
        (95, 98.178),
        (100, 99.606),
        (103, 100.434),
        (1, 6.970),
        (2, 17.495),
        (5, 32.875),
        (10, 45.808),
    ],
)
def test_boiling_at_a_pressure(kilopascals: float, celsius: float) -> None:
    """Computed with iapws 1.5.5; 101.325 kPa agrees with IAPWS-95."""
    boils = saturation_temperature(quantity(kilopascals, "kPa"))
    assert boils.m_as("degC") == pytest.approx(celsius, abs=6e-4)


@pytest.mark.parametrize(
    ("celsius", "kilopascals"),
    [
        (20, 2.33921),
        (25, 3.16975),
        (30, 4.24669),
        (40, 7.38443),
        (50, 12.35127),
        (60, 19.9458),
        (70, 31.2006),
        (80, 47.4147),
        (85, 57.8675),
        (90, 70.1824),
        (95, 84.6089),
        (98, 94.3902),
        (99, 97.8519),
        (100, 101.4180),
        (105, 120.902),
        (110, 143.376),
        (120, 198.665),
    ],
)
def test_vapour_pressure(celsius: float, kilopascals: float) -> None:
    """Computed with iapws 1.5.5; IAPWS-95 agrees within 0.01 %."""
    pressure = saturation_pressure(quantity(celsius, "degC"))
    assert pressure.m_as("kPa") == pytest.approx(kilopascals, rel=2e-5)


def test_vapour_pressure_at_200_fahrenheit() -> None:
    """Computed with iapws 1.5.5."""
    assert saturation_pressure(quantity(200, "degF")).m_as("kPa") == pytest.approx(
        79.5492, rel=2e-5
    )


@pytest.mark.parametrize(
    ("metres", "pascals", "celsius", "fahrenheit"),
    [
        (0, 101325.0, 99.974, 211.95),
        (300, 97772.7, 98.977, 210.16),
        (500, 95461.3, 98.313, 208.96),
        (1000, 89876.3, 96.649, 205.97),
        (1500, 84559.7, 94.984, 202.97),
        (1609.344, 83431.8, 94.620, 202.32),
        (2000, 79501.4, 93.317, 199.97),
        (2500, 74691.7, 91.648, 196.97),
        (3000, 70121.2, 89.977, 193.96),
    ],
)
def test_sites(metres: float, pascals: float, celsius: float, fahrenheit: float) -> None:
    """Computed with two atmosphere libraries, which agree, and iapws 1.5.5."""
    site = quantity(metres, "m")
    assert pressure_at_elevation(site).m_as("Pa") == pytest.approx(pascals, abs=0.06)
    assert boiling_point(site).m_as("degC") == pytest.approx(celsius, abs=6e-4)
    assert boiling_point(site).m_as("degF") == pytest.approx(fahrenheit, abs=6e-3)


@pytest.mark.parametrize(
    ("feet", "kilopascals", "inches_of_mercury", "fahrenheit"),
    [
        (1000, 97.717, 28.86, 210.13),
        (2000, 94.213, 27.82, 208.31),
        (3000, 90.812, 26.82, 206.48),
        (4000, 87.511, 25.84, 204.65),
        (5000, 84.307, 24.90, 202.83),
        (5280, 83.428, 24.64, 202.31),
        (6000, 81.200, 23.98, 201.00),
        (7000, 78.185, 23.09, 199.16),
        (8000, 75.262, 22.22, 197.33),
        (10000, 69.682, 20.58, 193.66),
    ],
)
def test_pressure_altitudes(
    feet: float, kilopascals: float, inches_of_mercury: float, fahrenheit: float
) -> None:
    """U.S. Standard Atmosphere 1976 at geopotential feet, arithmetic and iapws 1.5.5."""
    height = feet * 0.3048
    site = quantity(6_356_766 * height / (6_356_766 - height), "m")
    assert geopotential(site).m_as("ft") == pytest.approx(feet)
    pressure = pressure_at_elevation(site)
    assert pressure.m_as("kPa") == pytest.approx(kilopascals, abs=6e-4)
    assert pressure.m_as("inHg") == pytest.approx(inches_of_mercury, abs=6e-3)
    assert boiling_point(site).m_as("degF") == pytest.approx(fahrenheit, abs=6e-3)


@pytest.mark.parametrize(("feet", "psi"), [(5_000, 12.230), (10_000, 10.108)])
def test_a_printed_table_of_the_atmosphere(feet: float, psi: float) -> None:
    """Engineering web table of the standard atmosphere, which is 0.02 % high."""
    pressure = pressure_at_elevation(quantity(feet, "ft"))
    assert pressure.m_as("psi") == pytest.approx(psi, rel=5e-4)


@given(st.floats(273.16, 647.0))
def test_saturation_pressure_against_iapws(kelvins: float) -> None:
    own = saturation_pressure(quantity(kelvins, "K")).m_as("MPa")
    assert own == pytest.approx(_PSat_T(kelvins), rel=1e-9)


@given(st.floats(0.00062, 22.06))
def test_saturation_temperature_against_iapws(megapascals: float) -> None:
    own = saturation_temperature(quantity(megapascals, "MPa")).m_as("K")
    assert own == pytest.approx(_TSat_P(megapascals), rel=1e-10)


@given(st.floats(-400, 11_000))
def test_pressure_against_fluids(metres: float) -> None:
    own = pressure_at_elevation(quantity(metres, "m")).m_as("Pa")
    assert own == pytest.approx(ATMOSPHERE_1976(Z=metres).P, rel=1e-12)


@given(st.floats(-400, 6_000))
def test_boiling_point_against_both(metres: float) -> None:
    own = boiling_point(quantity(metres, "m")).m_as("K")
    assert own == pytest.approx(_TSat_P(ATMOSPHERE_1976(Z=metres).P / 1e6), abs=1e-4)
