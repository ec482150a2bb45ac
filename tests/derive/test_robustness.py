"""Whatever values a definition holds, deriving ends in numbers and gaps, and rules in findings."""

import math
from datetime import date
from functools import cache
from inspect import getmodule, getsource
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speccomp.derive import derive, explain_number
from speccomp.model.process import Process
from speccomp.model.resolve_process import resolve_process
from speccomp.quantities import KINDS, Kind, QuantityError, Toleranced, parse_toleranced
from speccomp.rules.facts import Facts
from speccomp.rules.run import check_rules
from speccomp.rules.table import RULES
from speccomp.source.project import load_sources
from speccomp.source.reader import Project
from tests.derive.editing import Place, edited, values_of
from tests.derive.project import BATCH, read_process
from tests.derive.test_by_volume import BULK, BY_VOLUME, CYLINDER, POURED

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
NUMBERS = ("0", "1", "2", "3", "-5", "0.001", "7.5", "26", "100", "1000", "99999", "1e-9", "1e12")
FORMS = ("{0} {u}", "{0} to {1} {u}", "at least {0} {u}", "at most {0} {u}", "{0} ± {1} {u}")
COUNTS = (0, 1, 2, 7, 60, 1000, 10**6, 10**12)
FLOATS = (0.0, 1.0, 0.5, -1.0, 1e-300, 1e300, math.nan, math.inf)
# The rules that read derived numbers.
ARITHMETIC = {
    name: rule
    for name, rule in RULES.items()
    if rule.check is not None and "facts.derived" in getsource(getmodule(rule.check) or derive)
}
DEFINITIONS = sorted(path.name for path in (DEMO / "definitions").glob("*.yaml"))


@cache
def demo(name: str) -> Process:
    sources = load_sources(Project(DEMO), f"definitions/{name}").value
    assert sources is not None
    process = resolve_process(sources).value
    assert process is not None
    return process


@cache
def batched() -> Process:
    return read_process(BATCH)


@cache
def poured() -> Process:
    return read_process(BY_VOLUME + POURED + BULK + CYLINDER)


@st.composite
def toleranced(draw: st.DrawFn, like: Toleranced, free: bool) -> Toleranced | None:
    kind = draw(st.sampled_from([like.kind] * len(Kind) + list(Kind))) if free else like.kind
    unit = draw(st.sampled_from(KINDS[kind].units))
    form = draw(st.sampled_from(FORMS))
    first, second = draw(st.tuples(st.sampled_from(NUMBERS), st.sampled_from(NUMBERS)))
    try:
        return parse_toleranced(form.format(first, second, u=unit), kind)
    except QuantityError:
        return draw(st.sampled_from([None, like]))


def may_be_missing(path: Place) -> bool:
    return path[-1] not in ("requirement", "parts")


def has_any_kind(path: Place) -> bool:
    """Tell whether the files let the author choose what a value is of."""
    return path[-1] in ("holds", "range") or (path[-1] == "requirement" and path[0] == "steps")


@st.composite
def edits(draw: st.DrawFn, process: Process) -> list[tuple[Place, object]]:
    places = list(values_of(process))
    found: list[tuple[Place, object]] = []
    for path, value in draw(st.lists(st.sampled_from(places), min_size=1, max_size=4)):
        if isinstance(value, Toleranced):
            new: object = draw(toleranced(value, has_any_kind(path)))
            if new is None and not may_be_missing(path):
                continue
        else:
            new = draw(st.sampled_from(COUNTS if isinstance(value, int) else FLOATS))
        found.append((path, new))
    return found


def spoilt(process: Process, changes: list[tuple[Place, object]]) -> Process:
    for path, value in changes:
        process = edited(process, path, value)
    return process


def every_rule_runs(process: Process) -> None:
    derived = derive(process)
    for name in derived.numbers:
        assert explain_number(derived, name, process.plant.units)
    findings = check_rules(Facts(process, date(2026, 11, 25), derived), ARITHMETIC)
    assert [f.message for f in findings if f.rule == "internal.rule-crashed"] == []
    assert all(gap.reason for gap in derived.gaps)


def test_the_rules_of_the_arithmetic_are_found() -> None:
    assert {"cure.steam", "weigh.window-empty", "sampling.plan-mismatch"} <= set(ARITHMETIC)


@pytest.mark.parametrize("name", DEFINITIONS)
def test_the_demo_has_numbers_and_no_impossible_value(name: str) -> None:
    derived = derive(demo(name))
    assert derived.numbers
    assert [gap.reason for gap in derived.gaps if gap.fault] == []
    every_rule_runs(demo(name))


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_spoilt_demo_still_gives_numbers_and_findings(data: st.DataObject) -> None:
    process = demo(data.draw(st.sampled_from(DEFINITIONS)))
    every_rule_runs(spoilt(process, data.draw(edits(process))))


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_spoilt_batch_still_gives_numbers_and_findings(data: st.DataObject) -> None:
    every_rule_runs(spoilt(batched(), data.draw(edits(batched()))))


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_spoilt_ratio_by_volume_still_gives_numbers_and_findings(data: st.DataObject) -> None:
    every_rule_runs(spoilt(poured(), data.draw(edits(poured()))))


def test_a_part_without_an_open_face_is_a_gap_and_no_error() -> None:
    process = demo("PD-131-wire-wound-resistor.yaml")
    derived = derive(edited(process, ("parts", 0, "open_faces"), 0))
    assert {gap.name for gap in derived.gaps if gap.fault} == {"curing", "curing-2"}
