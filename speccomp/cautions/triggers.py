"""Which topics of the packs a definition calls for, in which steps, and why."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from speccomp.cautions.conditions import Fact, facts_of
from speccomp.cautions.hazards import MaterialHazards, hazards_of
from speccomp.cautions.scene import Scene
from speccomp.model.packs import Situation, Topic
from speccomp.model.process import Process
from speccomp.model.shared import Signal


@dataclass(frozen=True, slots=True)
class Trigger:
    """A step that calls for a topic: the word it asks for, and the facts that show it."""

    topic: Topic
    scene: Scene
    signal: Signal
    facts: tuple[Fact, ...]


def material_hazards(process: Process) -> Mapping[str, MaterialHazards]:
    """Return the hazards of all materials of a definition, by key and in its order."""
    codes = process.plant.local_codes
    return {key: hazards_of(material, codes) for key, material in process.materials.items()}


def find_triggers(
    process: Process, scenes: Sequence[Scene], known: Sequence[MaterialHazards]
) -> Iterator[Trigger]:
    """Yield what calls for each topic, topic by topic, each in the order of the work."""
    present = {scene.step.operation.name for scene in scenes}
    for topic in process.plant.topics.values():
        situations = [
            (situation, frozenset(situation.operations))
            for situation in topic.situations
            if not situation.operations or present & set(situation.operations)
        ]
        for scene in scenes if situations else ():
            trigger = _trigger(topic, situations, scene, known)
            if trigger is not None:
                yield trigger


def _trigger(
    topic: Topic,
    situations: Sequence[tuple[Situation, frozenset[str]]],
    scene: Scene,
    known: Sequence[MaterialHazards],
) -> Trigger | None:
    """Return the strongest situation of a topic that a step is."""
    found: Trigger | None = None
    for situation, operations in situations:
        if operations and scene.step.operation.name not in operations:
            continue
        if found is not None and situation.signal.rank >= found.signal.rank:
            continue
        facts = facts_of(situation, scene, known)
        if facts is not None:
            found = Trigger(topic, scene, situation.signal, facts)
    return found
