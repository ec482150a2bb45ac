"""Where a project starts, and what a path written in a file means."""

from pathlib import Path

import pytest

from speccomp.findings import Finding, Span
from speccomp.source.reader import Project, find_project, resolve_reference
from tests.source.places import listed

AT = Span("parts/a.yaml", 4, 10, 4, 22)


@pytest.fixture
def project(tmp_path: Path) -> Project:
    root = tmp_path.resolve() / "project"
    (root / "parts").mkdir(parents=True)
    (root / ".speccomp").touch()
    (root / "plant.yaml").write_text("plant: x\n")
    (root / "parts" / "a.yaml").write_text("process: x\n")
    return Project(root)


def meant(project: Project, reference: str) -> str:
    outcome = resolve_reference(project, "parts/a.yaml", reference, AT)
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value


def fault(project: Project, reference: str) -> Finding:
    outcome = resolve_reference(project, "parts/a.yaml", reference, AT)
    assert outcome.value is None
    (finding,) = outcome.findings
    assert finding.span == AT
    return finding


def test_the_marked_folder_is_the_project(project: Project) -> None:
    (project.root / "parts" / ".git").mkdir()
    assert find_project(project.root / "parts" / "a.yaml") == project
    assert find_project(project.root / "parts") == project
    assert find_project(project.root / "parts" / "none" / "x.yaml") == project


def test_the_repository_is_the_project_where_no_folder_is_marked(project: Project) -> None:
    (project.root / ".speccomp").unlink()
    (project.root / ".git").write_text("gitdir: elsewhere\n")
    assert find_project(project.root / "parts" / "a.yaml") == project


def test_the_folder_of_the_file_is_the_project_otherwise(
    project: Project, monkeypatch: pytest.MonkeyPatch
) -> None:
    (project.root / ".speccomp").unlink()
    monkeypatch.chdir(project.root)
    for above in project.root.parents:
        assert not (above / ".speccomp").exists()
        assert not (above / ".git").exists()
    assert find_project(Path("parts/a.yaml")) == Project(project.root / "parts")
    assert find_project(Path("plant.yaml")) == project


def test_a_folder_called_like_the_mark_is_none(project: Project) -> None:
    (project.root / "parts" / ".speccomp").mkdir()
    assert find_project(project.root / "parts" / "a.yaml") == project


def test_the_nearest_mark_counts(project: Project) -> None:
    (project.root / "parts" / ".speccomp").touch()
    assert find_project(project.root / "parts" / "a.yaml") == Project(project.root / "parts")


def test_path_of_a_file(project: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(project.root / "parts")
    assert project.path_of(Path("a.yaml")) == "parts/a.yaml"
    assert project.path_of(Path("../plant.yaml")) == "plant.yaml"
    assert project.path_of(project.root / "plant.yaml") == "plant.yaml"
    assert project.path_of(project.root.parent / "other.yaml") == "../other.yaml"


def test_path_of_a_file_through_a_linked_folder(project: Project) -> None:
    link = project.root.parent / "link"
    link.symlink_to(project.root)
    assert project.path_of(link / "parts" / "a.yaml") == "parts/a.yaml"
    assert find_project(link / "parts" / "a.yaml") == project


@pytest.mark.parametrize(
    ("reference", "path"),
    [
        ("../plant.yaml", "plant.yaml"),
        ("b.yaml", "parts/b.yaml"),
        ("./b.yaml", "parts/b.yaml"),
        ("x/../b.yaml", "parts/b.yaml"),
        ("../parts//b.yaml", "parts/b.yaml"),
        ("x/y/z.yaml", "parts/x/y/z.yaml"),
        ("4:1.yaml", "parts/4:1.yaml"),
        ("..x/b.yaml", "parts/..x/b.yaml"),
        ("größe b.yaml", "parts/größe b.yaml"),
    ],
)
def test_what_a_reference_means(project: Project, reference: str, path: str) -> None:
    assert meant(project, reference) == path


@pytest.mark.parametrize(
    ("reference", "message"),
    [
        ("../../x.yaml", "`../../x.yaml` leads out of the project folder"),
        ("x/../../../parts/b.yaml", "`x/../../../parts/b.yaml` leads out of the project folder"),
        ("/etc/passwd", "`/etc/passwd` is an absolute path, not a path inside the project"),
        ("//host/x", "`//host/x` is an absolute path, not a path inside the project"),
        ("\\\\host\\x", "`\\\\host\\x` is an absolute path, not a path inside the project"),
        ("C:\\x.yaml", "`C:\\x.yaml` is a drive or web address, not a path inside the project"),
        ("c:x.yaml", "`c:x.yaml` is a drive or web address, not a path inside the project"),
        ("~/x.yaml", "`~/x.yaml` is a home folder, not a path inside the project"),
        ("~x", "`~x` is a home folder, not a path inside the project"),
        ("https://x.example/a", "`https://x.example/a` is a drive or web address, not a path"),
        ("file:x.yaml", "`file:x.yaml` is a drive or web address, not a path inside the project"),
    ],
)
def test_outside_the_project(project: Project, reference: str, message: str) -> None:
    finding = fault(project, reference)
    assert finding.rule == "source.outside-project"
    assert finding.message.startswith(message)
    assert finding.hint


def test_backslashes(project: Project) -> None:
    finding = fault(project, "..\\plant.yaml")
    assert finding.rule == "source.backslash"
    assert finding.hint == "write forward slashes: ../plant.yaml"


@pytest.mark.parametrize("reference", ["", " ", "\0", "a\0b", "\ud800"])
def test_names_no_file_can_have(project: Project, reference: str) -> None:
    assert fault(project, reference).rule == "source.not-found"


def test_links_out_of_the_project(project: Project) -> None:
    outside = project.root.parent / "secret.yaml"
    outside.write_text("a: b\n")
    (project.root / "parts" / "link.yaml").symlink_to(outside)
    (project.root / "parts" / "folder").symlink_to(project.root.parent)
    (project.root / "parts" / "chain.yaml").symlink_to("link.yaml")
    for reference in ("link.yaml", "folder/secret.yaml", "chain.yaml", "folder/none.yaml"):
        finding = fault(project, reference)
        assert finding.rule == "source.outside-project"
        assert "by a symbolic link" in finding.message
        assert str(outside.parent) not in finding.message


def test_links_inside_the_project(project: Project) -> None:
    (project.root / "parts" / "link.yaml").symlink_to("../plant.yaml")
    assert meant(project, "link.yaml") == "parts/link.yaml"


def test_a_folder_whose_name_starts_like_the_project_is_outside(project: Project) -> None:
    twin = project.root.parent / "project-2"
    twin.mkdir()
    (project.root / "twin").symlink_to(twin)
    assert listed(resolve_reference(project, "a.yaml", "twin/x", AT).findings) == [
        "outside-project 4:10-22"
    ]
