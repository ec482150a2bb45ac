"""What a later revision marks with a change bar: its steps, control-plan rows and sections."""

from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.compare.change import Change, Comparison
from speccomp.compare.paths import path_after
from speccomp.model.process import Process

_SECTIONS = {
    "purpose": "purpose",
    "scope": "scope",
    "parts": "parts",
    "batch": "batch",
    "materials": "materials",
    "ratio": "ratio",
    "protective_gear": "gear",
    "reactions": "reactions",
    "records": "records",
    "references": "references",
    "waivers": "waived",
}
_ROWS_OF = {"temperature": ("temperature",), "time": ("time",), "rate": ("rate",)}
_OF_ROWS = ("title", "equipment", "operation", "responsible", "reaction")


@dataclass(frozen=True, slots=True)
class Marks:
    """
    Ids of steps and of limits of the later revision that changed, and names of sections.

    A step behind a removed one counts as changed too, since nothing else can show the gap.
    """

    steps: frozenset[str] = frozenset()
    rows: frozenset[str] = frozenset()
    sections: frozenset[str] = frozenset()


def build_marks(comparison: Comparison) -> Marks:
    """Return what to mark in the documents of the later revision."""
    found = {
        item
        for change in comparison.changes
        for path in change.covers
        for item in _marked(comparison, change, path_after(path))
    }
    return Marks(*(frozenset(n for kind, n in found if kind == one) for one in _KINDS))


_KINDS = ("step", "row", "section")
_Mark = tuple[str, str]


def _marked(comparison: Comparison, change: Change, path: tuple[str, ...]) -> Iterator[_Mark]:
    process = comparison.after
    match path:
        case ("steps", "#order"):
            yield "step", change.subject
        case ("steps", step, *rest):
            yield from _step(comparison, step, rest)
        case ("cautions", *_):
            yield from _caution(comparison, change)
        case ("ratio", *_):
            yield "section", "ratio"
            yield from _ratio_rows(process)
        case ("plant", "equipment", item, *rest):
            yield from _equipment(process, item, rest)
        case ("reactions" | "records" as section, item, *rest):
            yield "section", section
            yield from _named_in_rows(process, section, item, rest)
        case (section, *_) if section in _SECTIONS:
            yield "section", _SECTIONS[section]


def _step(comparison: Comparison, ident: str, rest: list[str]) -> Iterator[_Mark]:
    steps = {step.id: step for step in comparison.after.steps}
    if ident not in steps:
        yield from _behind(comparison, ident)
        return
    yield "step", ident
    rows = [item.id for item in steps[ident].characteristics]
    match rest:
        case ("characteristics", item, *_):
            yield from (("row", row) for row in rows if row == f"{ident}/{item}")
        case ("profile", segment, *fields):
            number, field = segment.rpartition("-")[2], fields[0] if fields else ""
            ends = _ROWS_OF.get(field.removeprefix("validated_"), ("",))
            yield from (
                ("row", row)
                for row in rows
                if row.startswith(f"{ident}/{number}-") and row.endswith(ends)
            )
        case _ if not rest or rest[0] in _OF_ROWS:
            yield from (("row", row) for row in rows)


def _behind(comparison: Comparison, gone: str) -> Iterator[_Mark]:
    """Mark the first step of the later revision that stood behind one that is gone."""
    now = {step.id for step in comparison.after.steps}
    ids = [step.id for step in comparison.before.steps]
    behind = ids[ids.index(gone) + 1 :] if gone in ids else []
    following = next((ident for ident in behind if ident in now), None)
    if following is not None:
        yield "step", following


def _caution(comparison: Comparison, change: Change) -> Iterator[_Mark]:
    """Mark the steps before which a caution of the topic stands or stood, or the front."""
    topic = change.subject.partition("#")[0]
    steps = {step.id: step.id for step in comparison.after.steps}
    for step in reversed(comparison.after.steps):
        if step.block:
            steps[step.id.split(".")[0]] = step.id
    for process in (comparison.before, comparison.after):
        for caution in process.cautions:
            if caution.topic == topic:
                yield from (("step", steps[name]) for name in caution.before if name in steps)
                if not caution.before:
                    yield "section", "cautions"


def _ratio_rows(process: Process) -> Iterator[_Mark]:
    controls = [
        part.characteristic.control
        for part in (process.ratio.parts if process.ratio else ())
        if part.characteristic
    ]
    for step, item in process.characteristics():
        if any(item.control is control for control in controls):
            yield "row", item.id
            yield "step", step.id


def _equipment(process: Process, item: str, rest: list[str]) -> Iterator[_Mark]:
    """Mark the table of equipment; steps and rows print name and tag only."""
    for step in process.steps:
        gauges = [limit for limit in step.characteristics if limit.control.gauge]
        rows = [
            limit.id for limit in gauges if limit.control.gauge and limit.control.gauge.id == item
        ]
        used = any(one.id == item for one in step.equipment)
        if rows or used:
            yield "section", "equipment"
        if (rows or used) and rest[:1] in (["name"], ["tag"]):
            yield "step", step.id
            marked = [limit.id for limit in step.characteristics] if used else rows
            yield from (("row", row) for row in marked)


def _named_in_rows(process: Process, section: str, ident: str, rest: list[str]) -> Iterator[_Mark]:
    """Mark the steps that show a reaction plan or record, and the rows that print its title."""
    name = {"reactions": "reaction", "records": "record"}[section]
    for step, item in process.characteristics():
        setting = getattr(item.control, name)
        if setting is not None and setting.value == ident:
            if section == "reactions":
                yield "step", step.id
            if rest[:1] in ([], ["title"]):
                yield "row", item.id
