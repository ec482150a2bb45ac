"""The documents of the invented plant as files, and a browser to open them in."""

import importlib.util
import shutil
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright

from speccomp.pipeline import caution_coverage_of, check_file
from speccomp.render.html import (
    render_caution_coverage,
    render_control_plan,
    render_work_instruction,
)

_VIEWS = Path(__file__).parent.parent / "render" / "invented_views.py"
_DEMO = Path(__file__).parents[2] / "specs_demo"
_DEFINITION = _DEMO / "definitions" / "PD-117-cartridge-heater.yaml"


@pytest.fixture(scope="session")
def documents(tmp_path_factory):
    """The addresses of the documents."""
    spec = importlib.util.spec_from_file_location("invented_views_for_browser", _VIEWS)
    views = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(views)
    folder = tmp_path_factory.mktemp("documents")
    pages = {
        "instruction": render_work_instruction(views.instruction()),
        "plan": render_control_plan(views.plan()),
        "coverage": render_caution_coverage(
            caution_coverage_of(check_file(_DEFINITION, date(2026, 11, 25), _DEMO))
        ),
    }
    for name, html in pages.items():
        (folder / f"{name}.html").write_text(html, encoding="utf-8")
    return {name: (folder / f"{name}.html").as_uri() for name in pages}


@pytest.fixture(scope="session")
def chromium():
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    assert path, "these tests need Chromium: apt-get install chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(params=["instruction", "plan", "coverage"])
def opened(request, chromium, documents):
    """Open a document at a width; everything it asks for is noted in `requests`."""
    pages = []

    def at(width, **context):
        page = chromium.new_context(viewport={"width": width, "height": 900}, **context).new_page()
        page.asked_for = []
        page.on("request", lambda r: page.asked_for.append(r.url))
        page.goto(documents[request.param])
        pages.append(page)
        return page

    yield at
    for page in pages:
        page.context.close()
