"""Build the comparison report: a summary on one page, then each change, then what follows."""

from dataclasses import dataclass, replace

from speccomp.compare.change import Change, Comparison, Size
from speccomp.compare.change_class import check_change_class, check_reasons
from speccomp.compare.marks import build_marks
from speccomp.compare.outline import Printed
from speccomp.compare.significance import CLASSES, RULES, Significance
from speccomp.documents.common import build_title_block
from speccomp.documents.comparison_effects import (
    Effects,
    document_table,
    number_table,
    row_table,
    shared_table,
)
from speccomp.documents.comparison_views import ChangeGroup, ChangeView, ComparisonReport
from speccomp.documents.text_marks import mark_lines
from speccomp.documents.views import Table, TitleBlock
from speccomp.findings import Span
from speccomp.model.process import Process
from speccomp.quantities.units import printed_unit

_FOOT = (
    "Made by comparing two revisions. What is not listed as a change is the same in both. "
    "A print is valid on the day of printing only."
)


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a revision was read from, and the digest of its definition file (SHA-512, hex)."""

    label: str
    sha512: str


def build_comparison(
    comparison: Comparison, origins: tuple[Origin, Origin], effects: Effects
) -> ComparisonReport:
    """Return the report of a comparison."""
    marks = build_marks(comparison)
    verdict, agrees = _verdict(comparison)
    gaps = [_sentence(finding.message) for finding in check_reasons(comparison)]
    return ComparisonReport(
        title_block=_title_block(comparison),
        verdict=" ".join((verdict, *gaps)),
        agrees=agrees and not gaps,
        note=_note(comparison),
        revisions=_revisions(comparison, origins),
        counts=_counts(comparison),
        between=_between(comparison),
        groups=_groups(comparison),
        numbers=number_table(effects),
        rows=row_table(comparison, marks),
        documents=document_table(comparison, marks),
        shared=shared_table(effects),
        unchanged=comparison.unchanged,
    )


def _title_block(comparison: Comparison) -> TitleBlock:
    before, after = comparison.before, comparison.after
    block = build_title_block(after, "Comparison report")
    return replace(
        block,
        revision=f"{before.revision} → {after.revision}",
        status="For review",
        approvals=(),
        draft=False,
        footer_note=_FOOT,
    )


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."


def _verdict(comparison: Comparison) -> tuple[str, bool]:
    """Return what the change note says against what was found."""
    found, note = comparison.significance, comparison.after.change
    if found is None:
        return "Nothing changed.", True
    content = f"The content calls for: {found}."
    if note is None or not note.change_class:
        return f"{content} The change note gives no class.", True
    claimed = CLASSES[note.change_class]
    same = str(claimed) == note.change_class
    said = f"The change note says {note.change_class}" + ("." if same else f" ({claimed}).")
    if any(check_change_class(comparison)):
        return f"{said} {content} The note makes less of the change than it is.", False
    return f"{said} {content} The two agree.", True


def _revisions(comparison: Comparison, origins: tuple[Origin, Origin]) -> Table:
    before, after = comparison.before, comparison.after
    rows = [
        ("Document", f"{before.number} {before.title}", f"{after.number} {after.title}"),
        ("Revision", f"{before.revision}, {_day(before)}", f"{after.revision}, {_day(after)}"),
        ("Creator", before.author, after.author),
        ("Read from", origins[0].label, origins[1].label),
        ("SHA-512", f"{origins[0].sha512[:16]}…", f"{origins[1].sha512[:16]}…"),
    ]
    return Table(("What", "Before", "After"), tuple(rows))


def _note(comparison: Comparison) -> tuple[tuple[str, str], ...]:
    """Return who made the change, why, what it says of itself, and when."""
    process, note = comparison.after, comparison.after.change
    return (
        ("Who", process.author),
        ("When", _day(process)),
        ("Why", note.why if note else "not stated"),
        ("What", note.summary if note else "not stated"),
        ("Class", note.change_class if note and note.change_class else "not stated"),
    )


def _day(process: Process) -> str:
    return process.date.isoformat() if process.date else "not stated"


def _counts(comparison: Comparison) -> Table:
    rows = []
    for significance in Significance:
        changes = comparison.of(significance)
        kinds = dict.fromkeys(change.words for change in changes)
        rows.append((str(significance), str(len(changes)), "; ".join(kinds) or "none"))
    return Table(("Significance", "Changes", "What"), tuple(rows), (1,))


def _between(comparison: Comparison) -> Table:
    """Return the revisions that lie between the two, with what each of them changed."""
    listed = [entry.revision for entry in comparison.after.history]
    old = comparison.before.revision
    later = comparison.after.history[listed.index(old) + 1 :] if old in listed else ()
    rows = tuple(
        (entry.revision, entry.date.isoformat() if entry.date else "", entry.summary)
        for entry in later
    )
    return Table(("Revision", "Date", "What it changed"), rows)


def _groups(comparison: Comparison) -> tuple[ChangeGroup, ...]:
    groups: list[ChangeGroup] = []
    printed = Printed(comparison)
    number = 0
    for significance in Significance:
        views = []
        for change in comparison.of(significance):
            number += 1
            views.append(_change(change, str(number), printed))
        title = str(significance)
        if views:
            slug = title.replace(" ", "-")
            groups.append(ChangeGroup(slug, title[0].upper() + title[1:], tuple(views)))
    return tuple(groups)


def _change(change: Change, number: str, printed: Printed) -> ChangeView:
    before, after = mark_lines(*printed.sides(change))
    rules = [RULES[name] for name in change.rules]
    first = rules[0].significance
    decided = tuple(
        rule.text if rule.significance is first else f"{rule.text} ({rule.significance})"
        for rule in rules
    )
    related = "; ".join(
        f"{item.message} ({_place(item.span)})" for item in change.related if item.span.file
    )
    return ChangeView(
        number=number,
        subject=change.subject,
        title=change.title,
        kind=change.kind,
        words=change.words,
        before=before,
        after=after,
        size=_size(change.size),
        decided=decided,
        places=(_place(change.before_span), _place(change.after_span)),
        note="; ".join(text for text in (change.note, related) if text),
    )


def _place(span: Span | None) -> str:
    return f"{span.file}:{span.line}" if span else ""


def _size(size: Size | None) -> str:
    """Return how far something moved: `middle of the limits +2 K, 20 % of the band`."""
    if size is None:
        return ""
    amount = f"{size.amount:+f}".replace("-", "−")
    unit = printed_unit(size.unit, "2")
    moved = f"{size.of} {amount}" + (f"\u00a0{unit}" if unit else "")
    if size.per_cent is None:
        return moved
    share = f"{abs(size.per_cent):f}"
    return f"{moved}, {share}\u00a0% of the band"
