"""
Plain formulas over random inputs against libraries that know nothing of them.

pint on its own registry does the units, SciPy solves for the unknown or integrates, NumPy divides
and solves, decimal rounds, fluids has the atmosphere. Where a number is worked, it is worked by
hand from the formula's own definition, because no publication prints one.
"""

import math
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal

import numpy as np
import pint
import pytest
from fluids.atmosphere import ATMOSPHERE_1976
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import binom

from speccomp.calc.air_and_water import geopotential
from speccomp.calc.batch import (
    BatchNeeds,
    density_with_air,
    equal_batches,
    equal_counts,
    mixed_density_by_volume,
    paste_mass,
    paste_volume,
    whole_containers,
)
from speccomp.calc.cure import Hold, Ramp, chart_points, cure_profile, oven_demand, total_duration
from speccomp.calc.discs import disc_volume
from speccomp.calc.drying import scaled_drying_time
from speccomp.calc.limits import Limits
from speccomp.calc.maturity import nominal_history
from speccomp.calc.potlife import (
    ConstraintName,
    MixMasses,
    MixTimes,
    clock_table,
    parts_per_mix,
    plan_mixes,
)
from speccomp.calc.ratio import (
    Reading,
    component_masses,
    mass_ratio,
    scaled_ratio,
    summed_readings,
    worst_case_ratio,
)
from speccomp.calc.rounding import decimal_product, decimal_sum, reaches, whole_down, whole_up
from speccomp.calc.sampling import (
    detected_fraction,
    detection_confidence,
    lot_detection_probability,
)
from speccomp.calc.steam import OvenError, highest_setpoint, oven_error, steam_margins
from speccomp.calc.strength import briquet_tensile_strength, rectangle_area
from speccomp.calc.weighing import (
    largest_component_error,
    largest_error_one_scale,
    round_inward,
    smallest_readable,
    smallest_reference,
    weighing_window,
)
from speccomp.quantities import Quantity, quantity

U = pint.UnitRegistry()
lengths = st.floats(0.5, 500)
parts_lists = st.lists(st.floats(0.5, 200), min_size=2, max_size=5)


def close(value: float) -> object:
    return pytest.approx(value, rel=1e-9, abs=1e-12)


def exactly(value: Quantity | float) -> Limits:
    return Limits(value, value, value)


@given(st.floats(0, 30_000))
def test_geopotential_height(elevation: float) -> None:
    assert geopotential(quantity(elevation, "m")).m_as("m") == close(ATMOSPHERE_1976(elevation).H)


@given(st.floats(0.5, 5), st.floats(0, 0.5))
def test_density_with_air(density: float, air: float) -> None:
    with_air = (U.Quantity(density, "g/cm**3") * (1 - air)).to("lb/ft**3").magnitude
    found = density_with_air(quantity(density, "g/cm3"), air)
    assert found.m_as("g/cm3") == close(U.Quantity(with_air, "lb/ft**3").m_as("g/cm**3"))


@given(st.integers(1, 500), st.floats(0.1, 50), st.floats(0, 0.4), st.floats(0, 200))
def test_paste_volume_and_mass(parts: int, fill: float, loss: float, extra: float) -> None:
    needs = BatchNeeds(parts, exactly(quantity(fill, "mL")), loss, quantity(extra, "cm3"))
    volume = parts * U.Quantity(fill, "mL") * (1 + loss) + U.Quantity(extra, "cm**3")
    assert paste_volume(needs).target.m_as("cm3") == close(volume.m_as("cm**3"))
    mass = (volume * U.Quantity(15, "lb/gallon")).to("g").magnitude
    found = paste_mass(needs, quantity(15, "lb/gal")).target.m_as("g")
    assert found == pytest.approx(mass, rel=1e-8)


@given(st.floats(0.1, 5000), st.floats(0.5, 500))
def test_containers_and_batches_are_rounded_up_as_decimals_are(need: float, content: float) -> None:
    need, content = round(need, 2), round(content, 1)
    whole = int((Decimal(str(need)) / Decimal(str(content))).to_integral_value(ROUND_CEILING))
    assert whole_containers(quantity(need, "kg"), quantity(content, "kg")) == whole
    batches = equal_batches(quantity(need, "g"), quantity(content, "g"))
    assert batches.count == whole
    assert batches.size.m_as("g") == close(need / whole)


@given(st.integers(1, 400), st.integers(1, 60))
def test_equal_counts_are_those_of_an_array_that_is_split(parts: int, most: int) -> None:
    found = equal_counts(parts, most)
    assert list(found) == [len(piece) for piece in np.array_split(np.arange(parts), len(found))]
    assert max(found) <= most < parts / (len(found) - 1) if len(found) > 1 else parts <= most


