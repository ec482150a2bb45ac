"""The history of the documents, read from the ledger."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.ledger import Entry
from speccomp.archive.release_record import RELEASE, WITHDRAWAL, parse_release
from speccomp.archive.store import Archive
from speccomp.model.effectivity import Released, Status, in_force, status_of

ACTIONS = ("release", "withdraw", "review")


def instant(text: str) -> datetime:
    """Return an instant from a text in UTC. Errors: ArchiveDamaged."""
    try:
        return datetime.fromisoformat(text.replace("Z", "+00:00"))
    except ValueError as error:
        raise ArchiveDamaged(f"the ledger holds the time `{text}`, which is none") from error


@dataclass(frozen=True, slots=True)
class Revision:
    """A released revision: its place in time, and what the ledger tells of it."""

    released: Released
    version: int
    controller: str
    details: Mapping[str, Any]
    withdrawal: Mapping[str, Any] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """The revision index."""
        return self.released.revision

    @property
    def approved(self) -> str:
        """Whether its approvals are signed, in a word or two."""
        signed = {bool(item.get("signed")) for item in self.listed("approvals")}
        if signed == {True}:
            return "signed"
        return "partly unsigned" if True in signed else "unsigned"

    def text(self, key: str) -> str:
        """Return a text of the ledger's details, empty where there is none."""
        return str(self.details.get(key, ""))

    def listed(self, key: str) -> list[dict[str, Any]]:
        """Return a list of the ledger's details."""
        value = self.details.get(key, [])
        return value if isinstance(value, list) else []


@dataclass(frozen=True, slots=True)
class Review:
    """A periodic review: of which revision, when, by whom, with what result, when again."""

    revision: str
    time: str
    name: str
    meaning: str
    due: str
    signed: bool


@dataclass(frozen=True, slots=True)
class Document:
    """A controlled document with its revisions and reviews, oldest first."""

    number: str
    revisions: tuple[Revision, ...]
    reviews: tuple[Review, ...]

    @property
    def times(self) -> tuple[Released, ...]:
        """The places of the revisions in time."""
        return tuple(revision.released for revision in self.revisions)

    def known(self, at: datetime) -> tuple[Revision, ...]:
        """Return the revisions released by an instant."""
        return tuple(r for r in self.revisions if r.released.known(at))

    def current(self, at: datetime) -> Revision | None:
        """Return the revision in force as of an instant."""
        found = in_force(self.times, at)
        return None if found is None else self.revisions[found.order]

    def status(self, revision: Revision, at: datetime) -> Status:
        """Return what a revision is as of an instant."""
        return status_of(self.times, revision.released, at)

    def revision(self, name: str) -> Revision | None:
        """Return a revision by its index."""
        return next((r for r in self.revisions if r.name == name), None)

    def review_due(self, at: datetime) -> str:
        """Return the day by which the revision in force has to be reviewed, empty for none."""
        revision = self.current(at)
        if revision is None:
            return ""
        done = [r for r in self.reviews if r.revision == revision.name and instant(r.time) <= at]
        return done[-1].due if done else revision.text("review_due")


def read_documents(archive: Archive) -> dict[str, Document]:
    """Return all documents by number, in order. Errors: ArchiveDamaged."""
    by_number: dict[str, list[Entry]] = {}
    for entry in archive.entries(ACTIONS):
        by_number.setdefault(entry.event.object, []).append(entry)
    return {number: _document(number, by_number[number]) for number in sorted(by_number)}


def read_document(archive: Archive, number: str) -> Document | None:
    """Return one document, None where there is none of the number. Errors: ArchiveDamaged."""
    entries = [entry for entry in archive.entries(ACTIONS) if entry.event.object == number]
    return _document(number, entries) if entries else None


def _document(number: str, entries: Iterable[Entry]) -> Document:
    told = list(entries)
    withdrawals = {
        entry.event.revision: entry.event for entry in told if entry.event.action == "withdraw"
    }
    releases = [entry for entry in told if entry.event.action == "release"]
    revisions = []
    for order, entry in enumerate(releases):
        event = entry.event
        withdrawn = withdrawals.get(event.revision)
        released = Released(
            event.revision,
            order,
            instant(event.time),
            instant(str(event.details.get("effective_at", event.time))),
            instant(withdrawn.time) if withdrawn else None,
        )
        version = event.details.get("version")
        revisions.append(
            Revision(
                released,
                version if isinstance(version, int) else 0,
                event.actor,
                event.details,
                {**withdrawn.details, "time": withdrawn.time} if withdrawn else {},
            )
        )
    reviews = tuple(_review(entry) for entry in told if entry.event.action == "review")
    return Document(number, tuple(revisions), reviews)


def _review(entry: Entry) -> Review:
    event = entry.event
    name, meaning, due = (
        str(event.details.get(key, "")) for key in ("name", "meaning", "review_due")
    )
    signed = event.details.get("signed") is True
    return Review(event.revision, event.time, name, meaning, due, signed)


def read_times(archive: Archive, number: str) -> tuple[Released, ...]:
    """
    Return when the revisions of one document were released and come into force.

    They are read from the document's own versions, whatever the length of the ledger.
    Errors: ArchiveDamaged.
    """
    inventory = archive.inventory(number)
    times: list[Released] = []
    for version, item in enumerate(inventory.versions if inventory else (), 1):
        record = parse_release(archive.read(number, version, RELEASE))
        if WITHDRAWAL in item.state:
            ended = instant(item.created)
            times = [
                replace(r, withdrawn_at=ended) if r.revision == record.revision else r
                for r in times
            ]
            continue
        released_at, effective_at = instant(record.released_at), instant(record.effective_at)
        times.append(Released(record.revision, len(times), released_at, effective_at))
    return tuple(times)


def pending_revision(archive: Archive, number: str, at: datetime) -> Released | None:
    """Return the last released revision of a document whose day has not come yet."""
    times = read_times(archive, number)
    waiting = [r for r in times if status_of(times, r, at) is Status.PENDING]
    return waiting[-1] if waiting else None
