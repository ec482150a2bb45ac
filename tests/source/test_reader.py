"""Reading text files: once, within bounds, plain files of the project only."""

import os
from pathlib import Path

import pytest

from speccomp.findings import Finding, Span
from speccomp.source import files
from speccomp.source.reader import Project, SourceFile, read_source
from speccomp.source.yaml_tree import MAX_BYTES
from tests.source.places import place

AT = Span("a.yaml", 4, 10, 4, 22)


@pytest.fixture
def project(tmp_path: Path) -> Project:
    (tmp_path / "materials").mkdir()
    for name in ("zircon-powder.yaml", "silicate.yaml"):
        (tmp_path / "materials" / name).write_text("material: x\n")
    return Project(tmp_path.resolve())


def read(project: Project, path: str) -> SourceFile:
    outcome = read_source(project, path, AT)
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value


def fault(project: Project, path: str) -> Finding:
    outcome = read_source(project, path, AT)
    assert outcome.value is None
    (finding,) = outcome.findings
    return finding


def test_bytes_text_and_digest(project: Project) -> None:
    """The digest is the example of FIPS 180-4 for the message "abc" (value from memory)."""
    (project.root / "b.yaml").write_bytes(b"abc")
    assert read(project, "b.yaml") == SourceFile(
        "b.yaml",
        b"abc",
        "abc",
        "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a"
        "2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f",
    )


def test_the_bytes_stay_as_they_are(project: Project) -> None:
    (project.root / "b.yaml").write_bytes(b"\xef\xbb\xbfa: b\r\n")
    source = read(project, "b.yaml")
    assert source.data == b"\xef\xbb\xbfa: b\r\n"
    assert source.text == "a: b\n"


def test_without_a_place_that_asks_the_first_line_is_named(project: Project) -> None:
    (finding,) = read_source(project, "none.yaml", None).findings
    assert finding.span == Span("none.yaml", 1, 1, 1, 1)


@pytest.mark.parametrize(
    ("path", "message", "hint"),
    [
        (
            "materials/zircon-powdr.yaml",
            "there is no file `materials/zircon-powdr.yaml` in the project",
            "did you mean `zircon-powder.yaml`?",
        ),
        (
            "materials/Silicate.YAML",
            "there is no file `materials/Silicate.YAML` in the project",
            "did you mean `silicate.yaml`?",
        ),
        (
            "material/silicate.yaml",
            "there is no folder `material` in the project",
            "did you mean `materials`?",
        ),
        (
            "materials/q",
            "there is no file `materials/q` in the project",
            "the folder holds `silicate.yaml`, `zircon-powder.yaml`",
        ),
        (
            "materials/silicate.yaml/x",
            "there is no file `materials/silicate.yaml/x` in the project",
            "check the name and the folder",
        ),
    ],
)
def test_a_missing_file(project: Project, path: str, message: str, hint: str) -> None:
    finding = fault(project, path)
    assert (finding.rule, finding.span) == ("source.not-found", AT)
    assert (finding.message, finding.hint) == (message, hint)


def test_a_name_in_decomposed_letters(project: Project) -> None:
    (project.root / "gro\u0308ße.yaml").touch()
    finding = fault(project, "gr\u00f6ße.yaml")
    assert (
        finding.hint == "a file is named so with decomposed letters; rename it with composed ones"
    )


def test_a_very_long_name(project: Project) -> None:
    assert fault(project, "x" * 100_000).rule == "source.not-readable"
    assert len(fault(project, "x" * 250).message) < 200


def test_a_link_to_nothing_and_links_in_a_circle(project: Project) -> None:
    (project.root / "b.yaml").symlink_to("none.yaml")
    (project.root / "c.yaml").symlink_to("d.yaml")
    (project.root / "d.yaml").symlink_to("c.yaml")
    assert fault(project, "b.yaml").message == (
        "`b.yaml` is a symbolic link to a file that does not exist"
    )
    assert fault(project, "c.yaml").rule == "source.not-readable"


