import math

import pytest

from speccomp.calc.potlife import (
    GAS_CONSTANT,
    Constraint,
    ConstraintName,
    MixClock,
    MixMasses,
    MixPlan,
    MixTimes,
    clock_table,
    parts_per_mix,
    plan_mixes,
    pot_life_arrhenius,
    pot_life_q10,
)
from speccomp.quantities import quantity

from .faults import fault


def grams(value: float):
    return quantity(value, "g")


def minutes(value: float):
    return quantity(value, "min")


def seconds(value: float):
    return quantity(value, "s")


def celsius(value: float):
    return quantity(value, "degC")


def times(life=30.0, margin=0.2, mixing=3.0, transfer=1.0, cycle=1.0, stations=1) -> MixTimes:
    return MixTimes(
        minutes(life), margin, minutes(mixing), minutes(transfer), minutes(cycle), stations
    )


def masses(part=25.0, mix=50.0, least=100.0, most=1000.0, weighing=150.0) -> MixMasses:
    return MixMasses(grams(part), grams(mix), grams(least), grams(most), grams(weighing))


def test_pot_life_q10() -> None:
    life = pot_life_q10(minutes(30), celsius(23), celsius(33), 2)
    assert (life.magnitude, str(life.units)) == (pytest.approx(900), "second")
    assert pot_life_q10(minutes(30), celsius(23), celsius(3), 3).magnitude == pytest.approx(16200)
    assert pot_life_q10(minutes(30), celsius(23), quantity(300, "K"), 1).magnitude == 1800


def test_pot_life_arrhenius() -> None:
    life = pot_life_arrhenius(minutes(30), celsius(23), celsius(33), quantity(50, "kJ/mol"))
    expected = 1800 * math.exp(50_000 / 8.314462618 * (1 / 306.15 - 1 / 296.15))
    assert (life.magnitude, str(life.units)) == (pytest.approx(expected, rel=1e-9), "second")
    still = pot_life_arrhenius(minutes(30), celsius(23), celsius(33), quantity(0, "kJ/mol"))
    assert still.magnitude == 1800


def test_gas_constant() -> None:
    assert GAS_CONSTANT == 8.31446261815324


@pytest.mark.parametrize(
    ("given", "parts"),
    [
        (times(), 20),
        (times(cycle=1.01), 19),
        (times(stations=3), 60),
        (times(margin=0), 26),
        (times(life=5), 0),
        (times(life=4), 0),
        (times(mixing=0, transfer=0), 24),
        (times(life=7.5, cycle=2), 1),
        (times(life=7.4, cycle=2), 0),
    ],
)
def test_parts_per_mix(given: MixTimes, parts: int) -> None:
    assert parts_per_mix(given) == parts


def row(plan: MixPlan) -> list[tuple[str, float, str, float, int]]:
    for c in plan.constraints:
        assert c.margin.units == c.limit.units
    return [
        (c.name, c.limit.magnitude, str(c.limit.units), pytest.approx(c.margin.magnitude), c.parts)
        for c in plan.constraints
    ]


def test_a_plan_that_the_pot_life_sets() -> None:
    plan = plan_mixes(50, times(), masses())
    assert plan.parts == (17, 17, 16)
    assert [m.magnitude for m in plan.masses] == [475, 475, 450]
    assert all(str(m.units) == "gram" for m in plan.masses)
    assert row(plan) == [
        ("pot life", 1200, "second", 180, 20),
        ("mixer maximum", 1000, "gram", 525, 38),
        ("mixer minimum", 100, "gram", 350, 2),
        ("weighing minimum", 150, "gram", 300, 4),
    ]
    assert plan.binding is ConstraintName.POT_LIFE
    assert plan.broken == ()


def test_a_plan_that_the_mixer_sets() -> None:
    plan = plan_mixes(30, times(), masses(most=400))
    assert plan.parts == (10, 10, 10)
    assert row(plan)[1] == ("mixer maximum", 400, "gram", 100, 14)
    assert plan.binding is ConstraintName.MIXER_MOST


def test_the_pot_life_binds_where_both_limits_are_equal() -> None:
    plan = plan_mixes(20, times(), masses(most=550))
    assert plan.parts == (20,)
    assert [c.parts for c in plan.constraints[:2]] == [20, 20]
    assert [c.margin.magnitude for c in plan.constraints[:2]] == [0, 0]
    assert plan.binding is ConstraintName.POT_LIFE
    assert plan.broken == ()


def test_stations_fill_in_rounds() -> None:
    plan = plan_mixes(7, times(stations=3), masses())
    assert row(plan)[0] == ("pot life", 1200, "second", 1200 - 3 * 60, 60)


def test_no_time_for_one_part() -> None:
    plan = plan_mixes(2, times(life=4.5, margin=0), masses(least=0, weighing=0))
    assert plan.parts == (1, 1)
    assert plan.broken == (Constraint(ConstraintName.POT_LIFE, seconds(30), seconds(-30), 0),)
    assert plan.binding is ConstraintName.POT_LIFE


def test_no_room_for_one_part() -> None:
    plan = plan_mixes(2, times(), masses(most=70, least=0, weighing=0))
    assert plan.parts == (1, 1)
    assert plan.broken == (Constraint(ConstraintName.MIXER_MOST, grams(70), grams(-5), 0),)
    assert plan.binding is ConstraintName.MIXER_MOST


def test_a_mix_too_small_for_the_mixer_and_the_scale() -> None:
    plan = plan_mixes(1, times(), masses(least=80, weighing=200))
    assert plan.broken == (
        Constraint(ConstraintName.MIXER_LEAST, grams(80), grams(-5), 2),
        Constraint(ConstraintName.WEIGHING_LEAST, grams(200), grams(-125), 6),
    )


