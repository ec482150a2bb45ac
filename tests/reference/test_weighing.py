"""Weighing and its uncertainty against the GUM, worked numbers, and two libraries."""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog
from uncertainties import ufloat

from speccomp.calc.gauge import decision_limits, uncertainty_ratio
from speccomp.calc.limits import Limits
from speccomp.calc.ratio import Reading, ratio_uncertainty, worst_case_ratio
from speccomp.calc.weighing import (
    round_inward,
    smallest_readable,
    smallest_reference,
    weighing_window,
)
from speccomp.quantities import quantity

ROOT_3 = math.sqrt(3)


def grams(value: float):
    return quantity(value, "g")


def reading(mass: float, error: float) -> Reading:
    return Reading(grams(mass), grams(error))


def test_ratio_of_two_weighings() -> None:
    """Computed with uncertainties 3.2.3: 100 g and 38 g, standard uncertainty 0.05 g each."""
    powder, liquid = reading(100, 0.05 * ROOT_3), reading(38, 0.05 * ROOT_3)
    found = ratio_uncertainty([powder], liquid)
    assert found.ratio == pytest.approx(0.38)
    assert found.standard * 100 == pytest.approx(0.0534883, rel=1e-6)
    assert found.standard / found.ratio == pytest.approx(0.0014076, rel=3e-5)
    other_way = ratio_uncertainty([liquid], powder)
    assert other_way.ratio == pytest.approx(2.6315789, rel=1e-7)
    assert other_way.standard == pytest.approx(0.0037042, rel=1e-5)


def test_rectangular_distribution_of_the_gum() -> None:
    """JCGM 100:2008, 4.3.7 example 2, from memory: a = 15 uV gives u = 8.7 uV."""
    found = ratio_uncertainty([reading(1, 0)], reading(0.928571, 15e-6))
    assert found.standard == pytest.approx(8.7e-6, abs=0.05e-6)
    assert found.standard == pytest.approx(8.6603e-6, rel=1e-5)
    assert found.expanded == pytest.approx(2 * 8.6603e-6, rel=1e-5)


def test_copper_of_the_gum() -> None:
    """JCGM 100:2008, 4.3.7 example 1, from memory: 16.52(40)e-6 gives u^2 = 53.3e-15."""
    found = ratio_uncertainty([reading(1, 0)], reading(16.52e-6, 0.40e-6))
    assert found.standard**2 == pytest.approx(53.3e-15, abs=0.05e-15)
    assert found.standard == pytest.approx(0.23e-6, abs=0.005e-6)


def test_display_resolution() -> None:
    """JCGM 100:2008, 4.3.7: full width w gives w/sqrt(12) = 0.288675 w."""
    found = ratio_uncertainty([reading(1, 0)], reading(10, 0.1 / 2))
    assert found.standard == pytest.approx(0.0288675, rel=1e-5)


def test_uncertainty_that_four_to_one_allows() -> None:
    """Arithmetic: limits 36 to 40 allow an expanded uncertainty of 0.5."""
    assert uncertainty_ratio(grams(0.5), grams(36), grams(40)) == pytest.approx(4)


def test_guard_band() -> None:
    """Worked example of a full guard band, arithmetic: limit 95.0, U 1.3, accept to 93.7."""
    found = decision_limits(Limits(None, None, grams(95.0)), grams(1.3))
    assert found.accept_upper.magnitude == 93.7


@pytest.mark.parametrize(
    ("lower", "upper", "inside"),
    [
        (82.222, 93.333, (83, 93)),
        (18.333, 23.889, (19, 23)),
        (15.556, 32.222, (16, 32)),
        (176.667, 190.556, (177, 190)),
        (20.000, 20.556, (20, 20)),
        (20.556, 21.111, (21, 21)),
    ],
)
def test_inward_rounding(lower: float, upper: float, inside: tuple[float, float]) -> None:
    """
    ASME A112.18.1-2018/CSA B125.1-18, Annex A.2(e): minima up, maxima down.

    The numbers are converted temperature bands; only the rounding is tested, so they stand for
    grams here.
    """
    made = round_inward(grams(lower), grams(upper), grams(1))
    assert (made.lower.magnitude, made.upper.magnitude) == inside


def test_inward_rounding_can_leave_nothing() -> None:
    """Arithmetic: 69 to 69.5 degF is 20.556 to 20.833 degC, with no whole degree inside."""
    assert round_inward(grams(20.556), grams(20.833), grams(1)) is None


