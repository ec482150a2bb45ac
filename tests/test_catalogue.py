"""Every rule has a manual page whose examples behave, and every page belongs to a rule."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from speccomp.findings import Severity
from speccomp.rules.rule import Rule
from speccomp.rules.table import RULES, page
from tests.rules.fragments import TODAY, check_fragment, findings_of, write_project
from tests.rules.made_cases import MADE_CASES

PACKAGE = Path(__file__).resolve().parent.parent / "speccomp"
NAME = re.compile(r"[a-z]+(-[a-z]+)*\.[a-z]+(-[a-z]+)*")
BY_EXAMPLE = [name for name in RULES if name not in MADE_CASES]


def test_the_base_has_no_finding(tmp_path: Path) -> None:
    assert findings_of(tmp_path) == ()


@pytest.mark.parametrize("name", RULES)
def test_a_rule_has_a_page_with_all_sections(name: str) -> None:
    rule = RULES[name]
    assert page(name) == rule.text
    assert rule.page.summary.endswith(".")
    assert rule.page.why
    assert rule.page.source
    assert NAME.fullmatch(name)


def test_an_unknown_rule_has_no_page() -> None:
    assert page("cure.no-such-rule") is None


@pytest.mark.parametrize("name", BY_EXAMPLE)
def test_the_bad_example_has_the_fault(name: str, tmp_path: Path) -> None:
    findings = findings_of(tmp_path, RULES[name].page.bad)
    found = [finding for finding in findings if finding.rule == name]
    assert found, f"found instead: {[f'{f.rule}: {f.message}' for f in findings]}"
    for finding in found:
        assert finding.severity in RULES[name].severities
        assert finding.message
        assert not finding.message.endswith(".")
        assert finding.span.file


@pytest.mark.parametrize("name", BY_EXAMPLE)
def test_the_good_example_is_good(name: str, tmp_path: Path) -> None:
    checked = check_fragment(tmp_path, RULES[name].page.good, complete=True)
    assert [f for f in checked.findings if f.rule == name] == []
    assert [f for f in checked.findings if f.severity is Severity.ERROR] == []
    assert checked.process is not None


@pytest.mark.parametrize("name", MADE_CASES)
def test_a_fault_that_no_text_shows(name: str, tmp_path: Path) -> None:
    write_project(tmp_path)
    findings = MADE_CASES[name](tmp_path, TODAY)
    assert name in [finding.rule for finding in findings]


def test_a_rule_of_this_package_names_itself_only() -> None:
    # A function that reports another name than its entry in the table would escape its page.
    for rule in RULES.values():
        if rule.check is not None:
            assert set(_names_in_function(rule)) == {rule.name}


def _names_in_function(rule: Rule) -> Iterator[str]:
    assert rule.check is not None
    module = PACKAGE.parent / (rule.check.__module__.replace(".", "/") + ".py")
    tree = ast.parse(module.read_text(encoding="utf-8"))
    wanted = rule.check.__name__
    function = next(n for n in tree.body if isinstance(n, ast.FunctionDef) and n.name == wanted)
    for node in ast.walk(function):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in RULES:
            yield node.value


def names_in_source() -> set[str]:
    """Return the names of all rules that the source reports."""
    found: set[str] = set()
    pages = {"table.py", *(path.name for path in (PACKAGE / "rules").glob("stages_*.py"))}
    for path in PACKAGE.rglob("*.py"):
        # What an archive reports is about releases, not about a definition.
        if path.name not in pages and path.parent.name != "archive":
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                found |= _names_at(node)
                if path.parent.name == "model" and isinstance(node, ast.Constant):
                    # Names of things that are looked up, also those kept in a table.
                    found |= {f"reference.unknown-{str(node.value).replace(' ', '-')}"} & set(RULES)
    return found


def _names_at(node: ast.AST) -> set[str]:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        family = node.value.partition(".")[0]
        if NAME.fullmatch(node.value) and family in {rule.family for rule in RULES.values()}:
            return {node.value}
    if not isinstance(node, ast.Call):
        return set()
    called = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
    texts = [a.value if isinstance(a, ast.Constant) else None for a in node.args]
    if called == "refuse" and isinstance(texts[0], str):
        return {f"source.{texts[0]}"}
    if called == "resolve_name" and isinstance(texts[2], str):
        return {f"reference.unknown-{texts[2].replace(' ', '-')}"}
    if called == "Finding" and len(texts) > 1 and isinstance(texts[1], str):
        return {texts[1]}
    if called == "report" and texts and isinstance(texts[0], str):
        return {texts[0]}
    return set()


def test_every_rule_that_is_reported_has_a_page() -> None:
    assert names_in_source() - set(RULES) == set()


def test_every_page_is_of_a_rule_that_is_reported() -> None:
    assert set(RULES) - names_in_source() == set()
