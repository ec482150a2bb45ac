"""Revisions from files, git, PDF files that carry their sources, and an archive."""

import io
import json
import subprocess
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter

from speccomp.inputs.errors import InputError
from speccomp.inputs.pdf_files import extract_sources, is_pdf
from speccomp.inputs.revision import open_revision
from tests.archive.scenario import CONTROLLER, Writer
from tests.compare.project import FILES, write_files


def git(folder: Path, *arguments: str) -> None:
    identity = ["-c", "user.name=R. Example", "-c", "user.email=r@example.invalid"]
    subprocess.run(
        ["git", "-C", str(folder), *identity, *arguments], check=True, capture_output=True
    )


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """Return a repository with a project folder in it, whose card changed in the second commit."""
    top = tmp_path / "repository"
    project = top / "plants" / "one"
    write_files(project)
    (project / ".speccomp").write_text("", encoding="utf-8")
    git(tmp_path, "init", "-q", str(top))
    git(top, "add", ".")
    git(top, "commit", "-q", "-m", "first")
    git(top, "tag", "released")
    write_files(project, [("powder.yaml", "26 ± 2", "28 ± 2")])
    git(top, "commit", "-q", "-am", "second")
    write_files(project, [("powder.yaml", "26 ± 2", "30 ± 2")])
    return project


def test_a_file_is_taken_where_it_lies(tmp_path: Path) -> None:
    path = write_files(tmp_path)
    with open_revision(str(path)) as opened:
        assert (opened.path, opened.lasting, opened.label) == (path, True, path.as_posix())


@pytest.mark.parametrize(
    ("revision", "parts"), [("HEAD", "28 ± 2"), ("HEAD~1", "26 ± 2"), ("released", "26 ± 2")]
)
def test_a_git_revision_brings_the_files_that_belong_to_it(
    revision: str, parts: str, repository: Path
) -> None:
    with open_revision(f"{repository / 'definition.yaml'}@{revision}") as opened:
        assert opened.root is not None
        assert opened.path.read_text("utf-8") == FILES["definition.yaml"]
        assert parts in (opened.root / "powder.yaml").read_text("utf-8")
        assert (opened.root / ".speccomp").is_file()
        assert opened.label.endswith(f"in git revision {revision}")
        kept = opened.root
    assert not kept.exists()


def test_the_working_tree_is_left_alone(repository: Path) -> None:
    with open_revision(f"{repository / 'definition.yaml'}@HEAD"):
        pass
    assert "30 ± 2" in (repository / "powder.yaml").read_text("utf-8")


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("definition.yaml@nowhere", "`nowhere` names no revision"),
        ("definition.yaml@--output=x", "names no revision"),
        ("definition.yaml@", "names no revision"),
        ("other.yaml@HEAD", "has no file `plants/one/other.yaml`"),
        ("other.yaml", "there is no file"),
    ],
)
def test_a_git_revision_that_cannot_be_had(name: str, words: str, repository: Path) -> None:
    with pytest.raises(InputError, match=words), open_revision(f"{repository}/{name}"):
        pass


def test_a_file_outside_any_repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    path = write_files(tmp_path)
    with pytest.raises(InputError, match="git"), open_revision(f"{path}@HEAD"):
        pass


def test_a_folder_is_no_revision(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="is a folder"), open_revision(str(tmp_path)):
        pass


def made_pdf(attached: dict[str, bytes]) -> bytes:
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    for name, data in attached.items():
        writer.add_attachment(name, data)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def content(*files: tuple[str, str]) -> bytes:
    listed = [{"kind": kind, "path": path, "sha512": ""} for kind, path in files]
    return json.dumps({"files": listed}).encode()


def test_the_sources_in_a_pdf_are_unpacked(tmp_path: Path) -> None:
    files = {"specs/a.yaml": b"process: PD-1\n", "plant.yaml": b"plant: x\n"}
    listed = content(("definition", "specs/a.yaml"), ("plant", "plant.yaml"))
    data = made_pdf({**files, "content.json": listed})
    assert is_pdf(data)
    path = extract_sources(data, "x.pdf", tmp_path)
    assert path == tmp_path / "specs/a.yaml"
    for name, text in files.items():
        assert (tmp_path / name).read_bytes() == text


