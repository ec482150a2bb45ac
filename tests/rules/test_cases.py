"""
The cases under tests/cases/rules: a bad one marks each faulty line, a good one has no such fault.

The mark is `# expect: <rule> <column>-<end column>`, without the end for a place of several lines.
"""

import re
from pathlib import Path

import pytest

from speccomp.rules.table import RULES
from tests.rules.fragments import check_fragment

CASES = Path(__file__).resolve().parents[1] / "cases" / "rules"
BAD = sorted(CASES.glob("*/bad-*.yaml"))
GOOD = sorted(CASES.glob("*/good-*.yaml"))
MARK = re.compile(r"# expect: (?P<rule>[a-z.-]+) (?P<start>\d+)(?:-(?P<end>\d+))?")


def case_name(path: Path) -> str:
    return f"{path.parent.name}/{path.stem}"


def expected(folder: Path) -> set[tuple[str, str, int, int, int]]:
    """Return rule, file, line and columns of each mark in the files of a project."""
    return {
        (mark["rule"], path.name, number, int(mark["start"]), int(mark["end"] or 0))
        for path in folder.glob("*.yaml")
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), start=1)
        for mark in MARK.finditer(line)
    }


def test_there_are_cases_and_each_is_of_a_rule() -> None:
    assert BAD
    assert GOOD
    assert {path.name for path in CASES.iterdir()} <= set(RULES)


@pytest.mark.parametrize("case", BAD, ids=case_name)
def test_a_bad_case_is_found_at_its_mark(case: Path, tmp_path: Path) -> None:
    rule = case.parent.name
    checked = check_fragment(tmp_path, case.read_text(encoding="utf-8"))
    marks = {mark for mark in expected(tmp_path) if mark[0] == rule}
    assert marks, "the case marks no line"
    found = {
        (
            finding.rule,
            finding.span.file,
            finding.span.line,
            finding.span.column,
            finding.span.end_column if finding.span.line == finding.span.end_line else 0,
        )
        for finding in checked.findings
        if finding.rule == rule
    }
    assert found == marks


@pytest.mark.parametrize("case", GOOD, ids=case_name)
def test_a_good_case_has_no_such_fault(case: Path, tmp_path: Path) -> None:
    checked = check_fragment(tmp_path, case.read_text(encoding="utf-8"))
    assert checked.process is not None, checked.findings
    assert [f for f in checked.findings if f.rule == case.parent.name] == []
