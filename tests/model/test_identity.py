"""The digest of a definition's content changes with anything the documents are made from."""

import json
import shutil
from pathlib import Path

import pytest
import rfc8785

from speccomp.model.identity import Content, build_content
from speccomp.model.resolve_process import resolve_process
from speccomp.source.project import load_sources
from speccomp.source.reader import Project
from tests.rules.fragments import write_project


def content(folder: Path, version: str = "1.0") -> Content:
    sources = load_sources(Project(folder.resolve()), "definition.yaml").value
    assert sources is not None
    process = resolve_process(sources).value
    assert process is not None
    return build_content(sources, process, version)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    write_project(tmp_path / "one", "")
    return tmp_path / "one"


def test_the_content_is_the_same_in_another_folder(folder: Path, tmp_path: Path) -> None:
    other = shutil.copytree(folder, tmp_path / "elsewhere")
    assert content(folder) == content(other)


def test_the_content_is_canonical_json_and_its_digest_that_of_its_text(folder: Path) -> None:
    import hashlib

    made = content(folder)
    assert rfc8785.dumps(json.loads(made.text)) == made.text
    assert hashlib.sha512(made.text).hexdigest() == made.sha512


def test_any_change_of_any_file_changes_the_content(folder: Path) -> None:
    before = content(folder)
    assert {file.kind for file in before.files} >= {"definition", "plant", "material"}
    for file in before.files:
        path = folder / file.path
        data = path.read_bytes()
        comment = b"<!-- x -->" if path.suffix == ".svg" else b"\n# x\n"
        path.write_bytes(data + comment)
        assert content(folder).sha512 != before.sha512, file.path
        path.write_bytes(data)
    assert content(folder) == before


def test_another_version_of_the_program_makes_another_content(folder: Path) -> None:
    assert content(folder, "1.0").sha512 != content(folder, "1.1").sha512


def test_the_meaning_keeps_the_digits_as_written(folder: Path) -> None:
    meaning = json.loads(content(folder).text)["meaning"]
    limits = [
        characteristic["requirement"]
        for step in meaning["steps"]
        for characteristic in step["characteristics"]
        if isinstance(characteristic["requirement"], dict)
    ]
    assert limits
    assert all(isinstance(limit["written"], str) and limit["kind"] for limit in limits)
    assert not any(isinstance(value, int | float) for value in numbers(meaning))


def numbers(value: object) -> list[object]:
    if isinstance(value, dict):
        return [found for item in value.values() for found in numbers(item)]
    if isinstance(value, list):
        return [found for item in value for found in numbers(item)]
    return [value] if not isinstance(value, bool) else []
