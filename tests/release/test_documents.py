"""Released documents: the same bytes anywhere, the sources inside, tagged, and complete."""

import json
import os
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import outloud
import pikepdf
import pytest
import zxingcpp
from PIL import Image

from speccomp.archive.opening import open_archive
from speccomp.model.issue import parse_issue, parse_sheet_code
from speccomp.pipeline import Format, check_file, compile_documents
from speccomp.release.verifying import Verdict, judge_copy, rebuild
from tests.release.plant import QUALITY, RELEASED, Works

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.timeout(900)
PDFS = ("work-instruction.pdf", "control-plan.pdf")


@pytest.fixture(scope="module")
def released(tmp_path_factory: pytest.TempPathFactory) -> Works:
    works = Works(tmp_path_factory.mktemp("released"))
    works.approve()
    works.release()
    return works


def document(works: Works, name: str) -> bytes:
    return open_archive(works.archive).read("PD-100", 1, f"documents/{name}")


def compiled_again(data: bytes, folder: Path) -> dict[str, bytes]:
    """Compile the PDF files anew from nothing but what is attached to one."""
    (folder / "document.pdf").write_bytes(data)
    project = folder / "project"
    with pikepdf.open(folder / "document.pdf") as pdf:
        for name, spec in pdf.attachments.items():
            path = project / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(spec.get_file().read_bytes())
    content = json.loads((project / "content.json").read_bytes())
    main = next(f["path"] for f in content["files"] if f["kind"] == "definition")
    issue = parse_issue((project / "issue.json").read_bytes())
    checked = check_file(project / main, issue.checked_on, project)
    return compile_documents(checked, [Format.PDF], issue)


@pytest.mark.parametrize("name", PDFS)
def test_the_sources_inside_a_pdf_compile_to_the_same_pdf(
    released: Works, tmp_path: Path, name: str
) -> None:
    data = document(released, name)
    assert compiled_again(data, tmp_path)[name] == data


def test_a_release_compiles_again_to_the_same_bytes(released: Works) -> None:
    assert rebuild(open_archive(released.archive), "PD-100", "A") == ()


def test_another_place_time_zone_locale_and_machine_give_the_same_bytes(
    released: Works, tmp_path: Path
) -> None:
    code = (
        "import sys, time; from pathlib import Path\n"
        "now = time.time\n"
        "time.time = lambda: now() + 4e8\n"
        "from speccomp.archive.opening import open_archive\n"
        "from speccomp.release.verifying import rebuild\n"
        "print(rebuild(open_archive(Path(sys.argv[1])), 'PD-100', 'A'))\n"
    )
    fonts = tmp_path / "fonts.conf"
    fonts.write_text("<?xml version='1.0'?><fontconfig></fontconfig>", encoding="utf-8")
    other = {
        "FONTCONFIG_FILE": str(fonts),  # the machine has no font at all
        "PYTHONPATH": str(ROOT),
        "TZ": "Pacific/Auckland",
        "LC_ALL": "C",
        "TMPDIR": str(tmp_path),
        "PYTHONHASHSEED": "7",
    }
    done = subprocess.run(
        [sys.executable, "-c", code, str(released.archive)],
        env={**os.environ, **other}, capture_output=True, text=True, check=True, cwd=tmp_path,
    )  # fmt: skip
    assert done.stdout.strip() == "()"


@pytest.mark.parametrize("name", PDFS)
def test_a_released_pdf_is_archivable_tagged_and_carries_its_sources(
    released: Works, tmp_path: Path, name: str
) -> None:
    path = tmp_path / name
    path.write_bytes(document(released, name))
    with pikepdf.open(path) as pdf:
        with pdf.open_metadata() as metadata:
            assert metadata["pdfaid:part"] == "3"
            assert metadata["pdfaid:conformance"].upper() == "A"
            assert metadata["pdfuaid:part"] == "1"
        assert bool(pdf.Root.MarkInfo.Marked)
        assert "/StructTreeRoot" in pdf.Root
        assert str(pdf.Root.Lang) == "en"
        kinds = {
            attachment_name: str(spec.obj.AFRelationship)
            for attachment_name, spec in pdf.attachments.items()
        }
        described = [spec.description for spec in pdf.attachments.values()]
    assert kinds == {
        "content.json": "/Data",
        "issue.json": "/Supplement",
        "definition.yaml": "/Source",
        "plant.yaml": "/Source",
        "powder.yaml": "/Source",
        "liquid.yaml": "/Source",
        "cleaner.yaml": "/Source",
    }
    assert all(described)


@pytest.mark.parametrize("name", PDFS)
def test_an_independent_checker_finds_no_error_for_screen_readers(
    released: Works, tmp_path: Path, name: str
) -> None:
    # Referee: outloud, a checker for PDF/UA (ISO 14289-1).
    path = tmp_path / name
    path.write_bytes(document(released, name))
    result = outloud.check(str(path))
    assert [f for f in result.findings if "error" in str(getattr(f, "severity", "")).lower()] == []


def test_a_released_page_says_what_it_is(released: Works) -> None:
    page = document(released, "work-instruction.html").decode()
    assert "Released" in page
    assert "In force from" in page
    assert "2026-03-03" in page
    assert QUALITY in page
    assert "approved for release, not signed" in page.replace("\n", " ")
    assert "DRAFT" not in page
    assert "Square code: PD-100, revision A" in page


@pytest.mark.parametrize("name", PDFS)
def test_the_square_code_of_a_print_is_scanned_and_judged(
    released: Works, tmp_path: Path, name: str
) -> None:
    # Referee: zxing-cpp, a reader of ISO/IEC 18004 codes.
    path = tmp_path / "document.pdf"
    path.write_bytes(document(released, name))
    # Not sharper than what a poor office printer and a telephone make of it.
    command = ["pdftoppm", "-r", "120", "-gray", "-f", "1", "-l", "1", "-singlefile", "-png"]
    subprocess.run([*command, str(path), str(tmp_path / "page")], check=True)
    with Image.open(tmp_path / "page.png") as page:
        (found,) = zxingcpp.read_barcodes(page)
    assert found.text.startswith("https://register.invalid/#PD-100/A/")
    code = parse_sheet_code(found.text)
    assert len(code.digest) == 128
    at = RELEASED + timedelta(days=1)
    assert judge_copy(released.archive, code, at).verdict is Verdict.CURRENT


def test_every_page_carries_number_revision_status_and_page_of_pages(
    released: Works, tmp_path: Path
) -> None:
    import pypdf

    path = tmp_path / "document.pdf"
    path.write_bytes(document(released, "work-instruction.pdf"))
    pages = [page.extract_text() for page in pypdf.PdfReader(path).pages]
    for number, text in enumerate(pages, 1):
        assert "PD-100 · Revision A" in text
        assert "Released" in text
        assert f"page {number} of {len(pages)}" in text
        assert "In force from 2026-03-03" in text
        assert "content " in text
