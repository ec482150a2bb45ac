"""What holds for every number that a figure prints."""

import re

from hypothesis import given
from hypothesis import strategies as st

from speccomp.documents.number_print import print_clock, print_plain, print_reading, span
from speccomp.quantities import Direction, Kind, PrintUnits, parse_toleranced, quantity

SYSTEMS = st.sampled_from([PrintUnits.for_system("SI"), PrintUnits.for_system("US customary")])
STEPS = st.sampled_from([0.001, 0.002, 0.01, 0.05, 0.1, 0.5, 1.0, 5.0])
UNITS = st.sampled_from(["g", "kg", "oz", "lb"])
TOWARD = st.sampled_from(["up", "down"])


@given(st.integers(1, 20_000), STEPS, UNITS, SYSTEMS, TOWARD)
def test_a_reading_is_never_printed_outside_its_limit(
    count: int, step: float, unit: str, units: PrintUnits, toward: Direction
) -> None:
    value, one = quantity(count * step, unit), quantity(step, unit)
    text = print_reading(value, one, Kind.MASS, units, toward).replace("\u00a0", " ")
    exact = value.m_as("g")
    for part in re.findall(r"[\d.]+ (?:g|kg|oz|lb)", text):
        back = parse_toleranced(part, Kind.MASS).nominal_quantity.m_as("g")
        slack = 1e-9 * exact
        assert back >= exact - slack if toward == "up" else back <= exact + slack
        assert abs(back - exact) <= 1.001 * one.m_as("g")


@given(st.integers(1, 20_000), STEPS, UNITS)
def test_a_reading_in_the_units_of_the_plant_is_what_the_display_shows(
    count: int, step: float, unit: str
) -> None:
    units = PrintUnits.for_system("SI" if unit in ("g", "kg") else "US customary")
    text = print_reading(quantity(count * step, unit), quantity(step, unit), Kind.MASS, units, "up")
    number, _, shown = text.partition("\u00a0")
    assert shown == unit
    assert float(number) == float(format(count * step, ".12g"))
    assert len(number.partition(".")[2]) == len(f"{step:g}".partition(".")[2])


@given(st.floats(0, 1e6), TOWARD)
def test_a_clock_is_rounded_to_the_safe_side(seconds: float, toward: Direction) -> None:
    hours, minutes = print_clock(quantity(seconds, "s"), toward).split(":")
    back = 3600 * int(hours) + 60 * int(minutes)
    assert len(minutes) == 2
    assert abs(back - seconds) < 60.001
    assert back >= seconds - 1e-4 if toward == "up" else back <= seconds + 1e-4


@given(st.decimals(-80, 900, places=2))
def test_a_value_of_a_file_keeps_its_digits(value: object) -> None:
    text = print_plain(quantity(float(str(value)), "degC"), Kind.TEMPERATURE, SI)
    assert float(text.partition("\u00a0")[0].replace("−", "-")) == float(str(value))


SI = PrintUnits.for_system("SI")


def test_a_range_names_its_unit_once() -> None:
    assert span("75.3\u00a0g", "80.7\u00a0g") == "75.3 to 80.7\u00a0g"
    assert span("999\u00a0g", "1.2\u00a0kg") == "999\u00a0g to 1.2\u00a0kg"
    assert span("9\u00a0g [0.3\u00a0oz]", "9\u00a0g") == "9\u00a0g [0.3\u00a0oz] to 9\u00a0g"
