"""Gauges, discs and specimens against published rules, worked numbers and two libraries."""

import math
from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from speccomp.calc.discs import (
    edge_gap,
    linear_shrinkage,
    mass_loss,
    mass_loss_uncertainty,
    warp,
)
from speccomp.calc.drying import thickness_factor, time_to_dry
from speccomp.calc.gauge import (
    resolution_ratio,
    resolution_ratio_one_sided,
    uncertainty_ratio,
    uncertainty_ratio_one_sided,
)
from speccomp.calc.maturity import equivalent_age_arrhenius, temperature_history
from speccomp.calc.ratio import Reading, ratio_uncertainty, summed_readings
from speccomp.calc.rounding import (
    decimal_product,
    decimal_sum,
    reaches,
    whole_down,
    whole_up,
)
from speccomp.calc.sampling import acceptance_probability
from speccomp.calc.strength import slenderness, span_to_depth
from speccomp.quantities import quantity

OTHER = pint.UnitRegistry()


def mm(value: float):
    return quantity(value, "mm")


def grams(value: float):
    return quantity(value, "g")


def test_ten_to_one() -> None:
    """NASA NHB 5300.4(1B), in its reference text on metrology: errors within 10 % of the band."""
    assert resolution_ratio(mm(0.01), mm(9.95), mm(10.05)) == pytest.approx(0.10)
    assert resolution_ratio(mm(0.01), mm(9.96), mm(10.05)) > 0.10
    assert resolution_ratio_one_sided(mm(0.01), mm(0.10), mm(0)) == pytest.approx(0.10)
    degree = resolution_ratio(quantity(5 / 9, "K"), quantity(180, "degF"), quantity(200, "degF"))
    assert degree == pytest.approx(0.05)


def test_four_to_one() -> None:
    """MIL-STD-45662A, from memory: the uncertainty is at most 25 % of the tolerance checked."""
    assert uncertainty_ratio(mm(0.0125), mm(9.95), mm(10.05)) == pytest.approx(4)
    assert uncertainty_ratio_one_sided(mm(0.025), mm(0.10), mm(0)) == pytest.approx(4)


sizes, steps = st.floats(1, 500), st.floats(1e-3, 1)


@given(sizes, steps, steps)
def test_gauges_against_pint_in_inches(size: float, band: float, step: float) -> None:
    """Limits in inches and a gauge in millimetres, by pint's own registry."""
    low, high = quantity(size, "in"), quantity(size + band, "in")
    there = ((size + band) - size) * OTHER.inch
    assert resolution_ratio(mm(step), low, high) == pytest.approx(
        (step * OTHER.mm / there).m_as(""), rel=1e-9
    )
    assert uncertainty_ratio(mm(step), low, high) == pytest.approx(
        (there / (2 * step * OTHER.mm)).m_as(""), rel=1e-9
    )
    one_sided = resolution_ratio_one_sided(mm(step), high, low)
    assert one_sided == pytest.approx((step * OTHER.mm / there).m_as(""), rel=1e-9)
    assert uncertainty_ratio_one_sided(mm(step), high, low) == pytest.approx(
        (there / (step * OTHER.mm)).m_as(""), rel=1e-9
    )


def test_the_gap_of_a_disc() -> None:
    """Arithmetic on ASTM C531: 2.0000 to 1.9940 in is 0.300 % and a gap of 0.0030 in all round."""
    mould, disc = quantity(2.0, "in"), quantity(1.994, "in")
    assert linear_shrinkage(mould, disc) == pytest.approx(0.00300)
    assert edge_gap(mould, disc).m_as("in") == pytest.approx(0.0030)
    # Growth to 2.0010 in closes it: -0.050 %.
    assert edge_gap(mould, quantity(2.001, "in")).m_as("in") == pytest.approx(-0.0005)


@given(sizes, st.floats(0.9, 1.1), st.floats(0, 5))
def test_gap_and_warp_against_pint(mould: float, share: float, lift: float) -> None:
    disc = mould * share
    referee = ((mould - disc) * OTHER.mm / 2).m_as("inch")
    assert edge_gap(mm(mould), mm(disc)).m_as("in") == pytest.approx(referee, abs=1e-9)
    top = (mould + lift) * OTHER.mm
    assert warp(quantity(top.m_as("inch"), "in"), mm(mould)).m_as("mm") == pytest.approx(
        lift, abs=1e-6
    )


def test_a_disc_that_rocks() -> None:
    """Common practice, no source: a disc of 10.0 mm that stands 10.4 mm high is warped 0.4 mm."""
    assert warp(mm(10.4), mm(10.0)).m_as("mm") == pytest.approx(0.4)


