"""The plant: units in print, climate, equipment, roles, defaults."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from speccomp.findings import Span
from speccomp.model.packs import Topic
from speccomp.model.release_rules import ReleaseRules
from speccomp.model.shared import Caution, Reaction, Record, Setting, span_field
from speccomp.quantities import Kind, PrintUnits, Toleranced


@dataclass(frozen=True, slots=True)
class Equipment:
    """One piece of equipment; what does not apply to its type is None."""

    id: str
    type: str
    name: str
    tag: str
    material: str
    calibration_due: date | None
    readability: Toleranced | None = None
    permissible_error: Toleranced | None = None
    capacity: Toleranced | None = None
    range: Toleranced | None = None
    speed: Toleranced | None = None
    ramp: Toleranced | None = None
    non_uniformity: Toleranced | None = None
    control_tolerance: Toleranced | None = None
    sensor_error: Toleranced | None = None
    resolution: Toleranced | None = None
    uncertainty: Toleranced | None = None
    measures: Kind | None = None
    vented: bool | None = None
    solvent_limit: Toleranced | None = None
    features: tuple[str, ...] = ()
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class SpecialClass:
    """A class of special characteristic and its mark in print."""

    id: str
    title: str
    mark: str


@dataclass(frozen=True, slots=True)
class Defaults:
    """The plant's control defaults, as role, reaction and record ids and plain words."""

    sample: Setting | None
    every: Setting | None
    reaction: Setting | None
    responsible: Setting | None
    record: Setting | None


@dataclass(frozen=True, slots=True)
class Wording:
    """What the plant changes in the word lists."""

    vague: tuple[str, ...] = ()
    allowed: tuple[str, ...] = ()
    verbs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WaiverPolicy:
    """
    Rules, or families of rules, that nobody may waive, and roles that may waive the others.

    Only `safety_roles` may waive a finding about people's safety; nobody may without one.
    """

    never: tuple[str, ...] = ()
    roles: tuple[str, ...] = ()
    safety_roles: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Margins:
    """What is kept back: distance from boiling, share of the pot life; None where not stated."""

    boiling: Toleranced | None = None
    pot_life: Toleranced | None = None


@dataclass(frozen=True, slots=True)
class Emergency:
    """How long the longest way takes on foot; None where not stated."""

    eye_rinse: Toleranced | None = None
    safety_shower: Toleranced | None = None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class GaugeFit:
    """Steps of the gauge in a band, and half the band over the uncertainty, at the least."""

    resolution: float = 10.0
    uncertainty: float = 4.0


@dataclass(frozen=True, slots=True)
class Plant:
    """One plant; `topics` are those of the built-in caution packs, tightened by its own."""

    id: str
    name: str
    owner: str
    units: PrintUnits
    paper: str
    elevation: Toleranced | None
    air_pressure: Toleranced | None
    shop_temperature: Toleranced | None
    shop_humidity: Toleranced | None
    equipment: Mapping[str, Equipment]
    roles: Mapping[str, str]
    approvals: tuple[str, ...]
    defaults: Defaults
    reactions: Mapping[str, Reaction]
    records: Mapping[str, Record]
    special: Mapping[str, SpecialClass]
    cautions: Mapping[str, Caution]
    topics: Mapping[str, Topic]
    local_codes: str
    wording: Wording
    waiver_policy: WaiverPolicy
    document_pattern: str
    revision_scheme: str
    uncontrolled_note: str
    margins: Margins
    gauge_fit: GaugeFit
    required_declarations: tuple[str, ...]
    special_processes: tuple[str, ...] = ()
    emergency: Emergency = field(default_factory=Emergency)
    release: ReleaseRules = field(default_factory=ReleaseRules)
    span: Span = span_field()
