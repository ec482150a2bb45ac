"""What became of a limit, a text, a sample, a frequency or a period, and by how much."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speccomp.compare.change import Measured, Size
from speccomp.compare.frequency import frequency_change, period_change, sample_change
from speccomp.compare.kinds import KINDS
from speccomp.compare.limits import allows_more, limit_change
from speccomp.compare.wording import guard_tokens, shortened, text_change
from speccomp.quantities import Kind, Toleranced, parse_toleranced


def limit(text: str) -> Toleranced:
    point = "deg" in text and "/" not in text
    return parse_toleranced(text, Kind.TEMPERATURE if point else None)


@pytest.mark.parametrize(
    ("before", "after", "kind", "moved"),
    [
        ("55 to 65 mm", "50 to 70 mm", "limit-wider", ("BAND", "10", "mm", "100")),
        ("55 to 65 mm", "55 to 70 mm", "limit-wider", ("BAND", "5", "mm", "50")),
        ("55 to 65 mm", "58 to 62 mm", "limit-narrower", ("BAND", "-6", "mm", "-60")),
        ("55 to 65 mm", "60 to 70 mm", "limit-shifted", ("MIDDLE", "5", "mm", "50")),
        ("55 to 65 mm", "75 to 85 mm", "limit-shifted", ("MIDDLE", "20", "mm", "200")),
        ("82 ± 5 degC", "84 ± 5 degC", "limit-shifted", ("MIDDLE", "2", "K", "20")),
        ("82 ± 5 degC", "183.2 ± 9 degF", "limit-shifted", ("MIDDLE", "3.6", "degF", "20")),
        ("62 ± 3 mm", "63 +2/-4 mm", "target-moved", ("TARGET", "1", "mm", "16.67")),
        ("at most 60 s", "at most 1.5 min", "limit-wider", ("UPPER", "0.5", "min", None)),
        ("at least 4 h", "at least 5 h", "limit-narrower", ("LOWER", "1", "h", None)),
        ("3 mm", "4 mm", "value-changed", ("TARGET", "1", "mm", None)),
    ],
)
def test_a_limit_moved_by_so_much(
    before: str, after: str, kind: str, moved: tuple[str, str, str, str | None]
) -> None:
    of, amount, unit, per_cent = moved
    share = None if per_cent is None else Decimal(per_cent)
    size = Size(Measured[of], Decimal(amount), unit, share)
    assert limit_change(limit(before), limit(after)) == (kind, size)


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("2 h", "120 min", "restated"),
        ("60 mm", "60.0 mm", "restated"),
        ("180 degF", "82.2 degC", "restated"),
        ("82.2 degC", "180 degF", "restated"),
        ("180 degF", "82 degC", "restated"),
        ("180 degF", "83 degC", "value-changed"),
        ("60 ± 3 mm", "60 mm ± 5 %", "restated"),
        ("at most 26 mm", "18 to 26 mm", "limit-side-added"),
        ("18 to 26 mm", "at least 18 mm", "limit-side-removed"),
        ("at most 26 mm", "at least 26 mm", "limit-reversed"),
        ("25 to 27 mm", "26 ± 1 mm", "target-moved"),
        ("60 ± 3 mm", "60.0 ± 3.0 mm", "digits-changed"),
        ("60 ± 3 mm", "60 mm ± 3 mm", "restated"),
        ("60 ± 3 mm", "6.0 ± 0.3 cm", "restated"),
        ("at most 0.1 mm", "at most 0.10 mm", "digits-changed"),
        ("26 ± 1 mm", "26 mm", "limit-replaced"),
        ("26 ± 1 mm", "26 ± 1 g", "limit-replaced"),
        ("at most 60 parts", "at most 60 discs", "limit-replaced"),
    ],
)
def test_a_limit_of_another_form(before: str, after: str, kind: str) -> None:
    assert limit_change(limit(before), limit(after))[0] == kind


@pytest.mark.parametrize(
    ("before", "after", "moved", "more"),
    [
        ("at most 26 mm", "18 to 26 mm", None, False),
        ("at most 26 mm", "18 to 24 mm", ("UPPER", "-2", None), False),
        ("at most 26 mm", "18 to 30 mm", ("UPPER", "4", None), True),
        ("at least 5 mm", "6 to 30 mm", ("LOWER", "1", None), False),
        ("at least 5 mm", "4 to 30 mm", ("LOWER", "-1", None), True),
        ("18 to 26 mm", "at most 24 mm", ("UPPER", "-2", "-25"), True),
        ("18 to 26 mm", "at most 26 mm", None, True),
    ],
)
def test_a_side_more_or_less_says_how_far_the_other_one_moved(
    before: str, after: str, moved: tuple[str, str, str | None] | None, more: bool
) -> None:
    kind, size = limit_change(limit(before), limit(after))
    if moved is None:
        assert size is None
    else:
        share = None if moved[2] is None else Decimal(moved[2])
        assert size == Size(Measured[moved[0]], Decimal(moved[1]), "mm", share)
    assert allows_more(kind, size) is more


NUMBERS = st.integers(1, 30)
RANGES = st.tuples(NUMBERS, NUMBERS).map(lambda n: f"{n[0]} to {n[0] + n[1]} mm")
ONE_SIDED = st.tuples(st.sampled_from(["at least", "at most"]), NUMBERS).map(
    lambda n: f"{n[0]} {n[1]} mm"
)
AROUND = st.tuples(NUMBERS, st.integers(1, 9)).map(lambda n: f"{n[0] + 9} ± {n[1]} mm")
LIMITS = st.one_of(RANGES, ONE_SIDED, AROUND, NUMBERS.map(lambda n: f"{n} mm")).map(limit)


@given(LIMITS, LIMITS)
def test_what_allows_no_more_lies_inside(one: Toleranced, other: Toleranced) -> None:
    kind, size = limit_change(one, other)
    if one.is_limit and other.is_limit and not allows_more(kind, size):
        assert one.contains(other)


@given(LIMITS, LIMITS)
def test_a_limit_mirrors(one: Toleranced, other: Toleranced) -> None:
    kind, size = limit_change(one, other)
    back, back_size = limit_change(other, one)
    assert back == KINDS[kind].mirror
    assert (size is None) is (back_size is None)
    if size is not None and back_size is not None:
        assert (back_size.of, back_size.amount) == (size.of, -size.amount)


@given(LIMITS, LIMITS)
def test_wider_and_narrower_are_what_the_limits_allow(one: Toleranced, other: Toleranced) -> None:
    kind, _ = limit_change(one, other)
    if kind == "limit-wider":
        assert other.contains(one)
    elif kind == "limit-narrower":
        assert one.contains(other)
    elif kind == "limit-shifted":
        assert not one.contains(other)
        assert not other.contains(one)


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("Fill the bowl with care.", "Fill the bowl with due care.", "wording"),
        ("Do not shake.", "Shake.", "meaning"),
        ("Don't shake.", "Shake.", "meaning"),
        ("Stir for 5 min.", "Stir for 6 min.", "meaning"),
        ("Stir for 5 min.", "Stir for 5 h.", "meaning"),
        ("Fill above the mark.", "Fill below the mark.", "meaning"),
        ("Open the valve.", "Close the valve.", "meaning"),
        ("The lid must fit.", "The lid may fit.", "meaning"),
        ("Wait until cold.", "Wait unless cold.", "meaning"),
        ("Use oven-1 here.", "Use oven-2 here.", "meaning"),
        ("Rub the outer face.", "Tip the paste away.", "rewritten"),
        ("Heat to 82 °C.", "Heat to 82  °C.", "wording"),
    ],
)
def test_words_that_carry_the_meaning_are_guarded(before: str, after: str, kind: str) -> None:
    assert text_change([before], [after], {"oven-1", "oven-2"}) == kind
    assert text_change([after], [before], {"oven-1", "oven-2"}) == kind


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("Break the disc through the bag.", "Break the disc.", "meaning"),
        ("Put the log in one folder.", "Put the log and the chart in one folder.", "meaning"),
        ("Lay the probe against the wall.", "Lay the probe against the lid.", "meaning"),
        ("Wipe the bench with water.", "Wash the bench with water.", "meaning"),
        ("Stir the paste slowly.", "Stir paste slowly.", "wording"),
        ("Recieve the cans at the door.", "Receive the cans at the door.", "wording"),
        ("Re-blend the powder; then wait.", "Reblend the powder, then wait.", "wording"),
        ("Check the lables of the trays.", "Check the labels of the tray.", "wording"),
    ],
)
def test_a_text_that_asks_for_something_is_read_strictly(
    before: str, after: str, kind: str
) -> None:
    assert text_change([before], [after], strict=True) == kind
    assert text_change([after], [before], strict=True) == kind


def test_the_order_of_guard_tokens_counts() -> None:
    assert guard_tokens("Add 5 g, then 10 g.") == ("add", "5", "g", "10", "g")
    assert text_change(["Add 5 g, then 10 g."], ["Add 10 g, then 5 g."]) == "meaning"


def test_the_same_lines_in_another_order() -> None:
    assert text_change(["Tare.", "Pour."], ["Pour.", "Tare."]) == "actions-reordered"


def test_a_text_that_only_lost_words_is_shorter() -> None:
    assert shortened("Wear gloves and goggles.", "Wear gloves.")
    assert not shortened("Wear gloves.", "Wear goggles.")
    assert not shortened("Wear gloves.", "Wear gloves.")


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("5", "3", "sample-smaller"),
        ("3", "5", "sample-larger"),
        ("5", "100 %", "sample-larger"),
        ("100 %", "50", "sample-smaller"),
        ("100 %", "100%", "restated"),
        ("5", "a few", "value-changed"),
        ("5", "50 %", "value-changed"),
    ],
)
def test_samples(before: str, after: str, kind: str) -> None:
    assert sample_change(before, after) == kind


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("2 h", "4 h", "less-often"),
        ("2 h", "30 min", "more-often"),
        ("2 h", "120 min", "restated"),
        ("50 parts", "20 parts", "more-often"),
        ("2 batches", "3 batches", "less-often"),
        ("part", "batch", "less-often"),
        ("batch", "mix", "more-often"),
        ("batch", "each batch", "restated"),
        ("shift", "day", "less-often"),
        ("batch", "shift", "frequency-changed"),
        ("50 parts", "2 h", "frequency-changed"),
        ("start of shift", "batch", "frequency-changed"),
    ],
)
def test_frequencies(before: str, after: str, kind: str) -> None:
    assert frequency_change(before, after) == kind


@pytest.mark.parametrize(
    ("before", "after", "kind"),
    [
        ("2 years", "3 years", "kept-longer"),
        ("12 months", "6 months", "kept-shorter"),
        ("1 year", "12 months", "restated"),
        ("2 years", "for ever", "value-changed"),
    ],
)
def test_periods(before: str, after: str, kind: str) -> None:
    assert period_change(before, after) == kind
