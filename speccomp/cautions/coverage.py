"""What must be warned of against what the definition says: the proof, row by row."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from speccomp.cautions.answers import answer_of
from speccomp.cautions.conditions import Fact
from speccomp.cautions.hazards import MaterialHazards
from speccomp.cautions.scene import Scene, build_scenes
from speccomp.cautions.triggers import Trigger, find_triggers, material_hazards
from speccomp.cautions.words import find_order, may_hold
from speccomp.findings import Span
from speccomp.model.packs import Printed, Stands, Topic
from speccomp.model.process import Process
from speccomp.model.shared import Caution, Signal
from speccomp.quantities import Quantity


class Verdict(StrEnum):
    """How a definition answers what calls for a caution."""

    COVERED = "covered"
    MISSING = "missing"
    LATE = "late"
    TOO_WEAK = "too weak"
    ANSWERED = "answered by the step"
    PRINTED = "printed by the document"
    LISTED = "not given"


@dataclass(frozen=True, slots=True)
class Row:
    """
    One thing called for: a topic before a step, or up front where `scene` is None.

    `signal` is the weakest word that will do; `by_plant` tells that the plant's own text asks for
    it where the packs would ask for less. `caution` answers it, or is the nearest to doing so.
    `answer` is what else does its work. `at` is where the work begins for it.
    """

    topic: Topic
    signal: Signal
    scene: Scene | None
    at: Scene
    facts: tuple[Fact, ...]
    verdict: Verdict
    caution: Caution | None = None
    answer: Fact | None = None
    by_plant: bool = False

    @property
    def place(self) -> str:
        """The id of the step, empty for up front."""
        return self.scene.step.id if self.scene is not None else ""


@dataclass(frozen=True, slots=True)
class Duplicate:
    """A caution that stands at a place where another of its topic stands already."""

    caution: Caution
    other: Caution
    place: str


@dataclass(frozen=True, slots=True)
class Contradiction:
    """An action that orders what a topic forbids."""

    topic: Topic
    scene: Scene
    action: str
    phrase: str
    span: Span


@dataclass(frozen=True, slots=True)
class Coverage:
    """All rows of a definition in the order of the packs, and what else there is to say."""

    rows: tuple[Row, ...]
    orphans: tuple[Caution, ...]
    duplicates: tuple[Duplicate, ...]
    contradictions: tuple[Contradiction, ...]
    materials: tuple[MaterialHazards, ...]
    scenes: tuple[Scene, ...]

    def of_topic(self, topic: str) -> tuple[Row, ...]:
        """Return the rows of one topic."""
        return tuple(row for row in self.rows if row.topic.id == topic)


def cautions_before(process: Process) -> Mapping[str, tuple[Caution, ...]]:
    """Return the cautions that stand before each step, by its id."""
    places = _Places(process)
    standing = [(caution, places.of(caution)) for caution in process.cautions]
    return {
        step.id: tuple(caution for caution, at in standing if number in at)
        for number, step in enumerate(process.steps)
    }


def build_coverage(process: Process, boiling: Quantity | None) -> Coverage:
    """
    Compare what calls for cautions with the cautions of a definition.

    `boiling` is the derived boiling point of water at the plant, None where there is none.
    """
    hazards = material_hazards(process)
    materials = tuple(hazards.values())
    scenes = build_scenes(process, hazards, boiling)
    grouped: dict[str, list[Trigger]] = {}
    for trigger in find_triggers(process, scenes, materials):
        grouped.setdefault(trigger.topic.id, []).append(trigger)
    places = _Places(process)
    rows = tuple(row for triggers in grouped.values() for row in _rows(triggers, places))
    return Coverage(
        rows,
        tuple(caution for caution in process.cautions if caution.topic not in grouped),
        tuple(_duplicates(process, places)),
        tuple(
            found for triggers in grouped.values() for found in _contradictions(triggers, scenes)
        ),
        materials,
        scenes,
    )


class _Places:
    """Where the cautions of a definition stand; a block stands where its first step does."""

    def __init__(self, process: Process) -> None:
        self.process = process
        self.numbers: dict[str, int] = {}
        for number, step in enumerate(process.steps):
            self.numbers[step.id] = number
            if step.use:
                self.numbers.setdefault(step.use, number)

    def of(self, caution: Caution) -> frozenset[int]:
        """Return the numbers of the steps that a caution stands before."""
        return frozenset(self.numbers[ident] for ident in caution.before if ident in self.numbers)

    def cautions(self, topic: str) -> tuple[Caution, ...]:
        return tuple(caution for caution in self.process.cautions if caution.topic == topic)

    def wanted(self, topic: Topic, signal: Signal) -> Signal:
        """Return the word asked for: the plant's own text of a topic may ask for a stronger one."""
        own = self.process.plant.cautions.get(topic.id)
        return own.signal if own is not None and own.signal.rank < signal.rank else signal


