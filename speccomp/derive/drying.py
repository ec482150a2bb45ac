"""What has to dry, how long that takes at its thickness, and when a cure has done it."""

from collections.abc import Sequence
from dataclasses import dataclass

from speccomp.calc.cure import CureProfile
from speccomp.calc.drying import free_water_left, scaled_drying_time, thickness_factor
from speccomp.calc.steam import DryingProgress, DryingRequirement, drying_progress
from speccomp.derive import formulas
from speccomp.derive.cure import CureSegment, CureStep
from speccomp.derive.mixture import Mixture
from speccomp.derive.model_values import greatest, least, limits_of
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.findings import Span
from speccomp.model.material import Family, Material, QualifiedCure
from speccomp.model.process import Part, Process
from speccomp.quantities import Quantity, Toleranced, quantity

Place = tuple[CureStep, CureSegment]


@dataclass(frozen=True, slots=True)
class DryingNeed:
    """
    The drying that a card asks for, at the thickness at hand.

    `path` and `card_path` are the ways the water has to go: the section, or half of it where both
    faces are open. `factor` is the required time over the card's.
    """

    card: Material
    cure: QualifiedCure
    part: Part
    path: Number[Quantity]
    card_path: Number[Quantity]
    factor: Number[float]
    required: Number[Quantity]
    requirement: DryingRequirement


@dataclass(frozen=True, slots=True)
class Drying:
    """
    How a thermal history meets the need.

    `credited` counts the holds that are hot enough, at their shortest; `missing` is zero when the
    need is met; `met_in` is the hold in which it is. `holds` are those that count, up to that one.
    `water_left` are the fractions of free water left after the credited time and after the card's
    own hold, where the card gives a diffusivity.
    """

    need: DryingNeed
    credited: Number[Quantity]
    missing: Number[Quantity]
    met_in: Place | None
    holds: tuple[Place, ...]
    water_left: tuple[Number[float], Number[float]] | None


def governing_cure(
    process: Process, mixture: Mixture | None, steps: Sequence[CureStep]
) -> tuple[Material, QualifiedCure] | None:
    """
    Return the card and its qualified cure that a history is set against.

    The card is that of the material a cure step names, else of the mixture, else of any material
    that is applied. Of several cures the one named as a step's method counts, else the thinnest
    that covers the parts, else the thickest.
    """
    named = [item.step.material for item in steps]
    mixed = [component.card for component in mixture.components] if mixture else []
    applied = [step.material for step in process.steps if step.operation.name != "clean"]
    for card in (*named, *mixed, *applied):
        if card is not None and card.cures and card.family is not Family.AUXILIARY:
            return card, _chosen(process, card, {item.step.method for item in steps})
    return None


def _chosen(process: Process, card: Material, methods: set[str]) -> QualifiedCure:
    drying = [cure for cure in card.cures if cure.dry_for is not None] or list(card.cures)
    named = next((cure for cure in drying if cure.name in methods), None)
    if named is not None:
        return named
    ours = max((_path(part) for part in process.parts), default=0.0)
    covering = [cure for cure in drying if _card_path(cure) >= ours]
    return min(covering, key=_card_path) if covering else max(drying, key=_card_path)


def _path(part: Part) -> float:
    """Return the way of the water in a part in mm; zero where its section is not known."""
    section = part.thickest_section
    return 0.0 if section is None else greatest(section).m_as("mm") / part.open_faces


def _card_path(cure: QualifiedCure) -> float:
    return 0.0 if cure.section is None else greatest(cure.section).m_as("mm") / cure.open_faces


def derive_need(
    process: Process, card: Material, cure: QualifiedCure, label: str, ledger: Ledger
) -> DryingNeed | None:
    """Return the drying that the thickest part needs; None where data are missing."""
    part = max(process.parts, key=_path, default=None)
    if part is None or part.thickest_section is None:
        return None
    if cure.dry_at is None or cure.dry_for is None or cure.section is None:
        return None
    path, card_path = _paths(part, cure, label, ledger)
    lengths = (derived_from(path), derived_from(card_path))
    factor = ledger.add(
        f"{label}.factor",
        "drying time over that of the card",
        thickness_factor(path.value, card_path.value),
        formulas.THICKNESS_FACTOR,
        lengths,
    )
    hold = least(cure.dry_for)
    required = ledger.add(
        f"{label}.required",
        f"drying hold that {part.number} needs",
        scaled_drying_time(hold, path.value, card_path.value),
        formulas.SCALED_DRYING_TIME,
        (written("drying hold on the card", cure.dry_for, cure.span), derived_from(factor)),
    )
    requirement = DryingRequirement(limits_of(cure.dry_at), hold, card_path.value)
    return DryingNeed(card, cure, part, path, card_path, factor, required, requirement)


