import pytest

from speccomp.calc.cure import Hold, cure_profile
from speccomp.calc.limits import Limits
from speccomp.calc.steam import (
    DryingRequirement,
    OvenError,
    drying_progress,
    highest_part_temperatures,
    highest_setpoint,
    oven_error,
    steam_margins,
)
from speccomp.quantities import quantity

from .faults import fault
from .profiles import hold, limits, profile, ramp

CURE = profile(
    "18|21|24",
    hold("20|23|26", "18||24"),
    ramp("77|82|87", "||1"),
    hold("77|82|87", "4||5"),
    ramp("105|110|115", "||1"),
    hold("105|110|115", "1||"),
)


def kelvins(value: float):
    return quantity(value, "K")


def celsius(value: float):
    return quantity(value, "degC")


def millimetres(value: float):
    return quantity(value, "mm")


def test_oven_error_is_the_plain_sum() -> None:
    error = oven_error(OvenError(kelvins(2), kelvins(3), kelvins(1.5)))
    assert (error.magnitude, str(error.units)) == (6.5, "kelvin")


def test_highest_part_temperatures() -> None:
    found = highest_part_temperatures(CURE, kelvins(6))
    assert [t.magnitude for t in found] == pytest.approx([32, 93, 93, 121, 121])
    assert {str(t.units) for t in found} == {"degree_Celsius"}


def test_the_hotter_end_of_a_cooling_ramp_counts() -> None:
    down = profile("|82|", ramp("|30|", "||1"))
    assert highest_part_temperatures(down, kelvins(1))[0].magnitude == pytest.approx(83)


def test_steam_margins_while_wet() -> None:
    found = steam_margins(CURE, kelvins(6), celsius(94.6), kelvins(5), 2)
    assert [m.segment for m in found] == [0, 1, 2]
    assert [m.highest.magnitude for m in found] == pytest.approx([32, 93, 93])
    assert [m.allowed.magnitude for m in found] == pytest.approx([89.6] * 3)
    assert [m.spare.magnitude for m in found] == pytest.approx([57.6, -3.4, -3.4])
    assert {str(m.highest.units) for m in found} == {"degree_Celsius"}
    assert {str(m.allowed.units) for m in found} == {"degree_Celsius"}
    assert {str(m.spare.units) for m in found} == {"kelvin"}


@pytest.mark.parametrize(("wet_until", "segments"), [(None, 5), (4, 5), (0, 1)])
def test_which_segments_are_wet(wet_until: int | None, segments: int) -> None:
    found = steam_margins(CURE, kelvins(6), celsius(100), kelvins(5), wet_until)
    assert len(found) == segments


def test_the_highest_setpoint_has_no_spare() -> None:
    setpoint = highest_setpoint(celsius(94.6), kelvins(5), kelvins(6), kelvins(4))
    assert (setpoint.magnitude, str(setpoint.units)) == (pytest.approx(79.6), "degree_Celsius")
    cure = profile("|20|", hold("||".join(["70", str(setpoint.magnitude + 4)]), "|1|"))
    assert steam_margins(cure, kelvins(6), celsius(94.6), kelvins(5), 0)[
        0
    ].spare.magnitude == pytest.approx(0, abs=1e-9)


def requirement(temperature="77|82|87", hours=2.0, section=6.0) -> DryingRequirement:
    return DryingRequirement(
        limits(temperature, "degC"), quantity(hours, "h"), millimetres(section)
    )


def test_drying_is_met_inside_a_hold() -> None:
    found = drying_progress(CURE, requirement(), millimetres(8))
    required = 7200 * 64 / 36
    assert (found.required.magnitude, str(found.required.units)) == (
        pytest.approx(required),
        "second",
    )
    assert found.factor == pytest.approx(64 / 36)
    assert not found.advisory
    assert (found.credited.magnitude, str(found.credited.units)) == (18_000, "second")
    assert found.met_in == 2
    assert found.met_after.magnitude == pytest.approx(required)
    assert (found.missing.magnitude, str(found.missing.units)) == (0, "second")


def test_drying_goes_on_in_the_next_hold() -> None:
    found = drying_progress(CURE, requirement(hours=4.5), millimetres(6))
    assert found.met_in == 4
    assert (found.met_after.magnitude, str(found.met_after.units)) == (1800, "second")
    assert found.missing.magnitude == 0


def test_drying_is_not_met() -> None:
    found = drying_progress(CURE, requirement(hours=5.5), millimetres(6))
    assert found.credited.magnitude == 18_000
    assert (found.met_in, found.met_after) == (None, None)
    assert found.missing.magnitude == pytest.approx(1800)


def test_drying_just_met_despite_the_last_bit() -> None:
    cure = profile("|82|", hold("|82|", "|0.1|"), hold("|82|", "|0.2|"))
    found = drying_progress(cure, requirement("|82|", 0.3), millimetres(6))
    assert (found.met_in, found.missing.magnitude) == (1, 0)


