"""Change note, history and index: one fault is one finding, and its hint ends the matter."""

from pathlib import Path

import pytest

from tests.rules.fragments import findings_of, rules_of

NOTE = "change: {{from: {}, why: Discs gapped, summary: Longer hold}}\n"
FIRST = "history: [{revision: A, date: 2025-01-14, summary: First issue}]\n"
BOTH = FIRST.replace("}]", "}, {revision: B, date: 2025-02-14, summary: Second}]")


@pytest.mark.parametrize("before", ["A", "B", "I"])
def test_the_first_revision_needs_no_change_note(before: str, tmp_path: Path) -> None:
    (finding,) = findings_of(tmp_path, NOTE.format(before))
    assert finding.rule == "revision.first-has-from"
    assert finding.message.startswith("revision A is the first revision")
    assert finding.hint == "delete `change`"


def test_the_hint_ends_the_matter(tmp_path: Path) -> None:
    assert rules_of(tmp_path) == []


@pytest.mark.parametrize(
    "fragment",
    [NOTE.format('"-"'), "numbering: {documents: 'PD-[0-9]{3}', revisions: numbers}"],
)
def test_an_initial_release_may_come_before(fragment: str, tmp_path: Path) -> None:
    if fragment.startswith("numbering"):
        fragment = "revision: 1\n" + NOTE.format("0") + f"# plant.yaml\n{fragment}\n"
    assert rules_of(tmp_path, fragment) == []


@pytest.mark.parametrize(
    ("fragment", "rule", "hint"),
    [
        (NOTE.format("A") + FIRST, "revision.wrong-next", "write `revision: B`"),
        (
            f'revision: "-"\n{NOTE.format("A")}{FIRST}',
            "revision.first-has-from",
            "delete `change` and `history`, or correct `revision`",
        ),
        (f"revision: C\n{NOTE.format('C')}{BOTH}", "revision.not-from-last", "write `from: B`"),
        (f"revision: D\n{NOTE.format('B')}{BOTH}", "revision.wrong-next", "write `revision: C`"),
    ],
)
def test_one_slip_is_one_finding(fragment: str, rule: str, hint: str, tmp_path: Path) -> None:
    (finding,) = findings_of(tmp_path, fragment)
    assert finding.rule == rule
    assert finding.hint.startswith(hint)


def test_a_note_without_from_says_that_a_first_revision_has_none(tmp_path: Path) -> None:
    (finding,) = findings_of(tmp_path, "change: {why: Discs gapped, summary: Longer hold}\n")
    assert finding.rule == "schema.missing-key"
    assert "a first revision replaces none and has no change note" in finding.hint


def test_a_date_after_the_day_of_the_check(tmp_path: Path) -> None:
    (finding,) = findings_of(tmp_path, "date: 2026-11-26\n")
    assert finding.rule == "revision.date-in-future"
    assert finding.message == (
        "the revision is dated 2026-11-26, 1 day after the day of the check, 2026-11-25"
    )
    assert rules_of(tmp_path, "date: 2026-11-25\n") == []
