"""Verify an archive: every file accounted for, digests, chain, signatures, links."""

from collections.abc import Iterable, Mapping
from pathlib import Path

from filelock import FileLock, Timeout

from speccomp.archive import ocfl
from speccomp.archive.check_events import check_events
from speccomp.archive.check_ledger import check_ledger
from speccomp.archive.check_objects import by_object, check_object
from speccomp.archive.check_records import check_review, check_statement
from speccomp.archive.digests import sha256
from speccomp.archive.errors import ArchiveDamaged, SignatureFault
from speccomp.archive.findings import Files, fault
from speccomp.archive.journal import read_journal
from speccomp.archive.layout import DOCUMENTS, ENTRIES, LOCK, README, SET_ASIDE, STAGING, STATEMENTS
from speccomp.archive.ledger import Entry
from speccomp.archive.recovery import Interrupted, Outcome, find_interrupted
from speccomp.archive.release_record import ReleaseRecord
from speccomp.archive.statements import Record, parse_record
from speccomp.archive.store import Archive, object_place
from speccomp.findings import Finding, Severity, Span

_WAIT = 60.0


def verify_settled(
    root: Path, number: str | None = None, wait: float = 60.0
) -> tuple[Finding, ...]:
    """
    Verify as `verify_archive` does, but look again once nobody writes if anything was found.

    Somebody writing leaves for a moment what an interruption leaves for longer. Where the archive
    cannot be locked, because it is read-only or nobody lets go of it, the first look counts.
    """
    found, lock = verify_archive(root, number), root / LOCK
    # Taking the lock would create, or empty, a file that is reported for not being empty.
    if not found or lock.is_symlink() or not lock.is_file() or lock.stat().st_size:
        return found
    try:
        with FileLock(lock, timeout=_WAIT, poll_interval=0.02):
            return verify_archive(root, number)
    except (OSError, Timeout):
        return found


def verify_archive(root: Path, number: str | None = None) -> tuple[Finding, ...]:
    """
    Verify an archive, or one document of it with the ledger; it changes nothing.

    An interrupted change is reported with what will become of it; what it left half done is not
    held against the archive.
    """
    files = Files(root, object_place(number) if number is not None else "")
    try:
        interrupted = find_interrupted(root)
    except ArchiveDamaged as error:
        files.report("journal", STAGING, str(error))
        interrupted = None
    entries = check_ledger(files, interrupted)
    check_events(files, entries)
    if interrupted is not None:
        _report_interrupted(files, interrupted, entries)
    objects = by_object(entries)
    if number is None:
        _check_fixed_files(files, entries)
        _report_set_aside(files)
    elif number in objects:
        objects = {number: objects[number]}
        entries = tuple(entry for entry in entries if entry.event.object == number)
    else:
        files.report("unknown-document", DOCUMENTS, f"the archive holds no {number}", "")
        return tuple(files.found)
    records = _check_statements(files, entries)
    stated = frozenset(sha256(record.text()) for record in records.values())
    sound = [r for name, told in objects.items() for r in check_object(files, name, told, stated)]
    releases = {(release.document, release.revision): release for release in sound}
    _check_reviews(files, records.values(), releases)
    _forgive_interrupted(files, interrupted)
    files.report_the_rest()
    return tuple(files.found)


def check_head(archive: Archive, noted: str) -> tuple[Finding, ...]:
    """Report that the ledger does not hold an entry whose digest was noted earlier, elsewhere."""
    try:
        known = {entry.sha256 for entry in archive.entries()}
    except ArchiveDamaged:
        known = set()
    if noted in known:
        return ()
    message = f"the ledger holds no entry with the digest {noted}"
    hint = "the archive is an older copy, or it was written anew since the digest was noted"
    return (fault("head-missing", ENTRIES, message, hint),)


def _report_interrupted(files: Files, interrupted: Interrupted, entries: tuple[Entry, ...]) -> None:
    counting = interrupted.outcome is Outcome.COMPLETED and interrupted.entry
    last = counting or (entries[-1] if entries else None)
    event = last.event if last else None
    parts = (event.action, event.object, event.revision) if event else ("none",)
    message = f"{interrupted.prospect()}; the last change that counts is {' '.join(parts).strip()}"
    hint = "the next approval, release, withdrawal or review clears up what it left"
    found = Finding(Severity.WARNING, "archive.interrupted", Span(STAGING), message, hint)
    files.found.append(found)


def _forgive_interrupted(files: Files, interrupted: Interrupted | None) -> None:
    """Account for what a change left half done."""
    if interrupted is None:
        return
    files.claim_all(STAGING)
    if interrupted.entry is not None:
        journal = read_journal(files.root)
        for place in (*(move.target for move in journal.moves), *journal.parents):
            files.forgive(place)


def _report_set_aside(files: Files) -> None:
    left = files.claim_all(SET_ASIDE)
    if left:
        message = f"{SET_ASIDE} holds {len(left)} files of changes that could not be completed"
        hint = "look at them, then remove the folder"
        found = Finding(Severity.WARNING, "archive.set-aside", Span(SET_ASIDE), message, hint)
        files.found.append(found)


def _check_fixed_files(files: Files, entries: Iterable[Entry]) -> None:
    files.claim_exact(LOCK, b"")
    for name, data in ocfl.root_files().items():
        files.claim_exact(f"{DOCUMENTS}/{name}", data)
    readme = files.claim(README)
    started = [entry.event for entry in entries if entry.event.action == "start"]
    if readme is not None and [sha256(readme)] != [event.payload_sha256 for event in started]:
        files.report("file-changed", README, f"{README} is not what was written to it")


def _check_statements(files: Files, entries: Iterable[Entry]) -> dict[int, Record]:
    """Check the statements; return those that are sound by the number of their entry."""
    sound = {}
    for entry in entries:
        place = str(entry.event.details.get("payload", ""))
        if place.startswith(f"{STATEMENTS}/"):
            record = _check_statement(files, place, entry)
            if record is not None:
                sound[entry.seq] = record
    return sound


def _check_statement(files: Files, place: str, entry: Entry) -> Record | None:
    data = files.claim(place)
    if data is None:
        return None
    if sha256(data) != entry.event.payload_sha256:
        files.report("file-changed", place, f"{place} is not what entry {entry.seq} tells of")
        return None
    try:
        record = parse_record(data)
        if record.place() != place:
            raise SignatureFault("it lies in the place of another statement")
        check_statement(entry, record)
    except SignatureFault as error:
        files.report("statement", place, f"{place}: {error}")
        return None
    return record


def _check_reviews(
    files: Files, records: Iterable[Record], releases: Mapping[tuple[str, str], ReleaseRecord]
) -> None:
    for record in records:
        statement = record.statement
        if statement.action == "review":
            try:
                check_review(record, releases.get((statement.document, statement.revision)))
            except SignatureFault as error:
                files.report("statement", record.place(), f"{record.place()}: {error}")
