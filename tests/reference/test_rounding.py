"""Rounding to nearest and to the safe side against published examples."""

from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from speccomp.quantities import (
    Kind,
    PrintUnits,
    parse_toleranced,
    print_toleranced,
    printed_limits,
    round_half_even,
    round_inward,
    round_significant,
    round_to_place,
)
from speccomp.quantities.rounding import converted_place
from speccomp.quantities.units import convert

D = Decimal
SI = PrintUnits.for_system("SI")


@pytest.mark.parametrize(
    ("number", "digits", "expected"),
    [
        # NIST SP 811 (2008), B.7.1: 3, 5 and 7 digits (quoted), 2 and 4 by the same rules.
        ("6.9749515", 3, "6.97"),
        ("6.9749515", 5, "6.9750"),
        ("6.9749515", 7, "6.974952"),
        ("6.9749515", 2, "7.0"),
        ("6.9749515", 4, "6.975"),
        # The same, rule 3: a tie goes to the even digit.
        ("6.9749505", 7, "6.974950"),
        # ASME A112.18.1-2018/CSA B125.1-18, Annex A.2(d).
        ("1.655", 3, "1.66"),
        ("1.625", 3, "1.62"),
    ],
)
def test_significant_digits(number, digits, expected):
    assert str(round_significant(D(number), digits)) == expected


@pytest.mark.parametrize(
    ("number", "place", "expected"),
    [
        # A field sampling manual that cites ASTM E29.
        ("45.7500", "0.1", "45.8"),
        ("45.4500", "0.1", "45.4"),
        ("45.45001", "0.1", "45.5"),
        # Decimals as written: binary floats would give 0.1, 0.3, 1.1, 0.28 and 2.67.
        ("0.15", "0.1", "0.2"),
        ("0.35", "0.1", "0.4"),
        ("1.15", "0.1", "1.2"),
        ("0.285", "0.01", "0.28"),
        ("2.675", "0.01", "2.68"),
        # Contrast: the European Pharmacopoeia rounds half up, which gives 0.15 for the first.
        ("0.145", "0.01", "0.14"),
        ("0.284", "0.01", "0.28"),
    ],
)
def test_half_to_even(number, place, expected):
    assert str(round_half_even(D(number), D(place))) == expected


def test_half_up_is_another_method():
    """European Pharmacopoeia, answer of the EDQM on rounding of results: 0.145 is 0.15."""
    assert D("0.145").quantize(D("0.01"), ROUND_HALF_UP) == D("0.15")
    assert round_half_even(D("0.145"), D("0.01")) != D("0.15")


@pytest.mark.parametrize(
    ("number", "last_place", "unit", "wanted", "expected"),
    [
        # NIST SP 811 (2008), B.7.2: 36 ft is 10.9728 m, given as 11.0 m and not 11 m.
        ("36", 0, "ft", "m", "11.0"),
        # NIST LC 1137, Metric Style Guide.
        ("36", 0, "in", "cm", "91"),
        ("40.1", -1, "in", "cm", "101.9"),
    ],
)
def test_digits_of_a_converted_number(number, last_place, unit, wanted, expected):
    place = converted_place(last_place, convert(Fraction(1), unit, wanted))
    assert str(round_half_even(convert(Fraction(number), unit, wanted), place)) == expected


def test_a_bare_target_is_printed_with_the_digits_of_the_guide():
    value = parse_toleranced("36 ft", Kind.LENGTH)
    assert print_toleranced(value, SI) == "11.0\u00a0m [36\u00a0ft]"


def test_relative_rounding_error_decides_the_digits():
    """
    NIST SP 811 (2008), B.7.2: half a last digit is 1.4 % of 36, 0.45 % of 11.0, 4.5 % of 11.

    Known to the nearest inch, 36 ft has 0.23 %; the guide's note (from memory) keeps 11.0 m.
    """
    errors = {
        text: 100 * Fraction("0.5") * 10**place / Fraction(text)
        for text, place in (("36", 0), ("11.0", -1), ("11", 0))
    }
    assert round_significant(errors["36"], 2) == D("1.4")
    assert round_significant(errors["11.0"], 2) == D("0.45")
    assert round_significant(errors["11"], 2) == D("4.5")
    place = converted_place(0, convert(Fraction(1), "ft", "m"))
    coarser = Fraction(place) * 10
    assert Fraction(place) / 2 / 11 <= errors["36"] / 100 < coarser / 2 / 11
    assert round_significant(Fraction(100, 36 * 12), 2) == D("0.23")


