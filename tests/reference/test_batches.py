"""Sizes of batches, clocks and profiles against worked numbers, numpy, datetime and scipy."""

from datetime import UTC, datetime, timedelta

import numpy
import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog

from speccomp.calc.batch import equal_counts, parts_from_mass
from speccomp.calc.cure import Hold, Ramp, cure_profile, oven_demand, segment_starts
from speccomp.calc.limits import Limits
from speccomp.calc.potlife import MixTimes, clock_table
from speccomp.calc.steam import (
    DryingRequirement,
    drying_progress,
    highest_part_temperatures,
)
from speccomp.calc.weighing import largest_component_error, largest_error_one_scale
from speccomp.quantities import quantity

OTHER = pint.UnitRegistry()


def grams(value: float):
    return quantity(value, "g")


def seconds(value: float):
    return quantity(value, "s")


def at(value: float, unit: str = "degC") -> Limits:
    return Limits(None, quantity(value, unit))


def test_six_discs_from_their_mass() -> None:
    """Arithmetic: six discs of 2 x 0.5 in with 15 % loss take 346.577 g of 1.951327 kg/L."""
    disc, rho = quantity(25.74074, "mL"), quantity(1.951327, "kg/L")
    none = quantity(0, "mL")
    assert parts_from_mass(grams(346.578), rho, disc, 0.15, none) == 6
    assert parts_from_mass(grams(346.57), rho, disc, 0.15, none) == 5
    extra = quantity(25.74074, "mL")
    assert parts_from_mass(grams(346.578), rho, disc, 0.15, extra) == 5


@given(st.integers(0, 300), st.floats(0.1, 50), st.floats(0.5, 5), st.floats(0, 0.5))
def test_parts_of_a_mass_against_counting_with_pint(
    parts: int, volume: float, density: float, loss: float
) -> None:
    one = volume * (1 + loss) * OTHER.milliliter * density * OTHER("g/mL")
    mass = ((parts + 0.5) * one).m_as("g")
    found = parts_from_mass(
        grams(mass), quantity(density, "g/mL"), quantity(volume, "mL"), loss, quantity(0, "mL")
    )
    assert found == parts


