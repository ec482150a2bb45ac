"""The control plan as CSV and XLSX: the same text as on the page, and nothing that computes."""

import csv
import dataclasses
import io
import zipfile

import invented_views
import openpyxl
import pytest

from speccomp.documents.views import COLUMNS, cells
from speccomp.render.markdown import render_plain
from speccomp.render.sheet import DOCUMENT_COLUMNS, render_csv, render_xlsx


def rows_of(text):
    assert text.startswith("\ufeff")
    return [tuple(row) for row in csv.reader(io.StringIO(text[1:], newline=""))]


def wanted(plan):
    return [tuple(render_plain(text) for text in cells(row)) for row in plan.rows]


def with_requirement(text, judged=False):
    plan = invented_views.plan()
    item = dataclasses.replace(plan.rows[0].characteristic, requirement=text, judged=judged)
    row = dataclasses.replace(plan.rows[0], characteristic=item)
    return dataclasses.replace(plan, rows=(row,))


def test_csv_holds_headings_and_rows(plan):
    head, *rows = rows_of(render_csv(plan))
    assert head == (*DOCUMENT_COLUMNS, *COLUMNS)
    assert [row[len(DOCUMENT_COLUMNS) :] for row in rows] == wanted(plan)


def test_every_csv_row_says_which_document_it_is_from():
    draft, released = invented_views.plan(), invented_views.plan(draft=False, status="Released")
    for plan, status in ((draft, "DRAFT"), (released, "Released")):
        _, *rows = rows_of(render_csv(plan))
        title = plan.title_block
        assert {row[:3] for row in rows} == {(title.number, title.revision, status)}


def test_csv_is_read_as_utf_8_by_a_reader_that_goes_by_the_byte_order_mark():
    """The mark of RFC 3629, clause 6, is EF BB BF; Python's own utf-8-sig is the referee."""
    data = render_csv(with_requirement("26 ± 1")).encode()
    assert data[:3] == b"\xef\xbb\xbf"
    assert "26 ± 1" in data.decode("utf-8-sig")
    assert not data.decode("utf-8-sig").startswith("\ufeff")


def test_csv_lines_end_as_rfc_4180_says():
    """RFC 4180, 2.1 and 2.6: CR LF after each record; quotes around commas, quotes and breaks."""
    text = render_csv(with_requirement('a "b",\nc'))
    assert text.count("\r\n") == 2 and text.endswith("\r\n")
    assert '"a ""b"",\nc"' in text


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-5 to 5 °C", "@SUM(A1)", "\t=1", "\r=1", "＝1", '=HYPERLINK("http://a")'],
)
def test_csv_cell_is_no_formula(text):
    _, row = rows_of(render_csv(with_requirement(text)))
    assert row[len(DOCUMENT_COLUMNS) + COLUMNS.index("Specification, tolerance")] == f"'{text}"


@pytest.mark.parametrize("text", ["± 5 °C", "18 to 26 °C", "–", "a=b"])
def test_csv_leaves_other_cells_alone(text):
    _, row = rows_of(render_csv(with_requirement(text)))
    assert row[len(DOCUMENT_COLUMNS) + COLUMNS.index("Specification, tolerance")] == text


def test_words_to_judge_by_lose_their_markup():
    _, row = rows_of(render_csv(with_requirement("Clear, **no** crystals", judged=True)))
    assert (
        row[len(DOCUMENT_COLUMNS) + COLUMNS.index("Specification, tolerance")]
        == "Clear, no crystals"
    )


def test_a_limit_is_not_markdown():
    _, row = rows_of(render_csv(with_requirement("5 * 6 * 7")))
    assert row[len(DOCUMENT_COLUMNS) + COLUMNS.index("Specification, tolerance")] == "5 * 6 * 7"


@pytest.fixture(scope="module")
def book():
    return openpyxl.load_workbook(io.BytesIO(render_xlsx(invented_views.plan())))


def head_row(sheet):
    return next(
        row
        for row in range(1, sheet.max_row + 1)
        if tuple(c.value for c in sheet[row])[: len(COLUMNS)] == COLUMNS
    )


def test_xlsx_holds_headings_and_rows(plan, book):
    sheet = book["Control plan"]
    top = head_row(sheet)
    shown = [
        tuple(cell.value or "" for cell in sheet[top + 1 + number])[: len(COLUMNS)]
        for number in range(len(plan.rows))
    ]
    assert shown == wanted(plan)
    assert plan.legend in [c.value for row in sheet.iter_rows(min_row=top) for c in row]


def test_xlsx_says_which_document_it_is(plan, book):
    sheet = book["Control plan"]
    top = [c.value for row in sheet.iter_rows(max_row=head_row(sheet) - 1) for c in row if c.value]
    for label, value in plan.header:
        assert top.index(value) > top.index(label) >= 0
    title = plan.title_block
    assert {"Draft", "C", title.number, title.title, title.date, title.contact} <= set(top)
    assert f"{title.owner}, {title.site}" in top
    assert "DRAFT" in sheet.oddHeader.center.text
    assert "PD-117 rev. C" in sheet.oddHeader.right.text
    assert plan.title_block.footer_note.startswith(sheet.oddFooter.left.text)
    assert book.properties.creator == "R. Example"
    assert book.properties.created.isoformat() == "2026-03-02T00:00:00"


def test_xlsx_prints_as_the_plan_does(book):
    sheet = book["Control plan"]
    top = head_row(sheet)
    assert sheet.page_setup.orientation == "landscape"
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert (sheet.page_setup.fitToWidth or 1, int(sheet.page_setup.fitToHeight)) == (1, 0)
    assert int(sheet.page_setup.paperSize) == 9
    assert sheet.print_title_rows == f"${top}:${top}"
    assert sheet.freeze_panes == f"A{top + 1}"
    assert all(cell.alignment.wrap_text for cell in sheet[top + 1][: len(COLUMNS)])


def test_xlsx_keeps_reactions_revisions_and_waivers(plan, book):
    actions = [row[2].value for row in book["Reaction plans"].iter_rows(min_row=2)]
    assert actions == [action for reaction in plan.reactions for action in reaction.actions]
    assert book["Revisions"]["A2"].value == "C"
    assert book["Findings waived"]["A1"].value == "Finding"


def test_xlsx_computes_nothing():
    data = render_xlsx(with_requirement("=1+1"))
    sheet = openpyxl.load_workbook(io.BytesIO(data))["Control plan"]
    cell = next(c for row in sheet.iter_rows() for c in row if c.value == "=1+1")
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert b"<f>" not in archive.read("xl/worksheets/sheet1.xml")
        assert not any("hyperlink" in name.lower() for name in archive.namelist())
    assert cell.value == "=1+1"


def test_xlsx_is_made_of_the_same_bytes_twice(plan):
    assert render_xlsx(plan) == render_xlsx(plan)


def test_undated_draft_and_long_footer_make_a_sheet():
    note = "&" * 300
    data = render_xlsx(invented_views.plan(date="", footer_note=note, paper="Letter"))
    book = openpyxl.load_workbook(io.BytesIO(data))
    footer = book["Control plan"].oddFooter
    assert footer.left.text == "&&" * 114 + "…"
    assert footer.right.text == "page &P of &N"
    assert int(book["Control plan"].page_setup.paperSize) == 1
    assert book.properties.created.year == 1980
