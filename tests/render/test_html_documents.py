"""The HTML documents: complete, in one file, in order, safe."""

import dataclasses
import re
import subprocess
import sys
from html.parser import HTMLParser
from itertools import pairwise

import invented_views
import pytest
from fontTools.ttLib import TTFont

from speccomp.documents.views import COLUMNS, Table, cells
from speccomp.render import html as html_module
from speccomp.render.fonts import _faces, render_font_faces, unprintable_signs
from speccomp.render.html import render_control_plan, render_work_instruction
from speccomp.render.markdown import render_plain
from speccomp.resources import resource_folder

VOID = {"meta", "img", "br", "hr", "col", "link", "input"}


class Page(HTMLParser):
    """The elements of a page in order, each with its text, and whether tags are balanced."""

    def __init__(self, text):
        super().__init__()
        self.elements, self.open, self.balanced = [], [], True
        self.feed(text)
        self.balanced = self.balanced and not self.open

    def handle_starttag(self, tag, attrs):
        element = {
            "tag": tag,
            "attrs": dict(attrs),
            "text": "",
            "parents": [e["tag"] for e in self.open],
        }
        self.elements.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag):
        if not self.open or self.open.pop()["tag"] != tag:
            self.balanced = False

    def handle_data(self, data):
        for element in self.open:
            element["text"] += data

    def all(self, *tags):
        return [e for e in self.elements if e["tag"] in tags]

    @property
    def text(self):
        return flat(next(e for e in self.elements if e["tag"] == "body")["text"])


def flat(text):
    return " ".join(text.split())


@pytest.fixture(scope="module", params=["instruction", "plan"])
def page(request):
    return Page(request.getfixturevalue(f"{request.param}_html"))


def strings(value):
    """Yield all texts of a view, but ids and names of fields."""
    match value:
        case str():
            yield value
        case tuple():
            for item in value:
                yield from strings(item)
        case Table(rows=()):
            return  # a sentence stands for an empty table
        case _ if dataclasses.is_dataclass(value):
            for field in dataclasses.fields(value):
                if field.name not in {
                    "id",
                    "signal",
                    "topic",
                    "media_type",
                    "path",
                    "paper",
                    "step_id",
                }:
                    yield from strings(getattr(value, field.name))


def test_every_text_of_the_instruction_is_on_the_page(instruction, instruction_html):
    page = Page(instruction_html)
    alternatives = " ".join(e["attrs"]["alt"] for e in page.all("img"))
    missing = [
        text
        for text in strings(instruction)
        if flat(render_plain(text)) not in page.text + alternatives
    ]
    assert missing == []


def test_every_text_of_the_plan_is_on_the_page(plan, plan_html):
    page = Page(plan_html)
    missing = [text for text in strings(plan) if flat(render_plain(text)) not in page.text]
    assert missing == []


def shown_cells(page):
    start = next(i for i, e in enumerate(page.elements) if e["attrs"].get("class") == "plan")
    return [
        flat(e["text"]) for e in page.elements[start:] if e["attrs"].get("data-label") in COLUMNS
    ]


def test_plan_shows_the_cells_that_other_formats_show(plan, plan_html):
    shown = shown_cells(Page(plan_html))
    wanted = [
        (render_plain(text) or "–")
        + (f" ({row.characteristic.special_title})" if column == "Special" and text else "")
        for row in plan.rows
        for column, text in zip(COLUMNS[3:], cells(row)[3:], strict=True)
    ]
    assert shown[: len(wanted)] == wanted


def test_plan_says_once_what_is_of_the_step(plan, plan_html):
    heads = [e for e in Page(plan_html).all("td") if e["attrs"].get("class") == "of-step"]
    steps = {row.step_id: cells(row)[:3] for row in plan.rows}
    wanted = [
        " ".join(f"{name} {text or '–'}" for name, text in zip(COLUMNS, of_step, strict=False))
        for of_step in steps.values()
    ]
    assert len(wanted) < len(plan.rows)
    assert [flat(e["text"]) for e in heads] == wanted


def test_forms_of_cells_name_real_columns():
    assert set(html_module._FORMS) <= set(COLUMNS)


