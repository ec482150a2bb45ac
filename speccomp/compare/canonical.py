"""
The canonical form of a definition: everything its model says, as nested values with paths.

It is made by walking the model, so that a field that is new to the model is in it without
further work. Items of a list are called by what identifies them; places in files stay out of it.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from datetime import date
from enum import Enum
from typing import TypeAlias

from speccomp.compare.paths import Pair, Part, Path, part_after
from speccomp.findings import Span
from speccomp.model.operations import Operation
from speccomp.model.plant import Equipment, Plant
from speccomp.model.process import (
    Characteristic,
    Hold,
    Process,
    Ramp,
    Ratio,
    RatioPart,
    Step,
    Waiver,
)
from speccomp.model.shared import NOWHERE, Caution, Setting
from speccomp.quantities import Toleranced
from speccomp.source.reader import SourceImage

Leaf: TypeAlias = str | tuple[str, ...] | Toleranced | Setting | None
Node: TypeAlias = "Leaf | dict[Part, Node]"
Branch: TypeAlias = dict[Part, Node]

# What identifies an item of a list, where the matching of the two revisions does not say.
_KEYS = (
    "id",
    "number",
    "material",
    "name",
    "substance",
    "revision",
    "finding",
    "topic",
    "at",
    "equipment",
)


@dataclass(slots=True)
class Names:
    """
    What the items of lists are called, by the path of the list and the index.

    `later` leads from the ids of steps to those in the later revision. `materials` has the parts
    of paths of materials that are called otherwise, by what this revision calls them. `shared` are
    the caution topics that are one and the same object in both, as the built-in ones are.
    """

    parts: dict[tuple[Path, int], Part] = field(default_factory=dict)
    later: dict[str, str] = field(default_factory=dict)
    materials: Mapping[str, Pair] = field(default_factory=dict)
    shared: frozenset[str] = frozenset()


class Items(dict[Part, Node]):
    """The items of a list in their order, by what they are called."""


@dataclass(slots=True)
class Canonical:
    """
    The canonical form of one revision.

    `spans` holds the places that the model knows, by path.
    """

    root: Branch = field(default_factory=dict)
    spans: dict[Path, Span] = field(default_factory=dict)

    def get(self, path: Path) -> Node:
        """Return the value at a path; None where there is none."""
        node: Node = self.root
        for part in path:
            node = node.get(part) if isinstance(node, dict) else None
        return node

    def text(self, path: Path) -> str:
        """Return the text at a path; empty where there is none."""
        node = self.get(path)
        return node.value if isinstance(node, Setting) else node if isinstance(node, str) else ""

    def branch(self, path: Path) -> Branch:
        """Return the values under a path by their names; empty where there are none."""
        node = self.get(path)
        return node if isinstance(node, dict) else {}

    def span(self, path: Path) -> Span | None:
        """Return the place of a value, or of the nearest one around it that has a place."""
        for length in range(len(path), -1, -1):
            if path[:length] in self.spans:
                return self.spans[path[:length]]
        return None


def build_canonical(process: Process, names: Names) -> Canonical:
    """Return the canonical form of a definition; `names` comes from matching it with another."""
    form = Canonical()
    walk = _Walk(process, names, form)
    walk.note(process, ())
    for key, span in process.spans.items():
        form.spans[(key,)] = span
    form.root = walk.fields(process, ())
    return form


def build_item(process: Process, item: Step | Characteristic) -> Branch:
    """Return the canonical form of one step or limit by itself."""
    return _Walk(process, Names(), Canonical()).fields(item, ())


@dataclass(slots=True)
class _Walk:
    process: Process
    names: Names
    form: Canonical

    def fields(self, item: object, path: Path) -> Branch:
        """Return the values of a model object by their names."""
        return {name: self.node(value, (*path, name)) for name, value in self._values(item)}

    def note(self, item: object, path: Path) -> None:
        """Keep the place of a model object."""
        span = getattr(item, "span", NOWHERE)
        if span != NOWHERE:
            self.form.spans[path] = span

    def node(self, value: object, path: Path) -> Node:
        """Return the canonical form of any value of the model."""
        self.note(value, path)
        if isinstance(value, Toleranced | Setting):
            return value
        if isinstance(value, Mapping):
            named = self.names.materials if path == ("materials",) else {}
            parts = {key: named.get(str(key), str(key)) for key in value}
            return {part: self.node(value[key], (*path, part)) for key, part in parts.items()}
        if isinstance(value, tuple):
            return self._list(value, path)
        if is_dataclass(value) and not isinstance(value, Operation):
            return self.fields(value, path)
        return _text(value)

    def _list(self, values: tuple[object, ...], path: Path) -> Node:
        if values and all(isinstance(value, str | int) for value in values):
            return tuple(str(value) for value in values)
        items = Items()
        for index, value in enumerate(values):
            part = self.names.parts.get((path, index)) or key_of(value)
            if path == ("ratio", "parts"):
                part = self.names.materials.get(key_of(value), part)
            free, count = part, 2
            while free in items:
                free, count = f"{part_after(part)}#{count}", count + 1
            items[free] = self.node(value, (*path, free))
        return items

    def _values(self, item: object) -> Iterator[tuple[str, object]]:
        """Yield the fields of a model object, what it only points to by name."""
        match item:
            case Step():
                yield from _step_values(item, self.process.ratio, self.names.materials)
            case Characteristic():
                yield "name", item.name
                yield from _limit_values(item)
            case Hold() | Ramp():
                yield from _segment_values(item)
            case RatioPart():
                yield "parts", item.parts
                if item.characteristic is not None:
                    yield "control", item.characteristic.control
            case SourceImage():
                yield "media_type", item.media_type
                yield "sha512", item.sha512
            case Caution() | Waiver():
                yield from _placed_values(item, self.names.later)
            case Plant():
                yield from _plant_values(item, self.process, self.names.shared)
            case _:
                for name in _field_names(item):
                    yield name, _pointed_at(getattr(item, name))


def _text(value: object) -> str | None:
    """Return a single value as text; None for nothing."""
    match value:
        case None:
            return None
        case bool():
            return "yes" if value else "no"
        case Operation():
            return value.name
        case date():
            return value.isoformat()
        case Enum():
            return str(value.value) or None
    return str(value) or None


def key_of(item: object) -> str:
    """Return what identifies an item of a list."""
    if isinstance(item, Hold | Ramp):
        return type(item).__name__.lower()
    if isinstance(item, Characteristic):
        return item.id.rsplit("/", 1)[-1]
    source = getattr(item, "source", None)
    if isinstance(source, SourceImage):
        return source.path
    return next((str(text) for key in _KEYS if (text := getattr(item, key, ""))), "item")


def _field_names(item: object) -> Iterator[str]:
    if is_dataclass(item):
        for entry in fields(item):
            if entry.compare:
                yield entry.name


def _pointed_at(value: object) -> object:
    """Return the id of a piece of equipment that something points to."""
    return value.id if isinstance(value, Equipment) else value


def _plant_values(
    plant: Plant, process: Process, shared: frozenset[str]
) -> Iterator[tuple[str, object]]:
    """Yield a plant file; plans and records that are in force stand in the definition."""
    in_force = {"reactions": process.reactions, "records": process.records}
    for name in _field_names(plant):
        value = getattr(plant, name)
        if name in in_force:
            yield name, {k: item for k, item in value.items() if in_force[name].get(k) is not item}
        elif name == "topics":
            yield name, {k: item for k, item in value.items() if k not in shared}
        else:
            yield name, value


def _step_values(
    step: Step, ratio: Ratio | None, materials: Mapping[str, Pair]
) -> Iterator[tuple[str, object]]:
    """Yield a step; limits of its profile and of the ratio stand there, not here."""
    for name in _field_names(step):
        value = getattr(step, name)
        match name:
            case "material":
                key = step.material.key if step.material else None
                yield name, part_after(materials.get(key, key)) if key else None
            case "equipment":
                yield name, tuple(item.id for item in step.equipment)
            case "characteristics":
                yield name, own_limits(step, ratio)
            case _:
                yield name, value


def own_limits(step: Step, ratio: Ratio | None) -> tuple[Characteristic, ...]:
    """Return the limits of a step without those of its profile and of the ratio."""
    profile = [id(limit) for segment in step.profile for limit in limits_of_segment(segment)]
    return tuple(
        item
        for item in step.characteristics
        if id(item) not in profile and not _is_ratio(item, ratio)
    )


def _placed_values(
    item: Caution | Waiver, later: Mapping[str, str]
) -> Iterator[tuple[str, object]]:
    """Yield a caution or a waiver; the steps it names are called as in the later revision."""
    for name in _field_names(item):
        value = getattr(item, name)
        if name == "before":
            yield name, tuple(later.get(step, step) for step in value)
        elif name == "at":
            yield name, later_place(value, later)
        else:
            yield name, value


def later_place(place: str, later: Mapping[str, str]) -> str:
    """Return the id of a step or of something in a step as the later revision has it."""
    step, slash, rest = place.partition("/")
    return f"{later.get(step, step)}{slash}{rest}"


def _is_ratio(item: Characteristic, ratio: Ratio | None) -> bool:
    """Tell whether a limit of a step is one of the ratio; those share its control."""
    limits = (part.characteristic for part in ratio.parts) if ratio else ()
    return any(limit is not None and limit.control is item.control for limit in limits)


def _limit_values(item: Characteristic) -> Iterator[tuple[str, object]]:
    for name in _field_names(item):
        if name not in ("id", "name"):
            yield name, getattr(item, name)


def limits_of_segment(segment: Hold | Ramp) -> tuple[Characteristic, ...]:
    """Return the one or two limits of a segment of a profile, temperature first."""
    pair = (segment.at, segment.time) if isinstance(segment, Hold) else (segment.to, segment.rate)
    return tuple(limit for limit in pair if limit is not None)


def _segment_values(segment: Hold | Ramp) -> Iterator[tuple[str, object]]:
    """Yield type, limits and control of a segment; its limits share the control."""
    is_hold = isinstance(segment, Hold)
    yield "type", "hold" if is_hold else "ramp"
    pair = (segment.at, segment.time) if isinstance(segment, Hold) else (segment.to, segment.rate)
    for name, limit in zip(("temperature", "time" if is_hold else "rate"), pair, strict=True):
        yield name, limit.requirement if limit else None
        yield f"validated_{name}", getattr(limit, "validated", None)
    limits = limits_of_segment(segment)
    gauge = next((limit.control.gauge for limit in limits if limit.control.gauge), None)
    if limits:
        yield "control", replace(limits[0].control, gauge=gauge)
