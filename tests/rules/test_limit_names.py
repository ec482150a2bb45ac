"""A slip in the name of a limit is found; a name of the author's own is not."""

from pathlib import Path

import pytest

from tests.rules.fragments import findings_of

MIX = (
    "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste at slow speed.\n"
    "    with: [mixer, timer]\n    limits: {{mixing time: 3 to 5 min, {}}}\n"
)


def hints(folder: Path, limit: str) -> list[str]:
    found = findings_of(folder, MIX.format(limit))
    return [f.hint for f in found if f.rule == "step.mistyped-limit"]


@pytest.mark.parametrize("name", ["rset time", "ret time", "restt time", "Rest tiem"])
def test_a_slip_is_found(name: str, tmp_path: Path) -> None:
    assert hints(tmp_path, f"{name}: 10 to 15 min") == ["did you mean `rest time`?"]


@pytest.mark.parametrize(
    "limit",
    [
        "rest time: 10 to 15 min",
        "test time: 10 to 15 min",  # another word
        "rest times: 10 to 15 min",  # several of them
        "ret time: {value: 2 to 3 mm, gauge: caliper}",  # another kind
        "dwell: 10 to 15 min",
    ],
)
def test_a_name_of_the_authors_own_is_none(limit: str, tmp_path: Path) -> None:
    assert hints(tmp_path, limit) == []
