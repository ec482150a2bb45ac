import pytest

from speccomp.calc.cure import (
    chart_points,
    cure_profile,
    oven_demand,
    segment_starts,
    total_duration,
)

from .faults import fault
from .profiles import hold, limits, profile, ramp

CURE = profile(
    "18|21|24",
    hold("20|23|26", "18||24"),
    ramp("77|82|87", "0.5|0.8|1"),
    hold("77|82|87", "4||5"),
    ramp("25|30|35", "||2"),
)


def hours(limited) -> list[float | None]:
    values = [limited.lower, limited.target, limited.upper]
    assert all(v is None or str(v.units) == "second" for v in values)
    return [None if v is None else pytest.approx(v.magnitude / 3600) for v in values]


def test_legs_of_a_ramp() -> None:
    leg = CURE.legs[1]
    assert not leg.holds
    assert (leg.start.lower, leg.start.nominal, leg.start.upper) == pytest.approx(
        (293.15, 296.15, 299.15)
    )
    assert (leg.end.lower, leg.end.nominal, leg.end.upper) == pytest.approx(
        (350.15, 355.15, 360.15)
    )
    assert leg.shortest == pytest.approx(51 * 60)
    assert leg.nominal == pytest.approx(59 / 0.8 * 60)
    assert leg.longest == pytest.approx(67 / 0.5 * 60)
    assert leg.fastest == pytest.approx(1 / 60)


def test_legs_of_a_hold() -> None:
    leg = CURE.legs[2]
    assert leg.holds
    assert leg.start == leg.end
    assert (leg.shortest, leg.nominal, leg.longest) == pytest.approx((14400, 16200, 18000))
    assert leg.fastest == 0


def test_a_cooling_ramp() -> None:
    leg = CURE.legs[3]
    assert leg.shortest == pytest.approx((77 - 35) / 2 * 60)
    assert leg.nominal == pytest.approx(52 / 2 * 60)
    assert leg.longest is None
    down = profile("|82|", ramp("25|30|35", "1|2|4")).legs[0]
    assert (down.shortest, down.nominal, down.longest) == pytest.approx(
        (47 / 4 * 60, 52 / 2 * 60, 57 * 60)
    )


def test_a_ramp_without_a_fastest_rate() -> None:
    leg = profile("|20|", ramp("|80|", "1||")).legs[0]
    assert (leg.shortest, leg.nominal, leg.longest) == pytest.approx((0, 3600, 3600))
    assert leg.fastest is None


def test_a_ramp_with_a_bare_rate() -> None:
    leg = profile("|20|", ramp("|80|", "|2|")).legs[0]
    assert (leg.shortest, leg.nominal, leg.longest) == pytest.approx((1800, 1800, 1800))
    assert leg.fastest == pytest.approx(2 / 60)


def test_a_ramp_between_bands_that_overlap() -> None:
    up = profile("18|20|24", ramp("22|24|28", "1||2")).legs[0]
    assert up.shortest == 0
    assert up.longest == pytest.approx(10 * 60)
    same = profile("18|20|24", ramp("18|20|22", "1||1")).legs[0]
    assert (same.shortest, same.nominal, same.longest) == pytest.approx((0, 0, 6 * 60))


@pytest.mark.parametrize(
    ("time", "expected"),
    [
        ("|2|", (2, 2, 2)),
        ("1||", (1, 1, None)),
        ("||3", (0, 3, 3)),
        ("1||3", (1, 2, 3)),
        ("1|1.5|3", (1, 1.5, 3)),
    ],
)
def test_durations_of_a_hold(time: str, expected) -> None:
    leg = profile("|20|", hold("|20|", time)).legs[0]
    found = (leg.shortest, leg.nominal, leg.longest)
    assert tuple(None if v is None else v / 3600 for v in found) == expected


@pytest.mark.parametrize(
    ("at", "expected"),
    [
        ("|20|", (20, 20, 20)),
        ("18|20|", (18, 20, 20)),
        ("|20|22", (20, 20, 22)),
        ("18||22", (18, 20, 22)),
        ("18|19|22", (18, 19, 22)),
    ],
)
def test_temperature_bands(at: str, expected) -> None:
    band = profile("|20|", hold(at, "|1|")).legs[0].end
    assert (band.lower, band.nominal, band.upper) == pytest.approx([t + 273.15 for t in expected])


@pytest.mark.parametrize(
    ("at", "fastest"), [("24||30", 0), ("24.1||30", None), ("10||18", 0), ("10||17.9", None)]
)
def test_a_hold_outside_the_band_before_is_a_jump(at: str, fastest) -> None:
    assert profile("18||24", hold(at, "|1|")).legs[0].fastest == fastest


