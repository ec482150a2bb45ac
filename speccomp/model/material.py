"""A material card: what the plant knows of one material."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from speccomp.findings import Span
from speccomp.model.shared import span_field
from speccomp.quantities import Toleranced


class Family(StrEnum):
    """How a material sets."""

    AIR = "air-setting"
    CHEMICAL = "chemical-setting"
    HYDRAULIC = "hydraulic-setting"
    ORGANIC = "organic"
    AUXILIARY = "auxiliary"


@dataclass(frozen=True, slots=True)
class Partner:
    """A material it is mixed with: parts of the partner to 100 parts of this one."""

    material: str
    by: str
    parts: Toleranced | None
    mixed_density: Toleranced | None
    partner_first: bool
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class PotLife:
    """Pot life at a reference temperature, with Q10 or an activation energy where known."""

    time: Toleranced | None
    at: Toleranced | None
    q10: float | None
    activation_energy: Toleranced | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class QualifiedCure:
    """A cure schedule and the thickest section it is qualified for."""

    name: str
    section: Toleranced | None
    open_faces: int
    dry_at: Toleranced | None
    dry_for: Toleranced | None
    ramp: Toleranced | None
    ambient: Toleranced | None
    final_at: Toleranced | None
    final_for: Toleranced | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Pack:
    """A pack size."""

    name: str
    holds: Toleranced | None


@dataclass(frozen=True, slots=True)
class Hazards:
    """Hazard statements of the maker's safety data sheet of that date."""

    statements: tuple[str, ...]
    signal: str
    sheet_date: date | None
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Constituent:
    """
    One substance of a composition by mass.

    `fraction` is its share. `molar_ratio` and `weight_ratio` are silica to alkali oxide, of an
    alkali silicate. `statements` are the codes of the pure substance, where the card gives them.
    """

    substance: str
    fraction: Toleranced | None
    molar_ratio: float | None
    weight_ratio: float | None
    statements: tuple[str, ...]
    span: Span = span_field()


@dataclass(frozen=True, slots=True)
class Declaration:
    """A declaration about substances, with its date and evidence."""

    id: str
    status: str
    date: date | None
    evidence: str


@dataclass(frozen=True, slots=True)
class Material:
    """One material; `key` is the name that the definition's steps use for it."""

    key: str
    id: str
    name: str
    family: Family
    form: str
    density: Toleranced | None
    bulk_density: Toleranced | None
    partners: tuple[Partner, ...]
    pot_life: PotLife | None
    cures: tuple[QualifiedCure, ...]
    diffusivity: Toleranced | None
    shelf_life: str
    opened_life: str
    storage_temperature: Toleranced | None
    storage_humidity: Toleranced | None
    turn_over: str
    storage_note: str
    segregates: bool
    packs: tuple[Pack, ...]
    hazards: Hazards | None
    composition: tuple[Constituent, ...]
    ph: float | None
    largest_batch: Toleranced | None
    declarations: tuple[Declaration, ...]
    source_title: str
    source_date: date | None
    span: Span = span_field()
