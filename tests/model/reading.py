"""Read a small project as far as the model, without the rules."""

from pathlib import Path

from speccomp.findings import Finding, Span
from speccomp.model.process import Characteristic, Process, Step
from speccomp.model.resolve_process import resolve_process
from speccomp.schema import check_files
from speccomp.source.project import load_sources
from speccomp.source.reader import Project
from tests.rules.fragments import write_project


def read(folder: Path, fragment: str = "") -> tuple[Process, tuple[Finding, ...]]:
    """Return the model of the base definition with the fragment's keys in it."""
    write_project(folder, fragment)
    return read_there(folder)


def read_there(folder: Path) -> tuple[Process, tuple[Finding, ...]]:
    """Return the model of the definition in a folder."""
    outcome = load_sources(Project(folder.resolve()), "definition.yaml")
    assert outcome.value is not None
    assert outcome.findings == ()
    assert [finding.message for finding in check_files(outcome.value)] == []
    resolved = resolve_process(outcome.value)
    assert resolved.value is not None
    return resolved.value, resolved.findings


def clean(folder: Path, fragment: str = "") -> Process:
    process, findings = read(folder, fragment)
    assert findings == ()
    return process


def only(folder: Path, fragment: str) -> Finding:
    _, findings = read(folder, fragment)
    assert len(findings) == 1, [finding.message for finding in findings]
    return findings[0]


def underlined(folder: Path, span: Span) -> str:
    assert span.line == span.end_line, span
    line = (folder / span.file).read_text(encoding="utf-8").splitlines()[span.line - 1]
    return line[span.column - 1 : span.end_column - 1]


def step(process: Process, ident: str) -> Step:
    return next(item for item in process.steps if item.id == ident)


def limit(process: Process, ident: str) -> Characteristic:
    return next(item for _, item in process.characteristics() if item.id == ident)