def test_inherited_values_are_starred(instruction, instruction_html):
    page = Page(instruction_html)
    labels = ("How; sample, when", "If not; record, by")
    cells_of = [e["text"] for e in page.all("td") if e["attrs"].get("data-label") in labels]
    items = [c for s in instruction.steps for c in s.characteristics]
    assert sum(text.count("*") for text in cells_of) == sum(len(c.inherited) for c in items) > 0
    assert "Operator\xa0*" in "".join(cells_of)


def test_limit_reads_alike_in_both_documents(instruction, instruction_html, plan_html):
    for step in instruction.steps:
        for item in step.characteristics:
            text = flat(render_plain(item.requirement))
            assert text in Page(instruction_html).text
            assert text in Page(plan_html).text


def test_cautions_stand_before_the_actions_of_their_step(instruction, instruction_html):
    for step in instruction.steps:
        part = instruction_html.split(f'id="step-{step.id}"')[1].split("</section>")[0]
        assert (
            part.index("<ol class=") > part.rindex('class="caution level-')
            if step.cautions
            else True
        )
        assert part.index("<h3") < part.index("<ol class=")


def test_tags_are_balanced(page):
    assert page.balanced


def test_headings_are_in_order(page):
    levels = [int(e["tag"][1]) for e in page.all("h1", "h2", "h3", "h4", "h5", "h6")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_landmarks_and_skip_link(page):
    assert [e["tag"] for e in page.all("header", "main", "footer")] == ["header", "main", "footer"]
    skip = page.all("a")[0]
    assert skip["attrs"]["class"] == "skip"
    assert skip["attrs"]["href"][1:] in {e["attrs"].get("id") for e in page.elements}


def test_tables_have_caption_and_scoped_heads(page):
    for table in page.all("table"):
        assert table["attrs"]["role"] == "table"
    assert len(page.all("caption")) == len(page.all("table")) >= 3
    assert all(flat(e["text"]) for e in page.all("caption"))
    for head in page.all("th"):
        scopes = ("col",) if "thead" in head["parents"] else ("row",)
        assert head["attrs"]["scope"] in scopes


def test_ids_are_unique_and_links_lead_somewhere(page):
    ids = [e["attrs"]["id"] for e in page.elements if "id" in e["attrs"]]
    assert len(ids) == len(set(ids))
    for link in page.all("a"):
        assert link["attrs"]["href"].removeprefix("#") in ids


def test_page_is_one_file_without_script(page):
    assert page.all("script", "link", "iframe", "object", "base") == []
    for element in page.elements:
        assert not any(name.startswith("on") for name in element["attrs"])
        assert element["attrs"].get("src", "data:").startswith("data:")
    style = "".join(e["text"] for e in page.all("style"))
    assert all(url.startswith('"data:') for url in re.findall(r"url\(([^)]*)", style))
    assert "@import" not in style


def test_page_is_of_moderate_size(instruction_html, plan_html):
    assert len(instruction_html.encode()) < 700_000
    assert len(plan_html.encode()) < 700_000


def test_pictures_have_text_alternatives(instruction_html):
    pictures = Page(instruction_html).all("img")
    assert len(pictures) == 2
    assert all(e["attrs"]["alt"] for e in pictures)


def test_draft_says_so_and_a_release_does_not():
    draft = render_work_instruction(invented_views.instruction())
    released = render_work_instruction(invented_views.instruction(draft=False, status="Released"))
    assert "DRAFT" in Page(draft).text
    assert "draft" not in Page(released).text.lower()
    assert "svg+xml" not in released.split("@page")[1].split("</style>")[0]


HOSTILE = "</style></script><script>alert(1)</script>\"'\\ {{ 7*7 }} {% raw %} & \x0c\n"


@pytest.mark.parametrize("field", ["owner", "number", "title", "status", "footer_note", "creator"])
def test_text_of_the_title_block_cannot_break_out(field):
    view = invented_views.instruction(**{field: HOSTILE})
    page = Page(render_work_instruction(view))
    assert page.balanced
    assert page.all("script") == []
    assert len(page.all("style")) == 3
    assert flat(HOSTILE) in page.text
    assert "49" not in page.text


def test_text_of_a_step_cannot_break_out():
    view = invented_views.instruction()
    hostile = '"><script>alert(1)</script>'
    step = dataclasses.replace(
        view.steps[0],
        title=hostile,
        actions=(hostile,),
        why=hostile,
        note=hostile,
        facts=(hostile,),
        equipment=(hostile,),
        records=(hostile,),
    )
    page = Page(
        render_work_instruction(
            dataclasses.replace(view, steps=(step,), purpose=hostile, scope=hostile)
        )
    )
    assert page.balanced
    assert page.all("script") == []


def test_empty_parts_are_said_to_be_empty():
    view = invented_views.instruction()
    bare = dataclasses.replace(
        view,
        **dict.fromkeys(("steps", "gear", "cautions"), ()),
        **dict.fromkeys(("ratio", "legend", "scope", "purpose"), ""),
        waived=dataclasses.replace(view.waived, rows=()),
    )
    text = Page(render_work_instruction(bare)).text
    assert "No finding is waived." in text
    assert "No other document applies." in text
    text = Page(render_control_plan(dataclasses.replace(invented_views.plan(), rows=()))).text
    assert "No characteristic is controlled." in text


def relative_luminance(colour):
    """WCAG 2.2, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one, other):
    """WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((relative_luminance(one), relative_luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def style(name):
    return (resource_folder("templates") / "style" / name).read_text(encoding="utf-8")


def test_contrast_formula_gives_the_published_extremes():
    """WCAG 2.2: black on white has 21:1; from memory, #767676 is the lightest grey with 4.5:1."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


def test_colours_have_contrast_aa():
    """WCAG 2.2, 1.4.3: 4.5:1 for text."""
    theme = dict(re.findall(r"--(\w+): (#\w{6});", style("base.css")))
    for name in ("ink", "soft", "accent", "danger", "notice"):
        assert contrast(theme[name], "#ffffff") >= 4.5, name
    for name in ("warning", "caution"):
        assert contrast("#000000", theme[name]) >= 4.5, name


def test_signal_words_differ_by_border_and_not_by_colour_alone():
    """WCAG 2.2, 1.4.1: colour is never the only sign."""
    css = style("base.css")
    levels = ("level-warning", "level-caution", "level-notice")
    borders = [re.search(rf"\.{level} {{ border: (\S+) (\S+)", css).groups() for level in levels]
    borders.append(re.search(r"\.caution {[^}]*border: (\S+) (\S+)", css).groups())
    assert len({kind for _, kind in borders}) == 4


def test_steps_are_large_enough_for_the_bench():
    """
    Cap height of 16 minutes of arc at least, h = 6.283 · D · MA / 21600 (NUREG-0700, 1.3.1-4, as
    quoted in training material on display legibility), at 650 mm from eye to bench.
    """
    size = float(re.search(r"\.step { font-size: ([\d.]+)pt", style("print.css"))[1])
    with TTFont(_faces()[0].file) as font:
        cap = font["OS/2"].sCapHeight / font["head"].unitsPerEm
    height = size * 25.4 / 72 * cap
    assert height >= 6.283 * 650 * 16 / 21600


def test_nothing_is_set_smaller_than_agreed():
    css = style("print.css")
    upright, lengthwise = css.split(".landscape {", 1)
    assert min(float(n) for n in re.findall(r"font-size: ([\d.]+)pt", upright)) >= 9
    assert min(float(n) for n in re.findall(r"font-size: ([\d.]+)pt", lengthwise)) >= 9
    assert min(float(n) for n in re.findall(r"font-size: ([\d.]+)pt", style("page.css"))) >= 9


def test_fonts_hold_the_signs_of_the_trade_and_name_those_they_lack():
    assert unprintable_signs("20 ± 2 µm, ≤ 5 K⁻¹, ⌀ 12, Ω, ½, “é” Łódź Ωμέγα кварц ☐ → ‑") == ()
    assert unprintable_signs("漢a字\n") == ("字", "漢")


def test_fonts_are_cut_to_the_text():
    few, many = render_font_faces("abc"), render_font_faces("abcdefghijklmnopqrstuvwxyz")
    assert len(few) < len(many) < 200_000
    assert few.count("@font-face") == 4
    assert render_font_faces("⌀").count("@font-face") == 6


def test_light_commands_load_no_heavy_library():
    code = (
        "import sys, speccomp.render.html, speccomp.render.pdf, speccomp.render.sheet,"
        "speccomp.render.terminal, speccomp.render.machine;"
        "print([n for n in ('weasyprint','matplotlib','xlsxwriter') if n in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"
