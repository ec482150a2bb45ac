"""
Which revision is in force when: from what was released and withdrawn, and an instant.

In force is never stored. As of an instant, of the revisions released by then whose effective
instant has come, the highest in the order of revisions counts; if that one is withdrawn, none
does, because a withdrawal does not bring back what came before.
"""

import calendar
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from enum import StrEnum
from zoneinfo import ZoneInfo


class Status(StrEnum):
    """What a revision is as of an instant."""

    UNRELEASED = "not released"
    PENDING = "released, not yet in force"
    IN_FORCE = "in force"
    SUPERSEDED = "superseded"
    NEVER_IN_FORCE = "superseded before it came into force"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, slots=True)
class Released:
    """
    A released revision of one document; instants are in UTC.

    `order` is its place among the revisions of the document: the archive keeps them in order.
    """

    revision: str
    order: int
    released_at: datetime
    effective_at: datetime
    withdrawn_at: datetime | None = None

    def known(self, at: datetime) -> bool:
        """Tell whether it was released by an instant."""
        return self.released_at <= at

    def effective(self, at: datetime) -> bool:
        """Tell whether it was released and its effective instant had come."""
        return self.known(at) and self.effective_at <= at

    def withdrawn(self, at: datetime) -> bool:
        """Tell whether it was withdrawn by an instant."""
        return self.withdrawn_at is not None and self.withdrawn_at <= at


def in_force(history: Iterable[Released], at: datetime) -> Released | None:
    """Return the revision in force as of an instant, if there is one."""
    effective = [released for released in history if released.effective(at)]
    if not effective:
        return None
    highest = max(effective, key=lambda released: released.order)
    return None if highest.withdrawn(at) else highest


def successor(history: Iterable[Released], released: Released, at: datetime) -> Released | None:
    """Return the first higher revision that took the place of one, as of an instant."""
    higher = [other for other in history if other.order > released.order and other.effective(at)]
    return min(higher, key=lambda other: (other.effective_at, other.order), default=None)


def superseded_at(history: Iterable[Released], released: Released, at: datetime) -> datetime | None:
    """Return when the place of a revision was taken, as of an instant."""
    other = successor(history, released, at)
    return max(other.effective_at, other.released_at) if other else None


def status_of(history: Sequence[Released], released: Released, at: datetime) -> Status:
    """Return what a revision is as of an instant."""
    if not released.known(at):
        return Status.UNRELEASED
    ended = superseded_at(history, released, at)
    began = max(released.effective_at, released.released_at)
    if ended is not None:
        return Status.SUPERSEDED if began < ended else Status.NEVER_IN_FORCE
    if released.withdrawn(at):
        return Status.WITHDRAWN
    if overtaking(history, released, at) is not None:
        return Status.NEVER_IN_FORCE
    return Status.IN_FORCE if released.effective(at) else Status.PENDING


def overtaking(history: Iterable[Released], released: Released, at: datetime) -> Released | None:
    """
    Return a higher revision, released by an instant, that comes into force no later.

    The lower one then never comes into force, although its day has not come yet.
    """
    if released.effective(at):
        return None
    return next(
        (
            other
            for other in history
            if other.order > released.order
            and other.known(at)
            and other.effective_at <= released.effective_at
        ),
        None,
    )


def start_of_day(day: date, time_zone: str) -> datetime:
    """Return the first moment of a day at a site, in UTC. Errors: KeyError for an unknown zone."""
    midnight = datetime(day.year, day.month, day.day, tzinfo=ZoneInfo(time_zone))
    return midnight.astimezone(UTC)


def add_period(day: date, period: str) -> date:
    """
    Return a day later by a period such as `24 months`.

    A day that the month does not have becomes its last one. Errors: ValueError.
    """
    count, _, unit = period.partition(" ")
    number = int(count)
    match unit.rstrip("s"):
        case "day":
            return date.fromordinal(day.toordinal() + number)
        case "week":
            return date.fromordinal(day.toordinal() + 7 * number)
        case "month":
            return _add_months(day, number)
        case "year":
            return _add_months(day, 12 * number)
    raise ValueError(f"`{period}` is no period")


def _add_months(day: date, number: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + number, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))
