"""A process definition with everything it refers to."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date

from speccomp.findings import Span
from speccomp.model.material import Material
from speccomp.model.operations import Operation
from speccomp.model.plant import Equipment, Plant
from speccomp.model.shared import Caution, Reaction, Record, Setting, span_field
from speccomp.quantities import Toleranced
from speccomp.source.reader import SourceImage


@dataclass(frozen=True, slots=True)
class Claim:
    """What a sample without a bad piece is to show; `lot` is the count of pieces, if known."""

    bad: Toleranced | None
    confidence: Toleranced | None
    lot: int | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class SamplePlan:
    """A single sampling plan by code letter; `aql` is in per cent."""

    lot: int
    level: str
    aql: float
    inspection: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Control:
    """How a characteristic is controlled; None where neither definition nor plant says."""

    gauge: Equipment | None
    method: str
    sample: Setting | None
    every: Setting | None
    reaction: Setting | None
    responsible: Setting | None
    record: Setting | None
    special: str
    claim: Claim | None = None
    plan: SamplePlan | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Characteristic:
    """
    One thing that has to be right: a row of the control plan and a line of the instruction.

    `requirement` is a value with limits, or the words by which a person judges. `condition` says
    when it holds; empty for always. `validated` is the range in which the process has been
    validated, where the definition gives one.
    """

    id: str
    name: str
    requirement: Toleranced | str
    product: bool
    control: Control
    condition: str = ""
    validated: Toleranced | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Hold:
    """A time at one temperature."""

    at: Characteristic | None
    time: Characteristic | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Ramp:
    """A change of temperature at a limited rate."""

    to: Characteristic | None
    rate: Characteristic | None
    span: Span = span_field()


Segment = Hold | Ramp


@dataclass(frozen=True, slots=True)
class Specimen:
    """A test specimen: how it is loaded, and its size."""

    load: str
    width: Toleranced | None
    depth: Toleranced | None
    diameter: Toleranced | None
    length: Toleranced | None
    span_length: Toleranced | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Batch:
    """How much is made at a time, and how fast it is used; `sizes` are counts of parts."""

    parts: int
    loss: Toleranced | None
    cycle_time: Toleranced | None
    transfer_time: Toleranced | None
    stations: int
    sizes: tuple[int, ...]
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Image:
    """A picture from the project folder."""

    source: SourceImage
    alt: str
    caption: str


@dataclass(frozen=True, slots=True)
class Container:
    """
    A container that a step fills, and what is written on it or on its ticket.

    `ticket` is the id of the record that stands in for its label. `same_person` tells that who
    fills it uses it up in the same shift.
    """

    name: str
    label: str
    ticket: str
    same_person: bool
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Step:
    """One piece of work; `block` and `use` name the step block it is from and the use of it."""

    id: str
    operation: Operation
    title: str
    material: Material | None
    method: str
    actions: tuple[str, ...]
    why: str
    equipment: tuple[Equipment, ...]
    gear: tuple[str, ...]
    characteristics: tuple[Characteristic, ...]
    profile: tuple[Segment, ...]
    reaction: str
    responsible: Setting | None
    covered: bool | None
    keep: str
    records: tuple[str, ...]
    images: tuple[Image, ...]
    note: str
    block: str
    use: str = ""
    specimen: Specimen | None = None
    containers: tuple[Container, ...] = ()
    action_spans: tuple[Span, ...] = field(default=(), compare=False, repr=False)
    span: Span = span_field()
    used_at: Span = span_field()

    @property
    def place(self) -> Span:
        """Where the step stands in the definition; a step of a block stands where that is used."""
        return self.used_at if self.block else self.span


@dataclass(frozen=True, slots=True)
class Part:
    """A part that is made."""

    number: str
    name: str
    drawing: str
    fill_volume: Toleranced | None
    thickest_section: Toleranced | None
    open_faces: int
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class RatioPart:
    """Parts of one material in the mixture; the first material of the ratio is the reference."""

    material: str
    parts: Toleranced
    characteristic: Characteristic | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Ratio:
    """Mixing ratio, by weight or by volume."""

    by: str
    parts: tuple[RatioPart, ...]
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Reason:
    """Why one thing changed; `at` is a step, or step/limit."""

    at: str
    why: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Replacement:
    """A piece of equipment that replaces another one like for like; both are ids of the plant."""

    equipment: str
    replaces: str
    why: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Change:
    """
    Why the revision exists.

    `change_class` is how much it matters as its author sees it, `previous` the file of the
    revision it replaces; each is empty where the change note does not give it.
    """

    from_revision: str
    why: str
    summary: str
    change_class: str = ""
    previous: str = ""
    reasons: tuple[Reason, ...] = ()
    like_for_like: tuple[Replacement, ...] = ()
    class_span: Span = span_field()
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Earlier:
    """An earlier revision."""

    revision: str
    date: date | None
    summary: str
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Reference:
    """Another document that applies."""

    id: str
    edition: str
    title: str
    issuer: str


@dataclass(frozen=True, slots=True)
class Waiver:
    """A finding that a person accepts until a day."""

    finding: str
    at: str
    why: str
    by: str
    role: str
    until: date | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Process:
    """One controlled document."""

    number: str
    title: str
    revision: str
    date: date | None
    language: str
    author: str
    author_role: str
    contact: str
    department: str
    change: Change | None
    history: tuple[Earlier, ...]
    plant: Plant
    customer: str
    phase: str
    purpose: str
    scope: str
    parts: tuple[Part, ...]
    materials: Mapping[str, Material]
    ratio: Ratio | None
    batch: Batch | None
    protective_gear: tuple[str, ...]
    reactions: Mapping[str, Reaction]
    records: Mapping[str, Record]
    references: tuple[Reference, ...]
    steps: tuple[Step, ...]
    cautions: tuple[Caution, ...]
    waivers: tuple[Waiver, ...]
    spans: Mapping[str, Span] = field(compare=False, repr=False)
    span: Span = span_field()

    def characteristics(self) -> Iterator[tuple[Step, Characteristic]]:
        """Go through all characteristics in the order of the work, with their steps."""
        for step in self.steps:
            for characteristic in step.characteristics:
                yield step, characteristic

    def place(self, field: str) -> Span:
        """Return where a top-level field stands, or the top of the file."""
        return self.spans.get(field, self.span)
