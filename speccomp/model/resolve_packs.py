"""Read caution packs: those of the package, and a plant's own, which may only tighten them."""

import json
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from speccomp.findings import Finding
from speccomp.model.node import Node
from speccomp.model.packs import (
    Answer,
    Held,
    Printed,
    Situation,
    Stands,
    Topic,
    loosened,
    tightened,
)
from speccomp.model.shared import Signal
from speccomp.quantities import Kind, Toleranced
from speccomp.resources import resource_folder
from speccomp.source.tree import Plain, Tree

BUILT_IN = ("people", "product")
"""The packs of the package, in `packs/`."""

_TEXTS = ("title", "hazard", "consequence", "avoid", "source")
_NEEDED = (*_TEXTS, "signal", "stands", "when")
_VALUES = {
    "temperature": Kind.TEMPERATURE,
    "hold": Kind.TIME,
    "since_mixing": Kind.TIME,
    "pressure": Kind.PRESSURE,
    "voltage": Kind.VOLTAGE,
    "lifted": Kind.MASS,
    "batch": Kind.MASS,
    "at_least": Kind.FRACTION,
    "amount": Kind.VOLUME,
}
# Lists are called in the singular where they are written, as each item is one of them.
_PLURALS = {
    "operation": "operations",
    "feature": "features",
    "limit": "limits",
    "form": "forms",
    "family": "families",
    "hazard": "hazards",
}


@cache
def built_in_topics() -> Mapping[str, Topic]:
    """
    Return the topics of the built-in packs by id.

    Errors: OSError where the installation is incomplete, ValueError where a pack is faulty.
    """
    topics: dict[str, Topic] = {}
    for name in BUILT_IN:
        found: list[Finding] = []
        tree = Tree(f"{name}.yaml", "", shipped_data(name), {})
        topics.update(_read(Node(tree, found), topics))
        if found:
            raise ValueError(f"the pack {name} is faulty: {found[0].message}")
    return topics


@cache
def _shipped() -> dict[str, Plain]:
    data: dict[str, Plain] = json.loads(
        (resource_folder("packs") / "compiled.json").read_text(encoding="utf-8")
    )
    return data


def shipped_data(name: str) -> Plain:
    """
    Return the data of a file of `packs/` by its name without ending.

    It is read from `compiled.json`, which holds what the YAML files say and loads at once.
    """
    return _shipped()[name]


def resolve_packs(trees: Iterable[Tree], found: list[Finding]) -> Mapping[str, Topic]:
    """Return the built-in topics with those of a plant's own packs added; faults go to `found`."""
    topics = dict(built_in_topics())
    for tree in trees:
        topics.update(_read(Node(tree, found), topics))
    return topics


def _read(node: Node, known: Mapping[str, Topic]) -> dict[str, Topic]:
    topics: dict[str, Topic] = {}
    pack = node.text("caution_pack")
    for item in node.items("topics"):
        name = item.text("topic")
        if name in topics:
            item.child("topic").report(
                "reference.duplicate-id",
                f"the pack has two topics `{name}`",
                "make one of the two",
                subject=name,
            )
            continue
        base = known.get(name)
        if base is None and not _is_complete(item):
            continue
        entry = _topic(item, pack, base)
        if base is not None:
            _report_loosened(item, base, entry)
            entry = tightened(base, entry)
        topics[name] = entry
    return topics


def _is_complete(node: Node) -> bool:
    """Tell whether a topic that no pack before it has says all it must."""
    missing = [key for key in _NEEDED if node.get(key) is None]
    if missing:
        name = node.text("topic")
        node.report(
            "caution.pack-incomplete",
            f"the topic `{name}` lacks {', '.join(missing)}",
            "a topic that is not built in needs them all; one that is built in keeps what you "
            "leave out",
            subject=name,
        )
    return not missing


def _report_loosened(node: Node, base: Topic, entry: Topic) -> None:
    for attempt in loosened(base, entry):
        node.report(
            "caution.pack-loosens",
            f"the topic `{attempt.topic}` cannot be loosened: {attempt.what}",
            f"the pack `{base.pack}` has it; tighten it, or leave it as it is",
            subject=attempt.topic,
        )


def _topic(node: Node, pack: str, base: Topic | None) -> Topic:
    texts = {key: node.text(key, getattr(base, key) if base else "") for key in _TEXTS}
    signal = Signal(node.text("signal", base.signal if base else ""))
    kept = (base.printed, base.answers) if base else (Printed.NOTHING, ())
    usual = "listed" if base and not base.required else "error"
    printed, answers = node.text("printed"), node.get("answered_by")
    return Topic(
        id=node.text("topic"),
        **texts,
        signal=signal,
        stands=Stands(node.text("stands", base.stands if base else "")),
        situations=tuple(_situation(item, signal) for item in node.items("when")),
        required=node.text("if_missing", usual) == "error",
        printed=Printed(printed) if printed else kept[0],
        answers=tuple(_answer(item) for item in node.items("answered_by")) if answers else kept[1],
        forbids=node.texts("forbids"),
        assumes=node.text("assumes", base.assumes if base else ""),
        gear=node.texts("gear") or (base.gear if base else ()),
        sign=node.text("sign", base.sign if base else ""),
        pack=pack,
        span=node.child("topic").span,
    )


def _situation(node: Node, signal: Signal) -> Situation:
    fields: dict[str, Any] = {"signal": signal}
    for key, entry in _entries(node):
        name = _PLURALS.get(key, key)
        if key == "signal":
            fields[name] = Signal(entry.string())
        elif key in ("material", "beside"):
            fields[name] = _held(entry)
        elif key == "local_codes":
            fields[name] = entry.string()
        else:
            fields[name] = _field(entry, key)
    return Situation(**fields, span=node.span)


def _held(node: Node) -> Held:
    return Held(**_fields(node))


def _answer(node: Node) -> Answer:
    return Answer(**_fields(node), span=node.span)


def _fields(node: Node) -> dict[str, Any]:
    return {_PLURALS.get(key, key): _field(entry, key) for key, entry in _entries(node)}


def _entries(node: Node) -> Iterator[tuple[str, Node]]:
    data = node.data
    return ((key, node.child(key)) for key in (data if isinstance(data, dict) else ()))


def _field(node: Node, key: str) -> Toleranced | bool | tuple[str, ...] | None:
    """Read a value, true or false, or a list of words, by the name of the field."""
    kind = _VALUES.get(key)
    if kind is not None:
        return node.parse_value(kind)
    data = node.data
    if isinstance(data, list):
        return tuple(str(item) for item in data)
    return data == "true"