@pytest.mark.parametrize(
    ("at", "card", "counts"),
    [
        ("77|82|87", "77|82|87", True),
        ("76.9|82|87", "77|82|87", False),
        ("77|80|83", "77|82|87", True),
        ("|82|", "77||87", True),
        ("|76|", "77||87", False),
        ("77|82|87", "|82|", True),
        ("77|81.9|87", "|82|", False),
        ("77|82|87", "|82|90", True),
    ],
)
def test_which_holds_count(at: str, card: str, counts: bool) -> None:
    found = drying_progress(profile("|20|", hold(at, "|3|")), requirement(card), millimetres(6))
    assert found.credited.magnitude == (10_800 if counts else 0)


def test_a_hold_in_another_unit_counts_despite_the_last_bit() -> None:
    fahrenheit = Hold(limits("170.6|180|190", "degF"), limits("|3|", "h"))
    cure = cure_profile(limits("|20|", "degC"), [fahrenheit])
    found = drying_progress(cure, requirement("77||87"), millimetres(6))
    assert found.met_in == 0


def test_ramps_do_not_count() -> None:
    cure = profile("77|82|87", ramp("90|95|99", "||0.01"), hold("90|95|99", "|1|"))
    assert drying_progress(cure, requirement(), millimetres(6)).credited.magnitude == 3600


@pytest.mark.parametrize(
    ("section", "advisory"),
    [(12.0, False), (12.0001, True), (3.0, False), (2.9999, True), (6.0, False)],
)
def test_far_from_the_card_the_scaling_is_advice(section: float, advisory: bool) -> None:
    found = drying_progress(CURE, requirement(), millimetres(section))
    assert found.advisory is advisory


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: oven_error(OvenError(kelvins(-1), kelvins(1), kelvins(1))),
            "RangeError: The control tolerance is -1 K; it must not be less than zero.",
        ),
        (
            lambda: oven_error(OvenError(kelvins(1), kelvins(-1), kelvins(1))),
            "RangeError: The oven non-uniformity is -1 K; it must not be less than zero.",
        ),
        (
            lambda: oven_error(OvenError(kelvins(1), kelvins(1), celsius(1))),
            "KindError: The sensor error is 1 °C; a temperature difference is needed.",
        ),
        (
            lambda: highest_part_temperatures(CURE, kelvins(-1)),
            "RangeError: The oven error is -1 K; it must not be less than zero.",
        ),
        (
            lambda: steam_margins(CURE, kelvins(-1), celsius(100), kelvins(5), 0),
            "RangeError: The oven error is -1 K; it must not be less than zero.",
        ),
        (
            lambda: steam_margins(CURE, kelvins(1), millimetres(100), kelvins(5), 0),
            "KindError: The boiling point is 100 mm; a temperature is needed.",
        ),
        (
            lambda: steam_margins(CURE, kelvins(1), celsius(100), celsius(5), 0),
            "KindError: The margin is 5 °C; a temperature difference is needed.",
        ),
        (
            lambda: steam_margins(CURE, kelvins(1), celsius(100), kelvins(5), 5),
            "RangeError: There is no segment 5; the cure has 5.",
        ),
        (
            lambda: steam_margins(CURE, kelvins(1), celsius(100), kelvins(5), -1),
            "RangeError: There is no segment -1; the cure has 5.",
        ),
        (
            lambda: highest_setpoint(millimetres(1), kelvins(1), kelvins(1), kelvins(1)),
            "KindError: The boiling point is 1 mm; a temperature is needed.",
        ),
        (
            lambda: highest_setpoint(celsius(99), kelvins(-1), kelvins(1), kelvins(1)),
            "RangeError: The margin is -1 K; it must not be less than zero.",
        ),
        (
            lambda: highest_setpoint(celsius(99), kelvins(1), kelvins(-1), kelvins(1)),
            "RangeError: The oven error is -1 K; it must not be less than zero.",
        ),
        (
            lambda: highest_setpoint(celsius(99), kelvins(1), kelvins(1), kelvins(-1)),
            "RangeError: The tolerance is -1 K; it must not be less than zero.",
        ),
        (
            lambda: drying_progress(CURE, requirement("||82"), millimetres(6)),
            "LimitError: The drying temperature has an upper limit only; a lower one is needed.",
        ),
        (
            lambda: drying_progress(
                CURE, DryingRequirement(Limits(), kelvins(1), millimetres(1)), millimetres(6)
            ),
            "LimitError: The drying temperature has neither a target nor a limit.",
        ),
        (
            lambda: drying_progress(CURE, requirement(hours=0), millimetres(6)),
            "RangeError: The drying time is 0 h; it must be more than zero.",
        ),
        (
            lambda: drying_progress(CURE, requirement(), millimetres(0)),
            "RangeError: The section is 0 mm; it must be more than zero.",
        ),
        (
            lambda: drying_progress(CURE, requirement(section=0), millimetres(1)),
            "RangeError: The reference section is 0 mm; it must be more than zero.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
