"""A comparison report as text for a terminal of 100 columns."""

from collections.abc import Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap

from speccomp.documents.comparison_views import ChangeView, ComparisonReport, Line
from speccomp.documents.views import Table

_WIDTH = 100
_NARROWEST = 9
_GAP = "  "
_SIGNS = {"": "", "removed": "[", "inserted": "«"}
_ENDS = {"": "", "removed": "]", "inserted": "»"}


def render_comparison_text(report: ComparisonReport) -> str:
    """Return a report as text; removed text stands in [ ], inserted text in « »."""
    return "\n".join(_lines(report)) + "\n"


def _lines(report: ComparisonReport) -> Iterator[str]:
    block = report.title_block
    yield from _wrapped("", f"{block.number} {block.title}, revision {block.revision}")
    for label, text in report.note:
        yield from _wrapped(f"{label + ':':<7}", text)
    yield from _wrapped("", report.verdict)
    yield ""
    for name, count, what in report.counts.rows:
        if count != "0":
            yield from _wrapped(f"{count:>4}  ", f"{name}: {what}")
    for group in report.groups:
        yield ""
        yield f"== {group.title}"
        for change in group.changes:
            yield from _change(change)
    yield from _table("Documents that come out otherwise", report.documents)
    yield from _table("Rows of the control plan that changed", report.rows)
    yield from _table("Derived numbers that changed", report.numbers)
    yield from _table("Other definitions that read a changed file", report.shared)
    yield from _table("Revisions in between", report.between)
    if report.unchanged:
        yield ""
        yield "== Unchanged"
        yield from _wrapped("  ", "; ".join(report.unchanged))


def _wrapped(head: str, text: str) -> Iterator[str]:
    """Yield a text behind a head, its further lines below its beginning."""
    lines = wrap(text, _WIDTH - len(head), break_on_hyphens=False) or [""]
    for number, line in enumerate(lines):
        yield (head if not number else " " * len(head)) + line


def _change(change: ChangeView) -> Iterator[str]:
    yield from _wrapped(f"{change.number:>3}. ", f"{change.title}: {change.words}")
    for head, lines in (("before", change.before), ("after", change.after)):
        texts = [_text(line) for line in lines] or ["nothing"]
        for number, text in enumerate(texts):
            yield from _wrapped(f"     {'' if number else head:<7}", text)
    for head, text in (("size", change.size), ("why", " ".join(change.decided))):
        if text:
            yield from _wrapped(f"     {head:<7}", text)
    if change.note:
        yield from _wrapped(f"     {'note':<7}", change.note)
    places = [place for place in change.places if place]
    if places:
        yield from _wrapped(f"     {'at':<7}", " → ".join(dict.fromkeys(places)))


def _text(line: Line) -> str:
    return "".join(f"{_SIGNS[p.mark]}{p.text}{_ENDS[p.mark]}" for p in line)


def _table(title: str, table: Table) -> Iterator[str]:
    if not table.rows:
        return
    yield ""
    yield f"== {title}"
    widths = _widths(table.rows)
    for row in table.rows:
        cells = [wrap(cell, width) for cell, width in zip(row, widths, strict=True)]
        for pieces in zip_longest(*cells, fillvalue=""):
            padded = (
                piece.rjust(width) if column in table.numeric else piece.ljust(width)
                for column, (piece, width) in enumerate(zip(pieces, widths, strict=True))
            )
            yield f"  {_GAP.join(padded)}".rstrip()


def _widths(rows: Sequence[Sequence[str]]) -> list[int]:
    """Return how wide the columns are: as their cells, the widest made narrower to fit."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    room = _WIDTH - 2 - len(_GAP) * (len(widths) - 1)
    while sum(widths) > room and max(widths) > _NARROWEST:
        widths[widths.index(max(widths))] -= 1
    return [max(width, 1) for width in widths]
