"""Each topic of the built-in packs is called for in its situation, and not without it."""

from pathlib import Path

import pytest

from speccomp.cautions.coverage import Coverage, Verdict, build_coverage
from speccomp.derive import derive
from speccomp.model.resolve_packs import built_in_topics
from speccomp.pipeline import check_file
from tests.cautions.situations import SITUATIONS, Situation, step
from tests.rules.fragments import TODAY, write_project


def coverage(folder: Path, fragment: str) -> Coverage:
    checked = check_file(write_project(folder, fragment), TODAY, folder)
    assert checked.process is not None, [f"{f.rule}: {f.message}" for f in checked.findings]
    return build_coverage(checked.process, derive(checked.process).boiling_point)


def test_every_topic_has_its_situation() -> None:
    assert set(SITUATIONS) == set(built_in_topics())


@pytest.mark.parametrize("topic", SITUATIONS)
def test_a_topic_is_called_for(topic: str, tmp_path: Path) -> None:
    situation: Situation = SITUATIONS[topic]
    rows = coverage(tmp_path, situation.fragment).of_topic(topic)
    found = {(row.place, row.signal.value) for row in rows}
    assert (situation.place, situation.word) in found
    for row in rows:
        assert row.facts
        assert all(fact.text and fact.span.file for fact in row.facts)
        assert row.verdict in (Verdict.MISSING, Verdict.LISTED, Verdict.PRINTED)


def test_a_definition_of_nothing_but_looking_calls_for_nothing(tmp_path: Path) -> None:
    steps = "steps:\n" + step("inspect", "Look at it.")
    found = coverage(tmp_path, f"{steps}\n# liquid.yaml\nname: Harmless\nmaterial: harmless\n")
    assert [row for row in found.rows if row.verdict is Verdict.MISSING] == []
