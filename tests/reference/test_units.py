"""
Conversion against published factors, and against pint's own default registry as the referee.

Factors: NIST SP 811 (2008), Appendix B.8; exact values from memory except those of the pound, the
pound-force, the US gallon and the cubic inch, which were found quoted from SP 811 and NIST
Handbook 44, Appendix C. Temperatures: the formulas of SP 811, B.9.
"""

import math
import random
from fractions import Fraction

import pint
import pytest

from speccomp.quantities import KINDS, Kind, get_registry, parse_toleranced, quantity
from speccomp.quantities.units import convert

# number, unit, unit wanted, exact number there, as printed in SP 811 B.8 (None: not in the table)
EXACT_FACTORS = [
    ("1", "in", "mm", "25.4", (2.54e-2, "m")),
    ("1", "mil", "µm", "25.4", (2.54e-5, "m")),
    ("1", "lb", "kg", "0.45359237", (4.535924e-1, "kg")),
    ("1", "oz", "g", "28.349523125", (2.834952e-2, "kg")),
    ("1", "grain", "mg", "64.79891", (6.479891e-5, "kg")),
    ("1", "lbf", "N", "4.4482216152605", (4.448222, "N")),
    ("1", "gal", "L", "3.785411784", (3.785412e-3, "m3")),
    ("1", "qt", "L", "0.946352946", (9.463529e-4, "m3")),
    ("1", "pt", "L", "0.473176473", (4.731765e-4, "m3")),
    ("1", "fl oz", "mL", "29.5735295625", (2.957353e-5, "m3")),
    ("1", "cup", "mL", "236.5882365", (2.365882e-4, "m3")),
    ("1", "imp gal", "L", "4.54609", (4.54609e-3, "m3")),
    ("1", "in3", "mL", "16.387064", (1.638706e-5, "m3")),
    ("1", "ft3", "L", "28.316846592", (2.831685e-2, "m3")),
    ("1", "atm", "kPa", "101.325", (1.01325e5, "Pa")),
    ("1", "P", "Pa·s", "0.1", (1e-1, "Pa·s")),
    ("1", "short ton", "kg", "907.18474", (9.071847e2, "kg")),
    ("231", "in3", "gal", "1", None),
    ("128", "fl oz", "gal", "1", None),
    # 50 lb, a quart of a 12.5 lb/gal product, and inches of a section: exact by arithmetic.
    ("50", "lb", "kg", "22.6796185", None),
    ("0.010", "in", "mm", "0.254", None),
    ("0.030", "in", "mm", "0.762", None),
    ("0.500", "in", "mm", "12.7", None),
    # The thermochemical calorie and the standard atmosphere in torr are definitions (SP 811 B.8).
    ("1", "kcal/mol", "J/mol", "4184", None),
    ("760", "Torr", "atm", "1", None),
]


@pytest.mark.parametrize(("number", "unit", "wanted", "exact", "printed"), EXACT_FACTORS)
def test_exact_factors(number, unit, wanted, exact, printed):
    assert convert(Fraction(number), unit, wanted) == Fraction(exact)
    if printed is not None:
        seven_digits, coherent = printed
        value = float(convert(Fraction(number), unit, coherent))
        assert float(f"{value:.6e}") == seven_digits


# Computed from the exact definitions; the seven digits of SP 811 B.8 beside them.
ROUNDED_FACTORS = [
    ("1", "psi", "Pa", 6894.757293168, 1e-6),
    ("1", "MPa", "psi", 145.0377377302, 1e-8),
    ("1", "lb/gal", "kg/L", 0.1198264273169, 1e-12),
    ("1", "lb/ft3", "kg/m3", 16.01846337396, 1e-9),
    # Conventional inch of mercury, 3.386 389 E+03 Pa; the one at 60 degF is 3.37685 kPa.
    ("1", "inHg", "kPa", 3.386389, 1e-6),
    ("1", "mmHg", "Pa", 133.322387415, 1e-6),
    ("1", "Torr", "Pa", 133.322368421, 1e-6),
    ("2000", "psi", "MPa", 13.7895, 1e-4),
    ("4000", "psi", "MPa", 27.5790, 1e-4),
    ("5000", "psi", "MPa", 34.4738, 1e-4),
    ("8000", "psi", "MPa", 55.1581, 1e-4),
    ("220", "psi", "MPa", 1.51685, 1e-5),
    ("300", "psi", "MPa", 2.06843, 1e-5),
    ("450", "psi", "MPa", 3.10264, 1e-5),
    ("12.5", "lb/gal", "kg/L", 1.4978303, 1e-7),
    ("28", "inHg", "kPa", 94.8189, 1e-3),
    ("29.92", "inHg", "kPa", 101.3207, 1e-3),
    ("29.9213", "inHg", "kPa", 101.325, 1e-3),
    ("6000", "psi/min", "MPa/s", 0.68948, 1e-5),
    # Water at 20 degC and 1 atm, 998.207 kg/m3 (computed with CoolProp).
    ("998.207", "kg/m3", "lb/ft3", 62.316, 1e-3),
    ("998.207", "kg/m3", "lb/gal", 8.3304, 1e-3),
]


