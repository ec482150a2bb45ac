"""Drawings bring the documents' fonts along for their words."""

import base64
import dataclasses
import io
import re
import xml.etree.ElementTree as ET

import invented_views
import pikepdf
import pypdf
import pytest

from speccomp.documents.views import ImageView
from speccomp.render.drawing import drawing_text, with_document_fonts
from speccomp.render.html import render_work_instruction
from speccomp.render.pdf import render_pdf

SVG = 'xmlns="http://www.w3.org/2000/svg"'


def drawing(source):
    return ImageView("a.svg", "image/svg+xml", source.encode())


@pytest.mark.parametrize(
    "source",
    [
        f"<svg {SVG}><text>right</text></svg>",
        f'<?xml version="1.0"?><!-- <svg> --><svg {SVG} data-a="a > b"><text>right</text></svg>',
        f"<svg {SVG}\n data-b='>'\n><g><text>right</text></g></svg>",
        '<s:svg xmlns:s="http://www.w3.org/2000/svg"><s:text>right</s:text></s:svg>',
    ],
)
def test_words_are_set_in_the_documents_fonts(source):
    data = with_document_fonts(drawing(source))
    root = ET.fromstring(data)
    assert root[0].tag == "{http://www.w3.org/2000/svg}style"
    assert 'font-family:"Document Text","Document Signs"!important' in root[0].text
    assert root[0].text.count("@font-face") == 4
    assert ET.tostring(root[1]) == ET.tostring(ET.fromstring(source)[0])


@pytest.mark.parametrize(
    "source",
    [f"<svg {SVG}><path d='M0 0h1'/></svg>", f"<svg {SVG}/>", f"<svg {SVG}><textPath/></svg>", ""],
)
def test_drawing_without_words_stays_as_it_is(source):
    assert with_document_fonts(drawing(source)) == source.encode()


def test_photograph_stays_as_it_is():
    image = ImageView("a.png", "image/png", invented_views.png())
    assert with_document_fonts(image) == image.data
    assert drawing_text(image) == ""


def test_only_words_are_text():
    source = f'<svg {SVG} id="q"><!-- z --><title>x</title><text dx="w">y</text></svg>'
    assert drawing_text(drawing(source)) == "xy"


def test_words_of_a_drawing_are_in_the_pdf(instruction_pdf):
    reader = pypdf.PdfReader(io.BytesIO(instruction_pdf))
    assert any("5 mm paste" in page.extract_text() for page in reader.pages)


def test_signs_only_a_drawing_uses_are_printed(instruction):
    step = instruction.steps[5]
    source = f'<svg {SVG} viewBox="0 0 90 30"><text y="20">Щ⌀</text></svg>'
    image = dataclasses.replace(step.images[0], data=source.encode())
    view = dataclasses.replace(instruction, steps=(dataclasses.replace(step, images=(image,)),))
    html = render_work_instruction(view)
    assert "Щ" not in re.sub(r"base64,[\w+/=]+", "", html)
    pdf = pikepdf.open(io.BytesIO(render_pdf(html, view.title_block)))
    fonts = [str(font.BaseFont) for font in pdf.pages[0].Resources.Font.values()]
    assert any("Document-Signs" in font for font in fonts)


def test_the_page_carries_the_drawing_with_its_fonts(instruction_html):
    (coded,) = re.findall(r'src="data:image/svg\+xml;base64,([^"]+)"', instruction_html)
    assert b"@media all{@font-face" in base64.b64decode(coded)
