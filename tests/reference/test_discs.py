"""Disc checks against worked numbers and the uncertainties library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from speccomp.calc.discs import (
    Decision,
    decide,
    linear_shrinkage,
    mass_loss,
    shrinkage_uncertainty,
)
from speccomp.calc.gauge import decision_limits
from speccomp.calc.limits import Limits
from speccomp.quantities import quantity


def inches(value: float):
    return quantity(value, "in")


def mm(value: float):
    return quantity(value, "mm")


@pytest.mark.parametrize(
    ("mould", "cured", "per_cent"),
    [(2.0, 1.9940, 0.300), (10.0, 9.985, 0.150), (2.0, 2.0010, -0.050)],
)
def test_linear_shrinkage(mould: float, cured: float, per_cent: float) -> None:
    """100 (L0 - L)/L0 of ASTM C531: a disc, a bar, and a disc that grew; arithmetic."""
    assert 100 * linear_shrinkage(inches(mould), inches(cured)) == pytest.approx(per_cent)


def test_volume_shrinkage_belongs_to_linear() -> None:
    """Arithmetic: 0.300 % linear is 0.897303 % by volume, not 0.9 %."""
    linear = linear_shrinkage(inches(2.0), inches(1.9940))
    assert 100 * (1 - (1 - linear) ** 3) == pytest.approx(0.897303, rel=1e-6)


def test_uncertainty_of_a_small_shrinkage() -> None:
    """Computed with uncertainties 3.2.3: 50.00(1) and 49.85(1) mm give 0.300(28) %."""
    sizes = mm(50), mm(49.85)
    assert 100 * linear_shrinkage(*sizes) == pytest.approx(0.300)
    found = shrinkage_uncertainty(*sizes, mm(0.01), mm(0.01))
    assert 100 * found == pytest.approx(0.02824, abs=5e-6)


def test_loss_on_drying() -> None:
    """Arithmetic: 12.50 to 11.75 g is 6.000 % on the wet and 6.38298 % on the dry basis."""
    lost = mass_loss(quantity(12.50, "g"), quantity(11.75, "g"))
    assert 100 * lost == pytest.approx(6.000)
    assert 100 * lost / (1 - lost) == pytest.approx(6.38298, rel=1e-6)


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        (93.7, Decision.ACCEPT),
        (93.8, Decision.CANNOT_JUDGE),
        (96.3, Decision.CANNOT_JUDGE),
        (96.4, Decision.REJECT),
    ],
)
def test_decision_with_a_full_guard_band(reading: float, expected: Decision) -> None:
    """Worked example, arithmetic: limit 95.0, U 1.3."""
    band = decision_limits(Limits(None, None, mm(95.0)), mm(1.3))
    assert decide(mm(reading), band) is expected


sizes = st.floats(5, 200)
errors = st.floats(1e-4, 0.5)


@given(sizes, sizes, errors, errors)
def test_uncertainty_against_uncertainties(
    mould: float, disc: float, mould_error: float, disc_error: float
) -> None:
    one, two = ufloat(mould, mould_error), ufloat(disc, disc_error)
    referee = (one - two) / one
    assert linear_shrinkage(mm(mould), mm(disc)) == pytest.approx(referee.nominal_value)
    own = shrinkage_uncertainty(mm(mould), mm(disc), mm(mould_error), mm(disc_error))
    assert own == pytest.approx(referee.std_dev, rel=1e-9)


@given(st.floats(0, 10), st.floats(0, 5), st.floats(0, 2), st.floats(0, 20), st.floats(-1, 1))
def test_no_decision_is_wrong_within_the_uncertainty(
    lower: float, width: float, uncertainty: float, reading: float, place: float
) -> None:
    band = decision_limits(Limits(mm(lower), None, mm(lower + width)), mm(uncertainty))
    true = reading + place * uncertainty
    match decide(mm(reading), band):
        case Decision.ACCEPT:
            assert lower - 1e-12 <= true <= lower + width + 1e-12
        case Decision.REJECT:
            assert not lower + 1e-12 < true < lower + width - 1e-12
