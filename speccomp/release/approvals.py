"""The approvals that a release needs: one for each role, of exactly this content."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from speccomp.archive.errors import SignatureFault
from speccomp.archive.statements import Record, check_record, check_signer
from speccomp.archive.store import Archive
from speccomp.model.issue import Approved
from speccomp.model.process import Process
from speccomp.release.signing import check_person, signers_of


@dataclass(frozen=True, slots=True)
class Approvals:
    """The approvals of a content in the order of the plant's roles, and why they do not do."""

    records: tuple[Record, ...]
    reasons: tuple[str, ...]


def find_approvals(archive: Archive, process: Process, content_sha512: str) -> Approvals:
    """Return the last approval by each role that must approve. Errors: ArchiveDamaged."""
    about = (process.number, process.revision)
    by_role = {
        record.statement.role: record
        for record in archive.statements(content_sha512)
        if record.statement.action == "approve"
        and (record.statement.document, record.statement.revision) == about
    }
    roles = process.plant.approvals
    records = tuple(by_role[role] for role in roles if role in by_role)
    missing = [role for role in roles if role not in by_role]
    reasons = [*_missing(archive, process, missing)]
    told = archive.tells_of(records)
    for record in records:
        if record not in told:
            reasons.append(
                f"the ledger does not tell of the approval of {record.statement.name}: "
                "it was put into the archive by hand"
            )
        reasons += _faults(process, record)
    return Approvals(records, tuple(reasons))


def approved(records: Iterable[Record]) -> tuple[Approved, ...]:
    """Return approvals as a document shows them."""
    return tuple(
        Approved(s.role, s.name, s.time, s.meaning, record.signed)
        for record in records
        for s in [record.statement]
    )


def _missing(archive: Archive, process: Process, roles: Iterable[str]) -> list[str]:
    """Say which approvals are missing, and which there are of another content."""
    if not roles:
        return []
    void = {
        str(entry.event.details.get("role")): str(entry.event.details.get("name"))
        for entry in archive.entries(["approve"])
        if (entry.event.object, entry.event.revision) == (process.number, process.revision)
    }
    return [
        f"the approval of {void[role]} as {role} is void: the content has changed since"
        if role in void
        else f"the approval by the role {role} is missing"
        for role in roles
    ]


def _faults(process: Process, record: Record) -> list[str]:
    rules, statement = process.plant.release, record.statement
    moment = datetime.fromisoformat(statement.time.replace("Z", "+00:00"))
    day = moment.astimezone(ZoneInfo(rules.time_zone)).date()
    reasons = [*check_person(rules, statement.name, statement.role, day, process.author)]
    if not record.signed:
        if rules.signatures == "required":
            reasons.append(f"the approval of {statement.name} is not signed")
        return reasons
    try:
        check_record(record)
        check_signer(record, signers_of(rules))
    except SignatureFault as fault:
        reasons.append(f"the approval of {statement.name} does not count: {fault}")
    return reasons
