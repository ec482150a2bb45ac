import math

import pytest

from speccomp.calc.maturity import (
    History,
    equivalent_age_arrhenius,
    equivalent_age_nurse_saul,
    nominal_history,
    temperature_history,
)
from speccomp.quantities import quantity

from .faults import fault
from .profiles import hold, profile, ramp


def celsius(value: float):
    return quantity(value, "degC")


def joules(value: float):
    return quantity(value, "J/mol")


def history(*points: tuple[float, float]) -> History:
    """Make a history from hours and degC."""
    return temperature_history([(quantity(h, "h"), celsius(t)) for h, t in points])


def nurse_saul(line: History, datum=0.0, reference=20.0) -> float:
    age = equivalent_age_nurse_saul(line, celsius(datum), celsius(reference))
    assert str(age.units) == "second"
    return age.magnitude / 3600


def test_history() -> None:
    assert history((0, 20), (1, 30), (1, 80)) == History(
        (0.0, 3600.0, 3600.0), (293.15, 303.15, 353.15)
    )


def test_history_of_a_cure() -> None:
    line = nominal_history(
        profile("|20|", ramp("|80|", "|1|"), hold("|80|", "|1|"), hold("|50|", "|2|"))
    )
    assert line.seconds == pytest.approx((0, 3600, 3600, 7200, 7200, 14400))
    assert line.kelvins == pytest.approx([t + 273.15 for t in (20, 80, 80, 80, 50, 50)])


def test_nurse_saul() -> None:
    assert nurse_saul(history((0, 30), (2, 30))) == pytest.approx(3)
    assert nurse_saul(history((0, 10), (2, 30))) == pytest.approx(2)
    assert nurse_saul(history((5, 10), (7, 30)), -10, 20) == pytest.approx(2)
    assert nurse_saul(history((0, 20), (1, 20), (1, 40), (2, 40))) == pytest.approx(3)


def test_nothing_happens_below_the_datum() -> None:
    assert nurse_saul(history((0, -10), (5, -20))) == 0
    assert nurse_saul(history((0, 0), (5, -20))) == 0
    assert nurse_saul(history((0, -20), (5, 0))) == 0
    assert nurse_saul(history((0, -10), (4, 30))) == pytest.approx(3 * 15 / 20)
    assert nurse_saul(history((0, 30), (4, -10))) == pytest.approx(3 * 15 / 20)
    assert nurse_saul(history((0, 0.5), (4, 0.7))) == pytest.approx(4 * 0.6 / 20)
    assert nurse_saul(history((0, 0.7), (4, 0.5))) == pytest.approx(4 * 0.6 / 20)
    assert nurse_saul(history((0, -0.5), (4, 0.5))) == pytest.approx(2 * 0.25 / 20)
    assert nurse_saul(history((0, 0.5), (4, -0.5))) == pytest.approx(2 * 0.25 / 20)
    assert nurse_saul(history((0, 0), (4, 20))) == pytest.approx(2)
    assert nurse_saul(history((0, 20), (4, 0))) == pytest.approx(2)


def test_arrhenius_at_constant_temperature() -> None:
    age = equivalent_age_arrhenius(history((0, 35), (2, 35)), joules(40_000), celsius(20))
    factor = math.exp(40_000 / 8.31446261815324 * (1 / 293.15 - 1 / 308.15))
    assert str(age.units) == "second"
    assert age.magnitude == pytest.approx(7200 * factor, rel=1e-12)


def test_arrhenius_without_energy_is_the_clock() -> None:
    age = equivalent_age_arrhenius(history((1, 20), (3, 180)), joules(0), celsius(20))
    assert age.magnitude == pytest.approx(7200, rel=1e-14)


@pytest.mark.parametrize("end", [21.0, 30.0, 30.001, 95.0, 200.0])
def test_arrhenius_along_a_ramp(end: float) -> None:
    """Against the trapezoid rule on a very fine grid, which knows nothing of Gauss."""
    steps = 20_000
    slope = 50_000 / 8.31446261815324

    def rate(place: float) -> float:
        return math.exp(slope * (1 / 296.15 - 1 / (293.15 + place * (end - 20))))

    inner = math.fsum(rate(i / steps) for i in range(1, steps))
    expected = 3600 * (inner + (rate(0) + rate(1)) / 2) / steps
    up = equivalent_age_arrhenius(history((0, 20), (1, end)), joules(50_000), celsius(23))
    down = equivalent_age_arrhenius(history((0, end), (1, 20)), joules(50_000), celsius(23))
    assert up.magnitude == pytest.approx(expected, rel=1e-7)
    assert down.magnitude == pytest.approx(up.magnitude, rel=1e-12)


def test_gauss_is_good_to_ten_digits() -> None:
    """Splitting a line by hand must not change the result."""
    whole = equivalent_age_arrhenius(history((0, 20), (10, 120)), joules(80_000), celsius(23))
    points = [(i / 10, 20 + i) for i in range(101)]
    split = equivalent_age_arrhenius(history(*points), joules(80_000), celsius(23))
    assert whole.magnitude == pytest.approx(split.magnitude, rel=1e-10)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: history((0, 20)),
            "LimitError: The history has 1 points; at least 2 are needed.",
        ),
        (
            lambda: history((0, 20), (2, 20), (1.5, 20)),
            "RangeError: The history goes back in time, from 2 h to 1.5 h.",
        ),
        (
            lambda: temperature_history([(celsius(1), celsius(1))] * 2),
            "KindError: The time is 1 °C; a time is needed.",
        ),
        (
            lambda: temperature_history([(quantity(1, "h"), quantity(1, "h"))] * 2),
            "KindError: The temperature is 1 h; a temperature is needed.",
        ),
        (
            lambda: nurse_saul(history((0, 1), (1, 1)), 20, 20),
            "RangeError: The reference temperature is 20 °C; it must be above the datum of 20 °C.",
        ),
        (
            lambda: equivalent_age_nurse_saul(history((0, 1), (1, 1)), joules(1), celsius(1)),
            "KindError: The datum temperature is 1 J/mol; a temperature is needed.",
        ),
        (
            lambda: equivalent_age_nurse_saul(history((0, 1), (1, 1)), celsius(1), joules(1)),
            "KindError: The reference temperature is 1 J/mol; a temperature is needed.",
        ),
        (
            lambda: equivalent_age_arrhenius(history((0, 1), (1, 1)), joules(-1), celsius(20)),
            "RangeError: The activation energy is -1 J/mol; it must not be less than zero.",
        ),
        (
            lambda: equivalent_age_arrhenius(history((0, 1), (1, 1)), joules(1), joules(1)),
            "KindError: The reference temperature is 1 J/mol; a temperature is needed.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
