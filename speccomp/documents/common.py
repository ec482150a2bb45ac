"""Parts that every controlled document of a definition shows alike."""

import re
from collections.abc import Iterable

from speccomp.documents.views import Approval, Released, Table, TitleBlock
from speccomp.documents.words import role_title
from speccomp.findings import Finding
from speccomp.model.issue import Issue, SheetCode
from speccomp.model.process import Process

_NAMED = re.compile(r"`([^`]*)`")
_UNCONTROLLED = "A print is not controlled: compare it with the register before use."


def build_title_block(
    process: Process, document_type: str, issue: Issue | None = None
) -> TitleBlock:
    """Return the title block (fields of ISO 7200) of a draft, or of a released document."""
    plant = process.plant
    day = issue.released_on if issue else process.date
    return TitleBlock(
        owner=plant.owner,
        site=plant.name,
        number=process.number,
        title=process.title,
        document_type=document_type,
        revision=process.revision,
        date=day.isoformat() if day else "",
        status="Released" if issue else "Draft",
        creator=process.author,
        creator_role=role_title(process, process.author_role),
        approvals=_approvals(process, issue),
        department=process.department,
        contact=process.contact,
        language=process.language,
        paper=plant.paper,
        draft=issue is None,
        footer_note=plant.uncontrolled_note or _UNCONTROLLED,
        released=_released(process, issue) if issue else None,
    )


def _approvals(process: Process, issue: Issue | None) -> tuple[Approval, ...]:
    if issue is None:
        return tuple(Approval(role_title(process, r), "", "") for r in process.plant.approvals)
    return tuple(
        Approval(
            role_title(process, item.role),
            item.name,
            item.time.replace("T", " ").replace("Z", " UTC"),
            f"{item.meaning}, {'signed' if item.signed else 'not signed'}",
        )
        for item in issue.approvals
    )


def _released(process: Process, issue: Issue) -> Released:
    digest = issue.content_sha512
    return Released(
        effective=issue.effective_from.isoformat(),
        digest=digest,
        code=SheetCode(process.number, process.revision, digest).text(issue.register),
        code_words=f"Square code: {process.number}, revision {process.revision}, and the digest",
    )


def build_history(process: Process, issue: Issue | None = None) -> Table:
    """Return the revision history, newest first."""
    change = process.change
    day = issue.released_on if issue else process.date
    current = (
        process.revision,
        day.isoformat() if day else "",
        change.summary if change else "First issue",
        change.why if change else "",
    )
    earlier = [
        (item.revision, item.date.isoformat() if item.date else "", item.summary, "")
        for item in reversed(process.history)
    ]
    return Table(("Revision", "Date", "What changed", "Why"), (current, *earlier))


def _printed(sentence: str) -> str:
    """Return a sentence of a finding as it is printed: names in quotes, not between backticks."""
    return _NAMED.sub(r"“\1”", sentence)


def build_waived(findings: Iterable[Finding]) -> Table:
    """Return the findings that a waiver covers."""
    rows = tuple(
        (finding.rule, finding.subject, _printed(finding.message), finding.waiver or "")
        for finding in findings
        if finding.waived
    )
    return Table(("Finding", "At", "What it says", "Why it is accepted"), rows, prose=(2,))
