"""Findings for programs: plain JSON, and SARIF 2.1.0 (OASIS) for editors and build servers."""

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from typing import Any
from urllib.parse import quote

from speccomp.findings import Finding, Related, Span
from speccomp.render.terminal import tally


def render_findings_json(findings: Iterable[Finding], shown_path: Callable[[str], str]) -> str:
    """
    Return the findings and how many there are of each severity.

    Lines and columns count characters from 1, ends are exclusive. A waived finding counts under
    `waived` only.
    """
    found = tuple(findings)
    count = tally(found)
    document = {
        "findings": [_finding(finding, shown_path) for finding in found],
        "summary": {
            "errors": count.errors,
            "warnings": count.warnings,
            "notes": count.notes,
            "waived": count.waived,
        },
    }
    return _dump(document)


def _finding(finding: Finding, shown_path: Callable[[str], str]) -> dict[str, Any]:
    return {
        "severity": finding.severity.value,
        "rule": finding.rule,
        **_place(finding.span, shown_path),
        "message": finding.message,
        "hint": "\n".join(filter(None, (finding.hint, finding.paste))),
        "related": [
            {**_place(other.span, shown_path), "message": other.message}
            for other in finding.related
        ],
        "waived": finding.waived,
        "subject": finding.subject,
        "waiver": finding.waiver,
    }


def _place(span: Span, shown_path: Callable[[str], str]) -> dict[str, str | int]:
    return {
        "file": shown_path(span.file),
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
    }


def render_sarif(
    findings: Iterable[Finding],
    shown_path: Callable[[str], str],
    tool_version: str,
    rules: Mapping[str, str],
) -> str:
    """
    Return the findings as a SARIF 2.1.0 log of one run.

    `rules` tells in one line what each rule checks; rules without a finding are listed too, so
    that a reader sees what was looked for.
    """
    found = tuple(findings)
    names = sorted({*rules, *(finding.rule for finding in found)})
    index = {name: place for place, name in enumerate(names)}
    driver = {
        "name": "speccomp",
        "semanticVersion": tool_version,
        "rules": [
            {"id": name, "shortDescription": {"text": rules.get(name) or name}} for name in names
        ],
    }
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, shown_path, index) for finding in found],
    }
    return _dump(
        {
            "$schema": "https://json.schemastore.org/sarif-2.1.0.json",
            "version": "2.1.0",
            "runs": [run],
        }
    )


def _result(
    finding: Finding, shown_path: Callable[[str], str], index: Mapping[str, int]
) -> dict[str, Any]:
    text = f"{finding.message}; {finding.hint}" if finding.hint else finding.message
    location = _location(finding.span, shown_path)
    if finding.subject:
        location["logicalLocations"] = [{"name": finding.subject}]
    result = {
        "ruleId": finding.rule,
        "ruleIndex": index[finding.rule],
        "level": finding.severity.value,
        "message": {"text": text},
        "locations": [location],
        "partialFingerprints": {"ruleAndSubject/v1": _fingerprint(finding, shown_path)},
    }
    if finding.related:
        result["relatedLocations"] = [_related(other, shown_path) for other in finding.related]
    if finding.waiver is not None:
        result["suppressions"] = [{"kind": "external", "justification": finding.waiver}]
    return result


def _location(span: Span, shown_path: Callable[[str], str]) -> dict[str, Any]:
    region = {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }
    uri = quote(shown_path(span.file), safe="/")
    return {"physicalLocation": {"artifactLocation": {"uri": uri}, "region": region}}


def _related(other: Related, shown_path: Callable[[str], str]) -> dict[str, Any]:
    return {**_location(other.span, shown_path), "message": {"text": other.message}}


def _fingerprint(finding: Finding, shown_path: Callable[[str], str]) -> str:
    """Return what identifies a finding through edits that only move it in its file."""
    parts = (finding.rule, shown_path(finding.span.file), finding.subject)
    return hashlib.sha256("\0".join(parts).encode()).hexdigest()


def _dump(document: Mapping[str, Any]) -> str:
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"