def test_folders(project: Project) -> None:
    for path in ("materials", ".", "materials/.."):
        finding = fault(project, path)
        assert (finding.rule, finding.span) == ("source.not-readable", AT)
        assert (
            finding.message
            == f"`{project.root.name if path == '.' else path}` is a folder, not a file"
        )


@pytest.mark.timeout(5)
def test_pipes_and_devices_are_not_opened(
    project: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    os.mkfifo(project.root / "pipe.yaml")
    (project.root / "device.yaml").symlink_to("/dev/zero")
    monkeypatch.setattr(files.os, "open", lambda *_: pytest.fail("it was opened"))
    assert fault(project, "pipe.yaml").message == (
        "`pipe.yaml` cannot be read: it is not a plain file"
    )
    assert fault(project, "device.yaml").rule == "source.outside-project"


def test_a_file_that_may_not_be_read(project: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    (project.root / "b.yaml").touch()
    monkeypatch.setattr(files.os, "open", refuse)
    finding = fault(project, "b.yaml")
    assert (finding.rule, finding.span) == ("source.not-readable", AT)
    assert finding.message == "`b.yaml` cannot be read: permission denied"


@pytest.mark.timeout(5)
@pytest.mark.parametrize("kind", ["pipe", "file", "link"])
def test_a_file_exchanged_between_look_and_opening(
    project: Project, monkeypatch: pytest.MonkeyPatch, kind: str
) -> None:
    looked_at, other = project.root / "b.yaml", project.root / "other"
    real_open = os.open

    def exchange(path: Path, flags: int) -> int:
        if kind == "pipe":
            os.mkfifo(other)
        elif kind == "link":
            other.symlink_to("materials/silicate.yaml")
        else:
            other.write_text("c: d\n")
        other.replace(looked_at)
        return real_open(path, flags)

    looked_at.write_text("a: b\n")
    monkeypatch.setattr(files.os, "open", exchange)
    finding = fault(project, "b.yaml")
    assert finding.rule == "source.not-readable"
    if kind != "link":
        assert finding.message.endswith("it was exchanged for another while it was opened")


def test_a_file_is_opened_once(project: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = []
    real_open = os.open
    monkeypatch.setattr(files.os, "open", lambda *a: opened.append(a[0]) or real_open(*a))
    read(project, "materials/silicate.yaml")
    assert opened == [project.root / "materials" / "silicate.yaml"]


def test_size_up_to_the_bound(project: Project) -> None:
    (project.root / "b.yaml").write_bytes(b"x" * MAX_BYTES)
    assert len(read(project, "b.yaml").data) == MAX_BYTES
    (project.root / "c.yaml").write_bytes(b"x" * (MAX_BYTES + 1))
    finding = fault(project, "c.yaml")
    assert (finding.rule, finding.span) == ("source.too-large", AT)
    assert finding.message == "`c.yaml` has 1000001 bytes; at most 1000000 are read"


def test_a_huge_file_is_not_read_into_memory(project: Project) -> None:
    with (project.root / "b.yaml").open("wb") as stream:
        stream.truncate(10**12)
    assert fault(project, "b.yaml").message.startswith("`b.yaml` has 1000000000000 bytes")


def test_faults_of_the_text_stand_in_the_file_and_name_who_asked(project: Project) -> None:
    (project.root / "b.yaml").write_bytes(b"a: b\nc: \xb0\n")
    finding = fault(project, "b.yaml")
    assert (finding.rule, finding.span.file, place(finding.span)) == (
        "source.encoding",
        "b.yaml",
        "2:4-5",
    )
    assert finding.related[0].span == AT
    assert read_source(project, "b.yaml", None).findings[0].related == ()


@pytest.mark.parametrize("path", ["../x.yaml", "/etc/passwd", "C:/x", "~/x", "http://x/y"])
def test_paths_out_of_the_project(project: Project, path: str) -> None:
    finding = fault(project, path)
    assert (finding.rule, finding.span) == ("source.outside-project", AT)


def test_no_path_raises(project: Project) -> None:
    for path in ("", "\0", "a\\b", "\ud800", "x/" * 5_000, "materials/\n"):
        outcome = read_source(project, path, AT)
        assert outcome.value is None
        assert outcome.findings
