"""The pages with computed numbers in a real browser: tables, chart, nothing beyond the edge."""

from datetime import date
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from speccomp.pipeline import Format, check_file, compile_documents

DEFINITIONS = Path(__file__).resolve().parents[2] / "specs_demo" / "definitions"
NAMES = ("PD-117-cartridge-heater", "PD-152-sensor-housing")


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("numbers")
    found = {}
    for name in NAMES:
        checked = check_file(DEFINITIONS / f"{name}.yaml", date(2026, 11, 25))
        for file, data in compile_documents(checked, [Format.HTML]).items():
            path = folder / f"{name}-{file}"
            path.write_bytes(data)
            found[name, file] = path.as_uri()
    return found


@pytest.fixture
def opened(chromium, pages):
    contexts = []

    def at(name, file, width):
        context = chromium.new_context(viewport={"width": width, "height": 900})
        contexts.append(context)
        page = context.new_page()
        page.goto(pages[name, file])
        return page

    yield at
    for context in contexts:
        context.close()


@pytest.mark.parametrize("file", ["work-instruction.html", "control-plan.html"])
@pytest.mark.parametrize("width", [390, 820])
@pytest.mark.parametrize("name", NAMES)
def test_nothing_runs_out_at_the_side(opened, name, file, width):
    page = opened(name, file, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    beyond = page.evaluate(
        """width => [...document.querySelectorAll('.numbers *')]
            .filter(e => e.getClientRects().length && !e.closest('thead')
                && e.getBoundingClientRect().right > width + 0.5)
            .map(e => e.outerHTML.slice(0, 80))""",
        width,
    )
    assert beyond == []


@pytest.mark.parametrize("width", [390, 1280])
def test_axe_finds_nothing(opened, width):
    """The rules of WCAG 2.2 A and AA, and good practice, as axe-core checks them."""
    page = opened(NAMES[0], "work-instruction.html", width)
    results = Axe().run(page, context=".numbers")
    found = [
        (v["id"], [n["html"][:120] for n in v["nodes"]]) for v in results.response["violations"]
    ]
    assert found == []


def test_the_chart_is_drawn(opened):
    page = opened(NAMES[0], "work-instruction.html", 820)
    chart = page.locator(".chart img")
    assert chart.count() == 1
    assert chart.evaluate("e => e.complete && e.naturalWidth > 100")
    assert chart.bounding_box()["width"] > 600
    assert "82\u00a0±\u00a05\u00a0°C" in chart.get_attribute("alt")


def test_the_windows_are_the_largest_figures_of_their_step(opened):
    page = opened(NAMES[0], "work-instruction.html", 820)
    size = "e => parseFloat(getComputedStyle(e).fontSize)"
    window = page.locator("#step-weigh-liquid .numbers-window td.strong").first.evaluate(size)
    text = page.locator("#step-weigh-liquid .remark").first.evaluate(size)
    actions = page.locator("#step-weigh-liquid .actions li").first.evaluate(size)
    assert window >= actions > text
    weight = page.locator(".numbers-window td.strong").first.evaluate(
        "e => getComputedStyle(e).fontWeight"
    )
    assert weight == "700"
