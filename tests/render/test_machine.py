"""Findings for programs: JSON of our own and SARIF 2.1.0."""

import json

import pytest

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.render.machine import render_findings_json, render_sarif

FOUND = (
    Finding(
        Severity.ERROR,
        "weigh.window-empty",
        Span("steps/é a.yaml", 4, 12, 4, 23),
        "24.0 g of liquid",
        "use a finer scale",
        (Related(Span("plant.yaml", 33, 7, 33, 9), "the scale is described here"),),
        "weigh-liquid",
    ),
    Finding(
        Severity.WARNING, "cure.slow", Span("b.yaml"), "slow", subject="cure", waiver="until spring"
    ),
    Finding(Severity.NOTE, "text.long", Span("b.yaml", 2, 1, 3, 1), "long"),
)
RULES = {"weigh.window-empty": "The scale can hold the ratio.", "mix.range": "The mixer fits."}


def path(name):
    return f"demo/{name}"


def test_json_holds_all_of_a_finding():
    document = json.loads(render_findings_json(FOUND, path))
    assert document["findings"][0] == {
        "severity": "error",
        "rule": "weigh.window-empty",
        "file": "demo/steps/é a.yaml",
        "line": 4,
        "column": 12,
        "end_line": 4,
        "end_column": 23,
        "message": "24.0 g of liquid",
        "hint": "use a finer scale",
        "related": [
            {
                "file": "demo/plant.yaml",
                "line": 33,
                "column": 7,
                "end_line": 33,
                "end_column": 9,
                "message": "the scale is described here",
            }
        ],
        "waived": False,
        "subject": "weigh-liquid",
        "waiver": None,
    }
    assert document["findings"][1]["waived"] is True
    assert document["findings"][1]["waiver"] == "until spring"
    assert document["summary"] == {"errors": 1, "warnings": 0, "notes": 1, "waived": 1}


def test_json_without_findings():
    document = json.loads(render_findings_json((), path))
    assert document == {
        "findings": [],
        "summary": {"errors": 0, "warnings": 0, "notes": 0, "waived": 0},
    }


@pytest.fixture(scope="module")
def log():
    return json.loads(render_sarif(FOUND, path, "1.2.3", RULES))


def test_sarif_log_has_the_parts_the_format_requires(log):
    """OASIS SARIF 2.1.0, 3.13, 3.14, 3.19: version, runs, tool, driver, name."""
    assert log["version"] == "2.1.0"
    (run,) = log["runs"]
    assert run["tool"]["driver"]["name"] == "speccomp"
    assert run["tool"]["driver"]["semanticVersion"] == "1.2.3"
    assert run["columnKind"] == "unicodeCodePoints"


def test_sarif_results_point_to_their_rules(log):
    """OASIS SARIF 2.1.0, 3.27.5 to 3.27.11: ruleId, ruleIndex, level, message."""
    (run,) = log["runs"]
    rules = run["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == sorted({f.rule for f in FOUND} | set(RULES))
    for finding, result in zip(FOUND, run["results"], strict=True):
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"] == finding.rule
        assert result["level"] == finding.severity.value
        assert finding.message in result["message"]["text"]
    assert rules[-1]["shortDescription"]["text"] == RULES["weigh.window-empty"]


def test_sarif_locations(log):
    """OASIS SARIF 2.1.0, 3.29, 3.30: a URI, and a region counted from 1 with an exclusive end."""
    result = log["runs"][0]["results"][0]
    physical = result["locations"][0]["physicalLocation"]
    assert physical["artifactLocation"]["uri"] == "demo/steps/%C3%A9%20a.yaml"
    assert physical["region"] == {
        "startLine": 4,
        "startColumn": 12,
        "endLine": 4,
        "endColumn": 23,
    }
    assert result["locations"][0]["logicalLocations"] == [{"name": "weigh-liquid"}]
    (related,) = result["relatedLocations"]
    assert related["message"]["text"] == "the scale is described here"
    assert "relatedLocations" not in log["runs"][0]["results"][1]


def test_sarif_suppresses_what_is_waived(log):
    """OASIS SARIF 2.1.0, 3.35: a suppression has a kind and may have a justification."""
    results = log["runs"][0]["results"]
    assert results[1]["suppressions"] == [{"kind": "external", "justification": "until spring"}]
    assert "suppressions" not in results[0]


def test_sarif_fingerprint_survives_a_move():
    def fingerprint(finding):
        run = json.loads(render_sarif([finding], path, "1", {}))["runs"][0]
        return run["results"][0]["partialFingerprints"]

    first = FOUND[0]
    moved = Finding(
        first.severity, first.rule, Span(first.span.file, 90, 1, 90, 2), "x", subject=first.subject
    )
    other = Finding(first.severity, first.rule, first.span, "x", subject="weigh-powder")
    assert fingerprint(moved) == fingerprint(first) != fingerprint(other)


def test_sarif_without_findings_says_that_nothing_was_found():
    """OASIS SARIF 2.1.0, 3.14.23 (from memory): empty results, not absent ones."""
    run = json.loads(render_sarif((), path, "1", RULES))["runs"][0]
    assert run["results"] == []
    assert len(run["tool"]["driver"]["rules"]) == 2