def _paths(
    part: Part, cure: QualifiedCure, label: str, ledger: Ledger
) -> tuple[Number[Quantity], Number[Quantity]]:
    def path(
        name: str, title: str, section: Toleranced | None, faces: int, span: Span
    ) -> Number[Quantity]:
        if section is None:
            raise ValueError("a diffusion path without a section")
        inputs = (written("thickest section", section, span), Input("open faces", str(faces), span))
        return ledger.add(
            f"{label}.{name}", title, greatest(section) / faces, formulas.DIFFUSION_PATH, inputs
        )

    return (
        path(
            "path",
            f"way of the water out of {part.number}",
            part.thickest_section,
            part.open_faces,
            part.span,
        ),
        path(
            "card-path",
            "way of the water that the card's cure is qualified for",
            cure.section,
            cure.open_faces,
            cure.span,
        ),
    )


def derive_drying(
    need: DryingNeed, steps: Sequence[CureStep], label: str, ledger: Ledger
) -> Drying:
    """Return how a thermal history meets the need."""
    places = [(step, segment) for step in steps for segment in step.segments]
    progress = progress_up_to(need, [segment for _, segment in places])
    inputs = (
        *(item for step in steps for item in step.inputs),
        written_temperature(need),
    )
    credited = ledger.add(
        f"{label}.credited",
        "time of the holds that count as drying, at their shortest",
        progress.credited,
        formulas.CREDITED_TIME,
        inputs,
    )
    missing = ledger.add(
        f"{label}.missing",
        "drying time that is missing",
        progress.missing,
        formulas.MISSING_TIME,
        (derived_from(need.required), derived_from(credited)),
    )
    last = len(places) - 1 if progress.met_in is None else progress.met_in
    counted = tuple(place for place in places[: last + 1] if _counts(need, place[1]))
    met_in = None if progress.met_in is None else places[progress.met_in]
    left = _water_left(need, counted, label, ledger)
    return Drying(need, credited, missing, met_in, counted, left)


def progress_up_to(need: DryingNeed, segments: Sequence[CureSegment]) -> DryingProgress:
    """Return how far the first segments of a history dry."""
    profile = CureProfile(tuple(segment.leg for segment in segments))
    return drying_progress(profile, need.requirement, need.path.value)


def written_temperature(need: DryingNeed) -> Input:
    """Return the card's drying temperature as an input."""
    value = need.cure.dry_at
    if value is None:
        raise ValueError("a drying need without a temperature")
    return written("drying temperature on the card", value, need.cure.span)


def _counts(need: DryingNeed, segment: CureSegment) -> bool:
    """Tell whether a segment is a hold that counts as drying."""
    return progress_up_to(need, [segment]).credited.magnitude > 0


def _water_left(
    need: DryingNeed, holds: Sequence[Place], label: str, ledger: Ledger
) -> tuple[Number[float], Number[float]] | None:
    diffusivity = need.card.diffusivity
    if diffusivity is None or need.cure.dry_for is None:
        return None
    value = diffusivity.nominal_quantity
    source = written("diffusivity", diffusivity, need.card.span)
    seconds = sum(segment.leg.shortest for _, segment in holds)
    ours = ledger.add(
        f"{label}.water-left",
        "fraction of the free water left after the drying holds, at their shortest",
        free_water_left(value, need.path.value, quantity(seconds, "s"), 1),
        formulas.WATER_LEFT,
        (source, derived_from(need.path)),
        "At the temperature for which the card gives the diffusivity; advice, not a limit.",
    )
    hold = need.requirement.duration
    on_card = ledger.add(
        f"{label}.water-left-on-card",
        "fraction of the free water left after the card's drying hold",
        free_water_left(value, need.card_path.value, hold, 1),
        formulas.WATER_LEFT,
        (
            source,
            derived_from(need.card_path),
            written("drying hold on the card", need.cure.dry_for, need.cure.span),
        ),
    )
    return ours, on_card