masses = st.floats(1, 1e3)


@given(masses, st.floats(0.5, 1), st.floats(1e-4, 0.1), st.floats(1e-4, 0.1))
def test_loss_uncertainty_against_uncertainties(
    before: float, share: float, first: float, second: float
) -> None:
    after = before * share
    whole = ufloat(before, first)
    referee = (whole - ufloat(after, second)) / whole
    assert mass_loss(grams(before), grams(after)) == pytest.approx(referee.nominal_value)
    found = mass_loss_uncertainty(grams(before), grams(after), grams(first), grams(second))
    assert found == pytest.approx(referee.std_dev, rel=1e-9)


def test_uncertainty_of_a_small_loss() -> None:
    """Arithmetic: 12.50 to 11.75 g, 0.01 g each, is 6.000 % ± 0.110 %."""
    found = mass_loss_uncertainty(grams(12.5), grams(11.75), grams(0.01), grams(0.01))
    assert found == pytest.approx(0.01 * math.hypot(1, 0.94) / 12.5)
    assert found == pytest.approx(0.00110, abs=5e-6)


@pytest.mark.parametrize(
    ("length", "width", "ratio"),
    [
        (quantity(9, "in"), quantity(1, "in"), 9),  # ASTM C580 method A, bar of 1 in
        (mm(40), mm(3), 40 / 3),  # ASTM C1161, size B
        (mm(20), mm(1.5), 40 / 3),  # the same, size A
        (mm(450), mm(150), 3),  # ASTM C78
        (mm(100), mm(40), 2.5),  # EN 196-1
    ],
)
def test_spans_of_the_methods(length, width, ratio: float) -> None:
    """Spans and depths that the methods give, from memory but for the span of C1161."""
    assert span_to_depth(length, width) == pytest.approx(ratio)


def test_slenderness_of_the_methods() -> None:
    """ASTM C496: 150 x 300 mm; ASTM C579 method A: 1 x 1 in; EN 196-1: 40 mm prisms of 160."""
    assert slenderness(mm(300), mm(150)) == pytest.approx(2)
    assert slenderness(quantity(1, "in"), mm(25.4)) == pytest.approx(1)
    assert slenderness(mm(160), mm(40)) == pytest.approx(4)


@given(sizes, sizes)
def test_shapes_against_pint(length: float, width: float) -> None:
    referee = (length * OTHER.inch / (width * OTHER.mm)).m_as("")
    assert span_to_depth(quantity(length, "in"), mm(width)) == pytest.approx(referee, rel=1e-9)
    assert slenderness(quantity(length, "in"), mm(width)) == pytest.approx(referee, rel=1e-9)


@pytest.mark.parametrize(("millimetres", "hours"), [(5, 14.724), (10, 58.895), (20, 235.58)])
def test_twice_the_thickness_takes_four_times(millimetres: float, hours: float) -> None:
    """Crank's slab series summed with numpy: 90 % dried, D = 1e-10 m2/s, both faces."""
    assert thickness_factor(mm(millimetres), mm(10)) == pytest.approx(hours / 58.895, rel=1e-4)


@given(st.floats(0.5, 100), st.floats(0.5, 100))
def test_thickness_against_pint(section: float, reference: float) -> None:
    referee = ((section * OTHER.inch / (reference * OTHER.mm)) ** 2).m_as("")
    assert thickness_factor(quantity(section, "in"), mm(reference)) == pytest.approx(
        referee, rel=1e-9
    )


def fourier(removed: float) -> float:
    """Return D t/L^2 with L half the thickness, from the time to dry."""
    time = time_to_dry(quantity(1e-10, "m2/s"), mm(2), 1 - removed, 2)
    return float(time.m_as("s")) * 1e-10 / 1e-3**2


def test_approximations_of_the_slab_series() -> None:
    """
    Crank's short-time and one-term forms, as far as they hold.

    pi U^2/4 is within 0.2 % up to U = 0.5 and 4.5 % low at 0.7; -(4/pi^2) ln((pi^2/8)(1 - U)) is
    exact to six digits from U = 0.8 on.
    """
    assert math.pi * 0.5**2 / 4 == pytest.approx(0.19635, abs=5e-6)
    assert fourier(0.5) == pytest.approx(0.19635, rel=0.002)
    assert fourier(0.7) == pytest.approx(0.40285, abs=5e-6)
    assert math.pi * 0.7**2 / 4 / fourier(0.7) - 1 == pytest.approx(-0.045, abs=5e-4)

    def one_term(removed: float) -> float:
        return -(4 / math.pi**2) * math.log(math.pi**2 / 8 * (1 - removed))

    assert one_term(0.5) == pytest.approx(0.195805, abs=5e-7)
    for removed in (0.8, 0.9, 0.95, 0.99):
        assert fourier(removed) == pytest.approx(one_term(removed), abs=1e-6)


