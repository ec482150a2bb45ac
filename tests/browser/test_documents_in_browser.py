"""The HTML documents in a real browser: at the bench, on a phone, by keyboard, on paper."""

import io

import pypdf
import pytest
from axe_playwright_python.sync_playwright import Axe

PHONE, NARROW, TABLET, DESK = 390, 320, 820, 1280
ZOOMED = DESK // 2  # the desk at 200 %


@pytest.mark.parametrize("width", [PHONE, DESK])
def test_axe_finds_nothing(opened, width):
    """The rules of WCAG 2.2 A and AA, and good practice, as axe-core checks them."""
    page = opened(width)
    page.locator("details").evaluate_all("list => list.forEach(d => d.open = true)")
    results = Axe().run(page, options={"rules": {"target-size": {"enabled": True}}})
    found = [
        (v["id"], [n["html"][:120] for n in v["nodes"]]) for v in results.response["violations"]
    ]
    assert found == []
    assert len(results.response["passes"]) > 20


@pytest.mark.parametrize("width", [NARROW, PHONE, ZOOMED, TABLET, DESK])
def test_nothing_runs_out_at_the_side(opened, width):
    """WCAG 2.2, 1.4.10 and 1.4.4: no scrolling sideways, to 320 CSS pixels and to 200 %."""
    page = opened(width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    beyond = page.evaluate(
        """width => [...document.querySelectorAll('main *, header *')]
            .filter(e => e.getClientRects().length && !e.closest('thead')
                && !e.classList.contains('spoken') && e.getBoundingClientRect().right > width + 0.5)
            .map(e => e.outerHTML.slice(0, 80))""",
        width,
    )
    assert beyond == []


def test_targets_are_large_enough(opened):
    """WCAG 2.2, 2.5.8: 24 by 24 CSS pixels; links inside a sentence are excepted."""
    page = opened(TABLET)
    page.locator("details").evaluate_all("list => list.forEach(d => d.open = true)")
    sizes = page.evaluate(
        """[...document.querySelectorAll('a, summary')].filter(e => !e.closest('p'))
            .map(e => e.getBoundingClientRect()).map(r => Math.min(r.width, r.height))"""
    )
    assert sizes
    assert min(sizes) >= 24


def test_first_stop_of_the_keyboard_skips_to_the_work(opened):
    page = opened(TABLET)
    page.keyboard.press("Tab")
    focused = page.locator(":focus")
    assert focused.inner_text().startswith("Skip to")
    box = focused.bounding_box()
    assert box["x"] >= 0 and box["y"] >= 0
    target = focused.get_attribute("href")
    page.keyboard.press("Enter")
    assert page.evaluate("location.hash") == target
    assert page.locator(target).bounding_box()["y"] < 900


def test_focus_is_seen(opened):
    page = opened(TABLET)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    if page.locator("a, summary").count() > 1:
        assert page.locator(":focus").evaluate("e => getComputedStyle(e).outlineStyle") == "solid"


def test_page_reads_without_script_and_asks_for_nothing(opened):
    page = opened(TABLET, java_script_enabled=False)
    assert [url for url in page.asked_for if not url.startswith(("file:", "data:"))] == []
    assert sum(url.startswith("file:") for url in page.asked_for) == 1
    summary = page.locator("summary")
    if summary.count():
        hidden = page.get_by_role("link", name="Acceptance")
        assert not hidden.is_visible()
        summary.press("Enter")
        assert hidden.is_visible()


def test_own_fonts_are_used(opened):
    page = opened(DESK)
    page.evaluate("document.fonts.ready")
    loaded = page.evaluate(
        "[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family + f.weight)"
    )
    assert {family.replace('"', "") for family in loaded} >= {
        "Document Text400",
        "Document Text600",
        "Document Text700",
    }


@pytest.mark.parametrize("width", [PHONE, DESK])
def test_tables_stay_tables_for_a_screen_reader(opened, width):
    page = opened(width)
    snapshot = page.locator("main").aria_snapshot()
    assert "- table " in snapshot
    assert "- columnheader " in snapshot
    assert "- rowheader " in snapshot
    assert page.get_by_role("main").count() == 1
    assert page.get_by_role("heading", level=1).count() == 1


@pytest.mark.parametrize("opened", ["instruction", "plan"], indirect=True)
def test_special_mark_is_spoken_with_its_name(opened):
    page = opened(DESK)
    marked = page.locator(".mark").first
    assert marked.text_content() == "M (Main function)"
    assert marked.bounding_box()["width"] < 60


def test_page_prints_with_heads_and_page_numbers(opened):
    page = opened(DESK)
    reader = pypdf.PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True)))
    texts = [" ".join(p.extract_text().split()) for p in reader.pages]
    width, height = (float(n) for n in reader.pages[0].mediabox[2:])
    assert sorted((round(width), round(height))) == [595, 842]
    for number, text in enumerate(texts, start=1):
        assert f"page {number} of {len(texts)}" in text
        assert "PD-117 · Revision C" in text
        assert "DRAFT" in text.replace(" ", "")
    assert not any("Skip to" in text for text in texts)
