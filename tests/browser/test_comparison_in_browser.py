"""The comparison report and documents with change bars in a real browser."""

from datetime import date
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from speccomp.documents.change_bars import mark_control_plan, mark_work_instruction
from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.pipeline import changes_since, check_file, compare_checked
from speccomp.render.html import render_comparison, render_control_plan, render_work_instruction

DEMO = Path(__file__).parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)
PHONE, DESK = 390, 1280


@pytest.fixture(scope="module")
def pages(tmp_path_factory, chromium):
    before = check_file(DEMO / "revisions/PD-117/B.yaml", TODAY, DEMO)
    after = check_file(DEMO / "definitions/PD-117-cartridge-heater.yaml", TODAY, DEMO)
    since = changes_since(before, after)
    instruction = mark_work_instruction(build_work_instruction(after.process, ()), since)
    plan = mark_control_plan(build_control_plan(after.process, ()), since)
    texts = {
        "report": render_comparison(compare_checked(before, after, ("B", "C")).report),
        "instruction": render_work_instruction(instruction),
        "plan": render_control_plan(plan),
    }
    folder = tmp_path_factory.mktemp("compared")
    opened = []

    def at(name, width):
        path = folder / f"{name}.html"
        path.write_text(texts[name], encoding="utf-8")
        page = chromium.new_context(viewport={"width": width, "height": 900}).new_page()
        page.goto(path.as_uri())
        opened.append(page)
        return page

    yield at
    for page in opened:
        page.context.close()


@pytest.mark.parametrize(
    ("name", "width"), [("report", PHONE), ("report", DESK), ("instruction", DESK), ("plan", PHONE)]
)
def test_axe_finds_nothing_and_nothing_runs_out(pages, name, width):
    page = pages(name, width)
    found = [
        (v["id"], [n["html"][:120] for n in v["nodes"]])
        for v in Axe().run(page).response["violations"]
    ]
    assert found == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_marks_are_more_than_colour(pages):
    page = pages("report", DESK)
    looks = page.evaluate(
        """['del', 'ins'].map(name => {
            const one = document.querySelector(name);
            const look = getComputedStyle(one);
            return [look.textDecorationLine, getComputedStyle(one, '::before').content]
        })"""
    )
    assert looks == [["line-through", '"["'], ["underline", '"«"']]


def test_a_changed_row_has_a_bar_and_others_have_none(pages):
    page = pages("instruction", DESK)
    widths = page.evaluate(
        """[...document.querySelectorAll('.checks tbody tr')].map(row =>
            [row.classList.contains('revised'),
             parseFloat(getComputedStyle(row.firstElementChild).borderLeftWidth)])"""
    )
    assert {width >= 3 for marked, width in widths if marked} == {True}
    assert {width for marked, width in widths if not marked} == {0}
