"""Release a revision: what has to hold, the documents, one new version in the archive."""

from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from speccomp import __version__
from speccomp.archive.digests import sha256
from speccomp.archive.errors import Overtaken
from speccomp.archive.ledger import Event
from speccomp.archive.opening import start_archive
from speccomp.archive.release_record import (
    CONTENT,
    DOCUMENTS,
    RELEASE,
    SOURCES,
    ReleaseRecord,
    Use,
)
from speccomp.archive.statements import Record
from speccomp.archive.store import Archive, Change, NewVersion
from speccomp.model.effectivity import add_period, start_of_day
from speccomp.model.identity import Content
from speccomp.model.issue import Issue
from speccomp.model.process import Process
from speccomp.pipeline import Checked, Format, compile_documents, content_of
from speccomp.release.approvals import approved, find_approvals
from speccomp.release.approve import day_at_site, resolved, utc_text
from speccomp.release.history import instant, pending_revision
from speccomp.release.previous import (
    Compared,
    Previous,
    check_revision,
    compare_with,
    read_previous,
)
from speccomp.release.refusal import Refused
from speccomp.release.signing import signers_of
from speccomp.render.attachments import ISSUE

LOTS = ("finish-on-old", "switch-now", "hold")
"""What can happen to lots that are being worked on when a revision comes into force."""


@dataclass(frozen=True, slots=True)
class Request:
    """
    A request to release: by whom, when, in force from which day (None for at once).

    `checked_on` is the day on which waivers had to hold. `takes_over` allows a document to begin
    in the archive with another than its first revision.
    """

    controller: str
    at: datetime
    effective: date | None
    checked_on: date
    lots: str = LOTS[0]
    takes_over: bool = False


@dataclass(frozen=True, slots=True)
class Prepared:
    """Everything a release is made of, found good before the archive is changed."""

    process: Process
    content: Content
    request: Request
    approvals: tuple[Record, ...]
    previous: Previous
    compared: Compared

    @property
    def released_on(self) -> date:
        """The day of the release at the site."""
        return date.fromisoformat(day_at_site(self.process, self.request.at))

    @property
    def effective_from(self) -> date:
        """The day at the site from which on it is in force."""
        return self.request.effective or self.released_on


@dataclass(frozen=True, slots=True)
class Done:
    """What was released, and what is worth knowing about it."""

    record: ReleaseRecord
    remarks: tuple[str, ...]


def release(checked: Checked, folder: Path, request: Request) -> Done:
    """
    Release a checked definition into the archive, which is started if there is none.

    The documents are compiled before anything is written; then all goes into one new version, or
    nothing does. Errors: Refused with every reason, ArchiveError, PdfError.
    """
    archive = start_archive(folder, request.controller, utc_text(request.at))
    prepared = _prepare(checked, archive, request)
    issue = _issue(prepared)
    documents = compile_documents(checked, list(Format), issue)
    with archive.change(request.controller, utc_text(request.at)) as change:
        if read_previous(archive, prepared.process.number) != prepared.previous:
            raise Overtaken(
                f"somebody else has released {prepared.process.number} in the meantime; "
                "compare with that revision, and release again"
            )
        record = _record(prepared, change)
        files = {
            RELEASE: record.text(),
            CONTENT: prepared.content.text,
            ISSUE: issue.text(),
            **prepared.compared.files(),
            **{f"{SOURCES}{file.path}": file.data for file in prepared.content.files},
            **{f"{DOCUMENTS}{name}": data for name, data in documents.items()},
        }
        version = NewVersion(files, RELEASE, prepared.previous.versions, record.reason)
        remarks = _remarks(archive, change, record)
        event = Event("release", "", record.document, record.revision, "", "", record.details())
        change.add_version(event, record.document, version)
    return Done(record, remarks)


