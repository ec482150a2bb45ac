"""
The demo, mechanically: no false alarm as it stands; each caution that is taken away, moved behind
its step or weakened is missed, at the right place.
"""

import shutil
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from speccomp.cautions.coverage import Coverage, Verdict, build_coverage
from speccomp.derive import Derived, derive
from speccomp.derive.numbers import Ledger
from speccomp.derive.water import derive_water
from speccomp.findings import Finding, Severity
from speccomp.model.packs import Stands
from speccomp.model.process import Process
from speccomp.model.shared import Caution, Signal
from speccomp.pipeline import check_file
from speccomp.rules.facts import Facts
from speccomp.rules.run import check_rules
from speccomp.rules.table import RULES
from tests.rules.fragments import paste_cautions

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)
DEFINITIONS = sorted(path.name for path in (DEMO / "definitions").glob("*.yaml"))
OF_CAUTIONS = {name: rule for name, rule in RULES.items() if rule.family in ("caution", "hazard")}


@cache
def process_of(name: str) -> Process:
    process = check_file(DEMO / "definitions" / name, TODAY, DEMO).process
    assert process is not None
    return process


@cache
def coverage_of(name: str) -> Coverage:
    return covered(process_of(name))


def findings(process: Process) -> list[Finding]:
    # The rules about cautions look at the model only, so any derived numbers will do.
    facts = Facts(process, TODAY, derived_numbers(), covered(process))
    return list(check_rules(facts, OF_CAUTIONS))


def covered(process: Process) -> Coverage:
    water = derive_water(process.plant, Ledger())
    return build_coverage(process, water.boiling_point.value if water else None)


@cache
def derived_numbers() -> Derived:
    return derive(process_of(DEFINITIONS[0]))


def changed(process: Process, number: int, *changes: Caution) -> Process:
    """Return the definition with one caution replaced, or left out."""
    cautions = (*process.cautions[:number], *changes, *process.cautions[number + 1 :])
    return replace(process, cautions=cautions)


def places(name: str, caution: Caution) -> list[str]:
    """Return the steps that call for a caution of its topic and that it alone stands before."""
    return [
        row.place
        for row in coverage_of(name).of_topic(caution.topic)
        if row.verdict is Verdict.COVERED and row.caution is caution
    ]


def steps_of(found: list[Finding]) -> list[str]:
    """Return the steps that findings are about, empty for up front."""
    return [step for f in found for step in f.subject.rpartition("/")[0].split(",")]


def each_caution() -> Iterator[object]:
    for name in DEFINITIONS:
        for number, caution in enumerate(process_of(name).cautions):
            yield pytest.param(name, number, id=f"{name[:6]}-{number}-{caution.topic}")


EACH = list(each_caution())


@pytest.mark.parametrize("name", DEFINITIONS)
def test_no_false_alarm(name: str) -> None:
    assert [f"{f.rule} at {f.subject}: {f.message}" for f in findings(process_of(name))] == []


@pytest.mark.parametrize(("name", "number"), EACH)
def test_without_it_it_is_missing_at_the_right_place(name: str, number: int) -> None:
    process = process_of(name)
    caution = process.cautions[number]
    answered = places(name, caution)
    assert answered, "nothing in the demo stands for show"
    found = [f for f in findings(changed(process, number)) if f.rule == "caution.missing"]
    mine = [f for f in found if f.subject.rpartition("/")[2] == caution.topic]
    assert mine
    assert len(mine) == len(found)
    assert {f.severity for f in mine} == {Severity.ERROR}
    steps = {step.id: step for step in process.steps}
    if answered == [""]:
        assert [f.subject for f in mine] == [caution.topic]
        assert f"topic: {caution.topic}" in mine[0].paste
        return
    asked = {place for f in mine for place in answered if place in f.paste}
    assert asked == set(answered)
    first = min(answered, key=list(steps).index)
    assert mine[0].span == steps[first].place
    assert mine[0].span.file.endswith(name)


@pytest.mark.parametrize(("name", "number"), EACH)
def test_behind_its_step_it_is_late(name: str, number: int) -> None:
    process = process_of(name)
    caution = process.cautions[number]
    ids = [step.id for step in process.steps]
    answered = places(name, caution)
    behind = ids[-1] if answered == [""] else ids[max(ids.index(place) for place in answered) + 1]
    moved = replace(caution, before=(behind,))
    found = findings(changed(process, number, moved))
    late = [f for f in found if f.rule == "caution.late"]
    if any(c.topic == caution.topic and c is not caution for c in process.cautions):
        # Where another one of the topic stands earlier, this one is missing rather than late.
        late = [f for f in found if f.rule in ("caution.late", "caution.missing")]
    assert {f.subject.rpartition("/")[2] for f in late} == {caution.topic}
    assert set(steps_of(late)) >= set(answered)


@pytest.mark.parametrize(("name", "number"), EACH)
def test_with_a_weaker_word_it_is_too_weak(name: str, number: int) -> None:
    process = process_of(name)
    caution = process.cautions[number]
    if caution.signal is Signal.NOTICE:
        # There is no weaker word; for people's cautions notice is the weakest there is.
        assert not process.plant.topics[caution.topic].about_people
        return
    weaker = list(Signal)[caution.signal.rank + 1]
    found = findings(changed(process, number, replace(caution, signal=weaker)))
    weak = [f for f in found if f.rule == "caution.too-weak"]
    assert [f.subject.rpartition("/")[2] for f in weak] == [caution.topic]
    assert sorted(steps_of(weak)) == sorted(places(name, caution))
    assert all(f.span == caution.span for f in weak)


@pytest.mark.parametrize("name", DEFINITIONS)
def test_the_pasted_lines_cure_a_definition_without_any_caution(name: str, tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    shutil.copytree(DEMO, folder)
    path = folder / "definitions" / name
    lines = path.read_text(encoding="utf-8").splitlines()
    start = lines.index("cautions:")
    assert start > lines.index("steps:"), "the cautions end the file"
    path.write_text("\n".join(lines[:start]) + "\n", encoding="utf-8")
    bare = check_file(path, TODAY, folder)
    assert {f.rule for f in bare.findings if f.severity is Severity.ERROR} == {"caution.missing"}
    assert paste_cautions(path, bare)
    cured = check_file(path, TODAY, folder)
    # Each is pasted before its own step; which of many stands earlier is for a person to choose.
    assert {f.rule for f in cured.findings if f.rule.startswith("caution.")} <= {"caution.too-many"}


@pytest.mark.parametrize("name", DEFINITIONS)
def test_the_pasted_lines_are_indented_for_their_place(name: str) -> None:
    process = process_of(name)
    for number, caution in enumerate(process.cautions):
        (finding, *_) = [
            f
            for f in findings(changed(process, number))
            if f.rule == "caution.missing" and f.subject.endswith(caution.topic)
        ]
        first, *rest = finding.paste.splitlines()
        assert first.startswith("  - topic: ")
        assert all(line.startswith("    ") for line in rest)


def test_up_front_means_without_a_step() -> None:
    topics = process_of(DEFINITIONS[0]).plant.topics
    for name in DEFINITIONS:
        for caution in process_of(name).cautions:
            up_front = topics[caution.topic].stands is Stands.UP_FRONT
            assert up_front is (not caution.before), (name, caution.topic)
