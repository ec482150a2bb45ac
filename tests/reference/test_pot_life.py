"""Pot life against tables of rate factors and the constants of other libraries."""

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import constants

from speccomp.calc.batch import equal_batches
from speccomp.calc.potlife import (
    MixMasses,
    MixTimes,
    parts_per_mix,
    plan_mixes,
    pot_life_arrhenius,
    pot_life_q10,
)
from speccomp.quantities import quantity

OTHER = pint.UnitRegistry()


def celsius(value: float):
    return quantity(value, "degC")


def minutes(value: float):
    return quantity(value, "min")


@pytest.mark.parametrize(
    ("temperature", "expected"),
    [(10, 73.87), (15, 52.23), (20, 36.93), (25, 26.12), (30, 18.47), (35, 13.06), (40, 9.23)],
)
def test_a_pot_life_of_30_minutes_at_23(temperature: float, expected: float) -> None:
    """Computed from the rule that the rate doubles per 10 degC."""
    life = pot_life_q10(minutes(30), celsius(23), celsius(temperature), 2)
    assert life.m_as("min") == pytest.approx(expected, abs=6e-3)


@pytest.mark.parametrize(
    ("temperature", "factor"),
    [(0, 0.25), (5, 0.3536), (15, 0.7071), (23, 1.2311), (30, 2), (40, 4), (50, 8), (60, 16)],
)
def test_rate_factors_of_the_doubling_rule(temperature: float, factor: float) -> None:
    """Computed: reference 20 degC, factor 2 per 10 K."""
    life = pot_life_q10(minutes(1), celsius(20), celsius(temperature), 2)
    assert 1 / life.m_as("min") == pytest.approx(factor, abs=6e-5)


@pytest.mark.parametrize(
    ("temperature", "energy", "factor"),
    [
        (0, 33.5, 0.3655),
        (10, 33.5, 0.6154),
        (25, 33.5, 1.2592),
        (40, 33.5, 2.4057),
        (60, 33.5, 5.2086),
        (0, 40, 0.3007),
        (10, 40, 0.5601),
        (25, 40, 1.3168),
        (40, 40, 2.8525),
        (60, 40, 7.1744),
    ],
)
def test_rate_factors_of_arrhenius(temperature: float, energy: float, factor: float) -> None:
    """Computed: reference 20 degC, energies in kJ/mol."""
    life = pot_life_arrhenius(
        minutes(1), celsius(20), celsius(temperature), quantity(energy, "kJ/mol")
    )
    assert 1 / life.m_as("min") == pytest.approx(factor, rel=3e-4)


@pytest.mark.parametrize(
    ("energy", "q10"),
    [(33.5, 1.57362), (40, 1.71833), (41.5, 1.75357), (45, 1.83863), (50, 1.96735)],
)
def test_factor_per_10_kelvin_of_an_energy(energy: float, q10: float) -> None:
    """Computed over 20 to 30 degC, R = 8.314 462 618 J/(mol K)."""
    cold, warm = (
        pot_life_arrhenius(minutes(60), celsius(20), celsius(t), quantity(energy, "kJ/mol"))
        for t in (20, 30)
    )
    assert (cold / warm).magnitude == pytest.approx(q10, abs=6e-6)


@pytest.mark.parametrize(("low", "energy"), [(20, 51_216), (25, 52_949)])
def test_the_energy_that_doubles_the_rate(low: float, energy: float) -> None:
    """Computed: the energies that make the factor 2 over 20 to 30 and 25 to 35 degC."""
    life = pot_life_arrhenius(
        minutes(2), celsius(low), celsius(low + 10), quantity(energy, "J/mol")
    )
    assert life.m_as("min") == pytest.approx(1, rel=1e-5)


def test_two_gel_times() -> None:
    """Computed: 45 min at 20 degC and 24 min at 30 degC belong to 46 447 J/mol."""
    life = pot_life_arrhenius(minutes(45), celsius(20), celsius(30), quantity(46_447, "J/mol"))
    assert life.m_as("min") == pytest.approx(24, rel=1e-5)


def test_how_much_can_be_applied_in_a_pot_life() -> None:
    """Arithmetic: 45 g/min for 80 % of 30 min are 1080 g, so 1800 g take two mixes."""
    gram_by_gram = MixTimes(minutes(30), 0.2, minutes(0), minutes(0), quantity(60 / 45, "s"), 1)
    assert parts_per_mix(gram_by_gram) == 1080
    assert equal_batches(quantity(1800, "g"), quantity(1080, "g")).count == 2


def test_batches_of_one_size() -> None:
    """Arithmetic: 2500 g at most 1080 g each are 3 of 833.33 g, not 2 and a remainder."""
    made = equal_batches(quantity(2500, "g"), quantity(1080, "g"))
    assert (made.count, round(made.size.m_as("g"), 2)) == (3, 833.33)


temperatures = st.floats(-10, 80)


@given(st.floats(1, 600), temperatures, temperatures, st.floats(1, 100))
def test_arrhenius_against_scipy_and_pint(
    life: float, stated: float, now: float, energy: float
) -> None:
    own = pot_life_arrhenius(
        minutes(life), celsius(stated), celsius(now), quantity(energy, "kJ/mol")
    )
    slope = energy * 1000 / constants.R
    one, two = (OTHER.Quantity(t, "degC").m_as("kelvin") for t in (now, stated))
    assert own.m_as("min") == pytest.approx(life * math.exp(slope * (1 / one - 1 / two)), rel=1e-9)


@given(st.floats(1, 600), temperatures, temperatures, st.floats(1, 4))
def test_q10_against_pint_in_fahrenheit(life: float, stated: float, now: float, q10: float) -> None:
    own = pot_life_q10(minutes(life), quantity(stated, "degF"), quantity(now, "degF"), q10)
    difference = (OTHER.Quantity(now, "degF") - OTHER.Quantity(stated, "degF")).m_as("kelvin")
    assert own.m_as("min") == pytest.approx(life / q10 ** (difference / 10), rel=1e-9)


@given(
    st.integers(1, 200), st.floats(5, 60), st.floats(0, 0.5), st.integers(1, 4), st.floats(50, 900)
)
def test_plan_against_trying_every_number_of_mixes(
    parts: int, life: float, margin: float, stations: int, most: float
) -> None:
    times = MixTimes(minutes(life), margin, minutes(3), minutes(1), minutes(1.3), stations)
    masses = MixMasses(*(quantity(g, "g") for g in (12.7, 31, 0, most, 0)))
    plan = plan_mixes(parts, times, masses)

    def fits(size: int) -> bool:
        filled = 4 + math.ceil(size / stations) * 1.3
        return filled <= life * (1 - margin) + 1e-9 and 31 + size * 12.7 <= most + 1e-9

    possible = [n for n in range(1, parts + 1) if fits(math.ceil(parts / n))]
    assert sum(plan.parts) == parts
    if possible:
        assert len(plan.parts) == possible[0]
        assert plan.broken == ()
    else:
        assert plan.parts == (1,) * parts
        assert plan.broken
