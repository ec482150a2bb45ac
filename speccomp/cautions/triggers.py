"""Which topics of the packs a definition calls for, in which steps, and why."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from speccomp.cautions.conditions import Fact, facts_of
from speccomp.cautions.hazards import MaterialHazards, hazards_of
from speccomp.cautions.scene import Scene
from speccomp.model.packs import Topic
from speccomp.model.process import Process
from speccomp.model.shared import Signal


@dataclass(frozen=True, slots=True)
class Trigger:
    """A step that calls for a topic: the word it asks for, and the facts that show it."""

    topic: Topic
    scene: Scene
    signal: Signal
    facts: tuple[Fact, ...]


def material_hazards(process: Process) -> tuple[MaterialHazards, ...]:
    """Return the hazards of all materials of a definition, in its order."""
    codes = process.plant.local_codes
    return tuple(hazards_of(material, codes) for material in process.materials.values())


def find_triggers(
    process: Process, scenes: Sequence[Scene], known: Sequence[MaterialHazards]
) -> Iterator[Trigger]:
    """Yield what calls for each topic, topic by topic, each in the order of the work."""
    for topic in process.plant.topics.values():
        for scene in scenes:
            trigger = _trigger(topic, scene, known)
            if trigger is not None:
                yield trigger


def _trigger(topic: Topic, scene: Scene, known: Sequence[MaterialHazards]) -> Trigger | None:
    """Return the strongest situation of a topic that a step is."""
    found: Trigger | None = None
    for situation in topic.situations:
        if found is not None and situation.signal.rank >= found.signal.rank:
            continue
        facts = facts_of(situation, scene, known)
        if facts is not None:
            found = Trigger(topic, scene, situation.signal, facts)
    return found
