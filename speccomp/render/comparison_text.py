"""A comparison report as text for a terminal."""

from collections.abc import Iterator, Sequence

from speccomp.documents.comparison_views import ChangeView, ComparisonReport, Line
from speccomp.documents.views import Table

_SIGNS = {"": "", "removed": "[", "inserted": "«"}
_ENDS = {"": "", "removed": "]", "inserted": "»"}


def render_comparison_text(report: ComparisonReport) -> str:
    """Return a report as text; removed text stands in [ ], inserted text in « »."""
    return "\n".join(_lines(report)) + "\n"


def _lines(report: ComparisonReport) -> Iterator[str]:
    block = report.title_block
    yield f"{block.number} {block.title}, revision {block.revision}"
    yield from (f"{label}: {text}" for label, text in report.note)
    yield report.verdict
    yield ""
    for row in report.counts.rows:
        if row[1] != "0":
            yield f"{row[1]:>4}  {row[0]}: {row[2]}"
    for group in report.groups:
        yield ""
        yield f"== {group.title}"
        for change in group.changes:
            yield from _change(change)
    yield from _table("Derived numbers", report.numbers)
    yield from _table("Control-plan rows", report.rows)
    yield from _table("Documents that come out otherwise", report.documents)
    yield from _table("Other definitions that read a changed file", report.shared)
    yield from _table("Revisions in between", report.between)


def _change(change: ChangeView) -> Iterator[str]:
    yield f"{change.number:>3}. {change.title}: {change.words}"
    for head, lines in (("before", change.before), ("after", change.after)):
        texts = [_text(line) for line in lines] or ["nothing"]
        yield f"     {head:<7}{texts[0]}"
        yield from (f"            {text}" for text in texts[1:])
    if change.size:
        yield f"     size   {change.size}"
    yield f"     why    {' '.join(change.decided)}"
    if change.note:
        yield f"     note   {change.note}"
    places = [place for place in change.places if place]
    if places:
        yield f"     at     {' → '.join(dict.fromkeys(places))}"


def _text(line: Line) -> str:
    return "".join(f"{_SIGNS[p.mark]}{p.text}{_ENDS[p.mark]}" for p in line)


def _table(title: str, table: Table) -> Iterator[str]:
    if not table.rows:
        return
    yield ""
    yield f"== {title}"
    for row in table.rows:
        yield "  " + _row(row)


def _row(row: Sequence[str]) -> str:
    return " | ".join(cell for cell in row if cell)