@pytest.mark.parametrize(("number", "unit", "wanted", "expected", "tolerance"), ROUNDED_FACTORS)
def test_compound_factors(number, unit, wanted, expected, tolerance):
    assert float(convert(Fraction(number), unit, wanted)) == pytest.approx(expected, abs=tolerance)


def test_three_inches_of_mercury_are_told_apart():
    """SP 811 B.8, from memory: at 32 degF 3.38638 kPa, at 60 degF 3.37685 kPa."""
    inch = float(convert(Fraction(1), "inHg", "kPa"))
    assert inch == pytest.approx(3.38638, abs=1e-5)
    assert inch != pytest.approx(3.37685, rel=2e-3)
    assert float(convert(Fraction("29.92"), "inHg", "kPa")) != pytest.approx(101.325, abs=1e-3)


def test_a_quart_of_a_product_weighed_by_the_gallon():
    mass = quantity(12.5, "lb/gal") * quantity(1, "qt")
    assert mass.to("lb").magnitude == pytest.approx(3.125, rel=1e-12)
    assert mass.to("kg").magnitude == pytest.approx(1.41747616, abs=1e-8)


# degF, degC: SP 811 B.9, t/degC = (t/degF - 32)/1.8; arithmetic.
POINTS = [
    (-40, -40),
    (32, 0),
    (50, 10),
    (68, 20),
    (70, 21.1111),
    (73.4, 23),
    (77, 25),
    (90, 32.2222),
    (100, 37.7778),
    (120, 48.8889),
    (150, 65.5556),
    (180, 82.2222),
    (190, 87.7778),
    (200, 93.3333),
    (212, 100),
    (220, 104.4444),
    (250, 121.1111),
    (350, 176.6667),
    (500, 260),
]


@pytest.mark.parametrize(("fahrenheit", "celsius"), POINTS)
def test_temperature_points(fahrenheit, celsius):
    exact = convert(Fraction(str(fahrenheit)), "degF", "degC", point=True)
    assert float(exact) == pytest.approx(celsius, abs=5e-5)
    assert exact == celsius or celsius != int(celsius)
    through_pint = quantity(fahrenheit, "degF").to("degC").magnitude
    assert through_pint == pytest.approx(celsius, abs=5e-5)


# Differences and rates: 1 degF is 5.555 556 E-01 K in SP 811 B.8 (from memory); arithmetic.
DIFFERENCES = [
    ("18", "degF", "K", 10.0),
    ("1", "degF", "K", 0.5555556),
    ("2", "degF", "K", 1.1111111),
    ("5", "degF", "K", 2.7777778),
    ("10", "degF", "K", 5.5555556),
    ("25", "degF", "K", 13.8888889),
    ("50", "degF", "K", 27.7777778),
    ("3", "degF/min", "K/h", 100.0),
    ("50", "degF/h", "K/h", 27.7777778),
    ("25", "degF", "K", 13.8888889),
    ("2.2", "degC", "degF", 3.96),
    ("1.1", "degC", "degF", 1.98),
]


@pytest.mark.parametrize(("number", "unit", "wanted", "expected"), DIFFERENCES)
def test_temperature_differences(number, unit, wanted, expected):
    assert float(convert(Fraction(number), unit, wanted)) == pytest.approx(expected, abs=5e-8)
    made = quantity(float(number), unit, Kind.TEMPERATURE_DIFFERENCE)
    there = quantity(1.0, wanted, Kind.TEMPERATURE_DIFFERENCE)
    assert (made / there).to("").magnitude == pytest.approx(expected, abs=5e-8)


def test_a_tolerance_in_fahrenheit_is_a_difference():
    """200 ± 10 degF is 93.333 ± 5.556 degC; through the offset it would be ± -12.2 (arithmetic)."""
    value = parse_toleranced("200 ± 10 degF", Kind.TEMPERATURE)
    low, high = (float(limit) for limit in value.bounds_in("degC"))
    assert (low + high) / 2 == pytest.approx(93.3333, abs=5e-5)
    assert (high - low) / 2 == pytest.approx(5.5556, abs=5e-5)
    assert float(value.band_in("K")) == pytest.approx(11.1111, abs=5e-5)