def test_total_duration() -> None:
    ramps = [51 / 60, 59 / 0.8 / 60, 67 / 0.5 / 60]
    down = [42 / 2 / 60, 52 / 2 / 60]
    assert hours(total_duration(CURE)) == [
        18 + ramps[0] + 4 + down[0],
        21 + ramps[1] + 4.5 + down[1],
        None,
    ]
    bounded = profile("|20|", hold("|20|", "1|2|3"), hold("|20|", "1|2|3"))
    assert hours(total_duration(bounded)) == [2, 4, 6]
    first_open = profile("|20|", hold("|20|", "1||"), hold("|20|", "1|2|3"))
    assert hours(total_duration(first_open))[2] is None


def test_segment_starts() -> None:
    starts = segment_starts(profile("|20|", hold("|20|", "1|2|3"), ramp("|80|", "|1|")))
    assert [s.magnitude for s in starts] == pytest.approx([0, 7200, 10800])
    assert all(str(s.units) == "second" for s in starts)


def test_chart_points() -> None:
    points = chart_points(profile("18|20|22", ramp("75|80|85", "|1|"), hold("75|80|85", "|1|")))
    assert [
        (p.elapsed.magnitude, p.lower.magnitude, p.nominal.magnitude, p.upper.magnitude)
        for p in points
    ] == [
        pytest.approx(point)
        for point in ((0, 18, 20, 22), (3600, 75, 80, 85), (3600, 75, 80, 85), (7200, 75, 80, 85))
    ]
    assert {str(p.nominal.units) for p in points} == {"degree_Celsius"}


def test_chart_of_a_jump() -> None:
    points = chart_points(profile("|20|", hold("|20|", "|1|"), hold("|80|", "|1|")))
    assert [(p.elapsed.magnitude, round(p.nominal.magnitude, 9)) for p in points] == [
        (0, 20),
        (3600, 20),
        (3600, 80),
        (7200, 80),
    ]


def test_oven_demand() -> None:
    demand = oven_demand(CURE)
    assert (demand.lowest.magnitude, demand.highest.magnitude) == pytest.approx((20, 87))
    assert {str(demand.lowest.units), str(demand.highest.units)} == {"degree_Celsius"}
    assert demand.heating.magnitude == pytest.approx(1 / 60)
    assert demand.cooling.magnitude == pytest.approx(2 / 60)
    assert {str(demand.heating.units), str(demand.cooling.units)} == {"kelvin / second"}
    assert demand.unbounded == ()


def test_oven_demand_takes_the_fastest_ramp_each_way() -> None:
    demand = oven_demand(
        profile(
            "|20|",
            ramp("|40|", "||3"),
            ramp("|60|", "||2"),
            ramp("|60|", "||9"),
            ramp("|50|", "||5"),
            ramp("|40|", "||4"),
        )
    )
    assert (demand.heating.magnitude * 60, demand.cooling.magnitude * 60) == pytest.approx((3, 5))


def test_oven_demand_without_ramps() -> None:
    demand = oven_demand(profile("|20|", hold("|20|", "|1|"), hold("|30|", "|1|")))
    assert (demand.heating.magnitude, demand.cooling.magnitude) == (0, 0)
    assert demand.unbounded == (1,)


def test_oven_demand_of_ramps_without_a_fastest_rate() -> None:
    demand = oven_demand(profile("|20|", ramp("|80|", "1||"), ramp("|20|", "1||")))
    assert (demand.heating.magnitude, demand.cooling.magnitude) == (0, 0)
    assert demand.unbounded == (0, 1)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: cure_profile(limits("|20|", "degC"), []), "LimitError: The cure has no segments."),
        (
            lambda: profile("20||", hold("|20|", "|1|")),
            "LimitError: The starting temperature has a limit on one side only; "
            "both sides are needed.",
        ),
        (
            lambda: profile("||20", hold("|20|", "|1|")),
            "LimitError: The starting temperature has a limit on one side only; "
            "both sides are needed.",
        ),
        (
            lambda: profile("|20|", hold("|20|", "|1|"), hold("30||", "|1|")),
            "LimitError: The temperature of segment 2 has a limit on one side only; "
            "both sides are needed.",
        ),
        (
            lambda: profile("|20|", ramp("30||20", "|1|")),
            "LimitError: The limits of the temperature of segment 1 are out of order: "
            "30 °C to 20 °C.",
        ),
        (
            lambda: profile("|20|", hold("|20|", "|0|")),
            "RangeError: The duration of segment 1 is 0 h; it must be more than zero.",
        ),
        (
            lambda: profile("|20|", ramp("|20|", "0||1")),
            "RangeError: The lowest rate of segment 1 is 0 K/min; it must be more than zero.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