def test_equal_counts_worked_by_hand() -> None:
    # 120 parts, 50 at most: three mixes of 40. 121: one of 41 and two of 40.
    assert equal_counts(120, 50) == (40, 40, 40)
    assert equal_counts(121, 50) == (41, 40, 40)


@given(st.floats(20, 200), st.floats(0.1, 10), st.floats(0.1, 20))
def test_duration_of_a_ramp_and_a_hold(to: float, rate: float, hours: float) -> None:
    start = 19.0
    profile = cure_profile(
        exactly(quantity(start, "degC")),
        [
            Ramp(exactly(quantity(to, "degC")), exactly(quantity(rate, "K/min"))),
            Hold(exactly(quantity(to, "degC")), exactly(quantity(hours, "h"))),
        ],
    )
    taken = U.Quantity(to - start, "delta_degC") / U.Quantity(rate, "delta_degC/minute")
    wanted = (taken + U.Quantity(hours, "hour")).m_as("second")
    assert total_duration(profile).target.m_as("s") == pytest.approx(wanted, rel=1e-8)


@given(lengths, lengths)
def test_volume_of_a_disc_by_integration(diameter: float, thickness: float) -> None:
    ring, _ = quad(lambda r: 2 * math.pi * r, 0, diameter / 2)
    found = disc_volume(quantity(diameter, "mm"), quantity(thickness, "mm")).m_as("cm3")
    assert found == close(U.Quantity(ring * thickness, "mm**3").m_as("cm**3"))


@given(st.floats(0.1, 100), lengths, lengths)
def test_drying_time_grows_with_the_square(hours: float, section: float, known: float) -> None:
    factor = (U.Quantity(section, "mm") / U.Quantity(known, "mm")) ** 2
    wanted = (U.Quantity(hours, "hour") * factor).m_as("second")
    found = scaled_drying_time(quantity(hours, "h"), quantity(section, "mm"), quantity(known, "mm"))
    assert found.m_as("s") == close(wanted)


@given(
    st.integers(60, 7200), st.integers(0, 600), st.integers(0, 120), st.integers(5, 300),
    st.integers(1, 4),
)  # fmt: skip
def test_parts_per_mix_by_laying_out_every_part(
    pot_life: int, mixing: int, transfer: int, cycle: int, stations: int
) -> None:
    times = MixTimes(*(quantity(pot_life, "s"), 0.0, quantity(mixing, "s")),
                     *(quantity(transfer, "s"), quantity(cycle, "s"), stations))  # fmt: skip
    ends = np.arange(mixing + transfer + cycle, pot_life + 1, cycle)
    assert parts_per_mix(times) == stations * len(ends)


@given(st.floats(0.1, 100), parts_lists)
def test_masses_from_parts_solve_the_linear_system(total: float, parts: list[float]) -> None:
    size = len(parts)
    rows = np.zeros((size, size))
    rows[0] = 1
    for row in range(1, size):
        rows[row, 0], rows[row, row] = parts[row], -parts[0]
    solved = np.linalg.solve(rows, [total] + [0.0] * (size - 1))
    found = [mass.m_as("kg") for mass in component_masses(quantity(total, "kg"), parts)]
    assert found == pytest.approx(solved, rel=1e-7)


@given(st.floats(1, 200), st.floats(0, 0.5), st.floats(1, 200))
def test_ratio_from_parts(part: float, spread: float, reference: float) -> None:
    low, high = part * (1 - spread), part * (1 + spread)
    found = mass_ratio(Limits(low, part, high), reference)
    wanted = np.divide([low, part, high], reference)
    assert [found.lower, found.target, found.upper] == pytest.approx(wanted, rel=1e-12)
    scaled = scaled_ratio(Limits(low, part, high), 2.5)
    wanted = np.multiply([low, part, high], 2.5)
    assert [scaled.lower, scaled.target, scaled.upper] == pytest.approx(wanted, rel=1e-12)


@given(st.lists(st.tuples(st.floats(0.1, 500), st.floats(0, 2)), min_size=1, max_size=6))
def test_readings_of_portions_add_up(portions: list[tuple[float, float]]) -> None:
    readings = [Reading(quantity(mass, "g"), quantity(error, "g")) for mass, error in portions]
    amount, error = summed_readings(readings)
    assert amount == close(math.fsum(mass for mass, _ in portions))
    assert error == close(math.fsum(error for _, error in portions))


