"""Render the control plan as a table for other programs: CSV (RFC 4180) and XLSX."""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import TYPE_CHECKING

from speccomp.documents.views import ControlPlan, ControlRow, ReactionView, Table, TitleBlock, cells
from speccomp.render.markdown import render_plain

if TYPE_CHECKING:
    from xlsxwriter.format import Format
    from xlsxwriter.workbook import Workbook
    from xlsxwriter.worksheet import Worksheet

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
_BYTE_ORDER_MARK = "\ufeff"
DOCUMENT_COLUMNS = ("Document", "Revision", "Status")
_WIDTHS = (6, 18, 22, 6, 26, 11, 9, 34, 26, 9, 15, 15, 20, 20)
_PAPER = {"A4": 9, "Letter": 1}


def render_csv(view: ControlPlan) -> str:
    """
    Return the rows of the control plan under their headings, lines ended by CR LF.

    Every row begins with number, revision and status of the document, because rows are filtered,
    sorted and pasted elsewhere. A cell that a spreadsheet would take for a formula begins with an
    apostrophe. The first sign is a byte order mark: without it spreadsheet programs read the file
    in the code page of the machine, and ± 1.5 g is shown with a letter before the sign.
    """
    output = io.StringIO()
    writer = csv.writer(output, lineterminator="\r\n")
    title = view.title_block
    document = (title.number, title.revision, "DRAFT" if title.draft else title.status)
    writer.writerow((*DOCUMENT_COLUMNS, *view.columns))
    for row in view.rows:
        writer.writerow([_harmless(text) for text in (*document, *_texts(row))])
    return f"{_BYTE_ORDER_MARK}{output.getvalue()}"


def _harmless(text: str) -> str:
    return f"'{text}" if text.startswith(_FORMULA) else text


def _texts(row: ControlRow) -> tuple[str, ...]:
    """Return the cells of a row; words to judge by lose their Markdown, as on the page."""
    plain = render_plain(row.characteristic.requirement)
    judged = row.characteristic.judged
    return tuple(
        plain if judged and text == row.characteristic.requirement else text for text in cells(row)
    )


@dataclass(frozen=True, slots=True)
class _Formats:
    title: "Format"
    label: "Format"
    text: "Format"
    head: "Format"
    cell: "Format"


def render_xlsx(view: ControlPlan) -> bytes:
    """Return the control plan as a workbook: the plan, its reaction plans, samples, revisions."""
    import xlsxwriter

    output = io.BytesIO()
    book = xlsxwriter.Workbook(output, {"in_memory": True})
    title = view.title_block
    book.set_properties(
        {
            "title": f"{title.document_type} {title.number} {title.revision}",
            "subject": title.title,
            "author": title.creator,
            "company": title.owner,
            "status": title.status,
            "created": _moment(title),
        }
    )
    formats = _formats(book)
    _write_plan(_new_sheet(book, "Control plan", title), view, formats)
    _write_reactions(_new_sheet(book, "Reaction plans", title), view.reactions, formats)
    for figure in view.figures:
        if figure.table is not None:
            _write_table(_new_sheet(book, figure.table.caption, title), figure.table, formats)
    _write_table(_new_sheet(book, "Revisions", title), view.history, formats)
    _write_table(_new_sheet(book, "Findings waived", title), view.waived, formats)
    book.close()
    return output.getvalue()


def _moment(title: TitleBlock) -> datetime:
    """Return the day of issue; for a draft without one the first day a workbook can bear."""
    day = date.fromisoformat(title.date) if title.date else date(1980, 1, 1)
    return datetime.combine(day, time(), UTC)


def _formats(book: "Workbook") -> _Formats:
    wrapped = {"text_wrap": True, "valign": "top", "font_size": 9}
    return _Formats(
        title=book.add_format({"bold": True, "font_size": 14}),
        label=book.add_format({"font_color": "#46535F", "font_size": 9}),
        text=book.add_format({"bold": True, "font_size": 10}),
        head=book.add_format({**wrapped, "bold": True, "bottom": 2, "bg_color": "#EDF3F4"}),
        cell=book.add_format({**wrapped, "bottom": 1, "bottom_color": "#AEB9C2"}),
    )


