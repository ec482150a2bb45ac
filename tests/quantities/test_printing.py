from decimal import Decimal

import pytest

from speccomp.quantities import (
    KINDS,
    Kind,
    PrintUnits,
    QuantityError,
    System,
    get_registry,
    parse_toleranced,
    print_toleranced,
    print_value,
    printed_limits,
    quantity,
)

SI = PrintUnits.for_system("SI")
US = PrintUnits.for_system("US customary")


def plain(text):
    """No-break spaces as ordinary ones, so that the expected text can be read."""
    return text.replace("\u00a0", " ")


# text, kind, in SI, in US customary
PRINTED = [
    ("26 +/- 1 g", Kind.MASS, "26 ± 1 g", "0.917 oz, 0.882 to 0.952 oz [26 ± 1 g]"),
    ("26 g ± 4 %", Kind.MASS, "26 g ± 4 %, 24.96 to 27.04 g", None),
    ("12.50 ± 0.10 mm", Kind.LENGTH, "12.50 ± 0.10 mm", None),
    ("50 lb", Kind.MASS, "22.7 kg [50 lb]", "50 lb"),
    (
        "180 ± 10 degF",
        Kind.TEMPERATURE,
        "82.2 °C, 76.7 to 87.7 °C [180 ± 10 °F]",
        "180 ± 10 °F",
    ),
    (
        "180 degF ± 6 K",
        Kind.TEMPERATURE,
        "82.2 °C, 76.3 to 88.2 °C [180 °F ± 6 K]",
        "180 °F ± 6 K, 169.2 to 190.8 °F",
    ),
    (
        "82 degC ± 10 degF",
        Kind.TEMPERATURE,
        "82 °C ± 10 °F, 76.5 to 87.5 °C",
        "180 °F, 170 to 189 °F [82 °C ± 10 °F]",
    ),
    (
        "82 +5/-3 degC",
        Kind.TEMPERATURE,
        "82 +5/−3 °C",
        "179.6 °F, 174.2 to 188.6 °F [82 +5/−3 °C]",
    ),
    ("-40 to 5 degC", Kind.TEMPERATURE, "−40 to 5 °C", "−40 to 41 °F [−40 to 5 °C]"),
    ("355 K", Kind.TEMPERATURE, "81.8 °C [355 K]", "179 °F [355 K]"),
    ("at most 18 degF", Kind.TEMPERATURE_DIFFERENCE, "at most 10 K [at most 18 °F]", None),
    ("at most 1 K/min", Kind.RAMP_RATE, "at most 1 K/min", "at most 1.8 °F/min [at most 1 K/min]"),
    ("at least 4000 psi", Kind.STRESS, "at least 27.580 MPa [at least 4000 psi]", None),
    ("at most 4000 psi", Kind.STRESS, "at most 27.579 MPa [at most 4000 psi]", None),
    ("80 ± 5 psi", Kind.PRESSURE, "552 kPa, 518 to 586 kPa [80 ± 5 psi]", "80 ± 5 psi"),
    ("at most 0.5 in", Kind.LENGTH, "at most 12.7 mm [at most 0.5 in]", "at most 0.5 in"),
    ("at most 25.4 mm", Kind.LENGTH, None, "at most 1.00 in [at most 25.4 mm]"),
    ("at most 0.5 mm", Kind.LENGTH, None, "at most 0.0196 in [at most 0.5 mm]"),
    ("at least 32 degF", Kind.TEMPERATURE, "at least 0 °C [at least 32 °F]", None),
    ("10 mil", Kind.LENGTH, "254 µm [10 mil]", "10 mil"),
    ("12.5 lb/gal", Kind.DENSITY, "1.50 kg/L [12.5 lb/gal]", "12.5 lb/gal"),
    ("18–24 h", Kind.TIME, "18 to 24 h", "18 to 24 h"),
    ("6.2 ± 0.4 cm3", Kind.VOLUME, "6.2 ± 0.4 cm³", None),
    ("5 fl oz", Kind.VOLUME, "148 mL [5 fl oz]", "5 fl oz"),
    ("40 to 60 Pa.s", Kind.VISCOSITY, "40 to 60 Pa·s", "40000 to 60000 cP [40 to 60 Pa·s]"),
    ("1 kohm", Kind.RESISTANCE, "1 kΩ", "1 kΩ"),
    ("45 ± 2 deg", Kind.ANGLE, "45 ± 2°", "45 ± 2°"),
    ("50 ± 5 %RH", Kind.HUMIDITY, "50 ± 5 % RH", "50 ± 5 % RH"),
    ("26 pbw ± 4 %", Kind.RATIO, "26 pbw ± 4 %, 24.96 to 27.04 pbw", None),
    ("26 ± 1", Kind.RATIO, "26 ± 1", "26 ± 1"),
    ("at least 5 test discs", Kind.COUNT, "at least 5 test discs", "at least 5 test discs"),
    ("2.5e-10 m2/s", Kind.DIFFUSIVITY, "2.5 × 10⁻¹⁰ m²/s", "2.5 × 10⁻¹⁰ m²/s"),
    ("1 year", Kind.TIME, "1 year", "1 year"),
    ("6 months", Kind.TIME, "6 months", "6 months"),
]