@given(st.integers(1, 300), st.floats(0.5, 0.999))
def test_what_a_sample_finds_solves_the_binomial(size: int, confidence: float) -> None:
    solved = brentq(lambda p: binom.pmf(0, size, p) - (1 - confidence), 1e-9, 1 - 1e-12)
    assert detected_fraction(size, confidence) == pytest.approx(solved, rel=1e-6)


def test_confidence_of_a_sample_worked_by_hand() -> None:
    # 59 good pieces of a lot that is 5 % bad: 1 - 0.95^59 = 0.9515, the usual "95/95" sample.
    assert detection_confidence(59, 0.05) == pytest.approx(0.95151, abs=5e-6)


@given(st.floats(0, 5), st.floats(0, 10), st.floats(0, 5), st.floats(0, 10), st.floats(60, 110))
def test_margin_below_boiling_by_another_registry(
    control: float, places: float, sensor: float, margin: float, boiling: float
) -> None:
    pieces = [U.Quantity(one, "delta_degC") for one in (control, places, sensor)]
    together = oven_error(OvenError(*(quantity(one, "K") for one in (control, places, sensor))))
    assert together.m_as("K") == close(sum(pieces).m_as("kelvin"))
    # In degF on the other side, so that no offset can cancel.
    tolerance = U.Quantity(3.6, "delta_degF")
    highest = (
        U.Quantity(boiling, "degC").to("degF")
        - U.Quantity(margin, "delta_degC").to("delta_degF")
        - sum(pieces).to("delta_degF")
        - tolerance
    )
    at, kept = quantity(boiling, "degC"), quantity(margin, "K")
    found = highest_setpoint(at, kept, together, quantity(2, "K"))
    assert found.m_as("degC") == pytest.approx(highest.m_as("degC"), abs=1e-6)
    setpoint = found.m_as("degC")
    band = Limits(*(quantity(setpoint + apart, "degC") for apart in (-2, 0, 2)))
    hold = Hold(band, exactly(quantity(1, "h")))
    profile = cure_profile(exactly(quantity(20, "degC")), [hold])
    (left,) = steam_margins(profile, together, at, kept, None)
    assert left.spare.m_as("K") == pytest.approx(0, abs=1e-6)


@given(lengths, lengths, st.floats(0.1, 10_000))
def test_areas_and_stress_by_another_registry(width: float, depth: float, force: float) -> None:
    area = rectangle_area(quantity(width, "mm"), quantity(depth, "mm"))
    section = U.Quantity(width, "mm") * U.Quantity(depth, "mm")
    assert area.m_as("mm2") == close(section.m_as("mm**2"))
    stress = briquet_tensile_strength(quantity(force, "N"), area).m_as("MPa")
    wanted = (U.Quantity(force, "N") / section).to("psi").magnitude
    assert stress == pytest.approx(U.Quantity(wanted, "psi").m_as("MPa"), rel=1e-6)


@given(st.integers(1, 10**6), st.integers(0, 10**5), st.sampled_from(["0.01", "0.1", "0.5", "2"]))
def test_scale_readings_are_rounded_inward_as_decimals_are(low: int, width: int, step: str) -> None:
    lower, upper = Decimal(low) / 1000, Decimal(low + width) / 1000
    first = (lower / Decimal(step)).to_integral_value(ROUND_CEILING) * Decimal(step)
    last = (upper / Decimal(step)).to_integral_value(ROUND_FLOOR) * Decimal(step)
    bounds = quantity(float(lower), "g"), quantity(float(upper), "g")
    found = round_inward(*bounds, quantity(float(step), "g"))
    if first > last:
        assert found is None
    else:
        assert found is not None
        ends = [found.lower.m_as("g"), found.upper.m_as("g")]
        assert ends == pytest.approx([float(first), float(last)], rel=1e-12, abs=1e-12)


def test_density_of_a_mix_by_volume_worked_by_hand() -> None:
    # One part of water, 1 g/cm3, and three of a liquid of 1.4 g/cm3: (1 + 4.2)/4 = 1.3 g/cm3.
    densities = [quantity(1, "g/cm3"), quantity(1.4, "g/cm3")]
    assert mixed_density_by_volume([1, 3], densities).m_as("g/cm3") == close(1.3)


