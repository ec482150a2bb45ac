"""The archive that `make demo` builds: valid, whole, reproducible, and readable for everybody."""

import os
import random
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import outloud
import pikepdf
import pytest
from filelock import FileLock
from ocfl.storage_root import StorageRoot

from speccomp.archive.opening import open_archive
from speccomp.archive.verify import verify_archive
from speccomp.pipeline import Format, check_file, compile_documents
from speccomp.release.history import read_documents
from speccomp.release.register import build_register
from speccomp.release.site import build_site
from speccomp.release.verifying import rebuild
from tests.release.test_documents import compiled_again

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "specs_demo"
NOW = datetime(2026, 11, 25, tzinfo=UTC)

pytestmark = pytest.mark.timeout(1800)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the archive, made as the Makefile does, once for all processes of a test run."""
    run = os.environ.get("PYTEST_XDIST_TESTRUNUID", os.getpid())
    folder = tmp_path_factory.getbasetemp().parent / f"demo-{run}"
    with FileLock(f"{folder}.lock"):
        if not folder.exists():
            folder.mkdir()
            release_all(folder)
    return folder / "archive"


def release_all(folder: Path) -> None:
    program = folder / "speccomp"
    program.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m speccomp "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    command = ["sh", str(DEMO / "release-all.sh"), str(program), str(folder / "archive")]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, cwd=ROOT, env=environment
    )
    assert done.returncode == 0, done.stderr


def test_the_demo_archive_is_valid(demo: Path) -> None:
    # Referee: ocfl-py.
    root = StorageRoot(str(demo / "documents"))
    assert root.validate(log_warnings=True)
    assert (root.num_objects, root.good_objects) == (3, 3)
    assert verify_archive(demo) == ()


def test_three_documents_with_several_revisions_each(demo: Path) -> None:
    documents = read_documents(open_archive(demo))
    found = {number: [r.name for r in document.revisions] for number, document in documents.items()}
    assert found == {"PD-117": ["A", "B", "C"], "PD-120": ["-", "A", "B"], "PD-124": ["A", "B"]}
    rows = build_register(open_archive(demo), NOW).rows
    assert {row.number: (row.revision, row.pending) for row in rows} == {
        "PD-117": ("B", "C from 2026-12-01"),
        "PD-120": ("B", ""),
        "PD-124": ("B", ""),
    }


def test_a_change_anywhere_in_the_demo_archive_is_reported(demo: Path, tmp_path: Path) -> None:
    """A small archive is changed at every byte elsewhere; this large one at a few drawn places."""
    demo = shutil.copytree(demo, tmp_path / "copy")
    draw = random.Random(20261125)
    paths = sorted(path for path in demo.rglob("*") if path.is_file() and path.stat().st_size)
    for path in draw.sample(paths, 12):
        data = path.read_bytes()
        place = draw.randrange(len(data))
        path.write_bytes(data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :])
        assert verify_archive(demo), (path, place)
        path.write_bytes(data)
    assert verify_archive(demo) == ()


def test_an_archived_revision_compiles_again_to_the_same_bytes(demo: Path) -> None:
    assert rebuild(open_archive(demo), "PD-117", "B") == ()


def test_every_archived_pdf_can_be_read_aloud(demo: Path) -> None:
    # Referee: outloud, a checker for PDF/UA (ISO 14289-1).
    checked = [errors(path) for path in archived_pdfs(demo)]
    assert not any(checked)
    assert len(checked) >= 16


def archived_pdfs(demo: Path) -> Iterator[Path]:
    archive = open_archive(demo)
    for number, document in read_documents(archive).items():
        for revision in document.revisions:
            files = archive.files(number, revision.version)
            yield from (path for name, path in files.items() if name.endswith(".pdf"))


def test_every_archived_pdf_is_archivable_tagged_and_carries_its_sources(demo: Path) -> None:
    # Referee: pikepdf; ISO 19005-3 level A, ISO 14289-1.
    for path in archived_pdfs(demo):
        with pikepdf.open(path) as pdf:
            with pdf.open_metadata() as metadata:
                found = [metadata[f"pdfaid:{name}"] for name in ("part", "conformance")]
                assert [*found, metadata["pdfuaid:part"]] == ["3", "A", "1"]
            assert bool(pdf.Root.MarkInfo.Marked)
            assert {"/StructTreeRoot", "/Outlines", "/OutputIntents"} <= set(pdf.Root.keys())
            assert str(pdf.Root.Lang) == "en"
            kinds = Counter(str(spec.obj.AFRelationship) for spec in pdf.attachments.values())
            assert kinds["/Source"] > 5
            assert (kinds["/Data"], kinds["/Supplement"]) == (1, 1)
            fonts = {str(font.BaseFont) for page in pdf.pages for font in fonts_of(page)}
        assert {name.partition("+")[2].rpartition("-")[0][:13] for name in fonts} <= {
            "Document-Text", "Document-Sign", "Document",
        }, fonts  # fmt: skip


def fonts_of(page: pikepdf.Page) -> Iterator[pikepdf.Object]:
    resources = page.obj.get("/Resources", {})
    yield from dict(resources.get("/Font", {}).items()).values()


def test_the_sources_inside_an_archived_pdf_compile_to_the_same_pdf(
    demo: Path, tmp_path: Path
) -> None:
    data = open_archive(demo).read("PD-124", 2, "documents/control-plan.pdf")
    assert compiled_again(data, tmp_path)["control-plan.pdf"] == data


def errors(path: Path) -> list[str]:
    return [f.message for f in outloud.check(str(path)).findings if f.severity == "error"]


def test_the_site_tells_of_the_demo(demo: Path) -> None:
    files = build_site(open_archive(demo), NOW)
    assert "files/PD-117/C/comparison.html" in files
    page = files["documents/PD-117.html"].decode()
    assert "In force: revision B since 2026-06-01" in page
    assert "Longer drying hold" in page
    assert "Changes from the revision before to C" in page
    assert sum(name.endswith(".pdf") for name in files) >= 14


@pytest.mark.parametrize("path", sorted(DEMO.glob("definitions/*.yaml")), ids=lambda p: p.stem)
def test_every_draft_of_the_demo_can_be_read_aloud(path: Path, tmp_path: Path) -> None:
    # Referee: outloud.
    checked = check_file(path, date(2026, 11, 25))
    for name, data in compile_documents(checked, [Format.PDF]).items():
        (tmp_path / name).write_bytes(data)
        assert errors(tmp_path / name) == [], name
