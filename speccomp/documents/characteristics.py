"""Print each characteristic once; the instruction and the control plan show the same object."""

import re
from collections.abc import Mapping

from speccomp.documents.views import CharacteristicView, ReactionView
from speccomp.documents.words import equipment_name, frequency, printed, role_title
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Process, Step
from speccomp.model.shared import Reaction, Setting
from speccomp.model.technique import LOOK, technique_of

_SEGMENT = re.compile(r"(ramp|hold) (\d+), (.+)")
_OF_SEGMENT = {
    ("ramp", "end temperature"): "ramp to",
    ("ramp", "rate"): "ramp rate",
    ("hold", "temperature"): "hold at",
    ("hold", "time"): "hold time",
}


def build_characteristics(process: Process) -> Mapping[str, CharacteristicView]:
    """Return the printed characteristics of a definition, by id."""
    return {
        item.id: _view(process, step, item, f"{number}.{index}")
        for number, step in enumerate(process.steps, start=1)
        for index, item in enumerate(step.characteristics, start=1)
    }


def _view(process: Process, step: Step, item: Characteristic, number: str) -> CharacteristicView:
    control = item.control
    judged = isinstance(item.requirement, str)
    special = process.plant.special.get(control.special)
    record = process.records.get(_value(control.record))
    reaction = process.reactions.get(_value(control.reaction))
    settings = {
        "sample": control.sample,
        "every": control.every,
        "reaction": control.reaction,
        "responsible": control.responsible,
        "record": control.record,
    }
    return CharacteristicView(
        id=item.id,
        number=number,
        name=_name(step, item),
        requirement=item.requirement
        if isinstance(item.requirement, str)
        else printed(item.requirement, process.plant),
        judged=judged,
        product=item.product,
        special=special.mark if special else "",
        special_title=special.title if special else "",
        technique=_technique(process, step, item),
        sample=_value(control.sample),
        frequency=frequency(_value(control.every)),
        reaction=reaction.title if reaction else "",
        responsible=role_title(process, _value(control.responsible)),
        record=record.title if record else "",
        inherited=frozenset(key for key, setting in settings.items() if _inherited(setting)),
    )


def _name(step: Step, item: Characteristic) -> str:
    """Return the name; a limit of a profile by its segment as the oven controller counts it."""
    segment = _SEGMENT.fullmatch(item.name) if step.profile else None
    name = item.name
    if segment:
        name = f"segment {segment[2]}, {_OF_SEGMENT[segment[1], segment[3]]}"
    return f"{name}, when {item.condition}" if item.condition else name


def _technique(process: Process, step: Step, item: Characteristic) -> str:
    technique = technique_of(step, item)
    if isinstance(technique, Equipment):
        name = equipment_name(technique)
        method = item.control.method or _calculation(process, item)
        return f"{name}; {method}" if method else name
    return technique or LOOK


def _calculation(process: Process, item: Characteristic) -> str:
    """Return how a share of the mix follows from readings; empty for what a gauge reads itself."""
    ratio = process.ratio
    if ratio is None:
        return ""
    reference, *others = ratio.parts
    for part in others:
        if part.characteristic is not None and part.characteristic.span == item.span:
            parts = printed(reference.parts, process.plant)
            return f"calculated: {parts} × {part.material} ÷ {reference.material}"
    return ""


def _value(setting: Setting | None) -> str:
    return setting.value if setting else ""


def _inherited(setting: Setting | None) -> bool:
    return setting is not None and setting.inherited


def build_reaction(process: Process, reaction: Reaction) -> ReactionView:
    """Return a reaction plan as printed."""
    return ReactionView(
        reaction.id, reaction.title, reaction.actions, role_title(process, reaction.responsible)
    )


def build_reactions(process: Process, steps: tuple[Step, ...]) -> tuple[ReactionView, ...]:
    """Return the reaction plans that the steps' characteristics name, each once, in order."""
    named: dict[str, ReactionView] = {}
    for step in steps:
        for item in step.characteristics:
            ident = _value(item.control.reaction)
            if ident in process.reactions:
                named.setdefault(ident, build_reaction(process, process.reactions[ident]))
    return tuple(named.values())