@pytest.mark.parametrize("name", ["../a.yaml", "/tmp/a.yaml", "b\\a.yaml"])
def test_an_attached_file_stays_in_its_folder(name: str, tmp_path: Path) -> None:
    data = made_pdf({name: b"x", "content.json": content(("definition", name))})
    inside = tmp_path / "inside"
    inside.mkdir()
    with pytest.raises(InputError, match="leads out of its folder"):
        extract_sources(data, "x.pdf", inside)
    assert list(tmp_path.iterdir()) == [inside]


@pytest.mark.parametrize(
    ("attached", "words"),
    [
        ({}, "carries no sources"),
        ({"content.json": b"{}"}, "carries no sources"),
        ({"content.json": b"not json"}, "carries no sources"),
        ({"content.json": content(("plant", "p.yaml"))}, "does not carry the process definition"),
        ({"content.json": content(("definition", "a.yaml"))}, "does not carry the process"),
    ],
)
def test_a_pdf_without_sources(attached: dict[str, bytes], words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError, match=words):
        extract_sources(made_pdf(attached), "x.pdf", tmp_path)


@pytest.mark.parametrize("cut", [5, 60, 200])
def test_a_broken_pdf_is_said_to_be_one(cut: int, tmp_path: Path) -> None:
    data = made_pdf({"content.json": content(("definition", "a.yaml"))})[:cut]
    path = tmp_path / "broken.pdf"
    path.write_bytes(data)
    with pytest.raises(InputError, match=r"broken\.pdf"), open_revision(str(path)):
        pass


def test_what_reads_the_pdf_sees_the_names_as_written() -> None:
    names = [
        file.name for file in PdfReader(io.BytesIO(made_pdf({"a/b.yaml": b"x"}))).attachment_list
    ]
    assert names == ["a/b.yaml"]


def archived(root: Path) -> Path:
    """Return an archive with two releases of a document, the second one withdrawn later."""
    writer = Writer(root)
    for expected, revision in enumerate("AB"):
        name = "specs/seal.yaml"
        attached = {
            name: f"revision: {revision}\n".encode(),
            "content.json": content(("definition", name)),
        }
        with writer.archive.change(CONTROLLER, writer.time) as change:
            extra = {"control-plan.pdf": made_pdf(attached)}
            writer.add_release(change, "PD-100", revision, expected, (), extra)
    writer.withdraw("PD-100", "B")
    return root


@pytest.mark.parametrize("revision", ["A", "B"])
def test_a_release_brings_the_sources_its_documents_carry(revision: str, tmp_path: Path) -> None:
    root = archived(tmp_path / "archive")
    with open_revision(f"PD-100@{revision}", archive=root) as opened:
        assert opened.path.read_text("utf-8") == f"revision: {revision}\n"
        assert opened.label.startswith(f"PD-100 revision {revision} in the archive")


@pytest.mark.parametrize(
    ("name", "words"),
    [("PD-100@C", "holds no revision C of PD-100"), ("PD-200@A", "holds no document PD-200")],
)
def test_a_release_that_is_not_there(name: str, words: str, tmp_path: Path) -> None:
    root = archived(tmp_path / "archive")
    with pytest.raises(InputError, match=words), open_revision(name, archive=root):
        pass


def test_a_release_whose_file_was_changed_is_refused(tmp_path: Path) -> None:
    root = archived(tmp_path / "archive")
    for path in root.rglob("control-plan.pdf"):
        path.write_bytes(path.read_bytes() + b" ")
    with (
        pytest.raises(InputError, match="is not what was written"),
        open_revision("PD-100@A", archive=root),
    ):
        pass


def test_a_release_without_documents_cannot_be_unpacked(tmp_path: Path) -> None:
    writer = Writer(tmp_path / "archive")
    writer.release("PD-100", "A")
    with (
        pytest.raises(InputError, match="holds no PDF file"),
        open_revision("PD-100@A", archive=tmp_path / "archive"),
    ):
        pass


def test_an_archive_that_is_none(tmp_path: Path) -> None:
    with (
        pytest.raises(InputError, match="is no archive"),
        open_revision("PD-100@A", archive=tmp_path),
    ):
        pass
