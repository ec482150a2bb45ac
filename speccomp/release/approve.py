"""Approve a revision: a statement about its exact content, in the archive."""

from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from speccomp.archive.ledger import Event
from speccomp.archive.opening import start_archive
from speccomp.archive.statements import Record, Statement
from speccomp.findings import Severity
from speccomp.model.process import Process
from speccomp.pipeline import Checked, content_of
from speccomp.release.history import read_times
from speccomp.release.refusal import Refused
from speccomp.release.signing import Signing, check_person, sign, signers_of

MEANING = "approved for release"


def utc_text(moment: datetime) -> str:
    """Return an instant in UTC with seconds."""
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def day_at_site(process: Process, moment: datetime) -> str:
    """Return the day of an instant at the site. Errors: Refused where its time zone is unknown."""
    zone = process.plant.release.time_zone
    if not zone:
        raise Refused("the plant file does not say how it releases: it lacks `release: time_zone`")
    return moment.astimezone(ZoneInfo(zone)).date().isoformat()


def resolved(checked: Checked) -> Process:
    """Return the model of a definition without errors. Errors: Refused."""
    errors = [f for f in checked.findings if f.severity is Severity.ERROR and not f.waived]
    if errors:
        count = f"{len(errors)} errors" if len(errors) > 1 else "an error"
        raise Refused(f"the check finds {count}, the first: {errors[0].message}")
    if checked.process is None:
        raise Refused("the file is no process definition")
    return checked.process


def build_approval(
    checked: Checked, name: str, role: str, at: datetime, meaning: str = MEANING
) -> Statement:
    """
    Return the statement that approves the exact content of a definition.

    Errors: Refused where it has errors, or where the person may not approve it.
    """
    process = resolved(checked)
    plant = process.plant
    if role not in plant.approvals:
        known = ", ".join(plant.approvals)
        raise Refused(f"the plant wants no approval by the role `{role}`; it wants {known}")
    day = datetime.fromisoformat(day_at_site(process, at)).date()
    reasons = check_person(plant.release, name, role, day, process.author)
    if reasons:
        raise Refused(*reasons)
    return Statement(
        "approve",
        process.number,
        process.revision,
        content_of(checked).sha512,
        meaning,
        name,
        role,
        utc_text(at),
    )


def approve(checked: Checked, statement: Statement, signing: Signing, folder: Path) -> Record:
    """
    Sign an approval and put it into the archive, which is started if there is none.

    Errors: Refused, ArchiveError.
    """
    rules = resolved(checked).plant.release
    required = rules.signatures == "required"
    record = sign(statement, signing, signers_of(rules), required=required)
    archive = start_archive(folder, statement.name, statement.time)
    done = read_times(archive, statement.document)
    if statement.revision in {released.revision for released in done}:
        raise Refused(f"{statement.document} revision {statement.revision} is already released")
    with archive.change(statement.name, statement.time) as change:
        change.add_statement(statement_event(record), record)
    return record


def statement_event(record: Record) -> Event:
    """Return the ledger's event for a statement."""
    statement = record.statement
    subject = (statement.document, statement.revision)
    return Event(statement.action, "", *subject, "", "", record.details())
