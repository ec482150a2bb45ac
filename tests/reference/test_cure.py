"""Cures: degrees against pint's own registry, steam checks, equivalent age against scipy."""

import math
from itertools import pairwise

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants
from scipy.integrate import quad

from speccomp.calc.air_and_water import boiling_point
from speccomp.calc.cure import Hold, Ramp, chart_points, cure_profile, total_duration
from speccomp.calc.limits import Limits
from speccomp.calc.maturity import (
    History,
    equivalent_age_arrhenius,
    equivalent_age_nurse_saul,
    nominal_history,
    temperature_history,
)
from speccomp.calc.steam import OvenError, highest_setpoint, oven_error, steam_margins
from speccomp.quantities import quantity

OTHER = pint.UnitRegistry()


def at(value: float, unit: str) -> Limits:
    return Limits(None, quantity(value, unit))


@pytest.mark.parametrize(
    ("start", "end", "unit", "rate", "rate_unit", "hours"),
    [
        (77, 203, "degF", 50, "degF/h", 2.52),
        (25, 95, "degC", 0.5, "degC/min", 140 / 60),
        (25, 95, "degC", 28, "K/h", 2.5),
        (20, 120, "degC", 3, "degF/min", 1.0),
    ],
)
def test_time_of_a_ramp(start, end, unit, rate, rate_unit, hours) -> None:
    """Arithmetic: a rate is a difference per time, 3 degF/min are 100 K/h."""
    ramp = Ramp(at(end, unit), at(rate, rate_unit))
    duration = total_duration(cure_profile(at(start, unit), [ramp]))
    assert duration.target.m_as("h") == pytest.approx(hours)


def hold(temperature: float, tolerance: float, unit: str) -> Hold:
    return Hold(
        Limits(
            quantity(temperature - tolerance, unit),
            quantity(temperature, unit),
            quantity(temperature + tolerance, unit),
        ),
        at(1, "h"),
    )


def spare(boils, oven: OvenError, margin: float, uniformity: float = 10) -> float:
    """Return the spare of a 200 degF hold with its oven uniformity written into the limits."""
    cure = cure_profile(at(70, "degF"), [hold(200, uniformity, "degF")])
    return steam_margins(cure, oven_error(oven), boils, quantity(margin, "K"), 0)[0].spare.magnitude


def kelvins(*values: float) -> OvenError:
    return OvenError(*(quantity(v, "K") for v in values))


def test_drying_hold_at_200_fahrenheit() -> None:
    """Arithmetic on IF97 boiling points: 200 degF with an oven of 10 degF at two elevations."""
    sea, mile = boiling_point(quantity(0, "m")), boiling_point(quantity(1609.344, "m"))
    assert spare(sea, kelvins(0, 0, 0), 0) == pytest.approx(1.085, abs=1e-3)
    assert spare(sea, kelvins(0, 0, 0), 1) > 0
    assert spare(sea, kelvins(0, 0, 0), 2) < 0
    assert spare(sea, kelvins(0, 0, 2.2), 0) == pytest.approx(99.974 - 101.089, abs=1e-3)
    assert spare(mile, kelvins(0, 0, 0), 0) == pytest.approx(94.620 - 98.889, abs=1e-3)
    assert spare(sea, kelvins(0, 50 / 9, 0), 0, uniformity=0) == pytest.approx(1.085, abs=1e-3)


def test_highest_setpoint_at_a_mile() -> None:
    """Arithmetic: 94.620 - 5.556 - 2.2 - 1.0 = 85.864 degC = 186.56 degF."""
    setpoint = highest_setpoint(
        boiling_point(quantity(1, "ft") * 5280),
        quantity(1, "K"),
        oven_error(kelvins(0, 50 / 9, 2.2)),
        quantity(0, "K"),
    )
    assert setpoint.m_as("degC") == pytest.approx(85.864, abs=1e-3)
    assert setpoint.m_as("degF") == pytest.approx(186.56, abs=5e-3)


def steps(*parts: tuple[float, float]) -> History:
    """Return a history of holds, given as hours and degC, that jump from one to the next."""
    points, hour = [], 0.0
    for hours, celsius in parts:
        points += [(hour, celsius), (hour + hours, celsius)]
        hour += hours
    return temperature_history([(quantity(h, "h"), quantity(c, "degC")) for h, c in points])


FOUR_HOLDS = steps((12, 10), (12, 15), (24, 22), (24, 30))


@pytest.mark.parametrize(("datum", "degree_hours"), [(0, 1548), (-10, 2268)])
def test_maturity_of_four_holds(datum: float, degree_hours: float) -> None:
    """Own history, arithmetic: sum of (T - T0) t."""
    age = equivalent_age_nurse_saul(
        FOUR_HOLDS, quantity(datum, "degC"), quantity(datum + 1, "degC")
    )
    assert age.m_as("h") == pytest.approx(degree_hours)