def test_weighing_worked_by_hand() -> None:
    """
    100 parts to 26 ± 1 on a scale with a permissible error of 0.2 g for both.

    Of 100 g: 25 + 0.25 * 0.2 + 0.2 = 25.25 g at least, 27 - 0.27 * 0.2 - 0.2 = 26.746 g at most.
    The smallest powder: (0.2 + 0.27 * 0.2)/0.01 = 25.4 g, by the upper limit; with a display of
    0.1 g it is (0.4 + 0.52 * 0.2 + 0.1)/0.02 = 30.2 g for a whole step in the window.
    """
    ratio = Limits(0.25, 0.26, 0.27)
    error, powder = quantity(0.2, "g"), quantity(100, "g")
    window = weighing_window([Reading(powder, error)], ratio, error)
    assert window is not None
    assert [window.lower.m_as("g"), window.upper.m_as("g")] == pytest.approx([25.25, 26.746])
    least = smallest_reference(ratio, error, error)
    assert least.m_as("g") == close(25.4)
    readable = smallest_readable(ratio, error, error, quantity(0.1, "g"))
    assert readable.m_as("g") == close(30.2)
    # Solved back for the error: 25.4 g allow 0.2 g on one scale, and on the liquid's alone.
    assert largest_error_one_scale(least, ratio).m_as("g") == close(0.2)
    alone = largest_component_error(least, ratio, error, error)
    assert alone is not None
    assert alone.m_as("g") == close(0.2)
    # At 100 g and 26 g: (26 - 0.2)/(100 + 0.2) to (26 + 0.2)/(100 - 0.2).
    low, high = worst_case_ratio([Reading(powder, error)], Reading(quantity(26, "g"), error))
    assert [low, high] == pytest.approx([0.257485, 0.262525], abs=5e-7)


def test_a_small_lot_worked_by_hand() -> None:
    # 3 of a lot of 10 with 2 bad pieces: 1 - C(8, 3)/C(10, 3) = 1 - 56/120.
    assert lot_detection_probability(10, 2, 3) == close(64 / 120)


def test_whole_steps_worked_by_hand() -> None:
    # 0.3/0.1 is 2.9999999999999996 in binary and three steps on paper.
    assert (whole_up(0.3 / 0.1), whole_down(0.3 / 0.1)) == (3, 3)
    assert (whole_up(3.01), whole_down(2.99)) == (4, 2)
    assert (decimal_product(3, 0.1), decimal_sum(1.1, -0.2)) == (0.3, 0.9)
    assert reaches(0.1 + 0.2, 0.3)
    assert not reaches(0.299, 0.3)


def test_mixes_and_clock_worked_by_hand() -> None:
    """
    45 min of pot life, 10 % kept back, 5 min of mixing, 1 min of carrying, 30 s a part.

    40.5 - 6 = 34.5 min are left for 69 parts, so that 120 parts are two mixes of 60; each is
    filled 6 + 30 = 36 min after its start, when the next one starts.
    """
    times = MixTimes(
        *(quantity(45, "min"), 0.1, quantity(5, "min"), quantity(1, "min")),
        *(quantity(30, "s"), 1),
    )
    masses = MixMasses(*(quantity(one, "g") for one in (3, 20, 50, 2000, 30)))
    plan = plan_mixes(120, times, masses)
    assert plan.parts == (60, 60)
    assert [mass.m_as("g") for mass in plan.masses] == pytest.approx([200, 200])
    assert plan.binding is ConstraintName.POT_LIFE
    first, second = clock_table(plan.parts, times, 1)
    minutes = [
        value.m_as("min")
        for row in (first, second)
        for value in (row.start, row.use_by, row.discard_at)
    ]
    assert minutes == pytest.approx([0, 40.5, 45, 36, 76.5, 81])


def test_chart_and_oven_worked_by_hand() -> None:
    # From 20 degC at 1 K/min to 80 degC takes 1 h; with the hold of 2 h the line ends at 3 h.
    to = Limits(*(quantity(at, "degC") for at in (75, 80, 85)))
    rate = Limits(upper=quantity(1.5, "K/min"), target=quantity(1, "K/min"))
    profile = cure_profile(
        exactly(quantity(20, "degC")), [Ramp(to, rate), Hold(to, exactly(quantity(2, "h")))]
    )
    points = [(p.elapsed.m_as("h"), p.nominal.m_as("degC")) for p in chart_points(profile)]
    assert points == [pytest.approx(p) for p in ((0, 20), (1, 80), (1, 80), (3, 80))]
    demand = oven_demand(profile)
    assert [demand.lowest.m_as("degC"), demand.highest.m_as("degC")] == pytest.approx([75, 85])
    assert demand.heating.m_as("K/min") == pytest.approx(1.5)
    history = nominal_history(profile)
    assert history.seconds == pytest.approx((0, 3600, 3600, 10800))
    assert history.kelvins == pytest.approx((293.15, 353.15, 353.15, 353.15))
