"""Scaling laws, directions, and what must hold for every input of the arithmetic."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from speccomp.calc.air_and_water import boiling_point, saturation_pressure, saturation_temperature
from speccomp.calc.batch import (
    BatchNeeds,
    equal_batches,
    equal_counts,
    mixed_density,
    parts_from_mass,
    paste_mass,
    whole_containers,
)
from speccomp.calc.cure import Hold, Ramp, chart_points, cure_profile, total_duration
from speccomp.calc.discs import Decision, decide
from speccomp.calc.drying import free_water_left, scaled_drying_time, time_to_dry
from speccomp.calc.gauge import decision_limits, uncertainty_ratio
from speccomp.calc.limits import Limits
from speccomp.calc.maturity import (
    equivalent_age_arrhenius,
    equivalent_age_nurse_saul,
    temperature_history,
)
from speccomp.calc.potlife import (
    MixTimes,
    clock_table,
    parts_per_mix,
    pot_life_arrhenius,
    pot_life_q10,
)
from speccomp.calc.ratio import Reading, component_masses, ratio_uncertainty, worst_case_ratio
from speccomp.calc.sampling import acceptance_probability, zero_acceptance_size
from speccomp.calc.sampling_plans import Inspection, single_sampling_plan
from speccomp.calc.sampling_tables import AQLS, LEVELS
from speccomp.calc.steam import (
    DryingRequirement,
    drying_progress,
    highest_part_temperatures,
    highest_setpoint,
    steam_margins,
)
from speccomp.calc.strength import flexural_strength_3_point
from speccomp.calc.weighing import (
    largest_component_error,
    largest_error_one_scale,
    round_inward,
    smallest_readable,
    smallest_reference,
    weighing_window,
)
from speccomp.quantities import quantity


def grams(value: float):
    return quantity(value, "g")


def celsius(value: float):
    return quantity(value, "degC")


def kelvins(value: float):
    return quantity(value, "K")


def mm(value: float):
    return quantity(value, "mm")


factors = st.floats(1.01, 10)
masses = st.floats(1, 5000)
errors = st.floats(1e-3, 2)


@st.composite
def ratios(draw) -> Limits[float]:
    """Draw a ratio with both limits, with a target or without."""
    low = draw(st.floats(0.01, 3))
    high = low * (1 + draw(st.floats(0.01, 0.5)))
    place = draw(st.none() | st.floats(0.1, 0.9))
    return Limits(low, None if place is None else low + place * (high - low), high)


# Weighing


@given(ratios(), masses, errors, errors)
def test_a_window_holds_its_target_from_the_smallest_mass_up(
    ratio: Limits[float], more: float, reference_error: float, error: float
) -> None:
    least = smallest_reference(ratio, grams(reference_error), grams(error)).magnitude
    mass = least * (1 + 1e-9) + more
    window = weighing_window([Reading(grams(mass), grams(reference_error))], ratio, grams(error))
    assert window is not None
    assert window.lower <= window.target <= window.upper
    if ratio.target is not None:
        assert window.target.magnitude == pytest.approx(ratio.target * mass, rel=1e-14)


@given(ratios(), errors, errors, st.floats(0.5, 0.999))
def test_below_the_smallest_mass_the_target_is_not_held(
    ratio: Limits[float], reference_error: float, error: float, share: float
) -> None:
    least = smallest_reference(ratio, grams(reference_error), grams(error)).magnitude
    mass = least * share
    window = weighing_window([Reading(grams(mass), grams(reference_error))], ratio, grams(error))
    if ratio.target is None:
        assert window is None
    else:
        assert window is None or window.target.magnitude != pytest.approx(
            ratio.target * mass, rel=1e-12
        )


@given(ratios(), errors, errors, factors)
def test_a_coarser_scale_needs_a_larger_batch(
    ratio: Limits[float], reference_error: float, error: float, factor: float
) -> None:
    def least(one: float, two: float) -> float:
        return smallest_reference(ratio, grams(one), grams(two)).magnitude

    fine = least(reference_error, error)
    assert least(reference_error * factor, error) >= fine
    assert least(reference_error, error * factor) > fine
    assert least(reference_error * factor, error * factor) == pytest.approx(fine * factor)


@given(ratios(), errors, errors, errors)
def test_a_readable_batch_is_not_smaller_than_one_with_a_window(
    ratio: Limits[float], reference_error: float, error: float, step: float
) -> None:
    scales = grams(reference_error), grams(error)
    middle = Limits(ratio.lower, None, ratio.upper)
    readable = smallest_readable(ratio, *scales, grams(step))
    assert readable > smallest_reference(middle, *scales)
    mass = readable.magnitude * (1 + 1e-9)
    window = weighing_window([Reading(grams(mass), scales[0])], ratio, scales[1])
    assert round_inward(window.lower, window.upper, grams(step)) is not None


@given(ratios(), masses)
def test_the_error_that_would_do_just_does(ratio: Limits[float], mass: float) -> None:
    error = largest_error_one_scale(grams(mass), ratio)
    assert smallest_reference(ratio, error, error).magnitude == pytest.approx(mass)
    alone = largest_component_error(grams(mass), ratio, error, error)
    assert alone is None or alone.magnitude == pytest.approx(error.magnitude, abs=1e-9 * mass)


@given(st.floats(-1e4, 1e4), st.floats(0, 1e3), st.sampled_from([0.001, 0.01, 0.1, 0.2, 0.5, 1, 5]))
def test_inward_rounding_never_widens(lower: float, width: float, step: float) -> None:
    made = round_inward(grams(lower), grams(lower + width), grams(step))
    if made is None:
        assert width < step
        return
    tolerance = 1e-8 * step
    assert made.lower.magnitude >= lower - tolerance
    assert made.upper.magnitude <= lower + width + tolerance
    assert made.lower <= made.upper
    assert made.lower.magnitude - lower < step
    assert lower + width - made.upper.magnitude < step
    again = round_inward(made.lower, made.upper, grams(step))
    assert (again.lower, again.upper) == (made.lower, made.upper)


@given(masses, masses, errors, errors)
def test_the_worst_case_holds_what_the_scales_show(
    powder: float, liquid: float, powder_error: float, liquid_error: float
) -> None:
    assume(powder_error < powder)
    readings = (
        [Reading(grams(powder), grams(powder_error))],
        Reading(grams(liquid), grams(liquid_error)),
    )
    low, high = worst_case_ratio(*readings)
    assert low < liquid / powder < high
    found = ratio_uncertainty(*readings)
    assert found.expanded == 2 * found.standard
    # Two rectangular errors at k = 2 stay inside the worst case widened by 2/sqrt(3).
    assert found.standard <= (high - low) / 2


@given(masses, st.lists(st.floats(0.1, 100), min_size=1, max_size=6))
def test_components_add_up(total: float, parts: list[float]) -> None:
    found = component_masses(grams(total), parts)
    assert sum(m.magnitude for m in found) == pytest.approx(total)


# Batch


@given(st.integers(1, 500), st.floats(0.1, 50), st.floats(0, 0.5), st.floats(0, 200), factors)
def test_a_mass_gives_the_parts_that_it_was_computed_for(
    parts: int, volume: float, loss: float, extra: float, rho: float
) -> None:
    fill, density = quantity(volume, "cm3"), quantity(rho, "g/cm3")
    needs = BatchNeeds(parts, Limits(None, fill), loss, quantity(extra, "cm3"))
    mass = paste_mass(needs, density).target
    assert parts_from_mass(mass, density, fill, loss, quantity(extra, "cm3")) == parts
    less = mass * (1 - 1e-6)
    assert parts_from_mass(less, density, fill, loss, quantity(extra, "cm3")) <= parts


@given(st.integers(1, 500), st.integers(1, 60))
def test_groups_are_few_and_even(parts: int, most: int) -> None:
    groups = equal_counts(parts, most)
    assert sum(groups) == parts
    assert max(groups) <= most
    assert max(groups) - min(groups) <= 1
    assert (len(groups) - 1) * most < parts
    assert list(groups) == sorted(groups, reverse=True)


@given(masses, masses)
def test_batches_and_containers(total: float, largest: float) -> None:
    made = equal_batches(grams(total), grams(largest))
    assert made.size.magnitude <= largest * (1 + 1e-8)
    assert made.size.magnitude * made.count == pytest.approx(total)
    assert whole_containers(grams(total), grams(largest)) == made.count


@given(st.lists(st.tuples(st.floats(0.1, 100), st.floats(0.5, 8)), min_size=1, max_size=5), factors)
def test_mixed_density_lies_between_and_scales(
    mix: list[tuple[float, float]], factor: float
) -> None:
    parts, numbers = zip(*mix, strict=True)
    rho = mixed_density(parts, [quantity(n, "g/cm3") for n in numbers]).magnitude
    assert min(numbers) * (1 - 1e-12) <= rho <= max(numbers) * (1 + 1e-12)
    more = [p * factor for p in parts]
    assert mixed_density(more, [quantity(n, "g/cm3") for n in numbers]).magnitude == pytest.approx(
        rho
    )


# Pot life


@given(st.floats(5, 60), st.floats(0.1, 30), st.floats(1.1, 4), st.floats(1, 100))
def test_a_colder_shop_gives_a_longer_pot_life(
    warm: float, colder: float, q10: float, energy: float
) -> None:
    life, stated = quantity(45, "min"), celsius(23)
    for pot_life, rate in ((pot_life_q10, q10), (pot_life_arrhenius, quantity(energy, "kJ/mol"))):
        cold = pot_life(life, stated, celsius(warm - colder), rate)
        assert cold > pot_life(life, stated, celsius(warm), rate)
        assert pot_life(life, stated, stated, rate).m_as("min") == pytest.approx(45)


def times(life: float, margin: float, cycle: float, stations: int) -> MixTimes:
    minutes = [quantity(v, "min") for v in (life, 3, 1, cycle)]
    return MixTimes(minutes[0], margin, *minutes[1:], stations)


@given(st.floats(1, 120), st.floats(0, 0.5), st.floats(0.1, 5), st.integers(1, 5), factors)
def test_more_time_and_more_stations_fill_more_parts(
    life: float, margin: float, cycle: float, stations: int, factor: float
) -> None:
    parts = parts_per_mix(times(life, margin, cycle, stations))
    assert parts_per_mix(times(life * factor, margin, cycle, stations)) >= parts
    assert parts_per_mix(times(life, margin, cycle * factor, stations)) <= parts
    assert parts_per_mix(times(life, margin, cycle, 2 * stations)) == 2 * parts


@given(st.lists(st.integers(1, 20), min_size=1, max_size=8), st.integers(1, 3))
def test_the_clock_runs_forward(parts: list[int], lines: int) -> None:
    rows = clock_table(tuple(parts), times(60, 0.2, 1, 1), lines)
    assert [row.parts for row in rows] == parts
    for row in rows:
        assert row.start < row.mix_end < row.ready < row.filled
        assert row.start < row.use_by < row.discard_at
    for line in range(1, lines + 1):
        own = [row for row in rows if row.line == line]
        for before, after in pairwise(own):
            assert after.start == before.filled
    starts = [row.start.magnitude for row in rows]
    assert starts == sorted(starts)


# Cure


@given(st.floats(-400, 8000), st.floats(1, 2000))
def test_a_higher_plant_has_a_lower_boiling_point(elevation: float, more: float) -> None:
    assert boiling_point(quantity(elevation + more, "m")) < boiling_point(quantity(elevation, "m"))


@given(st.floats(0.01, 370))
def test_saturation_goes_both_ways(temperature: float) -> None:
    pressure = saturation_pressure(celsius(temperature))
    assert saturation_temperature(pressure).magnitude == pytest.approx(temperature, abs=1e-6)


@given(st.floats(80, 101), *[st.floats(0, 10)] * 3)
def test_the_highest_setpoint_just_passes(
    boils: float, margin: float, error: float, tolerance: float
) -> None:
    args = kelvins(margin), kelvins(error)
    setpoint = highest_setpoint(celsius(boils), *args, kelvins(tolerance))
    upper = celsius(setpoint.magnitude + tolerance)
    hold = Hold(Limits(setpoint, setpoint, upper), Limits(None, quantity(1, "h")))
    cure = cure_profile(Limits(None, celsius(20)), [hold])
    spare = steam_margins(cure, args[1], celsius(boils), args[0], None)[0].spare
    assert spare.magnitude == pytest.approx(0, abs=1e-9)


temperatures = st.floats(15, 150)


@st.composite
def segments(draw) -> Hold | Ramp:
    """Draw a hold or a ramp with limits on all sides."""
    temperature, tolerance = draw(temperatures), draw(st.floats(0, 8))
    band = Limits(
        celsius(temperature - tolerance), celsius(temperature), celsius(temperature + tolerance)
    )
    middle, spread = draw(st.floats(0.5, 20)), draw(st.floats(0, 0.9))
    unit = draw(st.sampled_from(["h", "K/min"]))
    bounds = Limits(*(quantity(middle * f, unit) for f in (1 - spread, 1, 1 + spread)))
    return Hold(band, bounds) if unit == "h" else Ramp(band, bounds)


cures = st.lists(segments(), min_size=1, max_size=6).map(
    lambda parts: cure_profile(Limits(None, celsius(20)), parts)
)


@given(cures, st.floats(0, 20))
def test_every_cure_is_in_order(cure, error: float) -> None:
    duration = total_duration(cure)
    tolerance = 1 + 1e-9
    assert duration.lower.magnitude <= duration.target.magnitude * tolerance
    assert duration.target.magnitude <= duration.upper.magnitude * tolerance
    points = chart_points(cure)
    assert len(points) == 2 * len(cure.legs)
    elapsed = [p.elapsed.magnitude for p in points]
    assert elapsed == sorted(elapsed)
    assert elapsed[-1] == pytest.approx(duration.target.magnitude)
    highest = highest_part_temperatures(cure, kelvins(error))
    for number, most in enumerate(highest):
        for point in points[2 * number : 2 * number + 2]:
            assert point.lower <= point.nominal <= point.upper
            assert most.magnitude >= point.upper.magnitude + error - 1e-9


@given(cures, st.floats(1, 60), st.floats(3, 30), factors)
def test_a_thicker_section_dries_later(cure, hours: float, section: float, factor: float) -> None:
    card = DryingRequirement(Limits(celsius(60)), quantity(hours, "h"), mm(10))
    thin, thick = (drying_progress(cure, card, mm(s)) for s in (section, section * factor))
    assert thick.required.magnitude == pytest.approx(thin.required.magnitude * factor**2)
    assert thick.credited == thin.credited
    assert thick.missing.magnitude >= thin.missing.magnitude
    if thick.met_in is not None:
        assert thin.met_in is not None
        assert thin.met_in <= thick.met_in
        assert thick.met_after.magnitude <= cure.legs[thick.met_in].shortest * (1 + 1e-6)
    assert (thin.missing.magnitude == 0) is (thin.met_in is not None)


@given(
    st.lists(st.tuples(st.floats(0.1, 20), temperatures), min_size=2, max_size=5),
    st.floats(1, 90),
    st.floats(1, 20),
)
def test_a_hotter_history_is_worth_more(
    points: list[tuple[float, float]], energy: float, hotter: float
) -> None:
    def history(more: float):
        hour, corners = 0.0, []
        for hours, temperature in points:
            hour += hours
            corners.append((quantity(hour, "h"), celsius(temperature + more)))
        return temperature_history(corners)

    def arrhenius(more: float) -> float:
        return equivalent_age_arrhenius(
            history(more), quantity(energy, "kJ/mol"), celsius(23)
        ).magnitude

    def nurse_saul(more: float) -> float:
        return equivalent_age_nurse_saul(history(more), celsius(0), celsius(23)).magnitude

    assert arrhenius(hotter) > arrhenius(0)
    assert nurse_saul(hotter) > nurse_saul(0)


# Drying


@given(st.floats(1e-12, 1e-8), st.floats(0.5, 50), st.floats(1e-6, 0.999), factors)
def test_drying_scales_with_the_square_of_the_thickness(
    diffusivity: float, thickness: float, left: float, factor: float
) -> None:
    rate = quantity(diffusivity, "m2/s")
    time = time_to_dry(rate, mm(thickness), left, 2)
    thicker = time_to_dry(rate, mm(thickness * factor), left, 2)
    assert thicker.magnitude == pytest.approx(time.magnitude * factor**2, rel=1e-9)
    scaled = scaled_drying_time(time, mm(thickness * factor), mm(thickness))
    assert scaled.magnitude == pytest.approx(thicker.magnitude, rel=1e-9)
    sealed = time_to_dry(rate, mm(thickness), left, 1)
    assert sealed.magnitude == pytest.approx(4 * time.magnitude, rel=1e-9)
    faster = time_to_dry(rate * factor, mm(thickness), left, 2)
    assert faster.magnitude == pytest.approx(time.magnitude / factor, rel=1e-9)


@given(st.floats(0, 1e6), st.floats(1, 1e5), st.sampled_from([1, 2]))
def test_water_only_leaves(time: float, more: float, faces: int) -> None:
    rate = quantity(1e-10, "m2/s")

    def left(seconds: float) -> float:
        return free_water_left(rate, mm(6), quantity(seconds, "s"), faces)

    assert 0 <= left(time + more) < left(time) <= 1


# Inspection


@given(st.floats(-50, 50), st.floats(0, 20), st.floats(0, 5), st.floats(-80, 80), st.floats(1, 3))
def test_a_worse_gauge_decides_less(
    lower: float, width: float, uncertainty: float, reading: float, worse: float
) -> None:
    limits = Limits(mm(lower), None, mm(lower + width))
    fine = decide(mm(reading), decision_limits(limits, mm(uncertainty)))
    coarse = decide(mm(reading), decision_limits(limits, mm(uncertainty * worse)))
    assert coarse in (fine, Decision.CANNOT_JUDGE)


@given(st.floats(-50, 50), st.floats(0.1, 20), st.floats(0.001, 5), factors)
def test_a_worse_gauge_has_a_lower_ratio(
    lower: float, width: float, uncertainty: float, factor: float
) -> None:
    band = mm(lower), mm(lower + width)
    ratio = uncertainty_ratio(mm(uncertainty), *band)
    assert uncertainty_ratio(mm(uncertainty * factor), *band) == pytest.approx(ratio / factor)


@given(st.floats(1, 1e5), *[st.floats(0.5, 200)] * 3, factors)
def test_bending_strength_scales(
    force: float, span: float, width: float, depth: float, factor: float
) -> None:
    def strength(*args: float) -> float:
        newtons, *lengths = args
        return flexural_strength_3_point(
            quantity(newtons, "N"), *(mm(length) for length in lengths)
        ).magnitude

    base = strength(force, span, width, depth)
    assert strength(force * factor, span, width, depth) == pytest.approx(base * factor)
    assert strength(force, span * factor, width, depth) == pytest.approx(base * factor)
    assert strength(force, span, width * factor, depth) == pytest.approx(base / factor)
    assert strength(force, span, width, depth * factor) == pytest.approx(base / factor**2)


@given(st.integers(1, 500), st.integers(0, 10), st.floats(0.001, 0.9), st.floats(0.001, 0.09))
def test_a_worse_lot_is_accepted_less_often(
    size: int, accept: int, bad: float, more: float
) -> None:
    chance = acceptance_probability(size, accept, bad)
    assert -1e-12 <= chance <= 1 + 1e-9
    assert acceptance_probability(size, accept, bad + more) <= chance + 1e-12
    assert acceptance_probability(size, accept + 1, bad) >= chance - 1e-12
    assert acceptance_probability(size + 1, accept, bad) <= chance + 1e-12


@given(st.floats(0.001, 0.9), st.floats(0.1, 0.99), st.floats(1.001, 1.1))
def test_rarer_faults_need_larger_samples(bad: float, confidence: float, factor: float) -> None:
    size = zero_acceptance_size(bad, confidence)
    assert zero_acceptance_size(bad / factor, confidence) >= size
    assert zero_acceptance_size(bad, 1 - (1 - confidence) / factor) >= size
    assert math.pow(1 - bad, size) <= (1 - confidence) * (1 + 1e-6)


@given(
    st.integers(2, 10**6),
    st.sampled_from(LEVELS),
    st.sampled_from(AQLS),
    st.sampled_from(list(Inspection)),
)
def test_every_lot_has_a_plan(lot: int, level: str, aql: float, inspection: Inspection) -> None:
    plan = single_sampling_plan(lot, level, aql, inspection)
    assert 2 <= plan.size <= lot
    assert plan.reject == plan.accept + 1
    assert plan.whole_lot is (plan.size == lot)
