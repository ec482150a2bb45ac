"""Which files belong to a main file."""

from pathlib import Path

import pytest

from speccomp.source import project as project_module
from speccomp.source.project import MAX_FILES, Reference, Sources, load_sources
from speccomp.source.reader import Project, read_source
from tests.source.places import listed, place

MAIN = """\
process: PD-1
plant: ../plant.yaml
materials:
  powder: ../materials/powder.yaml
  liquid: ../materials/liquid.yaml
steps:
  - id: weigh
  - use: ../blocks/clean.yaml
  - use: ../blocks/clean.yaml
"""


@pytest.fixture
def project(tmp_path: Path) -> Project:
    files = {
        "parts/a.yaml": MAIN,
        "plant.yaml": "plant: x\nmaterials: {a: b.yaml}\nsteps: [{use: none.yaml}]\n",
        "materials/powder.yaml": "material: powder\nplant: none.yaml\n",
        "materials/liquid.yaml": "material: liquid\n",
        "blocks/clean.yaml": "block: clean\nsteps:\n  - id: wipe\n",
    }
    for path, text in files.items():
        write(tmp_path, path, text)
    return Project(tmp_path.resolve())


def write(root: Path, path: str, text: str) -> None:
    (root / path).parent.mkdir(parents=True, exist_ok=True)
    (root / path).write_text(text, encoding="utf-8")


def loaded(project: Project, path: str) -> Sources:
    outcome = load_sources(project, path)
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value


def faults(project: Project, path: str = "parts/a.yaml") -> list[str]:
    findings = load_sources(project, path).findings
    return [f"{f.span.file} {line}" for f, line in zip(findings, listed(findings), strict=True)]


def test_a_process_definition_draws_in_its_files(project: Project) -> None:
    sources = loaded(project, "parts/a.yaml")
    assert sources.project == project
    assert sources.main is sources.trees["parts/a.yaml"]
    assert list(sources.trees) == list(sources.files)
    assert list(sources.trees) == [
        "parts/a.yaml",
        "plant.yaml",
        "materials/powder.yaml",
        "materials/liquid.yaml",
        "blocks/clean.yaml",
    ]
    assert sources.trees["plant.yaml"].data["plant"] == "x"
    assert sources.files["plant.yaml"].text.startswith("plant: x")
    assert sources.references == (
        Reference("parts/a.yaml", ("plant",), "plant", "plant.yaml"),
        Reference("parts/a.yaml", ("materials", "powder"), "material", "materials/powder.yaml"),
        Reference("parts/a.yaml", ("materials", "liquid"), "material", "materials/liquid.yaml"),
        Reference("parts/a.yaml", ("steps", 1, "use"), "block", "blocks/clean.yaml"),
        Reference("parts/a.yaml", ("steps", 2, "use"), "block", "blocks/clean.yaml"),
    )


def test_each_file_is_read_once(project: Project, monkeypatch: pytest.MonkeyPatch) -> None:
    paths = []
    monkeypatch.setattr(
        project_module,
        "read_source",
        lambda p, path, at: paths.append(path) or read_source(p, path, at),
    )
    loaded(project, "parts/a.yaml")
    assert sorted(paths) == sorted(set(paths))
    assert len(paths) == 5


@pytest.mark.parametrize("path", ["plant.yaml", "materials/powder.yaml", "blocks/clean.yaml"])
def test_other_files_draw_in_nothing(project: Project, path: str) -> None:
    sources = loaded(project, path)
    assert list(sources.trees) == [path]
    assert sources.references == ()


