"""What holds for every toleranced value, whatever its kind, form, digits and units."""

from decimal import Decimal
from fractions import Fraction

from hypothesis import assume, example, given
from hypothesis import strategies as st

from speccomp.quantities import (
    KINDS,
    Form,
    Kind,
    PrintUnits,
    QuantityError,
    format_toleranced,
    parse_toleranced,
    print_toleranced,
    printed_limits,
    round_half_even,
    round_inward,
    round_significant,
    same_meaning,
)
from speccomp.quantities.units import convert

SYSTEMS = (PrintUnits.for_system("SI"), PrintUnits.for_system("US customary"))
NUMBERS = st.decimals(0, 10_000, allow_nan=False, allow_infinity=False, places=2).map(
    lambda number: number.normalize() if number % 1 else number.quantize(Decimal(1))
)
ALPHABET = "0123456789.,+-−±–/ ()%°µμ²³·'\"≥≤<>=~:eEat leastmosthinCFKgdegNPa\t\n\u00a0½٣"


@st.composite
def written(draw, kinds=tuple(Kind)):
    """A text in one of the forms, and its kind."""
    kind = draw(st.sampled_from(kinds))
    unit = draw(st.sampled_from(KINDS[kind].units))
    number, other, third = draw(NUMBERS), draw(NUMBERS), draw(NUMBERS)
    if kind is Kind.COUNT:
        number, other, third = (n.quantize(Decimal(1)) for n in (number, other, third))
        unit = draw(st.sampled_from(["", "discs", "test pieces"]))
    tolerance_unit = unit
    if unit:
        siblings = [
            each
            for each in KINDS[kind].units
            if each and kind not in (Kind.COUNT, Kind.RATIO, Kind.FRACTION)
        ]
        tolerance_unit = draw(st.sampled_from([unit, *siblings]))
        if kind not in (Kind.TEMPERATURE, Kind.FRACTION, Kind.HUMIDITY):
            tolerance_unit = draw(st.sampled_from([tolerance_unit, "%"]))
    text = draw(
        st.sampled_from(
            [
                f"{number} {unit} ± {other} {tolerance_unit}" if unit else f"{number} ± {other}",
                f"{number} {unit} +{other}/-{third} {tolerance_unit}"
                if unit
                else f"{number} +{other}/-{third}",
                f"{number} to {number + other} {unit}",
                f"at least {number} {unit}",
                f"at most {number} {unit}",
                f"{number} {unit}",
            ]
        )
    )
    return text, kind


def read(pair):
    """The value, or no example: forms made at random may be empty or negative."""
    text, kind = pair
    try:
        return parse_toleranced(text, kind)
    except QuantityError as fault:
        assume(not any(word in fault.message for word in ("below", "nothing between", "above")))
        raise


VALUES = written()


@given(VALUES)
def test_a_formatted_value_reads_back_equal(pair):
    value = read(pair)
    text = format_toleranced(value)
    again = parse_toleranced(text, value.kind)
    assert again == value
    assert hash(again) == hash(value)
    assert format_toleranced(again) == text
    assert same_meaning(value, again)


@given(VALUES, st.sampled_from(SYSTEMS))
def test_printed_limits_never_allow_more_than_was_written(pair, units):
    value = read(pair)
    low, high, unit = printed_limits(value, units)
    exact_low, exact_high = value.exact_limits_in(unit)
    assert (low is None) == (exact_low is None)
    assert (high is None) == (exact_high is None)
    if low is not None:
        assert Fraction(low) >= exact_low
    if high is not None:
        assert Fraction(high) <= exact_high
    if low is not None and high is not None:
        assert low < high


@given(VALUES, st.sampled_from(SYSTEMS))
def test_at_most_a_tenth_of_a_band_is_lost(pair, units):
    value = read(pair)
    low, high, unit = printed_limits(value, units)
    assume(low is not None and high is not None)
    exact_low, exact_high = value.exact_limits_in(unit)
    band = exact_high - exact_low
    assert Fraction(high) - Fraction(low) >= band * Fraction(9, 10)


@given(VALUES, st.sampled_from(SYSTEMS))
def test_at_most_a_hundredth_of_one_limit_is_lost(pair, units):
    value = read(pair)
    assume(value.form in (Form.AT_LEAST, Form.AT_MOST))
    low, high, unit = printed_limits(value, units)
    exact_low, exact_high = value.exact_limits_in(unit)
    printed, exact = (low, exact_low) if low is not None else (high, exact_high)
    assert abs(Fraction(printed) - exact) <= abs(exact) / 100


