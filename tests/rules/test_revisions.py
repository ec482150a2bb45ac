"""
Revision indexes against the letter scheme of ASME Y14.35 and number schemes.

The letters left out are those of ASME Y14.35; the dash, the doubled letters and the two kinds of
numbers are from memory. Vectors of 20 letters counted by hand.
"""

import string

import pytest

from speccomp.model.revisions import (
    ALPHABET,
    RevisionError,
    Scheme,
    following,
    follows,
    may_be_first,
    must_be_first,
    next_revision,
    parse_revision,
)

LETTERS, NUMBERS = Scheme.LETTERS, Scheme.NUMBERS


def read(text: str, scheme: Scheme = LETTERS):
    return parse_revision(text, scheme)


def test_the_alphabet_is_all_letters_but_those_that_look_like_others() -> None:
    # ASME Y14.35: I, O, Q, S, X and Z are not used.
    assert "".join(c for c in string.ascii_uppercase if c not in "IOQSXZ") == ALPHABET
    assert len(ALPHABET) == 20


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (None, "-"),
        ("-", "A"),
        ("H", "J"),
        ("N", "P"),
        ("P", "R"),
        ("R", "T"),
        ("W", "Y"),
        ("Y", "AA"),
        ("AH", "AJ"),
        ("AY", "BA"),
        ("YW", "YY"),
    ],
)
def test_the_next_letter(before: str | None, after: str) -> None:
    assert next_revision(before, LETTERS) == after


def test_nothing_follows_the_last_of_two_letters() -> None:
    with pytest.raises(RevisionError, match="YY"):
        next_revision("YY", LETTERS)
    assert not follows(read("YY"), read("A"))


def test_all_letters_in_a_row_are_421() -> None:
    # 1 dash, 20 letters, 20 x 20 pairs.
    count, text = 0, next_revision(None, LETTERS)
    while True:
        count += 1
        assert read(text).position == (count - 1,)
        try:
            text = next_revision(text, LETTERS)
        except RevisionError:
            break
    assert count == 1 + 20 + 400


@pytest.mark.parametrize("text", ["I", "AO", "a", "AAA", "", "A1", "1", "--", "Ä"])
def test_what_is_no_letter_revision(text: str) -> None:
    with pytest.raises(RevisionError):
        read(text)


def test_the_message_says_what_is_wrong() -> None:
    with pytest.raises(RevisionError, match="capital"):
        read("b")
    with pytest.raises(RevisionError, match="`O` is none of the letters"):
        read("AO")
    with pytest.raises(RevisionError, match="one letter or two"):
        read("AAA")


def test_order_is_by_place_and_not_by_text() -> None:
    revisions = [read(text) for text in ("AA", "B", "-", "Y", "AB")]
    assert [r.text for r in sorted(revisions)] == ["-", "B", "Y", "AA", "AB"]


def test_a_gap_is_no_succession() -> None:
    assert not follows(read("A"), read("C"))
    assert follows(read("A"), read("B"))
    assert not follows(read("B"), read("A"))


def test_minor_numbers_are_numbers() -> None:
    assert read("1.9", NUMBERS) < read("1.10", NUMBERS)
    assert following(read("1.9", NUMBERS)) == ("1.10", "2.0")
    assert follows(read("1.9", NUMBERS), read("2.0", NUMBERS))
    assert not follows(read("1.9", NUMBERS), read("2.1", NUMBERS))


@pytest.mark.parametrize(
    ("before", "after"), [(None, "1"), ("0", "1"), ("9", "10"), ("09", "10"), ("01", "02")]
)
def test_the_next_number(before: str | None, after: str) -> None:
    assert next_revision(before, NUMBERS) == after


def test_leading_zeros_do_not_count_in_a_succession() -> None:
    assert follows(read("01", NUMBERS), read("2", NUMBERS))


@pytest.mark.parametrize("text", ["", "-1", "1.", ".1", "1.2.3", "A", "1 ", "1e3", "²"])
def test_what_is_no_number_revision(text: str) -> None:
    with pytest.raises(RevisionError):
        read(text, NUMBERS)


def test_where_a_document_may_begin() -> None:
    assert [t for t in ("-", "A", "B", "AA") if may_be_first(read(t))] == ["-", "A"]
    numbers = ("0", "1", "2", "0.0", "0.1", "1.0", "1.1")
    assert [t for t in numbers if may_be_first(read(t, NUMBERS))] == ["0", "1", "0.0", "0.1", "1.0"]
    assert [t for t in ("-", "A") if must_be_first(read(t))] == ["-"]
    assert [t for t in numbers if must_be_first(read(t, NUMBERS))] == ["0", "0.0"]
