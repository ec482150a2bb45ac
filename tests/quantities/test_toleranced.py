from decimal import Decimal

import pytest

from speccomp.quantities import Kind, QuantityError, parse_toleranced, same_meaning

D = Decimal


def mass(text):
    return parse_toleranced(text, Kind.MASS)


def temperature(text):
    return parse_toleranced(text, Kind.TEMPERATURE)


def length(text):
    return parse_toleranced(text, Kind.LENGTH)


def test_equality_keeps_the_digits_and_the_unit():
    assert length("12.50 mm") != length("12.5 mm")
    assert length("1 m") != length("100 cm")
    assert length("12.5 mm") == length(" 12.5 millimetres")
    assert hash(length("12.5 mm")) == hash(length("12.5 millimetres"))
    assert length("12.5 mm") != "12.5 mm"


def test_quantities_are_in_the_authors_unit():
    value = temperature("180 ± 10 degF")
    assert value.lower_quantity.magnitude == 170.0
    assert value.upper_quantity.to("degC").magnitude == pytest.approx(87.7778, abs=1e-4)
    assert value.target_quantity.to("degC").magnitude == pytest.approx(82.2222, abs=1e-4)
    assert mass("at least 3 g").upper_quantity is None


def test_a_difference_is_a_difference_as_a_quantity():
    value = parse_toleranced("at most 18 degF", Kind.TEMPERATURE_DIFFERENCE)
    assert value.upper_quantity.to("K").magnitude == pytest.approx(10.0)
    rate = parse_toleranced("at most 3 degF/min", Kind.RAMP_RATE)
    assert rate.upper_quantity.to("K/h").magnitude == pytest.approx(100.0)


def test_a_count_is_a_pure_number_as_a_quantity():
    assert parse_toleranced("5 discs", Kind.COUNT).target_quantity.to("").magnitude == 5.0


def test_bounds_and_band_in_another_unit():
    value = temperature("180 ± 10 degF")
    low, high = value.bounds_in("degC")
    assert low == D("76.66666666666666666666666667")
    assert high == D("87.77777777777777777777777777")
    assert value.band_in("K") == D("11.11111111111111111111111111")
    assert length("at most 1 in").bounds_in("mm") == (None, D("25.4"))
    assert length("at most 1 in").band_in("mm") is None
    assert length("1 in").bounds_in("mm") == (None, None)
    with pytest.raises(QuantityError, match="does not convert"):
        mass("26 ± 1 g").bounds_in("mm")


def test_parts_by_weight_and_by_volume_do_not_convert():
    parts = parse_toleranced("26 ± 1 pbw", Kind.RATIO)
    with pytest.raises(QuantityError, match="does not convert"):
        parts.bounds_in("pbv")


@pytest.mark.parametrize(
    ("text", "nominal"),
    [
        ("26 +4/-2 g", "26"),
        ("18 to 25 g", "21.5"),
        ("at least 3 g", "3"),
        ("at most 4 g", "4"),
        ("5 g", "5"),
    ],
)
def test_nominal(text, nominal):
    assert mass(text).nominal == D(nominal)
    assert mass(text).nominal_quantity.to("g").magnitude == float(nominal)


@pytest.mark.parametrize(
    ("outer", "inner", "expected"),
    [
        ("25 to 27 g", "26 ± 1 g", True),
        ("25 to 27 g", "26.5 ± 1 g", False),
        ("25 to 27 g", "at least 26 g", False),
        ("at least 25 g", "at least 0.025 kg", True),
        ("at least 25 g", "24 g", False),
        ("at most 1 kg", "10 to 999 g", True),
        ("26 g", "26.0 g", True),
        ("26 g", "26 ± 1 g", False),
    ],
)
def test_contains(outer, inner, expected):
    assert mass(outer).contains(mass(inner)) is expected


def test_contains_only_the_same_kind():
    stress = parse_toleranced("at least 5 MPa", Kind.STRESS)
    pressure = parse_toleranced("6 MPa", Kind.PRESSURE)
    with pytest.raises(QuantityError, match="stress and pressure do not compare"):
        stress.contains(pressure)


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("180 ± 9 degF", "180 degF ± 5 K", True),
        ("23 ± 5 degC", "73.4 ± 9 degF", True),
        ("23 ± 5 degC", "296.15 ± 5 K", True),
        ("180 ± 10 degF", "82.2 ± 5.6 degC", False),
        ("170 to 190 degF", "180 ± 10 degF", False),
        ("at least 32 degF", "at least 0 degC", True),
        ("at least 32 degF", "at most 0 degC", False),
    ],
)
def test_same_meaning(first, second, expected):
    assert same_meaning(temperature(first), temperature(second)) is expected
    assert same_meaning(temperature(second), temperature(first)) is expected


def test_same_meaning_needs_the_same_kind_and_noun():
    assert not same_meaning(
        parse_toleranced("5 MPa", Kind.STRESS), parse_toleranced("5 MPa", Kind.PRESSURE)
    )
    assert not same_meaning(
        parse_toleranced("5 discs", Kind.COUNT), parse_toleranced("5 coats", Kind.COUNT)
    )
    assert same_meaning(length("12.50 mm"), length("1.25 cm"))
