"""Any edit of a demo definition is reported, restating weighs nothing, and all of it mirrors."""

import copy
import json
import re
import shutil
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from speccomp.compare.change import Comparison, mirrored
from speccomp.compare.compare import compare
from speccomp.compare.significance import Significance
from speccomp.findings import has_errors
from speccomp.model.process import Process
from speccomp.model.resolve_process import resolve_process
from speccomp.quantities import KINDS, Form, Kind, QuantityError, Toleranced, format_toleranced
from speccomp.schema import check_files
from speccomp.source.project import Sources, load_sources
from speccomp.source.reader import Project
from speccomp.source.tree import Path as FilePath
from speccomp.source.tree import Plain

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
DEFINITIONS = sorted(path.name for path in (DEMO / "definitions").glob("*.yaml"))
NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?|true|false")

Loaded = tuple[Process, Sources]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("demo") / "project"
    shutil.copytree(DEMO, target)
    return target


def load(folder: Path, name: str) -> Loaded | None:
    """Read a definition; nothing where a stage before the rules finds errors."""
    loaded = load_sources(Project(folder), f"definitions/{name}")
    if loaded.value is None or has_errors(loaded.findings) or has_errors(check_files(loaded.value)):
        return None
    outcome = resolve_process(loaded.value)
    if outcome.value is None or has_errors(outcome.findings):
        return None
    return outcome.value, loaded.value


@cache
def load_once(folder: Path, name: str) -> Loaded:
    loaded = load(folder, name)
    assert loaded is not None
    return loaded


def written(data: Plain) -> str:
    """Return plain data as text that reads back as the same: numbers bare, other texts quoted."""
    if isinstance(data, dict):
        return f"{{{', '.join(f'{json.dumps(k)}: {written(v)}' for k, v in data.items())}}}"
    if isinstance(data, list):
        return f"[{', '.join(written(item) for item in data)}]"
    return data if NUMBER.fullmatch(data) else json.dumps(data, ensure_ascii=False)


