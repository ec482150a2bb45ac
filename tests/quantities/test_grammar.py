from decimal import Decimal

import pytest

from speccomp.quantities import Form, Kind, format_toleranced, parse_toleranced

D = Decimal

# text, kind, canonical text, lower, upper
READ = [
    ("26 ± 1 g", Kind.MASS, "26 ± 1 g", "25", "27"),
    ("26 +/- 1 g", Kind.MASS, "26 ± 1 g", "25", "27"),
    ("26 +- 1 g", Kind.MASS, "26 ± 1 g", "25", "27"),
    ("26±1g", Kind.MASS, "26 ± 1 g", "25", "27"),
    ("  26 g ±\u00a01 g ", Kind.MASS, "26 ± 1 g", "25", "27"),
    ("26 g ± 4 %", Kind.MASS, "26 g ± 4 %", "24.96", "27.04"),
    ("26 g +4/-2 %", Kind.MASS, "26 g +4/-2 %", "25.48", "27.04"),
    ("2 kg ± 50 g", Kind.MASS, "2 kg ± 50 g", "1.95", "2.05"),
    ("26.0 ± 0.05 g", Kind.MASS, "26.0 ± 0.05 g", "25.95", "26.05"),
    ("82 +5/-3 degC", Kind.TEMPERATURE, "82 +5/-3 degC", "79", "87"),
    ("82 +5 -3 °C", Kind.TEMPERATURE, "82 +5/-3 degC", "79", "87"),
    ("82 +5/−3 ℃", Kind.TEMPERATURE, "82 +5/-3 degC", "79", "87"),
    ("82 -3/+5 degC", Kind.TEMPERATURE, "82 +5/-3 degC", "79", "87"),
    ("82 +0/-3 degC", Kind.TEMPERATURE, "82 +0/-3 degC", "79", "82"),
    ("82 +5/-5 deg C", Kind.TEMPERATURE, "82 ± 5 degC", "77", "87"),
    ("180 degF ± 10 degF", Kind.TEMPERATURE, "180 ± 10 degF", "170", "190"),
    ("180 degF ± 6 K", Kind.TEMPERATURE, "180 degF ± 6 K", "169.2", "190.8"),
    ("82 degC +9/-18 degF", Kind.TEMPERATURE, "82 degC +9/-18 degF", "72", "87"),
    ("-40 ± 2 °F", Kind.TEMPERATURE, "-40 ± 2 degF", "-42", "-38"),
    ("18 to 24 h", Kind.TIME, "18 to 24 h", "18", "24"),
    ("18to24 hours", Kind.TIME, "18 to 24 h", "18", "24"),
    ("18–24 h", Kind.TIME, "18 to 24 h", "18", "24"),
    ("18 h – 24 h", Kind.TIME, "18 to 24 h", "18", "24"),
    ("-5 to +5 K", Kind.TEMPERATURE_DIFFERENCE, "-5 to 5 K", "-5", "5"),
    ("at least 3 min", Kind.TIME, "at least 3 min", "3", None),
    ("At  Least 3 min", Kind.TIME, "at least 3 min", "3", None),
    ("≥ 3 min", Kind.TIME, "at least 3 min", "3", None),
    (">=3 minutes", Kind.TIME, "at least 3 min", "3", None),
    ("at most 0.5 mm", Kind.LENGTH, "at most 0.5 mm", None, "0.5"),
    ("≤ 0.5 mm", Kind.LENGTH, "at most 0.5 mm", None, "0.5"),
    ("<= 0.5 mm", Kind.LENGTH, "at most 0.5 mm", None, "0.5"),
    ("3 min", Kind.TIME, "3 min", None, None),
    ("6.2 ± 0.4 cm³", Kind.VOLUME, "6.2 ± 0.4 cm3", "5.8", "6.6"),
    ("26 ± 1", Kind.RATIO, "26 ± 1", "25", "27"),
    ("26 pbw ± 4 %", Kind.RATIO, "26 pbw ± 4 %", "24.96", "27.04"),
    ("26 % ± 4 %", Kind.RATIO, "26 % ± 4 %", "22", "30"),
    ("50 ± 5 %", Kind.HUMIDITY, "50 ± 5 %", "45", "55"),
    ("50 % RH ± 5 %", Kind.HUMIDITY, "50 ± 5 % RH", "45", "55"),
    ("0 ± 0.5 %", Kind.FRACTION, "0 ± 0.5 %", "-0.5", "0.5"),
    ("0 ± 0.5 mm", Kind.LENGTH, "0 ± 0.5 mm", "-0.5", "0.5"),
    ("20 ± 2 test discs", Kind.COUNT, "20 ± 2 test discs", "18", "22"),
    ("5", Kind.COUNT, "5", None, None),
    ("20 pcs ± 10 %", Kind.COUNT, "20 pcs ± 10 %", "18", "22"),
    ("2.5e-10 m2/s", Kind.DIFFUSIVITY, "2.5e-10 m2/s", None, None),
    ("1 month", Kind.TIME, "1 month", None, None),
    ("at most 2 degC/min", Kind.RAMP_RATE, "at most 2 degC/min", None, "2"),
    ("at least 0 g", Kind.MASS, "at least 0 g", "0", None),
    ("0.001 % to 0.1 %", Kind.FRACTION, "0.001 to 0.1 %", "0.001", "0.1"),
]


