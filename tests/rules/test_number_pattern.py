"""The form of document numbers, against the regular expressions of Python, and in bounded time."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speccomp.rules.number_pattern import PatternError, parse_number_pattern


@pytest.mark.parametrize(
    ("pattern", "fitting", "others"),
    [
        ("PD-[0-9]{3}", ["PD-117"], ["PD-17", "PD-1170", "pd-117", "XPD-117", "PD-117\n", ""]),
        (r"^PD-\d{3}$", ["PD-117"], ["PD-11x"]),
        (r"(WI|CP)\.[A-Z]+-?[0-9]*", ["WI.AB", "CP.A-1", "WI.Z99"], ["WI.", "WIxA", "XX.A"]),
        ("(?:A|AB)(?:C|BCD)(D*)", ["AC", "ABCD", "ABCDD", "ABC"], ["AB", "ABBC"]),
        ("[^0-9]{2,3}|7", ["ab", "abc", "7"], ["a", "abcd", "a1", "77"]),
        ("(a{2}){2,}", ["aaaa", "aaaaaa"], ["aa", "aaa", "aaaaa"]),
        ("[]-]+", ["]-]"], ["a"]),
        ("", [""], ["a"]),
        ("(|a)b", ["b", "ab"], ["a"]),
    ],
)
def test_what_fits(pattern: str, fitting: list[str], others: list[str]) -> None:
    read = parse_number_pattern(pattern)
    assert [text for text in fitting if not read.fits(text)] == []
    assert [text for text in others if read.fits(text)] == []


@pytest.mark.parametrize(
    ("pattern", "wrong"),
    [
        ("PD-[0-9", "`[0-` at sign 4 is not taken"),
        ("PD-(", "`(` is not closed"),
        ("PD)", "closes nothing"),
        ("*A", "`*` repeats nothing"),
        ("a**", "`*` repeats nothing"),
        ("a+?", "`?` repeats nothing"),
        (r"(a)\1", r"`\1` at sign 4"),
        ("(?=a)a", "`(?=` at sign 1"),
        ("(?i)a", "`(?i` at sign 1"),
        ("a{5,2}", "no number of times"),
        ("a{101}", "no number of times"),
        ("[9-0]", "no class of signs"),
        ("a^b", "`^b` at sign 2"),
        ("a" * 201, "201 signs"),
        ("(" * 200, "not closed"),
    ],
)
def test_what_is_not_taken(pattern: str, wrong: str) -> None:
    with pytest.raises(PatternError, match=re.escape(wrong)):
        parse_number_pattern(pattern)


SIGNS = st.sampled_from(["a", "b", "[ab]", "[^a]", ".", r"\d"])
PATTERNS = st.recursive(
    SIGNS,
    lambda inner: st.one_of(
        st.tuples(inner, inner).map("".join),
        st.tuples(inner, inner).map(lambda two: f"({two[0]}|{two[1]})"),
        st.tuples(inner, st.sampled_from(["*", "+", "?", "{2}", "{1,3}", "{2,}", "{0}"])).map(
            lambda part: f"({part[0]}){part[1]}"
        ),
    ),
    max_leaves=6,
)


@given(PATTERNS, st.text("ab1", max_size=6))
def test_it_fits_what_the_expressions_of_python_match(pattern: str, text: str) -> None:
    fits = re.fullmatch(pattern, text) is not None
    assert parse_number_pattern(pattern).fits(text) is fits


@pytest.mark.timeout(20)
@pytest.mark.parametrize(
    "pattern",
    [
        "(([a-z0-9-]+)*)*!",
        "(a|a)*(a|a)*(a|a)*!",
        "(a?){40}a{40}!",
        ".*" * 50 + "!",
        "(" * 60 + "a*" + ")*" * 60 + "!",
        "((((((a{0,100}){0,100}){0,100}){0,100}){0,100}){0,100}){0,100}!",
    ],
)
def test_no_pattern_takes_long(pattern: str) -> None:
    # The expressions of Python take years over most of these.
    assert not parse_number_pattern(pattern).fits("a" * 40)