def nodes(data: Plain, path: FilePath = ()) -> Iterator[tuple[FilePath, Plain]]:
    yield path, data
    if isinstance(data, dict):
        for key, value in data.items():
            yield from nodes(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from nodes(value, (*path, index))


def other(text: str) -> str:
    if text in ("true", "false"):
        return {"true": "false", "false": "true"}[text]
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return f"{int(text[:4]) + 1}{text[4:]}"
    numbers = list(re.finditer(r"\d+", text))
    if not numbers:
        return f"{text} x"
    last = numbers[-1]
    return f"{text[: last.start()]}{int(last[0]) + 1}{text[last.end() :]}"


def edited(data: Plain, path: FilePath, what: str) -> Plain:
    """Return a copy of plain data with one edit at the item or value that a path leads to."""
    result = copy.deepcopy(data)
    inner: Any = result
    for part in path[:-1]:
        inner = inner[part]
    last: Any = path[-1]
    match what:
        case "drop":
            del inner[last]
        case "double":
            inner.insert(last, copy.deepcopy(inner[last]))
        case "swap":
            inner[last], inner[last - 1] = inner[last - 1], inner[last]
        case "change":
            inner[last] = other(inner[last])
    return result


def edits(data: Plain) -> list[tuple[str, FilePath]]:
    """Return all edits that make sense: each item dropped, doubled, swapped, each text changed."""
    found: list[tuple[str, FilePath]] = []
    for path, node in nodes(data):
        if not path:
            continue
        found.append(("drop", path))
        if isinstance(path[-1], int):
            found.append(("double", path))
            if path[-1] > 0:
                found.append(("swap", path))
        if isinstance(node, str):
            found.append(("change", path))
    return found


@given(st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_edit_is_reported(folder: Path, data: st.DataObject) -> None:
    name = data.draw(st.sampled_from(DEFINITIONS))
    process, sources = load_once(folder, name)
    cards = [file for file in sources.trees if file.startswith("materials/")]
    file = data.draw(st.sampled_from([*(sources.main.file,) * 3, *cards]))
    before = sources.trees[file].data
    possible = edits(before)
    what, path = possible[data.draw(st.integers(0, len(possible) - 1))]
    after = edited(before, path, what)
    if before == after:
        return
    text = (folder / file).read_text(encoding="utf-8")
    (folder / file).write_text(written(after), encoding="utf-8")
    try:
        loaded = load(folder, name)
    finally:
        (folder / file).write_text(text, encoding="utf-8")
    if loaded is None:
        return
    there = compare(process, loaded[0], (sources, loaded[1]))
    # A value that is dropped and was what counts without it says nothing; the model tells.
    says_nothing = what == "drop" and loaded[0] == process
    assert there.changes or says_nothing, (name, file, what, path)
    check_mirror(there)


def check_mirror(there: Comparison) -> None:
    """Hold the exchanged comparison to the mirrored changes."""
    back = compare(there.after, there.before)

    def bare(comparison: Comparison, *, mirror: bool) -> list[str]:
        kept = (c for c in comparison.changes if c.covers[0][0] not in ("files", "blocks"))
        changes = (mirrored(change) if mirror else change for change in kept)
        return sorted(
            repr((c.kind, c.before, c.after, sorted(map(repr, c.covers)))) for c in changes
        )

    assert bare(back, mirror=False) == bare(there, mirror=True)


UNITS: dict[Kind, tuple[str, ...]] = {
    Kind.TIME: ("s", "min", "h"),
    Kind.MASS: ("mg", "g", "kg"),
    Kind.LENGTH: ("µm", "mm", "m"),
    Kind.TEMPERATURE: ("degC", "degF"),
    Kind.TEMPERATURE_DIFFERENCE: ("K", "degF"),
    Kind.PRESSURE: ("Pa", "kPa", "hPa"),
    Kind.VOLUME: ("mm3", "cm3", "L"),
    Kind.DENSITY: ("g/cm3", "kg/m3"),
}


def exact(value: Fraction) -> Decimal | None:
    """Return a fraction as a decimal where it has one."""
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    return Decimal(value.numerator) / Decimal(value.denominator) if rest == 1 else None


def restated(value: Toleranced, unit: str) -> Toleranced:
    """Return a value in another unit, where its numbers have exact decimals there."""
    known = KINDS[value.kind].units
    if unit == value.unit or unit not in known or value.has_computed_limits:
        return value
    numbers: dict[str, Decimal | None] = {}
    try:
        zero = value.exact_in(Decimal(0), unit)
        for name in ("target", "lower", "upper", "plus", "minus"):
            number = getattr(value, name)
            offset = zero if name in ("plus", "minus") else 0
            numbers[name] = None if number is None else exact(value.exact_in(number, unit) - offset)
            if number is not None and numbers[name] is None:
                return value
    except QuantityError:
        return value
    tolerance = unit if value.form is Form.PLUS_MINUS else ""
    made = replace(value, unit=unit, tolerance_unit=tolerance, text="", **numbers)  # type: ignore
    return replace(made, text=format_toleranced(made))


def rebuilt(item: Any, picks: str, memo: dict[int, tuple[Any, Any]]) -> Any:
    """Return a copy of a model with restated values; what is shared in it stays shared."""
    if id(item) in memo:
        return memo[id(item)][1]
    made = item
    if isinstance(item, Toleranced):
        units = UNITS.get(item.kind, ())
        pick = ord(picks[len(memo) % len(picks)])
        made = restated(item, units[pick % len(units)]) if units else item
    elif isinstance(item, tuple):
        made = tuple(rebuilt(one, picks, memo) for one in item)
    elif isinstance(item, dict):
        made = {key: rebuilt(one, picks, memo) for key, one in item.items()}
    elif is_dataclass(item) and not isinstance(item, type):
        values = {entry.name: getattr(item, entry.name) for entry in fields(item) if entry.init}
        new = {name: rebuilt(value, picks, memo) for name, value in values.items()}
        if any(new[name] is not values[name] for name in values):
            made = replace(item, **new)
    memo[id(item)] = (item, made)
    return made


def with_restated(process: Process, picks: str) -> Process:
    """Return a process with its values in other units; the built-in topics stay as they are."""
    topics = {id(process.plant.topics): (process.plant.topics, process.plant.topics)}
    made: Process = rebuilt(process, picks, topics)
    return made


@given(st.sampled_from(DEFINITIONS), st.text("abcdef", min_size=7, max_size=31))
@settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck))
def test_restating_is_never_more_than_document_only(folder: Path, name: str, picks: str) -> None:
    process, _ = load_once(folder, name)
    there = compare(process, with_restated(process, picks))
    for change in there.changes:
        assert change.significance is Significance.DOCUMENT, (change.title, change.kind)
    check_mirror(there)


def test_restating_does_restate(folder: Path) -> None:
    process, _ = load_once(folder, DEFINITIONS[0])
    there = compare(process, with_restated(process, "a"))
    assert len([change for change in there.changes if change.kind == "restated"]) > 5


@pytest.mark.parametrize("name", DEFINITIONS)
def test_a_definition_does_not_differ_from_itself(folder: Path, name: str) -> None:
    process, sources = load_once(folder, name)
    again = load(folder, name)
    assert again is not None
    assert compare(process, again[0], (sources, again[1])).changes == ()