masses = st.floats(1, 1e4)
errors = st.floats(1e-4, 0.2)


@given(masses, errors, masses, errors)
def test_ratio_uncertainty_against_uncertainties(
    powder: float, powder_error: float, liquid: float, liquid_error: float
) -> None:
    found = ratio_uncertainty([reading(powder, powder_error)], reading(liquid, liquid_error))
    referee = ufloat(liquid, liquid_error / ROOT_3) / ufloat(powder, powder_error / ROOT_3)
    assert found.ratio == pytest.approx(referee.nominal_value)
    assert found.standard == pytest.approx(referee.std_dev, rel=1e-9)


@given(st.lists(st.tuples(masses, errors), min_size=1, max_size=4), masses, errors)
def test_portions_against_uncertainties(
    portions: list[tuple[float, float]], liquid: float, liquid_error: float
) -> None:
    found = ratio_uncertainty([reading(*p) for p in portions], reading(liquid, liquid_error))
    total = sum(ufloat(mass, error / ROOT_3) for mass, error in portions)
    referee = ufloat(liquid, liquid_error / ROOT_3) / total
    assert found.standard == pytest.approx(referee.std_dev, rel=1e-9)


@given(masses, errors, masses, errors, st.floats(-1, 1), st.floats(-1, 1))
def test_no_true_ratio_lies_outside_the_worst_case(
    powder: float, powder_error: float, liquid: float, liquid_error: float, one: float, two: float
) -> None:
    low, high = worst_case_ratio([reading(powder, powder_error)], reading(liquid, liquid_error))
    true = (liquid + one * liquid_error) / (powder + two * powder_error)
    assert low * (1 - 1e-12) <= true <= high * (1 + 1e-12)


@st.composite
def ratios(draw) -> Limits[float]:
    """Draw a ratio with both limits, with a target or without."""
    low = draw(st.floats(0.01, 3))
    high = low * (1 + draw(st.floats(0.005, 0.5)))
    place = draw(st.none() | st.floats(0.1, 0.9))
    return Limits(low, None if place is None else low + place * (high - low), high)


@given(ratios(), errors, errors)
def test_smallest_mass_against_linear_programming(
    ratio: Limits[float], reference_error: float, error: float
) -> None:
    """The least powder P with a liquid reading L between the guard-banded limits, by scipy."""
    low, high = ratio.lower, ratio.upper
    # low (P + uP) + u <= L and L <= high (P - uP) - u
    below = [[low, -1], [-high, 1]]
    at_most = [-low * reference_error - error, -high * reference_error - error]
    equal = {} if ratio.target is None else {"A_eq": [[ratio.target, -1]], "b_eq": [0]}
    referee = linprog([1, 0], A_ub=below, b_ub=at_most, **equal)
    assume(referee.success)
    own = smallest_reference(ratio, grams(reference_error), grams(error)).magnitude
    assert own == pytest.approx(referee.x[0], rel=1e-6)


@given(ratios(), errors, errors, st.floats(0.01, 1))
def test_smallest_readable_against_linear_programming(
    ratio: Limits[float], reference_error: float, error: float, step: float
) -> None:
    """The least powder P that leaves a window as wide as a step, by scipy."""
    low, high = ratio.lower, ratio.upper
    width = (low + high) * reference_error + 2 * error + step
    referee = linprog([1], A_ub=[[low - high]], b_ub=[-width])
    own = smallest_readable(ratio, grams(reference_error), grams(error), grams(step))
    assert own.magnitude == pytest.approx(referee.x[0], rel=1e-9)


@given(ratios(), st.floats(50, 5000), errors, errors, st.tuples(*[st.floats(0, 1)] * 3))
def test_every_reading_in_the_window_holds_the_ratio(
    ratio: Limits[float],
    powder: float,
    reference_error: float,
    error: float,
    places: tuple[float, float, float],
) -> None:
    window = weighing_window([reading(powder, reference_error)], ratio, grams(error))
    assume(window is not None)
    low, high = window.lower.magnitude, window.upper.magnitude
    place, one, two = places
    liquid = low + place * (high - low)
    true = (liquid + (2 * one - 1) * error) / (powder + (2 * two - 1) * reference_error)
    assert ratio.lower * (1 - 1e-12) <= true <= ratio.upper * (1 + 1e-12)