def test_the_smallest_mix_counts_for_the_least_masses() -> None:
    plan = plan_mixes(21, times(), masses(least=301))
    assert plan.parts == (11, 10)
    assert row(plan)[2] == ("mixer minimum", 301, "gram", -1, 11)


def test_a_limit_that_is_just_kept_is_not_broken() -> None:
    plan = plan_mixes(3, times(), masses(part=0.1, mix=0, least=0.3, most=0.3, weighing=0.3))
    assert plan.parts == (3,)
    assert plan.broken == ()
    assert [c.margin.magnitude for c in plan.constraints[1:]] == [0, 0, 0]
    assert [c.parts for c in plan.constraints] == [20, 3, 3, 3]


def test_nothing_to_keep_at_the_lower_end() -> None:
    plan = plan_mixes(3, times(), masses(least=0, weighing=30))
    assert [c.parts for c in plan.constraints[2:]] == [0, 0]


def test_clock_of_one_line() -> None:
    first, second = clock_table((3, 2), times(stations=2), 1)
    assert first == MixClock(
        parts=3,
        line=1,
        start=seconds(0),
        mix_end=seconds(180),
        ready=seconds(240),
        filled=seconds(360),
        use_by=seconds(1440),
        discard_at=seconds(1800),
    )
    assert second == MixClock(
        parts=2,
        line=1,
        start=seconds(360),
        mix_end=seconds(540),
        ready=seconds(600),
        filled=seconds(660),
        use_by=seconds(1800),
        discard_at=seconds(2160),
    )


def test_clock_of_two_lines() -> None:
    rows = clock_table((5, 1, 2, 1), times(), 2)
    assert [(r.line, r.start.magnitude / 60) for r in rows] == [(1, 0), (2, 0), (2, 5), (1, 9)]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: pot_life_q10(minutes(0), celsius(23), celsius(23), 2),
            "RangeError: The pot life is 0 min; it must be more than zero.",
        ),
        (
            lambda: pot_life_q10(minutes(1), celsius(23), grams(1), 2),
            "KindError: The temperature is 1 g; a temperature is needed.",
        ),
        (
            lambda: pot_life_q10(minutes(1), grams(1), celsius(23), 2),
            "KindError: The stated temperature is 1 g; a temperature is needed.",
        ),
        (
            lambda: pot_life_q10(minutes(1), celsius(23), celsius(23), 0),
            "RangeError: The rate factor is 0; it must be more than zero.",
        ),
        (
            lambda: pot_life_arrhenius(minutes(0), celsius(23), celsius(23), quantity(1, "J/mol")),
            "RangeError: The pot life is 0 min; it must be more than zero.",
        ),
        (
            lambda: pot_life_arrhenius(minutes(1), celsius(23), grams(1), quantity(1, "J/mol")),
            "KindError: The temperature is 1 g; a temperature is needed.",
        ),
        (
            lambda: pot_life_arrhenius(minutes(1), grams(1), celsius(1), quantity(1, "J/mol")),
            "KindError: The stated temperature is 1 g; a temperature is needed.",
        ),
        (
            lambda: pot_life_arrhenius(minutes(1), celsius(1), celsius(1), quantity(-1, "J/mol")),
            "RangeError: The activation energy is -1 J/mol; it must not be less than zero.",
        ),
        (
            lambda: parts_per_mix(times(life=0)),
            "RangeError: The pot life is 0 min; it must be more than zero.",
        ),
        (
            lambda: parts_per_mix(times(margin=1)),
            "RangeError: The margin of the pot life is 1; it must be at least 0 and less than 1.",
        ),
        (
            lambda: parts_per_mix(times(mixing=-1)),
            "RangeError: The mixing time is -1 min; it must not be less than zero.",
        ),
        (
            lambda: parts_per_mix(times(transfer=-1)),
            "RangeError: The transfer time is -1 min; it must not be less than zero.",
        ),
        (
            lambda: parts_per_mix(times(cycle=0)),
            "RangeError: The cycle time is 0 min; it must be more than zero.",
        ),
        (
            lambda: parts_per_mix(times(stations=0)),
            "RangeError: The number of stations is 0; it must be at least 1.",
        ),
        (
            lambda: plan_mixes(0, times(), masses()),
            "RangeError: The number of parts is 0; it must be at least 1.",
        ),
        (
            lambda: plan_mixes(1, times(), masses(part=0)),
            "RangeError: The mass per part is 0 g; it must be more than zero.",
        ),
        (
            lambda: plan_mixes(1, times(), masses(mix=-1)),
            "RangeError: The mass per mix is -1 g; it must not be less than zero.",
        ),
        (
            lambda: plan_mixes(1, times(), masses(least=-1)),
            "RangeError: The mixer minimum is -1 g; it must not be less than zero.",
        ),
        (
            lambda: plan_mixes(1, times(), masses(most=0)),
            "RangeError: The mixer maximum is 0 g; it must be more than zero.",
        ),
        (
            lambda: plan_mixes(1, times(), masses(weighing=-1)),
            "RangeError: The weighing minimum is -1 g; it must not be less than zero.",
        ),
        (
            lambda: clock_table((1,), times(), 0),
            "RangeError: The number of lines is 0; it must be at least 1.",
        ),
        (
            lambda: clock_table((0,), times(), 1),
            "RangeError: The number of parts in a mix is 0; it must be at least 1.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
