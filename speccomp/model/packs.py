"""Caution packs: which situation calls for which caution, how strong, and where it must stand."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from speccomp.findings import Span
from speccomp.model.gear import left_out
from speccomp.model.shared import Caution, Signal, span_field
from speccomp.quantities import Toleranced


class Stands(StrEnum):
    """Where a caution must stand, the strictest place last."""

    UP_FRONT = "up front"
    FIRST = "before the first step"
    EACH = "before each step"

    @property
    def rank(self) -> int:
        """0 for the loosest place."""
        return list(Stands).index(self)


class Printed(StrEnum):
    """What the work instruction prints by itself, so that no caution is needed."""

    NOTHING = ""
    FIRST_AID = "first aid"
    SPILL = "spill"
    STANDING_NOTE = "standing note"


@dataclass(frozen=True, slots=True)
class Held:
    """
    What a material must be that is in hand; all that is given must hold of one material.

    `forms` are those of the card, `mix` and `cured`. `hazards` are codes, `contains` ids of
    substances or groups of them, at `at_least` of the mass. `amount` is a volume.
    """

    forms: tuple[str, ...] = ()
    families: tuple[str, ...] = ()
    hazards: tuple[str, ...] = ()
    unless_hazard: tuple[str, ...] = ()
    contains: tuple[str, ...] = ()
    without: tuple[str, ...] = ()
    at_least: Toleranced | None = None
    amount: Toleranced | None = None


@dataclass(frozen=True, slots=True)
class Situation:
    """
    What must be seen in one step; of each list one item, and all of what is given.

    `beside` is another material of the definition. `used` are types or features of equipment
    that this step or an earlier one works with. `vented` False asks for an oven that is not said
    to be vented, `covered` False for a step that is not said to be covered. `steam` asks for
    water that can boil inside the part, `unloads` for the step that takes hot parts out.
    """

    signal: Signal
    operations: tuple[str, ...] = ()
    material: Held | None = None
    beside: Held | None = None
    equipment: tuple[str, ...] = ()
    features: tuple[str, ...] = ()
    used: tuple[str, ...] = ()
    made_of: tuple[str, ...] = ()
    vented: bool | None = None
    covered: bool | None = None
    wet: bool | None = None
    steam: bool | None = None
    unloads: bool | None = None
    temperature: Toleranced | None = None
    hold: Toleranced | None = None
    since_mixing: Toleranced | None = None
    pressure: Toleranced | None = None
    voltage: Toleranced | None = None
    lifted: Toleranced | None = None
    batch: Toleranced | None = None
    says: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    gear: tuple[str, ...] = ()
    gear_without: tuple[str, ...] = ()
    local_codes: str = ""
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Answer:
    """
    What else in the definition does the work of a caution about the product.

    `limits` are names of limits of the step, `earlier` operations on the same material before
    it, `card` fields of its card, `says` words of its actions.
    """

    limits: tuple[str, ...] = ()
    earlier: tuple[str, ...] = ()
    card: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    check: bool = False
    record: bool = False
    calibrated: bool = False
    powder_first: bool = False
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Topic:
    """
    One thing to be warned of.

    `signal` is the word of its text, the strongest of its situations. A topic that is not
    `required` is only listed where it is missing. `forbids` are phrases that no instruction may
    hold where the topic applies. `assumes` is what it takes for granted that no file says, empty
    where it takes nothing. `sign` is the meaning of the sign that goes with it, in words.
    `pack` is the id of the pack that has it.
    """

    id: str
    title: str
    signal: Signal
    stands: Stands
    situations: tuple[Situation, ...]
    required: bool
    printed: Printed
    answers: tuple[Answer, ...]
    forbids: tuple[str, ...]
    assumes: str
    hazard: str
    consequence: str
    avoid: str
    gear: tuple[str, ...]
    source: str
    sign: str
    pack: str
    span: Span = span_field()

    @property
    def about_people(self) -> bool:
        """Tell whether people can get hurt; the word notice is for the product."""
        return self.signal is not Signal.NOTICE

    @property
    def weakest(self) -> Signal:
        """The weakest word that any of its situations allows."""
        return max((s.signal for s in self.situations), key=lambda signal: signal.rank)

    @property
    def caution(self) -> Caution:
        """The topic's own text as a caution without a place."""
        return Caution(
            self.id,
            self.signal,
            self.hazard,
            self.consequence,
            self.avoid,
            self.gear,
            (),
            self.span,
        )


@dataclass(frozen=True, slots=True)
class Loosened:
    """What a pack or a plant file would make weaker than a pack before it has it."""

    topic: str
    what: str
    span: Span


def loosened(stricter: Topic, entry: Topic) -> Iterable[Loosened]:
    """Yield what an entry of a later pack would take away from the topic it changes."""
    if entry.signal.rank > stricter.signal.rank:
        yield _loosened(entry, f"the word `{entry.signal}` is weaker than `{stricter.signal}`")
    if entry.stands.rank < stricter.stands.rank:
        yield _loosened(entry, f"`{entry.stands}` is a looser place than `{stricter.stands}`")
    if stricter.required and not entry.required:
        yield _loosened(entry, "a missing caution would only be listed")
    if entry.printed is not stricter.printed:
        yield _loosened(entry, "the document does not print it by itself")
    missing = left_out(stricter.gear, entry.gear)
    if missing:
        yield _loosened(entry, f"the gear leaves out {' and '.join(missing)}")
    if entry.answers != stricter.answers:
        yield _loosened(entry, "something else than the caution would answer it")


def _loosened(entry: Topic, what: str) -> Loosened:
    return Loosened(entry.id, what, entry.span)


def tightened(stricter: Topic, entry: Topic) -> Topic:
    """
    Return a topic as changed by an entry of a later pack.

    Texts are those of the entry; situations and forbidden phrases are added; word, place and
    weight are the stricter ones.
    """
    return replace(
        entry,
        signal=min(stricter.signal, entry.signal, key=lambda signal: signal.rank),
        stands=max(stricter.stands, entry.stands, key=lambda stands: stands.rank),
        situations=(*stricter.situations, *entry.situations),
        required=stricter.required or entry.required,
        printed=stricter.printed,
        answers=stricter.answers,
        gear=(*left_out(stricter.gear, entry.gear), *entry.gear),
        forbids=tuple(dict.fromkeys((*stricter.forbids, *entry.forbids))),
    )


def texts_of(topics: Mapping[str, Topic], local_codes: str = "") -> dict[str, Caution]:
    """
    Return the cautions that a file may cite by topic, with the texts of the packs.

    `local_codes` is us, eu, or empty; it tells which standard of the protective gear applies.
    """
    return {
        name: replace(topic.caution, gear=tuple(gear_for(g, local_codes) for g in topic.gear))
        for name, topic in topics.items()
    }


def gear_for(item: str, local_codes: str) -> str:
    """
    Return a piece of gear with the standard of the place.

    `Goggles, EN 166 or ANSI/ISEA Z87.1` becomes one of the two; without a place both stay.
    """
    european, separator, american = item.partition(" or ")
    if not separator or not local_codes:
        return item
    return european if local_codes == "eu" else f"{item.partition(',')[0]}, {american}"
