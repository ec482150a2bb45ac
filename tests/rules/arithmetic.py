"""Findings of one rule for a fragment, and where they stand."""

from pathlib import Path

from speccomp.findings import Finding, Span
from tests.rules.fragments import check_fragment


def found(folder: Path, rule: str, fragment: str) -> list[Finding]:
    """Return the findings of a rule, once it is sure that the rules did run."""
    checked = check_fragment(folder, fragment)
    assert checked.process is not None, [f.message for f in checked.findings]
    assert "internal.rule-crashed" not in [f.rule for f in checked.findings]
    return [finding for finding in checked.findings if finding.rule == rule]


def only(folder: Path, rule: str, fragment: str) -> Finding:
    """Return the one finding of a rule."""
    findings = found(folder, rule, fragment)
    assert len(findings) == 1, [finding.message for finding in findings]
    return findings[0]


def text_at(folder: Path, span: Span) -> str:
    """Return the text of a place on one line, or the line a longer place begins on."""
    line = (folder / span.file).read_text(encoding="utf-8").splitlines()[span.line - 1]
    end = span.end_column - 1 if span.line == span.end_line else None
    return line[span.column - 1 : end].strip()
