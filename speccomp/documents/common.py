"""Parts that every controlled document of a definition shows alike."""

from collections.abc import Iterable

from speccomp.documents.views import Approval, Table, TitleBlock
from speccomp.documents.words import role_title
from speccomp.findings import Finding
from speccomp.model.process import Process

_UNCONTROLLED = "A print is not controlled: compare it with the register before use."


def build_title_block(process: Process, document_type: str) -> TitleBlock:
    """Return the title block (fields of ISO 7200) of a draft."""
    plant = process.plant
    return TitleBlock(
        owner=plant.owner,
        site=plant.name,
        number=process.number,
        title=process.title,
        document_type=document_type,
        revision=process.revision,
        date=process.date.isoformat() if process.date else "",
        status="Draft",
        creator=process.author,
        creator_role=role_title(process, process.author_role),
        approvals=tuple(Approval(role_title(process, role), "", "") for role in plant.approvals),
        department=process.department,
        contact=process.contact,
        language=process.language,
        paper=plant.paper,
        draft=True,
        footer_note=plant.uncontrolled_note or _UNCONTROLLED,
    )


def build_history(process: Process) -> Table:
    """Return the revision history, newest first."""
    change = process.change
    current = (
        process.revision,
        process.date.isoformat() if process.date else "",
        change.summary if change else "First issue",
        change.why if change else "",
    )
    earlier = [
        (item.revision, item.date.isoformat() if item.date else "", item.summary, "")
        for item in reversed(process.history)
    ]
    return Table(("Revision", "Date", "What changed", "Why"), (current, *earlier))


def build_waived(findings: Iterable[Finding]) -> Table:
    """Return the findings that a waiver covers."""
    rows = tuple(
        (finding.rule, finding.subject, finding.message, finding.waiver or "")
        for finding in findings
        if finding.waived
    )
    return Table(("Finding", "At", "What it says", "Why it is accepted"), rows)