@pytest.mark.parametrize(("text", "kind", "si", "us"), PRINTED)
def test_print_toleranced(text, kind, si, us):
    value = parse_toleranced(text, kind)
    if si is not None:
        assert plain(print_toleranced(value, SI)) == si
    if us is not None:
        assert plain(print_toleranced(value, US)) == us


def test_no_line_breaks_between_a_number_and_its_unit():
    value = parse_toleranced("26 ± 1 fl oz", Kind.VOLUME)
    assert print_toleranced(value, US) == "26\u00a0±\u00a01\u00a0fl\u00a0oz"


def test_an_exception_decides_for_its_kind():
    units = PrintUnits.for_system("SI", {"mass": "kilogram", "pressure": "mbar"})
    assert units.system is System.SI
    assert units.unit_for(Kind.MASS, "g") == "kg"
    assert units.unit_for(Kind.MASS, "lb") == "kg"
    assert units.unit_for(Kind.LENGTH, "in") == "mm"
    value = parse_toleranced("500 ± 10 g", Kind.MASS)
    assert plain(print_toleranced(value, units)) == "0.500 kg, 0.490 to 0.510 kg [500 ± 10 g]"
    assert plain(print_value(quantity(101325, "Pa"), Kind.PRESSURE, units, 5)) == "1013.2 mbar"


@pytest.mark.parametrize(
    ("system", "overrides", "message", "hint"),
    [
        ("imperial", {}, "`imperial` is not a system", "`SI` or `US customary`"),
        ("SI", {"weight": "g"}, "`weight` is not a kind", "`mass`"),
        ("SI", {"mass": "mm"}, "`mm` is not a unit of mass", "`kg`"),
        ("SI", {"ratio": "pbw"}, "printed as written", ""),
    ],
)
def test_wrong_print_units(system, overrides, message, hint):
    with pytest.raises(QuantityError, match=message) as caught:
        PrintUnits.for_system(system, overrides)
    assert hint in caught.value.hint


def test_printed_limits_are_those_printed():
    value = parse_toleranced("180 ± 10 degF", Kind.TEMPERATURE)
    assert printed_limits(value, SI) == (Decimal("76.7"), Decimal("87.7"), "degC")
    assert printed_limits(value, US) == (Decimal(170), Decimal(190), "degF")
    note = parse_toleranced("180 degF", Kind.TEMPERATURE)
    assert printed_limits(note, SI) == (None, None, "degC")


def test_a_target_near_a_limit_stays_between_the_limits():
    value = parse_toleranced("180.1 +0.01/-10 degF", Kind.TEMPERATURE)
    low, high, _ = printed_limits(value, SI)
    printed = plain(print_toleranced(value, SI))
    assert low <= Decimal(printed.split(" ")[0]) <= high


