"""The mixture: its components, their ratios by weight and its density."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from speccomp.calc.batch import mixed_density, mixed_density_by_volume
from speccomp.calc.errors import LimitError
from speccomp.calc.limits import Limits, nominal
from speccomp.calc.ratio import mass_ratio, parts_by_weight, scaled_ratio
from speccomp.derive import formulas
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.findings import Span
from speccomp.model.material import Family, Material, Partner
from speccomp.model.process import Process, RatioPart
from speccomp.model.shared import NOWHERE
from speccomp.quantities import Quantity, Toleranced

APPLYING = frozenset({"apply", "dispense", "dip", "spray"})
PARTNER_PARTS = 100.0
"""A card gives its partner in parts to so many of its own."""


@dataclass(frozen=True, slots=True)
class CardRatio:
    """What a card says of two components: parts of the component to one of the reference."""

    card: Material
    partner: Partner
    parts: Limits[float]


@dataclass(frozen=True, slots=True)
class Component:
    """
    One material of the mixture.

    `parts` and `ratio` are as the definition writes them: its parts, and those parts divided by
    the reference's; `ratio` is None for the reference itself. `density` is that at which it is
    measured out: the bulk density of a powder. `part` is None for a material that is used alone.
    """

    key: str
    card: Material | None
    part: RatioPart | None
    parts: float
    density: Toleranced | None = None
    ratio: Limits[float] | None = None
    on_card: CardRatio | None = None

    @property
    def span(self) -> Span:
        """Where the ratio names it."""
        return self.part.span if self.part else NOWHERE


@dataclass(frozen=True, slots=True)
class Mixture:
    """
    What is mixed, or the one material that is used as supplied.

    `components[0]` is the reference. `weights` are parts by weight in that order, None where
    densities are missing. `measured_by` is `weight` or `volume`.
    """

    measured_by: str
    components: tuple[Component, ...]
    weights: tuple[float, ...] | None
    density: Number[Quantity] | None
    density_from_card: bool

    @property
    def reference(self) -> Component:
        """The component that the others are set against."""
        return self.components[0]

    @property
    def others(self) -> tuple[Component, ...]:
        """The components beside the reference."""
        return self.components[1:]


def derive_mixture(process: Process, ledger: Ledger) -> Mixture | None:
    """Return what is mixed or applied; None where the definition applies no cement."""
    ratio = process.ratio
    if ratio is None:
        return _single(process, ledger)
    mixed = ledger.attempt("mixture", ratio.span, lambda: _components(process, ledger))
    if mixed is None:
        return None
    weights = _weights(ratio.by, mixed, ledger)
    density = ledger.attempt(
        "mixture.density", ratio.span, partial(_density, ratio.by, mixed, weights, ledger)
    )
    number, from_card = density or (None, False)
    return Mixture(ratio.by, mixed, weights, number, from_card)


def _single(process: Process, ledger: Ledger) -> Mixture | None:
    """Return a material that is used as supplied: the one applied, or the only one there is."""
    applied = [
        step.material
        for step in process.steps
        if step.operation.name in APPLYING and step.material is not None
    ]
    cards = applied or [c for c in process.materials.values() if c.family is not Family.AUXILIARY]
    if len({card.key for card in cards}) != 1 or cards[0].family is Family.AUXILIARY:
        return None
    card = cards[0]
    component = Component(card.key, card, None, 1.0, _measured_density(card))
    if card.density is None:
        return Mixture("weight", (component,), (1.0,), None, False)
    density = ledger.add(
        "mixture.density",
        f"density of {card.name}",
        card.density.nominal_quantity,
        formulas.DENSITY_ON_CARD,
        (written(f"density of `{card.key}`", card.density, card.span),),
    )
    return Mixture("weight", (component,), (1.0,), density, True)


def _components(process: Process, ledger: Ledger) -> tuple[Component, ...]:
    ratio = process.ratio
    if ratio is None:
        raise LimitError("The definition has no ratio.")
    reference = ratio.parts[0]
    card = process.materials.get(reference.material)
    whole = float(reference.parts.nominal)
    first = Component(reference.material, card, reference, whole, _measured_density(card))
    return (first, *(_component(process, first, part) for part in ratio.parts[1:]))


def _component(process: Process, reference: Component, part: RatioPart) -> Component:
    card = process.materials.get(part.material)
    parts = _parts(part.parts, reference)
    return Component(
        part.material,
        card,
        part,
        nominal(parts),
        _measured_density(card),
        mass_ratio(parts, reference.parts),
        _on_card(reference.card, card),
    )


def _parts(value: Toleranced, reference: Component) -> Limits[float]:
    """Return parts as plain numbers; per cent are of the reference."""
    wrote_per_cent = reference.part is not None and reference.part.parts.unit == "%"
    factor = reference.parts / 100 if value.unit == "%" and not wrote_per_cent else 1.0
    sides = (
        None if side is None else float(side) * factor
        for side in (value.lower, value.target, value.upper)
    )
    return Limits(*sides)


def _measured_density(card: Material | None) -> Toleranced | None:
    """Return the density at which a material is measured out, air between the grains included."""
    if card is None:
        return None
    return card.bulk_density if card.form == "powder" else card.density


def _on_card(reference: Material | None, component: Material | None) -> CardRatio | None:
    """Return what the card of either says of the two."""
    if reference is None or component is None:
        return None
    for partner in reference.partners:
        if partner.material == component.id and partner.parts is not None:
            parts = scaled_ratio(_plain(partner.parts), 1 / PARTNER_PARTS)
            return CardRatio(reference, partner, parts)
    for partner in component.partners:
        if partner.material == reference.id and partner.parts is not None:
            return CardRatio(component, partner, _inverted(_plain(partner.parts)))
    return None


def _plain(value: Toleranced) -> Limits[float]:
    sides = (
        None if side is None else float(side) for side in (value.lower, value.target, value.upper)
    )
    return Limits(*sides)


def _inverted(parts: Limits[float]) -> Limits[float]:
    """Return 100 divided by parts, so that the limits change places."""
    low, target, high = (
        None if side is None else PARTNER_PARTS / side
        for side in (parts.upper, parts.target, parts.lower)
    )
    return Limits(low, target, high)


def _weights(by: str, components: Sequence[Component], ledger: Ledger) -> tuple[float, ...] | None:
    parts = [component.parts for component in components]
    if by == "weight":
        return tuple(parts)
    densities = [component.density for component in components]
    known = [density.nominal_quantity for density in densities if density is not None]
    if len(known) == len(parts):
        return parts_by_weight(parts, known)
    unknown = components[densities.index(None)]
    ledger.missing(
        "mixture.weights",
        f"the ratio is by volume, and the card of `{unknown.key}` does not say at what "
        f"{density_name(unknown)} it is measured out",
        f"add `{density_key(unknown)}` to the card, or write the ratio by weight",
        unknown.span,
    )
    return None


def density_key(component: Component) -> str:
    """Return the key of a card that tells at what density a component is measured out."""
    powder = component.card is not None and component.card.form == "powder"
    return "bulk_density" if powder else "density"


def density_name(component: Component) -> str:
    """Return that density in words."""
    return density_key(component).replace("_", " ")


def _density(
    by: str,
    components: Sequence[Component],
    weights: tuple[float, ...] | None,
    ledger: Ledger,
) -> tuple[Number[Quantity], bool] | None:
    on_card = components[1].on_card if len(components) == 2 else None
    if on_card is not None and on_card.partner.mixed_density is not None:
        value = on_card.partner.mixed_density
        inputs = (written("mixed density on the card", value, on_card.partner.span),)
        number = ledger.add(
            "mixture.density",
            "density of the mixture",
            value.nominal_quantity,
            formulas.DENSITY_ON_CARD,
            inputs,
            "The card gives it at the ratio of the card.",
        )
        return number, True
    return _ideal_density(by, components, weights, ledger)


def _ideal_density(
    by: str,
    components: Sequence[Component],
    weights: tuple[float, ...] | None,
    ledger: Ledger,
) -> tuple[Number[Quantity], bool] | None:
    lacking = next((c for c in components if c.card is None or c.card.density is None), None)
    if lacking is None and weights is None:
        lacking = next(c for c in components if c.density is None)
    if lacking is not None or weights is None:
        _no_density(lacking or components[0], ledger)
        return None
    densities = [
        component.card.density.nominal_quantity
        for component in components
        if component.card is not None and component.card.density is not None
    ]
    bulk = any(density_key(component) == "bulk_density" for component in components)
    parts = [component.parts for component in components]
    if by == "weight":
        value, formula = mixed_density(parts, densities), formulas.IDEAL_DENSITY
    elif bulk:
        value, formula = mixed_density(weights, densities), formulas.IDEAL_DENSITY_OF_BULK
    else:
        value = mixed_density_by_volume(parts, densities)
        formula = formulas.IDEAL_DENSITY_BY_VOLUME
    number = ledger.add(
        "mixture.density",
        "density of the mixture",
        value,
        formula,
        tuple(item for component in components for item in _density_inputs(by, component)),
        "Ideal mixing: no air, no change of volume. A measured density on the card counts first.",
    )
    return number, False


def _density_inputs(by: str, component: Component) -> Iterator[Input]:
    card, part = component.card, component.part
    if card is not None and card.density is not None:
        yield written(f"density of `{component.key}`", card.density, card.span)
    if card is not None and by == "volume" and card.bulk_density is not None:
        yield written(f"bulk density of `{component.key}`", card.bulk_density, card.span)
    if part is not None:
        yield written(f"parts of `{component.key}`", part.parts, component.span)


def _no_density(component: Component, ledger: Ledger) -> None:
    lacks_own = component.card is None or component.card.density is None
    key = "density" if lacks_own else density_key(component)
    ledger.missing(
        "mixture.density",
        f"neither a mixed density nor a {key.replace('_', ' ')} of `{component.key}` is on a card",
        f"add `mixed_density` under partners, or `{key}`, to the card",
        component.span,
    )
