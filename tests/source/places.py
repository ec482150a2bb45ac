"""Findings and places in one line, to write what is expected beside the input."""

from collections.abc import Iterable

from speccomp.findings import Finding, Severity, Span
from speccomp.source.yaml_tree import Tree, parse_tree


def place(span: Span) -> str:
    """Return `line:column-column`, with the end line where it is another one."""
    end = f"{span.end_line}:" if span.end_line != span.line else ""
    return f"{span.line}:{span.column}-{end}{span.end_column}"


def listed(findings: Iterable[Finding]) -> list[str]:
    """Return rule and place of each finding; all of this package are errors."""
    result = []
    for finding in findings:
        assert finding.severity is Severity.ERROR
        assert finding.rule.startswith("source.")
        assert finding.message
        assert not finding.message.endswith(".")
        result.append(f"{finding.rule.removeprefix('source.')} {place(finding.span)}")
    return result


def faults(text: str) -> list[str]:
    """Return rule and place of each finding about a text."""
    return listed(parse_tree(text, "a.yaml").findings)


def fault(text: str) -> Finding:
    """Return the one finding about a text."""
    (finding,) = parse_tree(text, "a.yaml").findings
    return finding


def tree_of(text: str) -> Tree:
    """Return the tree of a text without findings."""
    outcome = parse_tree(text, "a.yaml")
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value