def _prepare(checked: Checked, archive: Archive, request: Request) -> Prepared:
    process = resolved(checked)
    day_at_site(process, request.at)
    content = content_of(checked)
    previous = read_previous(archive, process.number)
    approvals = find_approvals(archive, process, content.sha512)
    compared = compare_with(archive, previous, checked)
    prepared = Prepared(process, content, request, approvals.records, previous, compared)
    reasons = (
        *check_revision(process, previous, takes_over=request.takes_over),
        *approvals.reasons,
        *compared.reasons,
        *_check_dates(prepared),
        *_check_lots(request.lots, compared.change_class),
    )
    if reasons:
        raise Refused(*reasons)
    return prepared


def _check_dates(prepared: Prepared) -> list[str]:
    """A revision is approved before it is released, and is in force from then on or later."""
    reasons = []
    for record in prepared.approvals:
        statement = record.statement
        approved = datetime.fromisoformat(statement.time.replace("Z", "+00:00"))
        day = date.fromisoformat(day_at_site(prepared.process, approved))
        if prepared.effective_from < day:
            reasons.append(
                f"{prepared.effective_from} lies before the approval of {statement.name} on {day}: "
                "a revision cannot be in force before it is approved"
            )
        if approved > prepared.request.at:
            reasons.append(f"the approval of {statement.name} is dated after the release")
    if not reasons and prepared.effective_from < prepared.released_on:
        reasons.append(
            f"{prepared.effective_from} lies before the release on {prepared.released_on}: nobody "
            "could have worked to it; say `immediate`, or a later day"
        )
    return reasons


def _check_lots(lots: str, change_class: str) -> list[str]:
    if change_class == "safety" and lots == LOTS[0]:
        others = " or ".join(LOTS[1:])
        return [f"a change about safety does not wait for lots to be finished; say --lots {others}"]
    return []


def _issue(prepared: Prepared) -> Issue:
    return Issue(
        prepared.released_on,
        prepared.effective_from,
        prepared.content.sha512,
        approved(prepared.approvals),
        prepared.request.checked_on,
        prepared.process.plant.release.register,
        prepared.compared.changed,
    )


def _record(prepared: Prepared, change: Change) -> ReleaseRecord:
    process, request = prepared.process, prepared.request
    rules, note = process.plant.release, process.change
    starts = start_of_day(prepared.effective_from, rules.time_zone)
    at_once = utc_text(starts) < change.time
    every = rules.review_every
    due = add_period(prepared.released_on, every).isoformat() if every else ""
    return ReleaseRecord(
        document=process.number,
        title=process.title,
        revision=process.revision,
        previous=note.from_revision if note else "",
        content_sha512=prepared.content.sha512,
        effective_from=prepared.effective_from.isoformat(),
        effective_at=change.time if at_once else utc_text(starts),
        released_at=change.time,
        released_by=request.controller,
        reason=note.why if note else "First issue",
        summary=note.summary if note else "First issue",
        change_class=prepared.compared.change_class,
        lots=request.lots,
        review_due=due,
        review_every=every,
        signatures=rules.signatures,
        approvers=signers_of(rules),
        approvals=prepared.approvals,
        uses=tuple(Use(file.kind, file.path, sha256(file.data)) for file in prepared.content.files),
        equipment=_equipment(process),
        tool_version=__version__,
        checked_on=request.checked_on.isoformat(),
        ledger_head=change.head.sha256,
    )


def _equipment(process: Process) -> tuple[str, ...]:
    """Return the ids of the equipment that is worked or measured with."""
    used = {item.id for step in process.steps for item in step.equipment}
    gauges = (characteristic.control.gauge for _, characteristic in process.characteristics())
    return tuple(sorted(used | {gauge.id for gauge in gauges if gauge is not None}))


def _remarks(archive: Archive, change: Change, record: ReleaseRecord) -> tuple[str, ...]:
    """Say what the release means for a revision that waits to come into force."""
    pending = pending_revision(archive, record.document, instant(change.time))
    if pending is None or pending.effective_at < instant(record.effective_at):
        return ()
    return (
        f"revision {pending.revision} will never come into force: {record.revision} comes first; "
        "confirm that it holds the changes of both",
    )
