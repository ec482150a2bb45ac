"""Which revision was in force when: by the rules for effective dates."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from speccomp.model.effectivity import (
    Released,
    Status,
    add_period,
    in_force,
    overtaking,
    start_of_day,
    status_of,
)

ZONE = "Europe/Berlin"


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


def released(revision: str, order: int, on: str, effective: str) -> Released:
    day = date.fromisoformat(effective)
    return Released(revision, order, at(f"{on}T12:00:00+00:00"), start_of_day(day, ZONE))


HISTORY = [
    released("-", 0, "2026-01-10", "2026-01-15"),
    released("A", 1, "2026-02-01", "2026-02-15"),
    released("B", 2, "2026-02-10", "2026-02-15"),
    released("C", 3, "2026-03-01", "2026-04-01"),
]
URGENT = [*HISTORY, released("D", 4, "2026-03-10", "2026-03-15")]


def current(history: list[Released], when: str) -> str:
    found = in_force(history, at(when))
    return found.revision if found else "none"


@pytest.mark.parametrize(
    ("when", "revision"),
    [
        ("2026-01-14T12:00:00+01:00", "none"),
        ("2026-02-14T23:59:59+01:00", "-"),
        ("2026-02-15T00:00:00+01:00", "B"),  # of two that begin together, the higher one
        ("2026-03-20T00:00:00+01:00", "B"),
        ("2026-03-31T21:59:59+00:00", "B"),
        ("2026-03-31T22:00:00+00:00", "C"),  # midnight in summer time
    ],
)
def test_what_is_in_force_at_an_instant(when: str, revision: str) -> None:
    assert current(HISTORY, when) == revision


def test_the_effective_day_begins_at_midnight_at_the_site() -> None:
    assert start_of_day(date(2026, 4, 1), ZONE) == at("2026-03-31T22:00:00+00:00")
    assert start_of_day(date(2026, 1, 15), ZONE) == at("2026-01-14T23:00:00+00:00")


def statuses(history: list[Released], when: str) -> list[Status]:
    return [status_of(history, item, at(when)) for item in history]


def test_every_revision_has_a_status() -> None:
    assert statuses(HISTORY, "2026-03-20T00:00:00+01:00") == [
        Status.SUPERSEDED,
        Status.NEVER_IN_FORCE,
        Status.IN_FORCE,
        Status.PENDING,
    ]
    assert statuses(HISTORY, "2026-01-12T00:00:00+01:00") == [
        Status.PENDING,
        Status.UNRELEASED,
        Status.UNRELEASED,
        Status.UNRELEASED,
    ]


def test_a_pending_revision_that_is_overtaken_never_comes_into_force() -> None:
    for when in ("2026-03-20T00:00:00+01:00", "2026-04-02T00:00:00+02:00"):
        assert current(URGENT, when) == "D"
        assert statuses(URGENT, when)[3] is Status.NEVER_IN_FORCE
    known = overtaking(URGENT, URGENT[3], at("2026-03-11T00:00:00+01:00"))
    assert known is not None
    assert known.revision == "D"
    assert overtaking(URGENT, URGENT[3], at("2026-03-09T00:00:00+01:00")) is None


def test_a_withdrawal_does_not_bring_back_what_came_before() -> None:
    withdrawn = [
        *HISTORY[:2],
        Released(
            "B", 2, HISTORY[2].released_at, HISTORY[2].effective_at, at("2026-02-20T08:00:00Z")
        ),
    ]
    assert current(withdrawn, "2026-02-20T07:59:59Z") == "B"
    assert current(withdrawn, "2026-02-20T08:00:00Z") == "none"
    assert statuses(withdrawn, "2026-02-21T00:00:00Z")[-1] is Status.WITHDRAWN
    again = [*withdrawn, released("C", 3, "2026-03-01", "2026-03-02")]
    assert current(again, "2026-03-03T00:00:00Z") == "C"
    assert statuses(again, "2026-03-03T00:00:00Z")[2] is Status.SUPERSEDED


@given(
    st.lists(
        st.tuples(st.integers(0, 60), st.integers(0, 60), st.one_of(st.none(), st.integers(0, 90))),
        max_size=6,
    ),
    st.integers(0, 120),
)
def test_at_most_one_revision_is_in_force(
    given_days: list[tuple[int, int, int | None]], day: int
) -> None:
    zero = datetime(2026, 1, 1, tzinfo=UTC)
    history = [
        Released(
            str(order),
            order,
            zero + timedelta(days=released_on + 10 * order),
            zero + timedelta(days=released_on + 10 * order + delay),
            None
            if withdrawn is None
            else zero + timedelta(days=released_on + 10 * order + withdrawn),
        )
        for order, (released_on, delay, withdrawn) in enumerate(given_days)
    ]
    now = zero + timedelta(days=day)
    found = [item for item in history if status_of(history, item, now) is Status.IN_FORCE]
    assert len(found) <= 1
    assert in_force(history, now) == (found[0] if found else None)


@pytest.mark.parametrize(
    ("day", "period", "expected"),
    [
        (date(2026, 1, 31), "1 month", date(2026, 2, 28)),
        (date(2024, 2, 29), "1 year", date(2025, 2, 28)),
        (date(2026, 12, 15), "24 months", date(2028, 12, 15)),
        (date(2026, 12, 15), "2 weeks", date(2026, 12, 29)),
        (date(2026, 12, 31), "1 day", date(2027, 1, 1)),
    ],
)
def test_periods_are_added_by_the_calendar(day: date, period: str, expected: date) -> None:
    assert add_period(day, period) == expected


def test_what_is_no_period_is_refused() -> None:
    with pytest.raises(ValueError, match="no period"):
        add_period(date(2026, 1, 1), "2 fortnights")