def _rows(triggers: Sequence[Trigger], places: _Places) -> Iterator[Row]:
    topic = triggers[0].topic
    cautions = places.cautions(topic.id)
    if topic.printed is not Printed.NOTHING:
        yield _up_front(triggers, places, Verdict.PRINTED, None)
    elif topic.stands is Stands.UP_FRONT:
        general = [caution for caution in cautions if not caution.before]
        found = min(general, key=lambda c: c.signal.rank, default=None)
        missed = Verdict.LATE if cautions else Verdict.MISSING
        verdict = Verdict.COVERED if found else missed
        yield _up_front(triggers, places, verdict, found or next(iter(cautions), None))
    else:
        asking = triggers[:1] if topic.stands is Stands.FIRST else triggers
        needed = frozenset(trigger.scene.number for trigger in asking)
        for trigger in asking:
            yield _before_step(trigger, places, cautions, needed)


def _up_front(
    triggers: Sequence[Trigger], places: _Places, verdict: Verdict, caution: Caution | None
) -> Row:
    topic = triggers[0].topic
    signal = min((t.signal for t in triggers), key=lambda signal: signal.rank)
    facts = tuple(dict.fromkeys(fact for trigger in triggers for fact in _telling(trigger)))
    row = Row(
        topic,
        places.wanted(topic, signal),
        None,
        triggers[0].scene,
        facts[:_MOST_FACTS],
        verdict,
        caution,
        by_plant=places.wanted(topic, signal) is not signal,
    )
    return _settled(row, triggers[0])


_MOST_FACTS = 6


def _telling(trigger: Trigger) -> tuple[Fact, ...]:
    """Return the facts without the operation where there are others that say more."""
    return trigger.facts[1:] or trigger.facts


def _before_step(
    trigger: Trigger, places: _Places, cautions: Sequence[Caution], needed: frozenset[int]
) -> Row:
    """Judge one step; `needed` are the numbers of all steps that ask for the topic."""
    topic, number = trigger.topic, trigger.scene.number
    exact = topic.stands is Stands.EACH
    standing = [
        caution
        for caution in cautions
        if any(at == number or (at < number and not exact) for at in places.of(caution))
    ]
    found = min(standing, key=lambda caution: caution.signal.rank, default=None)
    all_places = {at for caution in cautions for at in places.of(caution)}
    verdict = Verdict.COVERED
    if found is None:
        # One that stands where it is needed too is no late one of this step.
        behind = any(at > number and at not in needed for at in all_places)
        earlier = any(at <= number for at in all_places)
        verdict = Verdict.LATE if behind and not earlier else Verdict.MISSING
    row = Row(
        topic,
        places.wanted(topic, trigger.signal),
        trigger.scene,
        trigger.scene,
        trigger.facts,
        verdict,
        found or _nearest(cautions, places, number, verdict),
        by_plant=places.wanted(topic, trigger.signal) is not trigger.signal,
    )
    return _settled(row, trigger)


def _nearest(
    cautions: Sequence[Caution], places: _Places, number: int, verdict: Verdict
) -> Caution | None:
    """Return the caution that comes nearest to standing right: a late one stands behind."""
    behind = [c for c in cautions if any(at > number for at in places.of(c))]
    return next(iter(behind if verdict is Verdict.LATE else cautions), None)


def _settled(row: Row, trigger: Trigger) -> Row:
    """Judge the word of a caution that stands right, and look for other answers where none does."""
    if row.verdict is Verdict.COVERED and row.caution is not None:
        weak = row.caution.signal.rank > row.signal.rank
        return _with(row, Verdict.TOO_WEAK) if weak else row
    if row.verdict is not Verdict.MISSING:
        return row
    answer = answer_of(row.topic, trigger.scene)
    if answer is not None:
        return _with(row, Verdict.ANSWERED, answer)
    return row if row.topic.required else _with(row, Verdict.LISTED)


def _with(row: Row, verdict: Verdict, answer: Fact | None = None) -> Row:
    return replace(row, verdict=verdict, answer=answer)


def _duplicates(process: Process, places: _Places) -> Iterator[Duplicate]:
    seen: dict[tuple[str, int], Caution] = {}
    for caution in process.cautions:
        for at in places.of(caution) or {-1}:
            key = (caution.topic, at)
            if key in seen:
                place = process.steps[at].id if at >= 0 else ""
                yield Duplicate(caution, seen[key], place)
            seen.setdefault(key, caution)


def _contradictions(
    triggers: Sequence[Trigger], scenes: Sequence[Scene]
) -> Iterator[Contradiction]:
    """Yield the actions that order what the topic forbids, in the steps that it is about."""
    topic = triggers[0].topic
    if not topic.forbids:
        return
    about: Sequence[Scene] = [trigger.scene for trigger in triggers]
    if topic.stands is Stands.UP_FRONT:
        about = scenes
    elif topic.stands is Stands.FIRST:
        about = scenes[triggers[0].scene.number :]
    for scene in about:
        for number, action in enumerate(scene.step.actions):
            phrase = next((p for p in topic.forbids if _orders(p, action, scene)), None)
            if phrase is not None:
                span = scene.place_of(number)
                yield Contradiction(topic, scene, action, phrase, span)


def _orders(phrase: str, action: str, scene: Scene) -> bool:
    return may_hold(phrase, scene.words) and find_order(phrase, action) is not None