@pytest.mark.parametrize(
    ("value", "unit", "kind", "arguments", "expected"),
    [
        (0.1 + 0.2, "g", Kind.MASS, (3, "up"), "0.300 g"),
        (1.0051, "g", Kind.MASS, (3, "down"), "1.00 g"),
        (1.0051, "g", Kind.MASS, (3, "up"), "1.01 g"),
        (9.996, "g", Kind.MASS, (3,), "10.0 g"),
        (12345, "g", Kind.MASS, (3,), "12300 g"),
        (0, "g", Kind.MASS, (3,), "0 g"),
        (-3.14159, "mm", Kind.LENGTH, (3,), "−3.14 mm"),
        (50, "lb", Kind.MASS, (4,), "22.68 kg"),
        (95.5, "degC", Kind.TEMPERATURE, (3,), "95.5 °C"),
        (368.65, "K", Kind.TEMPERATURE, (3,), "95.5 °C"),
        (32.00000000000006, "degF", Kind.TEMPERATURE, (3, "up"), "0 °C"),
        (5, "K", Kind.TEMPERATURE_DIFFERENCE, (2,), "5.0 K"),
        (9, "degF", Kind.TEMPERATURE_DIFFERENCE, (2,), "5.0 K"),
        (1 / 60, "K/s", Kind.RAMP_RATE, (3,), "1.00 K/min"),
        (83437.2, "Pa", Kind.PRESSURE, (3,), "83.4 kPa"),
        (45, "s", Kind.TIME, (3,), "45.0 s"),
        (2700, "s", Kind.TIME, (3,), "45.0 min"),
        (86400, "s", Kind.TIME, (3,), "24.0 h"),
        (100, "h", Kind.TIME, (3,), "100 h"),
        (0.026, "", Kind.FRACTION, (2,), "2.6 %"),
        (41.2, "", Kind.COUNT, (3, "up"), "42"),
        (1234, "", Kind.COUNT, (2,), "1234"),
        (100, "", Kind.RATIO, (3,), "100"),
    ],
)
def test_print_value(value, unit, kind, arguments, expected):
    made = quantity(value, unit, kind)
    assert plain(print_value(made, kind, SI, *arguments)) == expected


def test_print_value_in_customary_units():
    assert plain(print_value(quantity(100, "degC"), Kind.TEMPERATURE, US)) == "212 °F"
    assert plain(print_value(quantity(5, "K"), Kind.TEMPERATURE_DIFFERENCE, US)) == "9.00 °F"
    assert plain(print_value(quantity(28, "MPa"), Kind.STRESS, US)) == "4060 psi"


def test_print_value_of_a_product_of_units():
    product = quantity(2.1, "g/cm3") * quantity(6.2, "cm3")
    assert plain(print_value(product, Kind.MASS, SI)) == "13.0 g"
    speed = get_registry().Quantity(1.0, "rev/min")
    assert plain(print_value(speed, Kind.ROTATION_SPEED, SI)) == "1.00 rpm"


@pytest.mark.parametrize(
    ("value", "kind"),
    [
        (quantity(5, "mm"), Kind.MASS),
        (quantity(5, "degC"), Kind.TEMPERATURE_DIFFERENCE),
        (quantity(5, "degC", Kind.TEMPERATURE_DIFFERENCE), Kind.TEMPERATURE),
        (quantity(float("nan"), "g"), Kind.MASS),
        (quantity(float("inf"), "g"), Kind.MASS),
    ],
)
def test_print_value_refuses(value, kind):
    with pytest.raises(QuantityError, match="is not a"):
        print_value(value, kind, SI)


@pytest.mark.parametrize("kind", Kind)
@pytest.mark.parametrize("units", [SI, US])
def test_every_unit_has_a_print_unit_that_the_system_keeps(kind, units):
    for unit in KINDS[kind].units:
        printed = units.unit_for(kind, unit)
        assert printed in KINDS[kind].units
        assert units.unit_for(kind, printed) == printed
    assert units.unit_for(kind, units.default_unit(kind)) == units.default_unit(kind)
