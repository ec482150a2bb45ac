"""Withdraw a revision, and review one that stays in force."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from speccomp.archive.errors import Overtaken
from speccomp.archive.opening import open_archive
from speccomp.archive.release_record import RELEASE, WITHDRAWAL, ReleaseRecord, parse_release
from speccomp.archive.statements import Record, Statement
from speccomp.archive.store import Archive, NewVersion
from speccomp.model.effectivity import add_period, in_force
from speccomp.release.approve import statement_event, utc_text
from speccomp.release.history import read_times
from speccomp.release.refusal import Refused
from speccomp.release.signing import Signing, sign


@dataclass(frozen=True, slots=True)
class Declaration:
    """What a person declares about a released document: who, in which role, when, in words."""

    number: str
    name: str
    role: str
    at: datetime
    words: str


def withdraw(folder: Path, declared: Declaration, revision: str, signing: Signing) -> ReleaseRecord:
    """
    Withdraw a revision of a document, the one in force where `revision` is empty.

    Its files stay in the archive; no earlier revision comes back into force.
    Errors: Refused, ArchiveError.
    """
    archive = open_archive(folder)
    release, _ = _released(archive, declared, revision)
    record = _sign(_statement("withdraw", declared, release), release, signing)
    with archive.change(declared.name, utc_text(declared.at)) as change:
        # Somebody else may have withdrawn it while the signature was made.
        release, version = _released(archive, declared, release.revision)
        versions = _versions(archive, declared.number)
        files = {
            name: archive.read(declared.number, version, name)
            for name in archive.files(declared.number, version)
        }
        files[WITHDRAWAL] = record.text()
        new = NewVersion(files, WITHDRAWAL, versions, declared.words)
        change.add_version(statement_event(record), declared.number, new)
    return release


def review(folder: Path, declared: Declaration, due: date | None, signing: Signing) -> date:
    """
    Record a periodic review of the revision in force; return the day of the next one.

    Without a day it is the plant's period after this review. Errors: Refused, ArchiveError.
    """
    archive = open_archive(folder)
    release, _ = _released(archive, declared, "")
    if due is None and not release.review_every:
        raise Refused("the plant gives no period for reviews; say when the next one is with --due")
    following = due or add_period(declared.at.date(), release.review_every)
    if following <= declared.at.date():
        raise Refused(f"the next review, {following}, is not after this one")
    statement = replace(_statement("review", declared, release), review_due=following.isoformat())
    record = _sign(statement, release, signing)
    with archive.change(declared.name, utc_text(declared.at)) as change:
        now, _ = _released(archive, declared, "")
        if now.revision != release.revision:
            raise Overtaken(
                f"revision {now.revision} of {declared.number} has come into force in the meantime"
            )
        change.add_statement(statement_event(record), record)
    return following


def _released(archive: Archive, declared: Declaration, revision: str) -> tuple[ReleaseRecord, int]:
    """Return the record and the version of a revision that is not withdrawn."""
    number, times = declared.number, read_times(archive, declared.number)
    if not times:
        raise Refused(f"the archive holds no {number}")
    if not revision:
        current = in_force(times, declared.at)
        if current is None:
            raise Refused(f"no revision of {number} is in force; name one with --revision")
        revision = current.revision
    chosen = next((item for item in times if item.revision == revision), None)
    if chosen is None:
        known = ", ".join(item.revision for item in times)
        raise Refused(f"{number} has no released revision {revision}; released: {known}")
    if not chosen.known(declared.at):
        released = utc_text(chosen.released_at)
        raise Refused(f"{number} revision {revision} was not released before {released}")
    if chosen.withdrawn_at is not None:
        raise Refused(f"{number} revision {revision} is already withdrawn")
    if not declared.words.strip():
        raise Refused("a reason has to be given")
    for version in range(1, _versions(archive, number) + 1):
        record = parse_release(archive.read(number, version, RELEASE))
        if record.revision == revision:
            return record, version
    raise Refused(f"{number} has no released revision {revision}")


def _versions(archive: Archive, number: str) -> int:
    inventory = archive.inventory(number)
    return inventory.head if inventory else 0


def _statement(action: str, declared: Declaration, release: ReleaseRecord) -> Statement:
    return Statement(
        action,
        release.document,
        release.revision,
        release.content_sha512,
        declared.words,
        declared.name,
        declared.role,
        utc_text(declared.at),
    )


def _sign(statement: Statement, release: ReleaseRecord, signing: Signing) -> Record:
    required = release.signatures == "required"
    return sign(statement, signing, release.approvers, required=required)