@pytest.mark.parametrize(
    ("energy", "reference", "hours"),
    [(5000 * 8.314462618, 20, 84.5632), (5000 * 8.314462618, 23, 71.1451), (33_500, 20, 80.9495)],
)
def test_equivalent_age_of_four_holds(energy: float, reference: float, hours: float) -> None:
    """
    Own history, by the formula of ASTM C1074 (from memory).

    The last value was computed with R = 8.314 J/(mol K), hence the tolerance.
    """
    age = equivalent_age_arrhenius(
        FOUR_HOLDS, quantity(energy, "J/mol"), quantity(reference, "degC")
    )
    assert age.m_as("h") == pytest.approx(hours, abs=1e-3)


@pytest.mark.parametrize(
    ("temperature", "at_20", "at_23"),
    [
        (0, 0.2868, 0.2413),
        (5, 0.3986, 0.3354),
        (10, 0.5475, 0.4606),
        (15, 0.7438, 0.6258),
        (23, 1.1886, 1),
        (25, 1.3311, 1.1199),
        (30, 1.7553, 1.4768),
        (35, 2.2939, 1.9299),
        (40, 2.9723, 2.5006),
        (50, 4.8716, 4.0986),
        (60, 7.7513, 6.5214),
    ],
)
def test_age_factors_of_5000_kelvin(temperature: float, at_20: float, at_23: float) -> None:
    """ASTM C1074 with Q = 5000 K (from memory), factors computed."""
    energy = quantity(5000 * 8.31446261815324, "J/mol")
    for reference, factor in ((20, at_20), (23, at_23)):
        age = equivalent_age_arrhenius(steps((1, temperature)), energy, quantity(reference, "degC"))
        assert age.m_as("h") == pytest.approx(factor, abs=1e-4)


@pytest.mark.parametrize(
    ("temperature", "datum_0", "datum_minus_10"),
    [(0, 0, 1 / 3), (5, 0.25, 0.5), (10, 0.5, 2 / 3), (30, 1.5, 4 / 3), (60, 3, 7 / 3)],
)
def test_age_ratios_of_nurse_saul(
    temperature: float, datum_0: float, datum_minus_10: float
) -> None:
    """Arithmetic: (T - T0)/(20 - T0)."""
    for datum, ratio in ((0, datum_0), (-10, datum_minus_10)):
        age = equivalent_age_nurse_saul(
            steps((1, temperature)), quantity(datum, "degC"), quantity(20, "degC")
        )
        assert age.m_as("h") == pytest.approx(ratio)


temperatures = st.floats(-20, 200)
lines = st.lists(st.tuples(st.floats(0.1, 30), temperatures), min_size=2, max_size=5)


def line(points: list[tuple[float, float]]) -> tuple[History, list[tuple[float, float]]]:
    """Return a history from durations and temperatures, and its points in h and degC."""
    hour, corners = 0.0, []
    for hours, celsius in points:
        hour += hours
        corners.append((hour, celsius))
    made = temperature_history([(quantity(h, "h"), quantity(c, "degC")) for h, c in corners])
    return made, corners


@given(lines, st.floats(1, 90), st.floats(0, 60))
def test_arrhenius_age_against_scipy(
    points: list[tuple[float, float]], energy: float, reference: float
) -> None:
    history, corners = line(points)
    slope = energy * 1000 / constants.R
    zero = OTHER.Quantity(reference, "degC").m_as("kelvin")
    expected = 0.0
    for (t0, c0), (t1, c1) in pairwise(corners):
        rate, _ = quad(
            lambda x, a=c0, b=c1: math.exp(slope * (1 / zero - 1 / (273.15 + a + x * (b - a)))),
            0,
            1,
            epsrel=1e-11,
            epsabs=0,
        )
        expected += (t1 - t0) * rate
    own = equivalent_age_arrhenius(history, quantity(energy, "kJ/mol"), quantity(reference, "degC"))
    assert own.m_as("h") == pytest.approx(expected, rel=1e-8)


@given(lines, st.floats(-20, 100))
def test_nurse_saul_age_against_scipy(points: list[tuple[float, float]], datum: float) -> None:
    history, corners = line(points)
    expected = 0.0
    for (t0, c0), (t1, c1) in pairwise(corners):
        crossing = [(datum - c0) / (c1 - c0)] if (c0 - datum) * (c1 - datum) < 0 else None
        mean, _ = quad(
            lambda x, a=c0, b=c1: max(0.0, a + x * (b - a) - datum), 0, 1, points=crossing
        )
        expected += (t1 - t0) * mean
    own = equivalent_age_nurse_saul(history, quantity(datum, "degC"), quantity(datum + 10, "degC"))
    assert own.m_as("h") == pytest.approx(expected / 10, rel=1e-7, abs=1e-9)


@given(st.lists(st.tuples(st.floats(0.5, 30), temperatures), min_size=1, max_size=5))
def test_chart_in_fahrenheit_against_pint(holds: list[tuple[float, float]]) -> None:
    cure = cure_profile(at(20, "degC"), [Hold(at(c, "degC"), at(h, "h")) for h, c in holds])
    ends = [point.nominal.m_as("degF") for point in chart_points(cure)][1::2]
    expected = [OTHER.Quantity(c, "degC").m_as("degF") for _, c in holds]
    assert ends == pytest.approx(expected, abs=1e-9)
    assert nominal_history(cure).seconds[-1] == pytest.approx(3600 * sum(h for h, _ in holds))
