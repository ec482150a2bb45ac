"""The PDF documents: whole, archival, tagged, sealed, and the same bytes every time."""

import base64
import dataclasses
import hashlib
import io
import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import invented_views
import pikepdf
import pypdf
import pytest

from speccomp.render.html import render_control_plan, render_work_instruction
from speccomp.render.markdown import render_plain
from speccomp.render.pdf import Attachment, PdfError, PdfFaulty, render_pdf

MILLIMETRE = 72 / 25.4


def flat(text):
    return " ".join(text.split())


def texts(pdf):
    return [flat(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def opened(pdf):
    return pikepdf.open(io.BytesIO(pdf))


@pytest.fixture(scope="module", params=["instruction", "plan"])
def document(request):
    """A view and its PDF."""
    return request.getfixturevalue(request.param), request.getfixturevalue(f"{request.param}_pdf")


def test_text_of_every_step_is_there(instruction, instruction_pdf):
    text = " ".join(texts(instruction_pdf))
    for step in instruction.steps:
        wanted = [step.title, *step.actions, *step.facts, step.why]
        wanted += [part for c in step.cautions for part in (c.hazard, c.consequence, c.avoid)]
        wanted += [action for reaction in step.if_not for action in reaction.actions]
        wanted += [c.requirement for c in step.characteristics]
        for part in wanted:
            assert flat(render_plain(part)) in text


def test_every_page_says_which_document_it_is(document):
    view, pdf = document
    title, pages = view.title_block, texts(pdf)
    assert len(pages) > 1
    for number, text in enumerate(pages, start=1):
        for part in (title.owner, title.document_type, title.date, title.status):
            assert part in text
        assert f"{title.number} · Revision {title.revision}" in text
        assert title.footer_note in text
        assert f"page {number} of {len(pages)}" in text


def drawings(page):
    """Return how many drawings a page has that are artifacts and not content."""
    depth, found = [], 0
    for operands, operator in pikepdf.parse_content_stream(page):
        match str(operator):
            case "BMC" | "BDC":
                depth.append(str(operands[0]))
            case "EMC":
                depth.pop()
            case "Do":
                found += "/Artifact" in depth
    return found


def test_draft_is_marked_on_every_page(document):
    _, pdf = document
    assert all("DRAFT" in text for text in texts(pdf))
    assert all(drawings(page) == 2 for page in opened(pdf).pages)


def test_release_is_not_marked(plan):
    view = dataclasses.replace(
        plan, title_block=dataclasses.replace(plan.title_block, draft=False, status="Released")
    )
    pdf = render_pdf(render_control_plan(view), view.title_block)
    assert not any("DRAFT" in text or "Draft" in text for text in texts(pdf))
    assert all(drawings(page) == 0 for page in opened(pdf).pages)


@pytest.mark.parametrize(("paper", "width", "height"), [("A4", 210, 297), ("Letter", 215.9, 279.4)])
def test_paper_is_the_plants(paper, width, height):
    """ISO 216 and ANSI/ASME Y14.1 give the sizes, in millimetres."""
    view = invented_views.plan(paper=paper)
    pdf = opened(render_pdf(render_control_plan(view), view.title_block))
    for page in pdf.pages:
        sides = [float(n) / MILLIMETRE for n in page.mediabox]
        assert sides == pytest.approx([0, 0, height, width], abs=0.1)


def test_instruction_is_upright(instruction_pdf):
    pdf = opened(instruction_pdf)
    left, bottom, right, top = pdf.pages[0].mediabox
    assert top - bottom > right - left


def test_no_heading_stands_alone_at_the_foot_of_a_page(instruction, instruction_pdf):
    pages = texts(instruction_pdf)
    for step in instruction.steps:
        first = step.cautions[0].hazard if step.cautions else step.actions[0]
        head = f"{step.number} {step.title}"
        assert any(head in p and flat(first) in p.split(head, 1)[1] for p in pages), head
    for head in ("Safety", "Steps", "Acceptance", "Records", "Revision history"):
        after = [p.split(head, 1)[1] for p in pages if head in p]
        assert after and not after[-1].startswith(" " + instruction.title_block.footer_note)


def test_cautions_and_the_first_action_share_a_page(instruction, instruction_pdf):
    pages = texts(instruction_pdf)
    for step in instruction.steps:
        for caution in step.cautions:
            assert any(
                flat(caution.hazard) in p
                and flat(caution.avoid) in p
                and flat(render_plain(step.actions[0])) in p
                for p in pages
            ), step.title


def test_no_action_stands_alone(instruction, instruction_pdf):
    pages = texts(instruction_pdf)
    for step in instruction.steps:
        for pair in (step.actions[:2], step.actions[-2:]):
            assert any(all(flat(render_plain(a)) in p for a in pair) for p in pages), step.title


def test_long_table_repeats_its_headings(plan):
    long = dataclasses.replace(plan, rows=plan.rows * 6)
    pages = texts(render_pdf(render_control_plan(long), long.title_block))
    with_rows = [p for p in pages if "Bench scale (S-12)" in p]
    assert len(with_rows) > 4
    assert all("Specification, tolerance" in p for p in with_rows)


def test_long_words_stay_on_the_page():
    word = "x" * 400
    view = invented_views.plan()
    item = dataclasses.replace(
        view.rows[0].characteristic, name=word, technique=word, requirement=word
    )
    row = dataclasses.replace(view.rows[0], characteristic=item, equipment=word, operation=word)
    pdf = render_pdf(render_control_plan(dataclasses.replace(view, rows=(row,))), view.title_block)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert "".join(p.extract_text() for p in reader.pages).count("x") >= 5 * 400
    lines = [line for p in reader.pages for line in p.extract_text().split("\n")]
    assert max(line.count("x") for line in lines) < 200


def test_file_is_archival(document):
    """ISO 19005-3: identification in XMP, output intent, all fonts inside, nothing active."""
    view, data = document
    pdf = opened(data)
    xmp = pdf.open_metadata()
    assert (xmp["pdfaid:part"], xmp["pdfaid:conformance"]) == ("3", "A")
    assert xmp.pdfa_status == "3A"
    assert pdf.Root.OutputIntents[0].S == "/GTS_PDFA1"
    assert not pdf.is_encrypted
    assert "/OpenAction" not in pdf.Root and "/AA" not in pdf.Root
    assert "/JavaScript" not in pdf.Root.get("/Names", {})
    for page in pdf.pages:
        for font in page.Resources.Font.values():
            assert re.match(r"/[A-Z]{6}\+Document-(Text|Signs)", str(font.BaseFont))
            descriptor = font.DescendantFonts[0].FontDescriptor
            assert "/FontFile2" in descriptor or "/FontFile3" in descriptor
            assert "/ToUnicode" in font
    assert str(pdf.docinfo["/Title"]) == xmp["dc:title"]
    assert view.title_block.title in xmp["dc:title"]
    assert xmp["dc:creator"] == [view.title_block.creator]
    assert str(pdf.docinfo["/CreationDate"]).startswith("D:20260302000000")


def elements(node):
    """Go through the structure tree."""
    if isinstance(node, pikepdf.Array):
        for child in node:
            yield from elements(child)
    elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
        yield node
        yield from elements(node.get("/K", pikepdf.Array()))


def test_file_is_tagged(document):
    """ISO 14289-1, clause 7: language, title shown, structure, alternatives for figures."""
    view, data = document
    pdf = opened(data)
    assert pdf.Root.MarkInfo.Marked is True
    assert str(pdf.Root.Lang) == view.title_block.language
    assert pdf.Root.ViewerPreferences.DisplayDocTitle is True
    assert all(page.obj["/Tabs"] == "/S" for page in pdf.pages)
    found = list(elements(pdf.Root.StructTreeRoot.K))
    kinds = [str(element.S) for element in found]
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/L", "/LI", "/Caption"} <= set(kinds)
    assert kinds.count("/H1") == 1
    figures = [element for element in found if element.S == "/Figure"]
    assert all(str(figure.Alt) for figure in figures)
    assert [str(f.Alt) for f in figures] == [
        image.alt for step in getattr(view, "steps", ()) for image in step.images
    ]
    for cell in (element for element in found if element.S == "/TD"):
        assert len(cell.A.Headers) >= 1


def test_running_heads_are_artifacts(document):
    """ISO 14289-1, 7.8: headers and footers of pages are artifacts, all else is in the tree."""
    _, data = document
    pdf = opened(data)
    parents = pdf.Root.StructTreeRoot.ParentTree.Nums
    tree = {element.objgen for element in elements(pdf.Root.StructTreeRoot.K)}
    for number, page in enumerate(pdf.pages):
        depth, outside, ids = [], 0, []
        for operands, operator in pikepdf.parse_content_stream(page):
            match str(operator):
                case "BMC":
                    depth.append(str(operands[0]))
                case "BDC":
                    depth.append(str(operands[0]))
                    ids.append(int(operands[1].MCID))
                case "EMC":
                    depth.pop()
                case "TJ" | "Tj":
                    assert depth
                    outside += "/Artifact" in depth
        assert outside >= 5
        entries = parents[parents.index(number) + 1] if number in list(parents) else None
        assert entries is not None
        assert all(entries[i].objgen in tree for i in ids)


def test_bookmarks_lead_to_sections_and_steps(instruction, instruction_pdf):
    with opened(instruction_pdf).open_outline() as outline:
        names = [item.title for item in outline.root]
        steps = next(item for item in outline.root if item.title == "Steps")
        assert [flat(item.title) for item in steps.children] == [
            f"{step.number} {step.title}" for step in instruction.steps
        ]
    assert names[0] == "Purpose and scope"
    assert names[-1] == "Findings waived"


def test_attachments_come_out_as_they_went_in(instruction_pdf):
    pdf = opened(instruction_pdf)
    assert {name: file.get_file().read_bytes() for name, file in pdf.attachments.items()} == {
        source.name: source.data for source in invented_views.SOURCES
    }
    for source in invented_views.SOURCES:
        spec = pdf.attachments[source.name]
        file = spec.get_file()
        assert str(spec.obj.AFRelationship) == f"/{source.relationship}"
        assert file.mime_type == source.media_type
        assert file.md5 == hashlib.md5(source.data, usedforsecurity=False).digest()
        assert str(file.obj.Params.ModDate) == "D:20260302000000Z"
    assert len(pdf.Root.AF) == len(invented_views.SOURCES)
    names = [str(name) for name in list(pdf.Root.Names.EmbeddedFiles.Names)[::2]]
    assert names == sorted(names)


def test_attachment_bears_the_time_given(plan, plan_html):
    when = datetime(2026, 2, 28, 9, 30, tzinfo=UTC)
    pdf = opened(
        render_pdf(
            plan_html, plan.title_block, [Attachment("a.txt", b"", "text/plain", modified=when)]
        )
    )
    assert str(pdf.attachments["a.txt"].get_file().obj.Params.ModDate) == "D:20260228093000Z"


def test_attachment_needs_a_known_relationship():
    with pytest.raises(ValueError, match="Origin"):
        Attachment("a.txt", b"", "text/plain", relationship="Origin")


def test_draft_without_a_date_has_none():
    view = invented_views.plan(date="")
    pdf = opened(
        render_pdf(
            render_control_plan(view), view.title_block, [Attachment("a", b"", "text/plain")]
        )
    )
    assert "/CreationDate" not in pdf.docinfo
    assert str(pdf.attachments["a"].get_file().obj.Params.ModDate) == "D:19700101000000Z"


ELSEWHERE = """
import hashlib, locale, sys
sys.path.insert(0, {here!r})
import invented_views
from speccomp.render.html import render_work_instruction
from speccomp.render.pdf import render_pdf
from speccomp.render.sheet import render_xlsx
view = invented_views.instruction()
html = render_work_instruction(view)
print(hashlib.sha256(html.encode()).hexdigest())
print(hashlib.sha256(render_pdf(html, view.title_block, invented_views.SOURCES)).hexdigest())
print(hashlib.sha256(render_xlsx(invented_views.plan())).hexdigest())
"""


def test_bytes_are_the_same_elsewhere(tmp_path, plan, instruction_html, instruction_pdf):
    """Another zone, locale, folder, hash seed, and a machine without any font."""
    from speccomp.render.sheet import render_xlsx

    empty = tmp_path / "fonts.conf"
    empty.write_text("<?xml version='1.0'?><fontconfig></fontconfig>")
    environment = os.environ | {
        "TZ": "Pacific/Kiritimati",
        "LC_ALL": "C",
        "PYTHONHASHSEED": "7",
        "FONTCONFIG_FILE": str(empty),
        "HOME": str(tmp_path),
    }
    code = ELSEWHERE.format(here=str(Path(__file__).parent))
    run = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path, env=environment, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert run.stdout.split() == [
        hashlib.sha256(instruction_html.encode()).hexdigest(),
        hashlib.sha256(instruction_pdf).hexdigest(),
        hashlib.sha256(render_xlsx(plan)).hexdigest(),
    ]


def test_identifier_follows_the_content(plan, plan_html, plan_pdf):
    again = opened(render_pdf(plan_html, plan.title_block))
    other = opened(render_pdf(plan_html, plan.title_block, [Attachment("a", b"", "text/plain")]))
    first = opened(plan_pdf).trailer.ID[0]
    assert again.trailer.ID[0] == first != other.trailer.ID[0]


BLOCK = invented_views.TITLE


ABSOLUTE = (
    "http://127.0.0.1:9/x.png",
    "https://a.example/x.png",
    "file:///etc/hostname",
    "FILE:/etc/hostname",
    "ftp://a.example/x",
)


@pytest.mark.parametrize(
    ("element", "addresses"),
    [
        ('<img alt="a" src="{}">', (*ABSOLUTE, "x.png", "/etc/hostname")),
        ('<div style="background:url({})">a</div>', (*ABSOLUTE, "x.png", "/etc/hostname")),
        ('<link rel=stylesheet href="{}">', (*ABSOLUTE, "x.css")),
        ("<style>@import url({});</style>", ABSOLUTE),
        ("<style>@font-face{{font-family:a;src:url({})}}</style>", ABSOLUTE),
    ],
)
def test_nothing_outside_the_page_is_read(element, addresses):
    for address in addresses:
        html = f"<!DOCTYPE html><html lang=en><title>t</title>{element.format(address)}"
        with pytest.raises(PdfFaulty):
            render_pdf(html, BLOCK)


def test_a_page_cannot_attach_files():
    html = '<html lang="en"><title>t</title><link rel="attachment" href="file:///etc/hostname">'
    with pytest.raises(PdfFaulty, match="hostname"):
        render_pdf(html, BLOCK)


def test_picture_cannot_read_files_either():
    svg = (
        b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">'
        b'<image href="file:///etc/hostname" width="9" height="9"/></svg>'
    )
    uri = "data:image/svg+xml;base64," + base64.b64encode(svg).decode()
    with pytest.raises(PdfFaulty, match='“the "rim"”'):
        render_pdf(
            f'<html lang="en"><title>t</title><img src="{uri}" alt="the &quot;rim&quot;">', BLOCK
        )


def test_broken_picture_stops_the_document(instruction):
    step = instruction.steps[4]
    image = dataclasses.replace(step.images[0], data=b"\x89PNG\r\n\x1a\nbroken")
    view = dataclasses.replace(instruction, steps=(dataclasses.replace(step, images=(image,)),))
    with pytest.raises(PdfFaulty) as caught:
        render_pdf(render_work_instruction(view), view.title_block)
    assert len(caught.value.messages) == 1
    assert image.alt in str(caught.value)
    assert len(str(caught.value)) < 300


def test_sign_without_a_glyph_is_named():
    view = invented_views.plan(footer_note="漢 and 字")
    with pytest.raises(PdfFaulty, match=r"“字” \(U\+5B57\), “漢” \(U\+6F22\)"):
        render_pdf(render_control_plan(view), view.title_block)


def test_signs_of_the_second_font_are_printed():
    view = invented_views.plan(footer_note="Bore ⌀ 12, 5 K·s⁻¹, Ωμ")
    pdf = render_pdf(render_control_plan(view), view.title_block)
    assert all("Bore ⌀ 12, 5 K·s⁻¹, Ωμ" in text for text in texts(pdf))
    file = opened(pdf)
    fonts = [str(font.BaseFont) for font in file.pages[0].Resources.Font.values()]
    assert any("Document-Signs" in font for font in fonts)


def test_a_font_of_the_machine_is_refused():
    html = '<html lang="en"><title>t</title><p style="font-family:monospace">a'
    with pytest.raises(PdfFaulty, match="no font of the documents holds “a”"):
        render_pdf(html, BLOCK)


def test_missing_library_is_explained():
    code = (
        "import cffi\n"
        "def missing(self, name, flags=0): raise OSError('cannot load library ' + str(name))\n"
        "cffi.FFI.dlopen = missing\n"
        "from speccomp.render.pdf import render_pdf, PdfUnavailable\n"
        "from speccomp.render.html import render_control_plan\n"
        "import invented_views\n"
        "view = invented_views.plan()\n"
        "html = render_control_plan(view)\n"
        "try: render_pdf(html, view.title_block)\n"
        "except PdfUnavailable as error: print(error)\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        cwd=Path(__file__).parent, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert run.stdout.count("\n") == 1
    for package in ("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"):
        assert package in run.stdout
    assert run.stderr == ""


def test_both_errors_are_pdf_errors():
    assert issubclass(PdfFaulty, PdfError)
