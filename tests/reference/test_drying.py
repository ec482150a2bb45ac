"""Slab drying against printed solutions of the same series and against scipy."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import erfc

from speccomp.calc.drying import free_water_left, scaled_drying_time, time_to_dry
from speccomp.quantities import quantity

D = quantity(1e-9, "m2/s")


def removed(fourier: float) -> float:
    """Return the fraction removed from a 2 mm slab with two faces at D t/L^2, L = 1 mm."""
    return 1 - free_water_left(D, quantity(2, "mm"), quantity(fourier * 1000, "s"), 2)


def fourier(fraction: float) -> float:
    """Return D t/L^2, L half the thickness, at which a fraction is removed."""
    time = time_to_dry(D, quantity(2, "mm"), 1 - fraction, 2)
    return time.m_as("s") / 1000


@pytest.mark.parametrize(
    ("fraction", "half", "full"),
    [
        (0.10, 0.007854, 0.001963),
        (0.25, 0.049087, 0.012272),
        (0.50, 0.196731, 0.049183),
        (0.60, 0.286399, 0.071600),
        (0.75, 0.476730, 0.119183),
        (0.80, 0.567164, 0.141791),
        (0.90, 0.848085, 0.212021),
        (0.95, 1.129007, 0.282252),
        (0.98, 1.500366, 0.375092),
        (0.99, 1.781288, 0.445322),
        (0.995, 2.062210, 0.515552),
        (0.999, 2.714491, 0.678623),
    ],
)
def test_times_of_the_series(fraction: float, half: float, full: float) -> None:
    """Crank, The Mathematics of Diffusion, eqs 4.17-4.20, computed with 400 terms."""
    assert fourier(fraction) == pytest.approx(half, abs=1e-6)
    time = time_to_dry(D, quantity(1, "mm"), 1 - fraction, 2)
    assert time.m_as("s") / 1000 == pytest.approx(full, abs=1e-6)
    sealed = time_to_dry(D, quantity(1, "mm"), 1 - fraction, 1)
    assert sealed.m_as("s") / 1000 == pytest.approx(half, abs=1e-6)


@pytest.mark.parametrize(
    ("percent", "printed"),
    [
        (5, 0.0020),
        (10, 0.0078),
        (15, 0.0177),
        (20, 0.0314),
        (25, 0.0491),
        (30, 0.0707),
        (35, 0.0962),
        (40, 0.126),
        (45, 0.159),
        (50, 0.197),
        (55, 0.239),
        (60, 0.286),
        (70, 0.403),
        (75, 0.477),
        (80, 0.567),
        (85, 0.684),
        (90, 0.848),
        (95, 1.129),
    ],
)
def test_the_consolidation_table(percent: float, printed: float) -> None:
    """
    One-dimensional consolidation has the same series; table printed in course notes (CEG 4012).

    The 65 % entry, printed as 0.342, is left out: the series gives 0.3404.
    """
    assert fourier(percent / 100) == pytest.approx(printed, abs=5e-4)


def test_half_time_of_a_slab() -> None:
    """Crank's half time, from memory: D = 0.049/(t/l^2), l the whole thickness."""
    assert fourier(0.5) / 4 == pytest.approx(0.049, abs=5e-4)


def test_a_published_value_of_uptake() -> None:
    """Uptake of a sheet at D t/a^2 = 0.25, from the reference page of a polymer library."""
    assert removed(0.25) == pytest.approx(0.562233541762138, abs=1e-13)


@pytest.mark.parametrize(
    ("number", "left"),
    [
        (0.01, 0.887162),
        (0.05, 0.747687),
        (0.10, 0.643177),
        (0.20, 0.495912),
        (0.25, 0.437766),
        (0.50, 0.236050),
        (1.0, 0.068740),
        (1.5, 0.020018),
        (2.0, 0.005830),
    ],
)
def test_fractions_left(number: float, left: float) -> None:
    """Crank, eqs 4.17-4.20, computed with 400 terms."""
    assert 1 - removed(number) == pytest.approx(left, abs=1e-6)


@pytest.mark.parametrize(("millimetres", "hours"), [(5, 14.724), (10, 58.895), (20, 235.58)])
def test_time_to_90_per_cent(millimetres: float, hours: float) -> None:
    """Computed: D = 1e-10 m2/s, both faces; four times as long for twice the thickness."""
    slow = quantity(1e-10, "m2/s")
    section = quantity(millimetres, "mm")
    assert time_to_dry(slow, section, 0.1, 2).m_as("h") == pytest.approx(hours, rel=4e-5)
    scaled = scaled_drying_time(quantity(14.724, "h"), section, quantity(5, "mm"))
    assert scaled.m_as("h") == pytest.approx(hours, rel=1e-4)


def by_reflections(number: float) -> float:
    """
    Return the fraction removed from the other form of the solution, with scipy's erfc.

    Crank, eq. 4.20: 2 sqrt(Fo) (1/sqrt(pi) + 2 sum (-1)^n ierfc(n/sqrt(Fo))).
    """
    root = math.sqrt(number)

    def ierfc(x: float) -> float:
        return math.exp(-x * x) / math.sqrt(math.pi) - x * erfc(x)

    total = 1 / math.sqrt(math.pi) + 2 * sum((-1) ** n * ierfc(n / root) for n in range(1, 60))
    return 2 * root * total


@given(st.floats(1e-6, 3))
def test_the_series_against_reflections(number: float) -> None:
    assert removed(number) == pytest.approx(by_reflections(number), abs=1e-12)


@given(st.floats(0.001, 0.98))
def test_times_against_reflections(fraction: float) -> None:
    assert by_reflections(fourier(fraction)) == pytest.approx(fraction, abs=1e-11)