def test_one_bad_file_does_not_stop_the_others(project: Project) -> None:
    write(project.root, "plant.yaml", "plant: [\n")
    write(project.root, "materials/liquid.yaml", "a: 1\na: 2\n")
    (project.root / "materials" / "powder.yaml").unlink()
    outcome = load_sources(project, "parts/a.yaml")
    assert faults(project) == [
        "plant.yaml syntax 1:8-9",
        "parts/a.yaml not-found 4:11-35",
        "materials/liquid.yaml duplicate-key 2:1-2",
    ]
    assert outcome.value is not None
    assert set(outcome.value.trees) == {
        "parts/a.yaml",
        "materials/liquid.yaml",
        "blocks/clean.yaml",
    }
    assert "plant.yaml" in outcome.value.files, "its bytes are known all the same"
    assert len(outcome.value.references) == 5


def test_no_result_without_a_main_tree(project: Project) -> None:
    write(project.root, "parts/b.yaml", "process: [\n")
    for path in ("parts/b.yaml", "parts/none.yaml", "../a.yaml", ""):
        outcome = load_sources(project, path)
        assert outcome.value is None
        assert len(outcome.findings) == 1
        assert outcome.findings[0].span.file == path


def test_places_of_bad_references(project: Project) -> None:
    text = (
        "process: x\nplant: /plant.yaml\nmaterials:\n  a: ..\\b.yaml\n  b: ../../c.yaml\n"
        "  c:\n  d: {e: f}\n  e: ../materials/liquid.yam\n  f: ../materials\n"
        "steps:\n  - {use: }\n  - use: [x]\n  - x\n"
    )
    write(project.root, "parts/a.yaml", text)
    assert faults(project) == [
        "parts/a.yaml outside-project 2:8-19",
        "parts/a.yaml backslash 4:6-15",
        "parts/a.yaml outside-project 5:6-18",
        "parts/a.yaml not-found 6:5-5",
        "parts/a.yaml not-found 8:6-29",
        "parts/a.yaml not-readable 9:6-18",
        "parts/a.yaml not-found 11:10-10",
    ]


def test_a_missing_file_named_twice_is_one_fault(project: Project) -> None:
    (project.root / "blocks" / "clean.yaml").unlink()
    assert faults(project) == ["parts/a.yaml not-found 8:10-30"]


@pytest.mark.parametrize(
    "text",
    ["process: x\n", "process: x\nplant: [a]\nmaterials: b\nsteps: {use: c}\n", "lots: []\n"],
)
def test_what_is_no_reference_is_left_to_the_schema(project: Project, text: str) -> None:
    write(project.root, "parts/a.yaml", text)
    assert loaded(project, "parts/a.yaml").references == ()


def test_a_file_that_names_itself(project: Project) -> None:
    write(project.root, "parts/a.yaml", "process: x\nplant: a.yaml\n")
    sources = loaded(project, "parts/a.yaml")
    assert list(sources.trees) == ["parts/a.yaml"]
    assert sources.references[0].target == "parts/a.yaml"


def test_step_blocks_use_no_step_blocks(project: Project) -> None:
    block = "block: clean\nsteps:\n  - use: other.yaml\n  - {id: a, use: [b]}\n"
    write(project.root, "blocks/clean.yaml", block)
    expected = [
        "blocks/clean.yaml block-nesting 3:5-8",
        "blocks/clean.yaml block-nesting 4:13-16",
    ]
    assert faults(project) == expected
    assert faults(project, "blocks/clean.yaml") == expected


def test_files_up_to_the_bound(project: Project) -> None:
    materials = "".join(f"  m{i}: ../m/{i}.yaml\n" for i in range(MAX_FILES))
    for i in range(MAX_FILES):
        write(project.root, f"m/{i}.yaml", "material: x\n")
    write(project.root, "parts/a.yaml", f"process: x\nmaterials:\n{materials}")
    (finding,) = load_sources(project, "parts/a.yaml").findings
    assert finding.rule == "source.too-many-files"
    assert place(finding.span) == "202:9-22"
    short = materials.removesuffix(f"  m{MAX_FILES - 1}: ../m/{MAX_FILES - 1}.yaml\n")
    write(project.root, "parts/a.yaml", f"process: x\nmaterials:\n{short}")
    assert len(loaded(project, "parts/a.yaml").trees) == MAX_FILES
