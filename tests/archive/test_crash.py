"""A change of the archive is made whole or not at all, whatever happens to the process or disk."""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.archive.crash_child import KILLED, MADE_ALL_THE_SAME, REFUSED, SCENARIOS

ROOT = Path(__file__).resolve().parents[2]
MADE = {
    "first_release": ("release", "PD-2", "-"),
    "next_release": ("release", "PD-1", "A"),
    "withdrawal": ("withdraw", "PD-1", "-"),
    "approval": ("approve", "PD-1", "B"),
    "recovery": ("release", "PD-1", "A"),
}
CHANGES = sorted(set(SCENARIOS) - {"recovery"})
BEFORE = [("start", "", ""), ("approve", "PD-1", "-"), ("release", "PD-1", "-")]


def attempts(scenario: str, folder: Path, fault: str) -> list[dict[str, Any]]:
    command = [sys.executable, "-m", "tests.archive.crash_child", scenario, str(folder), fault]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]


def check_end(scenario: str, result: dict[str, Any], *, made: bool) -> None:
    """The change is there once or not at all, nothing else is, and the archive is sound."""
    entries = [tuple(entry) for entry in result["entries"]]
    noted = [entry for entry in entries if entry[0] == "recover"]
    told = [entry for entry in entries if entry[0] != "recover"]
    change = [MADE[scenario]] if made else []
    assert told == [*BEFORE, *change, ("release", "PD-1", "C")]
    assert len(noted) <= 1
    for moment in ("after", "next"):
        assert result[moment]["findings"] == []
        assert not result[moment]["staging"]
    on_first = 1 + (made and scenario not in {"first_release", "approval"})
    assert result["after"]["versions"] == {
        "PD-1": on_first,
        "PD-2": int(made and scenario == "first_release"),
    }


@pytest.mark.parametrize("scenario", CHANGES)
def test_a_process_killed_at_any_file_operation_leaves_the_old_or_the_new_state(
    scenario: str, memory: Path
) -> None:
    results = attempts(scenario, memory, "kill")
    assert {result["ended"] for result in results} == {0, KILLED}
    new = []
    for result in results:
        before = result["before"]
        assert before["findings"] == (["archive.interrupted"] if before["outcome"] else [])
        assert result["recovered"] == before["outcome"]
        new.append(before["counts"] or MADE[scenario] in map(tuple, result["entries"]))
        check_end(scenario, result, made=new[-1])
    assert new == sorted(new), "once the change counts, it stays"
    assert new.count(False) > 20
    assert new.count(True) > 20


@pytest.mark.parametrize("scenario", CHANGES)
def test_a_disk_that_is_full_at_any_file_operation_changes_nothing(
    scenario: str, memory: Path
) -> None:
    results = attempts(scenario, memory, "full")
    assert {result["ended"] for result in results} == {0, REFUSED, MADE_ALL_THE_SAME}
    for result in results:
        made = result["ended"] != REFUSED
        before = result["before"]
        assert before["findings"] == (["archive.interrupted"] if before["outcome"] else [])
        assert made or before["outcome"] != "completed", "what was refused must not come later"
        check_end(scenario, result, made=made)


def test_a_recovery_killed_at_any_file_operation_is_done_by_the_next(memory: Path) -> None:
    results = attempts("recovery", memory, "kill")
    assert {result["ended"] for result in results} == {0, KILLED}
    for result in results:
        check_end("recovery", result, made=True)


def test_a_recovery_on_a_full_disk_is_done_by_the_next(memory: Path) -> None:
    for result in attempts("recovery", memory, "full"):
        taken_back = result["ended"] == REFUSED and MADE["recovery"] not in map(
            tuple, result["entries"]
        )
        check_end("recovery", result, made=not taken_back)