@given(st.integers(1, 500), st.integers(1, 60))
def test_equal_mixes_against_numpy(parts: int, most: int) -> None:
    groups = -(-parts // most)
    referee = [len(piece) for piece in numpy.array_split(numpy.arange(parts), groups)]
    assert list(equal_counts(parts, most)) == referee


@given(
    st.lists(st.integers(1, 60), min_size=1, max_size=12),
    st.integers(1, 5),
    st.integers(5, 120),
    st.integers(0, 600),
    st.integers(0, 600),
)
def test_clocks_against_datetime(
    mixes: list[int], stations: int, cycle: int, mixing: int, transfer: int
) -> None:
    """One line after the other on a calendar; the pot life of 30 min at 23 degC, 10 % kept back."""
    times = MixTimes(
        seconds(1800), 0.1, seconds(mixing), seconds(transfer), seconds(cycle), stations
    )
    start = now = datetime(2026, 3, 2, 6, tzinfo=UTC)
    for parts, row in zip(mixes, clock_table(tuple(mixes), times, 1), strict=True):
        begin = now
        ready = begin + timedelta(seconds=mixing + transfer)
        rounds = numpy.ceil(parts / stations)
        now = ready + timedelta(seconds=cycle * float(rounds))
        expected = {
            "start": begin,
            "mix_end": begin + timedelta(seconds=mixing),
            "ready": ready,
            "filled": now,
            "use_by": begin + timedelta(minutes=27),
            "discard_at": begin + timedelta(minutes=30),
        }
        for name, moment in expected.items():
            elapsed = (moment - start).total_seconds()
            assert getattr(row, name).m_as("s") == pytest.approx(elapsed)


def test_an_elapsed_day_is_24_hours() -> None:
    """By logic: a cure ends by elapsed time; the clock counts seconds and knows no wall clock."""
    cure = cure_profile(at(25), [Hold(at(25), Limits(None, quantity(24, "h")))])
    assert segment_starts(cure)[-1].m_as("h") == 24


profiles = st.lists(
    st.tuples(st.integers(20, 250), st.floats(0.1, 5), st.floats(1, 600)), min_size=1, max_size=6
)


@given(profiles)
def test_starts_and_demand_against_numpy_and_pint(
    legs: list[tuple[int, float, float]],
) -> None:
    """Ramps in degF/min and holds in min; the referee sums in numpy and converts in pint."""
    segments: list[Hold | Ramp] = []
    for temperature, rate, minutes in legs:
        fahrenheit = OTHER.Quantity(rate, "delta_degC/min").m_as("delta_degF/min")
        segments += [
            Ramp(at(temperature), Limits(None, None, quantity(fahrenheit, "degF/min"))),
            Hold(at(temperature), Limits(None, quantity(minutes, "min"))),
        ]
    cure = cure_profile(at(20), segments)
    temperatures = numpy.array([20.0, *(leg[0] for leg in legs)])
    steps = numpy.diff(temperatures)
    times = []
    for step, (_, rate, minutes) in zip(steps, legs, strict=True):
        times += [abs(step) / rate * 60, minutes * 60]
    expected = numpy.concatenate([[0.0], numpy.cumsum(times)])
    found = [moment.m_as("s") for moment in segment_starts(cure)]
    assert found == pytest.approx(expected.tolist(), rel=1e-9, abs=1e-6)
    demand = oven_demand(cure)
    assert demand.lowest.m_as("degC") == pytest.approx(temperatures[1:].min())
    assert demand.highest.m_as("degC") == pytest.approx(temperatures[1:].max())
    rising = [rate for step, (_, rate, _) in zip(steps, legs, strict=True) if step > 0]
    falling = [rate for step, (_, rate, _) in zip(steps, legs, strict=True) if step < 0]
    assert demand.heating.m_as("K/min") == pytest.approx(max(rising, default=0))
    assert demand.cooling.m_as("K/min") == pytest.approx(max(falling, default=0))


@pytest.mark.parametrize(("sensor", "hottest"), [(0, 98.889), (2.2, 101.089)])
def test_the_hottest_part_of_a_hold_at_200_fahrenheit(sensor: float, hottest: float) -> None:
    """Arithmetic: 200 ± 10 degF is up to 98.889 degC, with ± 2.2 K of the sensor 101.089 degC."""
    band = Limits(quantity(190, "degF"), quantity(200, "degF"), quantity(210, "degF"))
    cure = cure_profile(at(70, "degF"), [Hold(band, Limits(None, quantity(4, "h")))])
    (found,) = highest_part_temperatures(cure, quantity(sensor, "K"))
    assert found.m_as("degC") == pytest.approx(hottest, abs=1e-3)


@given(profiles, st.floats(0, 15))
def test_the_hottest_part_against_pint(legs: list[tuple[int, float, float]], error: float) -> None:
    cure = cure_profile(
        at(20), [Hold(at(leg[0]), Limits(None, quantity(leg[2], "min"))) for leg in legs]
    )
    found = highest_part_temperatures(cure, quantity(error, "K"))
    for (temperature, _, _), highest in zip(legs, found, strict=True):
        top = OTHER.Quantity(temperature, "degC") + OTHER.Quantity(error, "delta_degC")
        assert highest.m_as("degF") == pytest.approx(top.m_as("degF"), rel=1e-9)


@pytest.mark.parametrize(
    ("millimetres", "hours"),
    [(5, 14.724), (10, 58.895), (20, 235.58)],
)
def test_holds_that_dry_a_slab(millimetres: float, hours: float) -> None:
    """
    Crank, The Mathematics of Diffusion, eqs 4.17-4.20, summed with numpy.

    D = 1e-10 m2/s, both faces: 90 % of the water has left after so many hours. A card qualified
    for 10 mm in 58.895 h asks for as much.
    """
    card = DryingRequirement(at(80), quantity(58.895, "h"), quantity(10, "mm"))
    long = Limits(quantity(300, "h"), None, quantity(310, "h"))
    cure = cure_profile(at(80), [Hold(at(80), long)])
    found = drying_progress(cure, card, quantity(millimetres, "mm"))
    assert found.required.m_as("h") == pytest.approx(hours, rel=1e-4)
    assert found.met_in == 0
    assert found.met_after is not None
    assert found.met_after.m_as("h") == pytest.approx(hours, rel=1e-4)


@given(st.lists(st.tuples(st.floats(60, 110), st.floats(0.1, 10)), min_size=1, max_size=8))
def test_credited_holds_against_numpy(holds: list[tuple[float, float]]) -> None:
    card = DryingRequirement(at(82), quantity(12, "h"), quantity(9, "mm"))
    cure = cure_profile(
        at(20),
        [Hold(at(heat), Limits(quantity(hours, "h"), None, None)) for heat, hours in holds],
    )
    found = drying_progress(cure, card, quantity(9, "mm"))
    heats, hours = (numpy.array(column) for column in zip(*holds, strict=True))
    assume(not numpy.any(numpy.isclose(heats, 82)))
    running = numpy.cumsum(numpy.where(heats > 82, hours, 0))
    assume(not numpy.any(numpy.isclose(running, 12)))
    assert found.credited.m_as("h") == pytest.approx(running[-1])
    met = numpy.flatnonzero(running > 12)
    assert found.met_in == (int(met[0]) if met.size else None)
    assert found.missing.m_as("h") == pytest.approx(0 if met.size else 12 - running[-1])


@st.composite
def ratios(draw) -> Limits[float]:
    low = draw(st.floats(0.01, 3))
    high = low * (1 + draw(st.floats(0.005, 0.5)))
    place = draw(st.none() | st.floats(0.1, 0.9))
    return Limits(low, None if place is None else low + place * (high - low), high)


def greatest_error(ratio: Limits[float], powder: float, own: list[float], known: float) -> float:
    """Return the greatest error u for which a reading holds the ratio, by scipy."""
    # Unknowns u, L: low (P + known + own0 u) + u <= L and L <= high (P - known - own0 u) - u.
    low, high = ratio.lower, ratio.upper
    below = [[low * own[0] + 1, -1], [high * own[0] + 1, 1]]
    limits = [-low * (powder + known), high * (powder - known)]
    equal = {}
    if ratio.target is not None:
        equal = {"A_eq": [[0, 1]], "b_eq": [ratio.target * powder]}
    referee = linprog([-1, 0], A_ub=below, b_ub=limits, **equal)
    assume(referee.success)
    return float(referee.x[0])


@given(ratios(), st.floats(5, 5000))
def test_the_error_of_one_scale_against_linear_programming(
    ratio: Limits[float], powder: float
) -> None:
    referee = greatest_error(ratio, powder, [1.0], 0.0)
    found = largest_error_one_scale(grams(powder), ratio)
    assert found.m_as("g") == pytest.approx(referee, rel=1e-6)


@given(ratios(), st.floats(5, 5000), st.floats(0, 0.01))
def test_the_error_of_the_component_against_linear_programming(
    ratio: Limits[float], powder: float, share: float
) -> None:
    known = share * powder * (ratio.upper / ratio.lower - 1) * 0.01
    referee = greatest_error(ratio, powder, [0.0], known)
    found = largest_component_error(grams(powder), ratio, grams(known), grams(0))
    assume(found is not None)
    assert found.m_as("g") == pytest.approx(referee, rel=1e-6, abs=1e-9)
