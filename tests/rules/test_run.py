"""A rule that fails is reported, and the others still run."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from speccomp.derive import derive
from speccomp.findings import Finding, Severity
from speccomp.rules.facts import Facts
from speccomp.rules.rule import Rule, parse_page
from speccomp.rules.run import check_rules
from tests.rules.fragments import TODAY, check_fragment


def test_a_failing_rule_does_not_hide_the_others(tmp_path: Path) -> None:
    process = check_fragment(tmp_path).process
    assert process is not None

    def sees(facts: Facts) -> Iterator[Finding]:
        yield Finding(Severity.NOTE, "part.no-drawing", facts.process.span, "seen")

    def fails(facts: Facts) -> Iterator[Finding]:
        yield from sees(facts)
        raise KeyError("first line\nsecond line")

    rules = {
        "a.fails": Rule("a.fails", (Severity.NOTE,), fails, ""),
        "a.elsewhere": Rule("a.elsewhere", (Severity.NOTE,), None, ""),
        "a.sees": Rule("a.sees", (Severity.NOTE,), sees, ""),
    }
    results = check_rules(Facts(process, TODAY, derive(process)), rules)
    assert [f.rule for f in results] == [
        "part.no-drawing",
        "internal.rule-crashed",
        "part.no-drawing",
    ]
    crashed = results[1]
    assert crashed.severity is Severity.ERROR
    assert crashed.subject == "a.fails"
    assert "KeyError" in crashed.message
    assert "\n" not in crashed.message


def test_the_same_facts_give_the_same_findings(tmp_path: Path) -> None:
    process = check_fragment(
        tmp_path, "parts: [{number: A, name: B, thickest_section: 8 mm}]"
    ).process
    assert process is not None
    first = check_rules(Facts(process, TODAY, derive(process)))
    assert first == check_rules(Facts(process, TODAY, derive(process)))
    assert [f.rule for f in first] == ["part.no-drawing"]


def test_a_page_without_a_section_is_refused() -> None:
    with pytest.raises(ValueError, match="sections"):
        parse_page("A fault.\n\nWhy: so.\nBad: x\nGood: y\n")
    with pytest.raises(ValueError, match="empty"):
        parse_page("A fault.\n\nWhy:\nSource: none.\nBad: x\nGood: y\n")


def test_a_page_is_read_by_sections() -> None:
    page = parse_page(
        "A fault\nin two lines.\n\nWhy: so,\n    and so.\nSource: none.\n"
        "Bad:\n    a:\n      - b\nGood: y\n"
    )
    assert page.summary == "A fault in two lines."
    assert page.why == "so, and so."
    assert page.bad == "a:\n  - b\n"
    assert page.good == "y"