def test_how_long_a_ramp_takes():
    """Arithmetic: 126 degF at 50 degF/h; 70 K at 0.5 K/min and at 28 K/h."""
    rise = quantity(203, "degF") - quantity(77, "degF")
    assert (rise / quantity(50, "degF/h")).to("h").magnitude == pytest.approx(2.52)
    same = quantity(95, "degC") - quantity(25, "degC")
    assert (same / quantity(27.77777778, "K/h")).to("h").magnitude == pytest.approx(2.52)
    assert (same / quantity(0.5, "degC/min")).to("min").magnitude == pytest.approx(140)
    assert (same / quantity(28, "degC/h")).to("h").magnitude == pytest.approx(2.5)


# What pint's default registry calls our units, where it does not know them by the same name.
REFEREE_NAMES = {
    "%": "percent",
    "% RH": "percent",
    "µm": "um",
    "mil": "thou",
    "fl oz": "US_fluid_ounce",
    "gal": "gallon",
    "qt": "quart",
    "pt": "pint",
    "cup": "cup",
    "imp gal": "imperial_gallon",
    "short ton": "short_ton",
    "t": "metric_ton",
    "weeks": "week",
    "months": "month",
    "years": "year",
    "P": "poise",
    "cP": "centipoise",
    "Torr": "torr",
    "lb": "pound",
    "lbf": "force_pound",
    "ozf": "force_ounce",
    "h": "hour",
    "d": "day",
    "rpm": "revolution/minute",
    "rev": "revolution",
    "deg": "degree",
    "µL": "uL",
    "µA": "uA",
    "ohm": "ohm",
    "mohm": "milliohm",
    "kohm": "kiloohm",
    "Mohm": "megaohm",
    "Gohm": "gigaohm",
    "cm3": "cm**3",
    "mm3": "mm**3",
    "m3": "m**3",
    "in3": "inch**3",
    "ft3": "foot**3",
    "cm2": "cm**2",
    "mm2": "mm**2",
    "m2": "m**2",
    "in2": "inch**2",
    "ft2": "foot**2",
    "in": "inch",
    "ft": "foot",
    "kcal": "kilocalorie",
    "pbw": "dimensionless",
    "pbv": "dimensionless",
    "inHg": "inch_Hg",
    "mmHg": "millimeter_Hg",
}


def referee_name(unit, kind):
    if kind is Kind.TEMPERATURE or not unit:
        return unit or "dimensionless"
    names = {**REFEREE_NAMES, "degC": "delta_degC", "degF": "delta_degF"}
    return "/".join(
        "*".join(f"({names.get(part, part)})" for part in above.split("·"))
        for above in unit.split("/")
    )


@pytest.fixture(scope="module")
def referee():
    return pint.UnitRegistry()


@pytest.mark.parametrize("kind", [kind for kind in Kind if kind is not Kind.COUNT])
def test_every_conversion_agrees_with_the_default_registry(kind, referee):
    draw = random.Random(kind.value)
    for unit in KINDS[kind].units:
        for wanted in KINDS[kind].units:
            if unit != wanted and {"pbw", "pbv"} & {unit, wanted}:
                continue
            number = round(draw.uniform(0, 1000), 3)
            theirs = referee.Quantity(number, referee_name(unit, kind))
            expected = theirs.to(referee_name(wanted, kind)).magnitude
            point = kind is Kind.TEMPERATURE
            ours = float(convert(Fraction(str(number)), unit, wanted, point=point))
            assert math.isclose(ours, expected, rel_tol=1e-9, abs_tol=1e-9 * point), (unit, wanted)


@pytest.mark.parametrize("kind", [kind for kind in Kind if kind not in (Kind.COUNT, Kind.RATIO)])
def test_the_registry_agrees_with_the_exact_table(kind):
    draw = random.Random(kind.value)
    for unit in KINDS[kind].units:
        wanted = draw.choice(KINDS[kind].units)
        number = round(draw.uniform(0, 1000), 3)
        target = quantity(1.0, wanted, kind).units
        through_pint = quantity(number, unit, kind).to(target).magnitude
        point = kind is Kind.TEMPERATURE
        exact = float(convert(Fraction(str(number)), unit, wanted, point=point))
        assert math.isclose(through_pint, exact, rel_tol=1e-9, abs_tol=1e-9 * point)


def test_the_traps_of_the_default_registry_are_closed(referee):
    """In the default one `mil` is a millilitre and 60 rpm are 6.28 Hz; here they are not."""
    assert referee.Quantity(60.0, "rpm").to("Hz").magnitude == pytest.approx(2 * math.pi)
    assert not referee.Quantity(1.0, "mil").check("[length]")
    assert get_registry().Quantity(1.0, "mil").check("[length]")
    assert "Hz" not in get_registry()
