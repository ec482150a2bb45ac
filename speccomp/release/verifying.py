"""Whether a printed copy is the current one, and whether a release can be compiled again."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path

from speccomp import __version__
from speccomp.archive.opening import open_archive
from speccomp.archive.release_record import (
    COMPARISON,
    COMPARISON_PAGE,
    CONTENT,
    DOCUMENTS,
    RELEASE,
    ReleaseRecord,
    parse_release,
)
from speccomp.archive.store import Archive
from speccomp.model.effectivity import Status, overtaking, successor, superseded_at
from speccomp.model.issue import Issue, SheetCode, parse_issue
from speccomp.pipeline import Format, compile_documents, content_of
from speccomp.release.approvals import approved
from speccomp.release.approve import utc_text
from speccomp.release.history import Document, Revision, read_document
from speccomp.release.previous import compare_with, read_previous
from speccomp.release.refusal import Refused
from speccomp.release.sources import laid_out, source_files
from speccomp.render.attachments import ISSUE


class Verdict(StrEnum):
    """What a code on a sheet comes to."""

    CURRENT = "current"
    PENDING = "not yet in force"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"
    UNKNOWN = "unknown"
    FORGED = "forged"


@dataclass(frozen=True, slots=True)
class Judged:
    """The verdict on a printed copy, and a sentence that says why."""

    verdict: Verdict
    sentence: str


def judge_copy(folder: Path, code: SheetCode, at: datetime) -> Judged:
    """Tell whether a printed copy is in force as of an instant. Errors: ArchiveError."""
    document = read_document(open_archive(folder), code.number)
    sheet = f"{code.number} revision {code.revision}"
    if document is None:
        return Judged(Verdict.UNKNOWN, f"the archive holds no document {code.number}")
    revision = document.revision(code.revision)
    if revision is None or not revision.released.known(at):
        return Judged(Verdict.UNKNOWN, f"{sheet} was never released")
    if not revision.text("content_sha512").startswith(code.digest):
        return Judged(
            Verdict.FORGED,
            f"the digest on the sheet is not that of {sheet}: the sheet was not made from it",
        )
    return _judge(document, revision, at, sheet)


def _judge(document: Document, revision: Revision, at: datetime, sheet: str) -> Judged:
    judged = _judge_state(document, revision, at, sheet)
    if revision.approved == "signed":
        return judged
    return replace(judged, sentence=f"{judged.sentence}; its approvals are {revision.approved}")


def _judge_state(document: Document, revision: Revision, at: datetime, sheet: str) -> Judged:
    released = revision.released
    match document.status(revision, at):
        case Status.IN_FORCE:
            since = revision.text("effective_from")
            return Judged(Verdict.CURRENT, f"{sheet} is in force since {since}")
        case Status.PENDING:
            since = revision.text("effective_from")
            return Judged(Verdict.PENDING, f"{sheet} is in force from {since} on, not yet")
        case Status.WITHDRAWN:
            day, why = utc_text(released.withdrawn_at or at), revision.withdrawal.get("meaning", "")
            return Judged(Verdict.WITHDRAWN, f"{sheet} was withdrawn on {day}: {why}")
        case _:
            return Judged(Verdict.SUPERSEDED, f"{sheet} {_ended(document, revision, at)}")


def _ended(document: Document, revision: Revision, at: datetime) -> str:
    """Say when and by what a revision was superseded, and what is in force instead."""
    released, times = revision.released, document.times
    other = successor(times, released, at) or overtaking(times, released, at)
    when = superseded_at(times, released, at)
    by = f" by revision {other.revision}" if other else ""
    on = f" on {utc_text(when)}" if when else ""
    current = document.current(at)
    now = f"in force is revision {current.name}" if current else "no revision is in force"
    return f"was superseded{on}{by}; {now}"


def rebuild(archive: Archive, number: str, revision: str) -> tuple[str, ...]:
    """
    Compile a release again from its archived sources; return the names of what differs.

    Errors: Refused where this program is another version, or the sources do not pass any more.
    """
    version = _version_of(archive, number, revision)
    record = parse_release(archive.read(number, version, RELEASE))
    if record.tool_version != __version__:
        raise Refused(
            f"{number} {revision} was compiled by speccomp {record.tool_version}, this is "
            f"{__version__}: install that version to compile the same bytes"
        )
    content = archive.read(number, version, CONTENT)
    issue = parse_issue(archive.read(number, version, ISSUE))
    if not _is_of(issue, record):
        return (ISSUE,)
    sources = source_files(archive, number, version)
    with laid_out(sources, content, date.fromisoformat(record.checked_on)) as checked:
        if not checked.passed:
            raise Refused(f"the sources of {number} {revision} do not pass their checks any more")
        if content_of(checked).sha512 != record.content_sha512:
            return (CONTENT,)
        made = compile_documents(checked, list(Format), issue)
        compared = compare_with(archive, read_previous(archive, number, version), checked)
    made = {f"{DOCUMENTS}{name}": data for name, data in made.items()} | compared.files()
    kept = {
        name: archive.read(number, version, name)
        for name in archive.files(number, version)
        if name.startswith(DOCUMENTS) or name in (COMPARISON, COMPARISON_PAGE)
    }
    return tuple(name for name in sorted(made | kept) if made.get(name) != kept.get(name))


def _is_of(issue: Issue, record: ReleaseRecord) -> bool:
    """Tell whether what the documents show of a release is what its record says."""
    shown = (issue.content_sha512, issue.effective_from.isoformat(), issue.approvals)
    recorded = (record.content_sha512, record.effective_from, approved(record.approvals))
    return shown == recorded and issue.checked_on.isoformat() == record.checked_on


def _version_of(archive: Archive, number: str, revision: str) -> int:
    document = read_document(archive, number)
    found = document.revision(revision) if document else None
    if found is None:
        raise Refused(f"the archive holds no {number} revision {revision}")
    return found.version