def _new_sheet(book: "Workbook", name: str, title: TitleBlock) -> "Worksheet":
    sheet = book.add_worksheet(name)
    sheet.set_landscape()
    sheet.set_paper(_PAPER[title.paper])
    sheet.set_margins(left=0.5, right=0.5, top=0.9, bottom=0.8)
    sheet.fit_to_pages(1, 0)
    mark = "DRAFT" if title.draft else ""
    where = f"{title.number} rev. {title.revision}, {title.date or 'not issued'}, {title.status}"
    # A header or footer holds 255 signs at most, and each may be an ampersand.
    sheet.set_header(f"&L{_header(title.owner, 50)}&C&B{mark}&R{_header(where, 60)}")
    sheet.set_footer(f"&L{_header(title.footer_note, 115)}&Rpage &P of &N")
    sheet.ignore_errors({"number_stored_as_text": "A1:XFD1048576"})
    return sheet


def _header(text: str, signs: int) -> str:
    """Return the beginning of a text for a page header, where an ampersand is written twice."""
    shown = text if len(text) <= signs else f"{text[: signs - 1]}…"
    return shown.replace("&", "&&")


def _write_plan(sheet: "Worksheet", view: ControlPlan, formats: _Formats) -> None:
    title = view.title_block
    sheet.write_string(0, 0, title.title, formats.title)
    fields = (
        ("Control plan", title.number),
        ("Revision", title.revision),
        ("Status", title.status),
        ("Organisation, site", f"{title.owner}, {title.site}"),
        ("Contact", title.contact),
        ("Date of issue", title.date or "not issued"),
        *view.header,
        *((f"Approval: {a.role}", f"{a.name or 'not approved'} {a.date}") for a in title.approvals),
    )
    for number, (label, value) in enumerate(fields):
        row, column = 1 + number // 3, (0, 4, 8)[number % 3]
        sheet.write_string(row, column, label, formats.label)
        sheet.write_string(row, column + 2, value.strip(), formats.text)
    top = 3 + (len(fields) - 1) // 3
    for column, width in enumerate(_WIDTHS):
        sheet.set_column(column, column, width)
    _write_rows(sheet, top, (view.columns, *map(_texts, view.rows)), formats)
    sheet.freeze_panes(top + 1, 0)
    sheet.repeat_rows(top)
    sheet.autofilter(top, 0, top + len(view.rows), len(view.columns) - 1)
    sheet.write_string(top + len(view.rows) + 2, 0, view.legend, formats.label)


def _write_rows(
    sheet: "Worksheet", top: int, rows: Iterable[Sequence[str]], formats: _Formats
) -> None:
    for number, row in enumerate(rows, start=top):
        for column, text in enumerate(row):
            style = formats.head if number == top else formats.cell
            sheet.write_string(number, column, text, style)


def _write_reactions(
    sheet: "Worksheet", reactions: Iterable[ReactionView], formats: _Formats
) -> None:
    rows = [("Reaction plan", "No.", "What is done", "Decides")]
    for reaction in reactions:
        for number, action in enumerate(reaction.actions, start=1):
            rows.append((reaction.title, str(number), render_plain(action), reaction.responsible))
    _set_widths(sheet, (28, 6, 80, 24))
    _write_rows(sheet, 0, rows, formats)


def _write_table(sheet: "Worksheet", table: Table, formats: _Formats) -> None:
    _set_widths(sheet, (24,) * len(table.columns))
    rows = (
        tuple(render_plain(text) if n in table.prose else text for n, text in enumerate(row))
        for row in table.rows
    )
    _write_rows(sheet, 0, (table.columns, *rows), formats)


def _set_widths(sheet: "Worksheet", widths: Sequence[int]) -> None:
    for column, width in enumerate(widths):
        sheet.set_column(column, column, width)