@pytest.mark.parametrize(
    ("history", "mean"), [([20, 30], 26.260), ([25, 25, 25, 25, 25, 40], 29.598)]
)
def test_mean_kinetic_temperature(history: list[float], mean: float) -> None:
    """
    USP <1079> with 83.144 kJ/mol, from memory; computed with numpy.

    At the mean kinetic temperature the history is worth just as long as it lasted.
    """
    points = []
    for hour, temperature in enumerate(history):
        for time in (hour, hour + 1):
            points.append((quantity(time, "h"), quantity(temperature, "degC")))
    age = equivalent_age_arrhenius(
        temperature_history(points), quantity(83.144, "kJ/mol"), quantity(mean, "degC")
    )
    assert age.m_as("h") == pytest.approx(len(history), rel=1e-4)


def reading(mass: float, error: float) -> Reading:
    return Reading(grams(mass), grams(error))


def test_a_fraction_of_the_whole_keeps_the_correlation() -> None:
    """Computed with uncertainties 3.2.3: 38 g in 138 g, 0.05 g each, is 0.2753623 ± 0.00028087."""
    root = math.sqrt(3)
    found = ratio_uncertainty([reading(100, 0.05 * root)], reading(38, 0.05 * root))
    share = found.ratio / (1 + found.ratio)
    assert share == pytest.approx(0.2753623, abs=5e-8)
    assert found.standard / (1 + found.ratio) ** 2 == pytest.approx(0.00028087, rel=2e-5)


def test_two_readings_of_a_display() -> None:
    """Computed with uncertainties 3.2.3: gross and tare at d = 0.1 g are worth 0.0408248 g."""
    found = ratio_uncertainty([reading(1250, 0.05), reading(250, 0.05)], reading(1, 0))
    assert found.standard / found.ratio * 1500 == pytest.approx(0.0408248, rel=2e-6)
    assert summed_readings([reading(1250, 0.05), reading(250, 0.05)]) == pytest.approx((1500, 0.1))


def test_a_ratio_of_two_net_masses() -> None:
    """Computed with uncertainties 3.2.3: 380.0 to 1000.0 g, four readings at d = 0.1 g."""
    net = 0.05 * math.sqrt(2)
    found = ratio_uncertainty([reading(1000, net)], reading(380, net))
    assert 100 * found.ratio == pytest.approx(38)
    assert 100 * found.standard == pytest.approx(0.0043673, rel=2e-5)


@pytest.mark.parametrize(
    ("size", "accept", "worst", "where"), [(80, 2, 0.017111, 0.028095), (52, 3, 0.0373845, 0.05591)]
)
def test_average_outgoing_quality_limit(size: int, accept: int, worst: float, where: float) -> None:
    """Computed with scipy: the greatest p P(accept) of a large lot, and where it lies."""
    assert where * acceptance_probability(size, accept, where) == pytest.approx(worst, rel=1e-4)
    for beside in (where * 0.9, where * 1.1):
        assert beside * acceptance_probability(size, accept, beside) < worst


def test_average_total_inspection() -> None:
    """NIST/SEMATECH e-Handbook 6.2.3.2, from memory: lot 10 000, n = 52, c = 3."""
    printed = [70, 253, 753, 1584, 2655, 3836, 5008, 6083, 7013, 7780]
    for per_cent, pieces in enumerate(printed, start=1):
        kept = acceptance_probability(52, 3, per_cent / 100)
        assert 52 + (1 - kept) * (10_000 - 52) == pytest.approx(pieces, abs=1)


@given(st.integers(0, 10**6), st.sampled_from(["0.1", "0.01", "0.2", "0.5", "0.001", "0.02"]))
def test_steps_against_fractions(number: int, step: str) -> None:
    """Whole steps of a display, as python's exact fractions count them."""
    exact = number * Fraction(step)
    assert decimal_product(number, float(step)) == float(exact)
    assert decimal_sum(float(exact), float(step)) == float(exact + Fraction(step))
    ratio = float(exact) / float(step)
    assert whole_up(ratio) == whole_down(ratio) == number
    assert reaches(float(exact), number * float(step))


@given(st.floats(-1e6, 1e6))
def test_whole_numbers_against_python(number: float) -> None:
    near = abs(number - round(number)) <= 1e-9
    assert whole_up(number) == (round(number) if near else math.ceil(number))
    assert whole_down(number) == (round(number) if near else math.floor(number))
