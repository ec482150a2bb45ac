"""What is in hand, how hot, wet or loaded it is, in each step: the facts that cautions hang on."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from speccomp.cautions import amounts
from speccomp.cautions.amounts import Seen
from speccomp.cautions.hazards import MaterialHazards
from speccomp.cautions.words import find_phrase, may_hold
from speccomp.findings import Span
from speccomp.model.material import Family, Material
from speccomp.model.plant import Equipment
from speccomp.model.process import Process, Step
from speccomp.quantities import Kind, Quantity

WET = frozenset(
    {"mix", "add", "de-air", "apply", "dispense", "dip", "spray", "compact", "cast-discs"}
    | {"retain-sample", "rest"}
)
"""Operations on material that has not set, whatever came before."""
BODY = frozenset({"cool", "demould", "check-discs", "inspect", "test", "pack"})
"""Operations on the part; before the first cure it is still wet."""
REST = frozenset({"clean", "dispose"})
"""Operations on what is left over; after the cure it has set."""
DRY_ABOVE = 60.0
"""A cure that reaches this temperature, in degC, takes the free water out (own rule)."""
AT_SEA_LEVEL = 100.0
"""Boiling point of water in degC where that at the plant is not known."""
WARM = 48.0
"""From this temperature, in degC, parts are taken out hot (ISO 13732-1, from memory)."""

_WORKING = ("mixer", "oven", "sprayer", "dispenser", "vacuum-chamber")


@dataclass(frozen=True, slots=True)
class Holding:
    """A material in hand: in the form of its card, as `mix`, or `cured`."""

    hazards: MaterialHazards
    form: str


@dataclass(frozen=True, slots=True)
class Scene:
    """
    One step with what can be seen in it.

    `temperature` is the highest one of the parts in degC. `steam` tells that water inside them
    can come near boiling. `hold` is in h, `since_mixing` in min, `pressure` in bar, `lifted` and
    `batch` in kg.
    `used` are types and features of equipment up to this step, with where each is first used.
    `words` are the step's actions in lower case.
    """

    process: Process
    step: Step
    number: int
    held: tuple[Holding, ...]
    equipment: tuple[Equipment, ...]
    used: Mapping[str, Span]
    wet: bool
    temperature: Seen | None
    steam: Seen | None
    unloads: bool
    hold: Seen | None
    since_mixing: Seen | None
    pressure: Seen | None
    voltage: Seen | None
    lifted: Seen | None
    batch: Seen | None
    words: str

    def amount(self, material: Material) -> Seen | None:
        """Return how much of a material is in hand, in L."""
        return amounts.volume(self.step, material, self.process.plant.units)

    def says(self, phrase: str) -> tuple[str, Span] | None:
        """Return an action that has the phrase, and its place."""
        if not may_hold(phrase, self.words):
            return None
        for number, action in enumerate(self.step.actions):
            if find_phrase(phrase, action) is not None:
                return action, self.place_of(number)
        return None

    def place_of(self, number: int) -> Span:
        """Return where an action of the step stands, counted from 0."""
        spans = self.step.action_spans
        return spans[number] if number < len(spans) else self.step.span


def build_scenes(
    process: Process, hazards: Mapping[str, MaterialHazards], boiling: Quantity | None
) -> tuple[Scene, ...]:
    """
    Go through the steps in the order of the work and see what each has to do with.

    `hazards` are those of all materials of the definition, by key; `boiling` is the boiling point
    of water at the plant, None where it is not known: then that at sea level is taken.
    """
    return tuple(_Walk(process, hazards, boiling).scenes())


class _Walk:
    """What carries over from step to step."""

    def __init__(
        self, process: Process, hazards: Mapping[str, MaterialHazards], boiling: Quantity | None
    ) -> None:
        self.process = process
        self.units = process.plant.units
        self.hazards = hazards
        self.mixture = _mixture(process)
        self.mixed = False
        self.mixed_in: set[str] = set()
        self.added = {
            step.material.key
            for step in process.steps
            if step.operation.name == "add" and step.material is not None
        }
        self.cured = False
        self.begun = False
        self.wet = False
        self.hot: Seen | None = None
        self.used: dict[str, Span] = {}
        self.boiling = AT_SEA_LEVEL if boiling is None else float(boiling.m_as("degC"))
        self.batch = amounts.batch_mass(process)

    def scenes(self) -> Iterator[Scene]:
        steps = self.process.steps
        for number, step in enumerate(steps):
            equipment = _equipment(self.process, step)
            for item in equipment:
                for name in (item.type, *item.features):
                    self.used.setdefault(name, step.span)
            self._before(step)
            heat = amounts.highest_temperature(step, self.units)
            temperature = _hotter(heat, self.hot if step.operation.name in BODY | REST else None)
            yield Scene(
                self.process,
                step,
                number,
                tuple(self._held(step)),
                equipment,
                dict(self.used),
                self.wet,
                temperature,
                self._steam(step, heat),
                self._unloads(step, temperature, steps[number + 1 :]),
                amounts.hold_time(step),
                amounts.time_since_mixing(step, self.units),
                amounts.pressure(step, equipment, self.units),
                amounts.voltage(step, self.units),
                amounts.lifted(step, self.units),
                self.batch if step.operation.name == "mix" else None,
                " ".join(step.actions).lower(),
            )
            self._after(step, heat)

    def _before(self, step: Step) -> None:
        name = step.operation.name
        if name == "mix":
            self.mixed = True
        in_hand = [step.material] if step.material else list(self.mixture)
        if name in WET and any(material in self.mixture for material in in_hand):
            self.begun = True
            self.cured = False
            self.wet = self.wet or any(_holds_water(material) for material in in_hand)

    def _after(self, step: Step, heat: Seen | None) -> None:
        if step.operation.name == "mix":
            self.mixed_in |= {material.key for material in self.mixture}
        if step.profile:
            self.cured = True
            self.hot = amounts.last_temperature(step, self.units)
            if heat is not None and heat.number >= DRY_ABOVE:
                self.wet = False
        elif step.operation.name == "cool":
            self.hot = heat

    def _held(self, step: Step) -> Iterator[Holding]:
        """Yield the materials in hand, those that the words of the step name included."""
        name = step.operation.name
        named = [step.material] if step.material else []
        if name != "mix":
            named += [m for m in _named(self.process, step) if m not in named]
        yielded: set[str] = set()
        for material in named:
            yielded.add(material.key)
            yield Holding(self.hazards[material.key], material.form)
        if step.material is None or name in ("mix", "add"):
            for material in self.mixture:
                for form in self._forms(step, material):
                    if form != material.form or material.key not in yielded:
                        yield Holding(self.hazards[material.key], form)

    def _forms(self, step: Step, material: Material) -> Sequence[str]:
        """Return the forms in which a material of the mixture is in hand, if it is."""
        name = step.operation.name
        wet = "mix" if self.mixed or self.process.ratio else material.form
        if name == "mix" and self.process.ratio:
            fresh = material.key not in self.mixed_in | self.added
            return (material.form, "mix") if fresh else ("mix",)
        if name == "mix":
            return (material.form,)
        if name in WET:
            return (wet,)
        if name == "cure" and self.wet:
            return (wet,)
        if name in BODY | REST | {"assemble", "cure"}:
            return ("cured",) if self.cured else (wet,) if self.begun else ()
        return ()

    def _steam(self, step: Step, heat: Seen | None) -> Seen | None:
        if not self.wet or heat is None or not step.profile:
            return None
        error = sum(amounts.oven_error(item) for item in step.equipment if item.type == "oven")
        near = self.boiling - amounts.STEAM_MARGIN
        if heat.number + error < near:
            return None
        reached, boils = (
            amounts.said_in(number, "degC", Kind.TEMPERATURE, self.units)
            for number in (heat.number + error, self.boiling)
        )
        said = f"wet parts can reach {reached}; water boils at {boils} here"
        return Seen(heat.number + error, said, heat.span)

    @staticmethod
    def _unloads(step: Step, temperature: Seen | None, later: Sequence[Step]) -> bool:
        """Tell whether hot parts are taken out here: in `cool`, or in the cure if none follows."""
        if temperature is None or temperature.number < WARM:
            return False
        if step.operation.name == "cool":
            return True
        return bool(step.profile) and not any(
            other.operation.name == "cool" or other.profile for other in later
        )


def _hotter(first: Seen | None, second: Seen | None) -> Seen | None:
    both = [seen for seen in (first, second) if seen is not None]
    return max(both, key=lambda seen: seen.number, default=None)


def _mixture(process: Process) -> tuple[Material, ...]:
    """Return the materials of the ratio, or without one all that are no auxiliaries."""
    if process.ratio is not None:
        keys = [part.material for part in process.ratio.parts]
        return tuple(process.materials[key] for key in keys if key in process.materials)
    return tuple(m for m in process.materials.values() if m.family is not Family.AUXILIARY)


def _holds_water(material: Material) -> bool:
    return material.family in (Family.AIR, Family.CHEMICAL, Family.HYDRAULIC)


def _named(process: Process, step: Step) -> list[Material]:
    """Return the materials that an action names by key or by name."""
    words = " ".join(step.actions)
    lowered = words.lower()
    return [
        material
        for key, material in process.materials.items()
        if any(
            may_hold(name, lowered) and find_phrase(name, words)
            for name in (key, _short(material.name))
        )
    ]


def _short(name: str) -> str:
    return name.partition(",")[0].partition("(")[0].strip()


def _equipment(process: Process, step: Step) -> tuple[Equipment, ...]:
    """Return the step's equipment, and machines that its actions name."""
    words = " ".join(step.actions).lower()
    named = [
        item
        for item in process.plant.equipment.values()
        if (item.type in _WORKING or item.features)
        and _short(item.name).lower() in words
        and find_phrase(_short(item.name), words)
    ]
    return tuple(dict.fromkeys((*step.equipment, *named)))