# ASTM E29, Table 1, from memory: the observed value is rounded to the limit's last place first.
E29 = [
    ("at least", "36000", "100", [("35940", "35900"), ("35950", "36000"), ("35960", "36000")]),
    ("at least", "57", "1", [("56.4", "56"), ("56.5", "56"), ("56.6", "57")]),
    ("at most", "40", "1", [("40.4", "40"), ("40.5", "40"), ("40.6", "41")]),
    ("at most", "0.5", "0.1", [("0.54", "0.5"), ("0.55", "0.6"), ("0.56", "0.6")]),
]
E29_PASSES = [
    (False, True, True),
    (False, False, True),
    (True, True, False),
    (True, False, False),
]


@pytest.mark.parametrize(("row", "passes"), list(zip(E29, E29_PASSES, strict=True)))
def test_rounding_method_of_the_practice(row, passes):
    bound, limit, place, observed = row
    allowed = parse_toleranced(f"{bound} {limit} %", Kind.FRACTION)
    for (number, expected), conforms in zip(observed, passes, strict=True):
        rounded = round_half_even(D(number), D(place))
        assert rounded == D(expected)
        assert allowed.contains(parse_toleranced(f"{rounded} %", Kind.FRACTION)) is conforms
        # The absolute method compares the number as observed, and all of these fail it.
        assert not allowed.contains(parse_toleranced(f"{number} %", Kind.FRACTION))


# Rule: ASME A112.18.1-2018/CSA B125.1-18, Annex A.2(e), minima up and maxima down; arithmetic.
@pytest.mark.parametrize(
    ("low", "high", "inward"),
    [
        ("180", "200", ("83", "93")),
        ("65", "75", ("19", "23")),
        ("60", "90", ("16", "32")),
        ("350", "375", ("177", "190")),
        ("68", "69", ("20", "20")),
        ("69", "70", ("21", "21")),
        # No whole degree lies between 20.556 and 20.833, so tenths are taken.
        ("69", "69.5", ("20.6", "20.8")),
    ],
)
def test_inward_to_a_whole_degree(low, high, inward):
    exact = (convert(Fraction(end), "degF", "degC", point=True) for end in (low, high))
    assert tuple(str(end) for end in round_inward(*exact, D(1))) == inward


@pytest.mark.parametrize(
    ("number", "wanted", "place", "direction", "expected"),
    [
        ("4000", "MPa", "0.1", "up", "27.6"),
        ("220", "kPa", "1", "up", "1517"),
        ("220", "kPa", "1", "down", "1516"),
        # Rounded to nearest, the last one would allow more than was written.
        ("220", "kPa", "1", "nearest", "1517"),
    ],
)
def test_one_limit_to_the_safe_side(number, wanted, place, direction, expected):
    exact = convert(Fraction(number), "psi", wanted)
    assert str(round_to_place(exact, D(place), direction)) == expected


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        # The same limits as a document prints them: a tenth of the band is lost at most.
        ("180 to 200 degF", "82.3", "93.3"),
        ("65 to 75 degF", "18.4", "23.8"),
        ("60 to 90 degF", "15.6", "32.2"),
        ("350 to 375 degF", "176.7", "190.5"),
        ("68 to 69 degF", "20.00", "20.55"),
        ("69 to 69.5 degF", "20.56", "20.83"),
    ],
)
def test_inward_limits_in_print(text, low, high):
    printed = printed_limits(parse_toleranced(text, Kind.TEMPERATURE), SI)
    assert tuple(map(str, printed)) == (low, high, "degC")
