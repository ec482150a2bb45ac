"""
The line that a finding is about, with carets under the characters meant.

Columns count characters, the terminal counts cells: a tab, a wide sign and a combining mark take
a number of cells of their own.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from rich.cells import cell_len

from speccomp.findings import Span

_WIDTH = 96
"""Cells of source text in one row; of a longer line the part around the fault is shown."""
_TAB = 4
_LEAD = 24
"""Cells shown in front of the fault where a line is cut."""
_CUT = "…"

_HIDDEN = {
    **{code: 0x2400 + code for code in range(0x20) if code not in (0x09, 0x0A)},
    0x7F: 0x2421,
    **dict.fromkeys(range(0x80, 0xA0), 0xFFFD),
    **dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A), 0x200E, 0x200F), 0xFFFD),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One row of an excerpt; `carets` tells that the text is marks and not source."""

    margin: str
    text: str
    carets: bool = False


def render_visible(text: str) -> str:
    """
    Return a text in which what would command the terminal is shown as a sign, one for one.

    These are the control characters, apart from tab and line feed, and the signs that turn the
    direction of writing.
    """
    return text.translate(_HIDDEN)


def render_excerpt(text: str | None, span: Span) -> Iterator[Row]:
    """
    Return the rows for a span: the line and its carets, for a long span the last line as well.

    Nothing where the text is not at hand or the span lies outside it.
    """
    lines = [] if text is None else text.split("\n")
    if not 1 <= span.line <= len(lines):
        return
    last, end = _inside(span, lines)
    gutter = max(len(str(last)), 4)
    first_end = end if last == span.line else len(lines[span.line - 1]) + 1
    yield from _marked(lines[span.line - 1], span.line, gutter, span.column, first_end)
    if last > span.line:
        if last > span.line + 1:
            yield Row(f" {' ' * gutter} | ", _CUT)
        line = lines[last - 1]
        start = len(line) - len(line.lstrip()) + 1
        yield from _marked(line, last, gutter, start, max(start, end))


def _inside(span: Span, lines: list[str]) -> tuple[int, int]:
    """Return last line and end column; an end before the text of a line is moved up."""
    last, end = min(span.end_line, len(lines)), span.end_column
    while last > span.line and (end == 1 or not lines[last - 1][: end - 1].strip()):
        last -= 1
        end = len(lines[last - 1]) + 1
    return last, end


def _marked(line: str, number: int, gutter: int, start: int, end: int) -> Iterator[Row]:
    """Yield a line and the carets under the characters from `start` up to `end`, counted from 1."""
    shown, cells = _in_cells(render_visible(line))
    first = cells[min(start - 1, len(line))]
    past = max(cells[min(max(end - 1, start), len(line))], first + 1)
    window, shift = _window(shown, first)
    past = min(past, first + _WIDTH)
    yield Row(f" {number:>{gutter}} | ", window)
    width = min(past - shift, cell_len(window) or 1) - (first - shift)
    yield Row(f" {' ' * gutter} | ", " " * (first - shift) + "^" * max(width, 1), carets=True)


def _in_cells(line: str) -> tuple[str, list[int]]:
    """Return the line with its tabs opened, and the cell at which each character begins."""
    shown, cells, width = [], [], 0
    for character in line:
        cells.append(width)
        text = " " * (_TAB - width % _TAB) if character == "\t" else character
        shown.append(text)
        width += cell_len(text)
    return "".join(shown), [*cells, width]


def _window(shown: str, first: int) -> tuple[str, int]:
    """Return the part of a line around cell `first`, and by how many cells it has moved left."""
    if cell_len(shown) <= _WIDTH:
        return shown.rstrip(), 0
    skipped = max(first - _LEAD, 0)
    begin = _character_at(shown, skipped)
    start_cell = cell_len(shown[:begin])
    finish = _character_at(shown, start_cell + _WIDTH)
    head, tail = _CUT if begin else "", _CUT if finish < len(shown) else ""
    return f"{head}{shown[begin:finish]}{tail}", start_cell - len(head)


def _character_at(shown: str, cell: int) -> int:
    """Return the index of the first character that begins at the cell or after it."""
    width = 0
    for index, character in enumerate(shown):
        if width >= cell:
            return index
        width += cell_len(character)
    return len(shown)
