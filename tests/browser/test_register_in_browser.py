"""The register as a site in a real browser: search, order, codes, keyboard."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

from speccomp.archive.opening import open_archive
from speccomp.release.site import build_site
from speccomp.render.files import write_folder
from tests.archive.scenario import Writer
from tests.release.plant import RELEASED, Works

NOW = datetime(2026, 6, 1, tzinfo=UTC)


@pytest.fixture(scope="module")
def site(tmp_path_factory) -> tuple[Path, str]:
    """Return the folder of the site, and the digest of the content of PD-100 A."""
    folder = tmp_path_factory.mktemp("site")
    works = Works(folder)
    works.approve()
    digest = works.release().record.content_sha512
    works.next_revision("B", "A")
    works.approve(at=RELEASED + timedelta(days=1))
    works.release(at=RELEASED + timedelta(days=1), effective=date(2026, 5, 1))
    write_folder(folder / "site", build_site(open_archive(works.archive), NOW))
    return folder / "site", digest


@pytest.fixture(scope="module")
def many(tmp_path_factory) -> Path:
    """Return the folder of a site with a few documents of which only the records exist."""
    folder = tmp_path_factory.mktemp("many")
    writer = Writer(folder / "archive")
    for number in ("PD-9", "PD-10", "PD-2"):
        with writer.archive.change("D. Example", writer.time) as change:
            extra = {"comparison.json": b'{"changes":[]}'}
            writer.add_release(change, number, "-", 0, (), extra)
    write_folder(folder / "site", build_site(writer.archive, NOW))
    return folder / "site"


def visit(chromium, folder: Path, name: str = "index.html", width: int = 1280):
    page = chromium.new_page(viewport={"width": width, "height": 900})
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{folder.as_uri()}/{name}")
    page.asked = asked
    return page


def numbers(page) -> list[str]:
    rows = page.locator("#list tbody tr:visible th")
    return rows.all_inner_texts()


def test_the_register_is_searched_and_put_in_order_by_keyboard(chromium, many):
    page = visit(chromium, many)
    assert numbers(page) == ["PD-10", "PD-2", "PD-9"]
    head = page.locator("th button", has_text="Number")
    head.focus()
    page.keyboard.press("Enter")
    assert numbers(page) == ["PD-10", "PD-9", "PD-2"]
    page.keyboard.press("Enter")
    assert numbers(page) == ["PD-2", "PD-9", "PD-10"]
    page.get_by_label("Search").fill("pd-1 seal")
    assert numbers(page) == ["PD-10"]
    assert page.locator("#count").inner_text() == "1 of 3 lines"


@pytest.mark.parametrize(
    ("code", "said"),
    [
        (
            "PD-100/A/{digest}",
            "Not current: PD-100 revision A is superseded{seen} Its approvals are unsigned.",
        ),
        (
            "PD-100 A {short}",
            "Not current: PD-100 revision A is superseded{seen} Its approvals are unsigned.",
        ),
        ("PD-100/A/000000000000", "Forged: the digest is not that of PD-100 revision A."),
        ("PD-100/C/000000000000", "Unknown: PD-100 revision C was never released."),
        ("PD-7/A/000000000000", "Unknown: PD-7 revision A was never released."),
        ("PD-100/A/OOOOOOOOOOOO", "The digest has signs other than 0 to 9 and a to f."),
        ("PD-100/A/00", "Type at least the first 12 digits of the digest."),
        (
            "__proto__/constructor/000000000000",
            "Unknown: __proto__ revision constructor was never released.",
        ),
        ("nonsense", "Unknown: a code holds number, revision and digest."),
    ],
)
def test_a_scanned_or_typed_code_is_judged(chromium, site, code, said):
    folder, digest = site
    text = code.format(digest=digest, short=digest[:12])
    said = said.format(seen=" (as of 2026-06-01 00:00:00 UTC).")
    scanned = visit(chromium, folder, f"index.html#{text.replace(' ', '%20')}")
    if " " not in text:
        assert scanned.locator("#verdict").inner_text() == said
    typed = visit(chromium, folder)
    assert not typed.locator("#verdict").is_visible()
    typed.locator("#code").fill(text)
    typed.locator("#code").press("Enter")
    assert typed.locator("#verdict").inner_text() == said


def test_everything_is_reached_by_keyboard(chromium, site):
    page = visit(chromium, site[0])
    reached = []
    for _ in range(40):
        page.keyboard.press("Tab")
        reached.append(
            page.evaluate("document.activeElement.id || document.activeElement.innerText.trim()")
        )
        if reached[-1] == "PD-100":
            break
    columns = ["Number", "Title", "In force", "Status", "Since", "Released", "Approvals"]
    wanted = ["Register", "In force on a day", "Where used", "code", "Check", "search", *columns]
    assert [name for name in reached if name in wanted] == wanted
    page.keyboard.press("Enter")
    assert page.get_by_role("heading", level=1).inner_text().startswith("PD-100 Seal")
    changes = page.locator("summary", has_text="Changes").first
    changes.focus()
    page.keyboard.press("Enter")
    assert page.get_by_role("table", name="Changes from").is_visible()


def test_a_day_shows_what_was_in_force_on_it(chromium, site):
    page = visit(chromium, site[0], "periods.html")

    def shown(day: str) -> list[str]:
        page.locator("#day").fill(day)
        return page.locator("#list tbody tr:visible td:nth-child(3)").all_inner_texts()

    assert shown("") == ["A", "B"]
    assert shown("2026-03-02") == []
    assert shown("2026-04-01") == ["A"]
    assert shown("2026-05-01") == ["A", "B"]
    assert shown("2026-05-02") == ["B"]
    assert page.locator("#count").inner_text() == "1 of 2 lines"


def test_the_use_of_a_card_is_found(chromium, site):
    page = visit(chromium, site[0], "uses.html")
    page.get_by_label("Search").fill("powder material")
    assert numbers(page) == ["powder.yaml"]
    page.get_by_role("link", name="PD-100").click()
    assert page.get_by_role("heading", level=1).inner_text().startswith("PD-100 Seal")


def test_the_comparison_between_neighbours_is_a_page(chromium, site):
    page = visit(chromium, site[0], "documents/PD-100.html")
    page.get_by_role("link", name="Comparison with revision A").first.click()
    assert page.get_by_role("heading", level=1).inner_text() == "Seal the end of a tubular heater"
    assert "Rim wiped twice" in page.locator("main").inner_text()


PAGES = ["index.html", "periods.html", "uses.html", "documents/PD-100.html"]


@pytest.mark.parametrize("name", PAGES)
@pytest.mark.parametrize("width", [390, 820, 1280])
def test_the_pages_are_self_contained_and_axe_finds_nothing(chromium, site, name, width):
    page = visit(chromium, site[0], name, width)
    found = [v["id"] for v in Axe().run(page).response["violations"]]
    assert found == []
    assert all(url.startswith("file:") for url in page.asked)
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_every_link_of_the_site_leads_somewhere(chromium, site):
    folder, _ = site
    page = visit(chromium, folder)
    page.get_by_role("link", name="PD-100").click()
    assert page.get_by_role("heading", level=1).inner_text().startswith("PD-100 Seal")
    links = page.locator("a").evaluate_all("list => list.map(a => a.href)")
    assert len(links) > 6
    for link in links:
        assert Path(link.removeprefix("file://")).is_file(), link