@pytest.mark.parametrize(("text", "kind", "canonical", "lower", "upper"), READ)
def test_reads_every_form(text, kind, canonical, lower, upper):
    value = parse_toleranced(text, kind)
    assert value.kind is kind
    assert value.lower == (None if lower is None else D(lower))
    assert value.upper == (None if upper is None else D(upper))
    assert value.is_limit == (lower is not None or upper is not None)
    assert value.text == text
    assert format_toleranced(value) == canonical
    assert parse_toleranced(canonical, kind) == value


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("26 ± 1 g", Form.PLUS_MINUS),
        ("25 to 27 g", Form.RANGE),
        ("at least 25 g", Form.AT_LEAST),
        ("at most 27 g", Form.AT_MOST),
        ("26 g", Form.EXACT),
    ],
)
def test_form(text, form):
    assert parse_toleranced(text, Kind.MASS).form is form


def test_keeps_the_numbers_of_a_tolerance():
    value = parse_toleranced("180 degF +10/-5.0 K", Kind.TEMPERATURE)
    assert (value.target, value.plus, value.minus) == (D(180), D(10), D("5.0"))
    assert (value.unit, value.tolerance_unit) == ("degF", "K")


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("26 ± 1 g", Kind.MASS),
        ("18 to 24 h", Kind.TIME),
        ("60 ± 10 rpm", Kind.ROTATION_SPEED),
        ("at most 1 K/min", Kind.RAMP_RATE),
        ("2 degC/min", Kind.RAMP_RATE),
        ("50 ± 5 % RH", Kind.HUMIDITY),
        ("1.2 ± 0.1 N·m", Kind.TORQUE),
        ("28 N/mm2", Kind.STRESS),
        ("28 inHg", Kind.PRESSURE),
        ("5 discs", Kind.COUNT),
        ("26 pbw", Kind.RATIO),
        ("12.5 lb/gal", Kind.DENSITY),
        ("45 ± 5 kJ/mol", Kind.ACTIVATION_ENERGY),
    ],
)
def test_kind_follows_from_a_unit_that_leaves_no_choice(text, kind):
    assert parse_toleranced(text, None).kind is kind


@pytest.mark.parametrize(
    ("text", "kind", "unit"),
    [
        ("5 μm", Kind.LENGTH, "µm"),
        ("5 µm", Kind.LENGTH, "µm"),
        ("5 um", Kind.LENGTH, "µm"),
        ("5 mil", Kind.LENGTH, "mil"),
        ("5 thou", Kind.LENGTH, "mil"),
        ('5"', Kind.LENGTH, "in"),
        ("5 in.", Kind.LENGTH, "in"),
        ("5'", Kind.LENGTH, "ft"),
        ("5 lbs", Kind.MASS, "lb"),
        ("5 fl. oz", Kind.VOLUME, "fl oz"),
        ("5 cc", Kind.VOLUME, "cm3"),
        ("5 cm^3", Kind.VOLUME, "cm3"),
        ("5 qts", Kind.VOLUME, "qt"),
        ("5 Pa.s", Kind.VISCOSITY, "Pa·s"),
        ("5 Pa s", Kind.VISCOSITY, "Pa·s"),
        ("5 mPa*s", Kind.VISCOSITY, "mPa·s"),
        ("5 N m", Kind.TORQUE, "N·m"),
        ("5 Nm", Kind.TORQUE, "N·m"),
        ("5 N-m", Kind.TORQUE, "N·m"),
        ("5 ft-lb", Kind.TORQUE, "lbf·ft"),
        ("5 in-lbf", Kind.TORQUE, "lbf·in"),
        ("5 lbf/in²", Kind.STRESS, "psi"),
        ("5 r/min", Kind.ROTATION_SPEED, "rpm"),
        ("5 Ω", Kind.RESISTANCE, "ohm"),
        ("5 kΩ", Kind.RESISTANCE, "kohm"),
        ("5 M\u2126", Kind.RESISTANCE, "Mohm"),
        ("5 °", Kind.ANGLE, "deg"),
        ("5 degC per minute", Kind.RAMP_RATE, "degC/min"),
        ("5 °C / h", Kind.RAMP_RATE, "degC/h"),
        ("5 ℉/min", Kind.RAMP_RATE, "degF/min"),
        ("5 gpm", Kind.FLOW_RATE, "gal/min"),
        ("5 %RH", Kind.HUMIDITY, "% RH"),
        ("5 per cent", Kind.FRACTION, "%"),
        ("5 parts by weight", Kind.RATIO, "pbw"),
        ("5 ml/min", Kind.FLOW_RATE, "mL/min"),
    ],
)
def test_spellings_of_units(text, kind, unit):
    assert parse_toleranced(text, kind).unit == unit