@given(VALUES, st.sampled_from(SYSTEMS))
def test_a_converted_value_is_followed_by_the_value_as_written(pair, units):
    value = read(pair)
    text = print_toleranced(value, units)
    if printed_limits(value, units)[2] == value.unit:
        assert "[" not in text
    else:
        assert text.endswith("]")
        in_brackets = text[text.index("[") + 1 : -1].replace("−", "-")
        numbers = (value.target, value.plus, value.minus)
        if value.form is not Form.PLUS_MINUS:
            numbers = (value.target, value.lower, value.upper)
        assert all(str(number) in in_brackets for number in numbers if number is not None)


@given(NUMBERS, st.decimals("0.01", 250, places=2), st.sampled_from(["degC", "degF", "K"]))
def test_a_temperature_band_is_converted_as_a_difference(target, by, tolerance_unit):
    value = parse_toleranced(f"{target} degF ± {by} {tolerance_unit}", Kind.TEMPERATURE)
    degrees = Fraction(by) * (1 if tolerance_unit == "degF" else Fraction(9, 5))
    low, high = value.exact_limits_in("degC")
    assert high - low == 2 * degrees * Fraction(5, 9)
    assert low == (Fraction(target) - degrees - 32) * Fraction(5, 9)


@given(NUMBERS, st.sampled_from([Kind.TEMPERATURE_DIFFERENCE, Kind.RAMP_RATE]))
def test_differences_and_rates_never_pass_through_the_offset(number, kind):
    unit = "degF" if kind is Kind.TEMPERATURE_DIFFERENCE else "degF/min"
    metric = unit.replace("degF", "degC")
    value = parse_toleranced(f"at most {number} {unit}", kind)
    assert value.exact_limits_in(metric)[1] == Fraction(number) * Fraction(5, 9)
    printed = printed_limits(value, SYSTEMS[0])[1]
    assert Fraction(printed) <= Fraction(number) * Fraction(5, 9)
    assert (printed == 0) == (number == 0)


@given(st.text(max_size=80) | st.text(ALPHABET, max_size=60), st.sampled_from([None, *Kind]))
@example("1" * 199, Kind.MASS)
@example("1 " * 99, Kind.MASS)
@example("1.1," * 49, None)
@example("26 g/" * 39, Kind.MASS)
@example("1e30 ± 1e-30 m", Kind.LENGTH)
@example("0e30 to 1e30 %", Kind.FRACTION)
@example("1e30 pcs ± 1 pcs", Kind.COUNT)
@example("1e20 m ± 1e-20 mm", Kind.LENGTH)
@example("0 g ± 1 %", Kind.MASS)
@example("²³ g", Kind.MASS)
@example("26 ± 1 " + "µ" * 190, None)
def test_any_text_is_read_or_refused_with_a_place(text, kind):
    try:
        value = parse_toleranced(text, kind)
    except QuantityError as fault:
        assert 0 <= fault.start <= fault.end <= len(text)
        assert fault.message
    else:
        assert parse_toleranced(format_toleranced(value), value.kind) == value
        for units in SYSTEMS:
            assert print_toleranced(value, units)


@given(written(), st.text(ALPHABET, max_size=4), st.integers(0, 30))
def test_a_slip_of_the_keyboard_is_read_or_refused(pair, slip, place):
    text, kind = pair
    spoiled = text[:place] + slip + text[place + 1 :]
    try:
        parse_toleranced(spoiled, kind)
    except QuantityError as fault:
        assert 0 <= fault.start <= fault.end <= len(spoiled)


@given(
    st.fractions(-(10**6), 10**6, max_denominator=10**6),
    st.sampled_from([unit for each in KINDS.values() for unit in each.units]),
    st.data(),
)
def test_conversion_there_and_back_is_exact(number, unit, data):
    kind = next(kind for kind in Kind if unit in KINDS[kind].units)
    assume(kind is not Kind.RATIO)
    other = data.draw(st.sampled_from(KINDS[kind].units))
    point = kind is Kind.TEMPERATURE
    assert convert(convert(number, unit, other, point=point), other, unit, point=point) == number


@given(
    st.fractions(-1000, 1000, max_denominator=1000),
    st.fractions(Fraction(1, 1000), 50, max_denominator=1000),
    st.integers(-3, 1),
)
def test_inward_rounding_stays_inside_and_is_never_empty(lower, width, exponent):
    low, high = round_inward(lower, lower + width, Decimal((0, (1,), exponent)))
    assert lower <= Fraction(low) <= Fraction(high) <= lower + width


@given(st.decimals(-1000, 1000, places=4), st.integers(-3, 1))
def test_rounding_to_nearest_agrees_with_the_decimal_module(number, exponent):
    place = Decimal((0, (1,), exponent))
    assert round_half_even(number, place) == number.quantize(place, rounding="ROUND_HALF_EVEN")


@given(st.decimals("0.0001", 10_000, places=4), st.integers(1, 6))
def test_significant_digits_after_rounding(number, digits):
    rounded = round_significant(number, digits)
    assert rounded == Decimal(f"{number:.{digits - 1}e}")
