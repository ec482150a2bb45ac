"""Materials against their cards: ratio, partners, declarations."""

from collections.abc import Iterator

from speccomp.calc.limits import Limits
from speccomp.derive.mixture import CardRatio, Component, Mixture
from speccomp.findings import Finding, Related, Severity
from speccomp.model.material import Family
from speccomp.rules.facts import Facts

_CLOSE = 1e-9


def _mixtures(facts: Facts) -> Iterator[tuple[Mixture, Component]]:
    """Go through the components of a ratio beside the reference."""
    making = facts.derived.making
    if making is not None:
        for component in making.mixture.others:
            yield making.mixture, component


def _on_card(known: CardRatio) -> tuple[Related, ...]:
    return (Related(known.partner.span, f"the card of `{known.card.key}` says so"),)


def _card_says(known: CardRatio) -> str:
    parts = known.partner.parts.text.strip() if known.partner.parts else ""
    return f"{parts} parts of `{known.partner.material}` to 100 by {known.partner.by}"


def ratio_outside_card(facts: Facts) -> Iterator[Finding]:
    """
    The ratio allows more or less of a component than the card does.

    Why: outside the maker's ratio the data sheet says nothing: too much liquid costs strength,
        too little leaves dry pockets.
    Source: the card of the material.
    Bad:
        ratio: {by: weight, powder: 100, liquid: 30 ± 1}
    Good:
        ratio: {by: weight, powder: 100, liquid: 27 ± 1}
    """
    for mixture, component in _mixtures(facts):
        known = component.on_card
        if known is None or component.ratio is None or known.partner.by != mixture.measured_by:
            continue
        if _inside(component.ratio, known.parts):
            continue
        part = component.part
        yield Finding(
            Severity.ERROR,
            "ratio.outside-card",
            component.span,
            f"the ratio is {part.parts.text.strip() if part else ''} of `{component.key}` to "
            f"{mixture.reference.parts:g} of `{mixture.reference.key}`, and the card of "
            f"`{known.card.key}` allows {_card_says(known)}",
            "keep the ratio inside the card's limits, or have the other ratio qualified",
            _on_card(known),
            "ratio",
        )


def _inside(ratio: Limits[float], card: Limits[float]) -> bool:
    """Tell whether all that a ratio allows is allowed by the card; a bare target allows itself."""
    low, high = _ends(ratio)
    if card.lower is None and card.upper is None and card.target is not None:
        # A card that gives no tolerance says what to aim at, and leaves the tolerance open.
        aim = ratio.target if ratio.target is not None else card.target
        holds = (low is None or low <= card.target) and (high is None or card.target <= high)
        return abs(aim - card.target) <= _CLOSE * card.target and holds
    above = card.lower is None or (low is not None and low >= card.lower * (1 - _CLOSE))
    below = card.upper is None or (high is not None and high <= card.upper * (1 + _CLOSE))
    return above and below


def _ends(limits: Limits[float]) -> tuple[float | None, float | None]:
    if limits.lower is None and limits.upper is None:
        return limits.target, limits.target
    return limits.lower, limits.upper


def ratio_other_basis(facts: Facts) -> Iterator[Finding]:
    """
    The ratio is by volume and the card's by weight, or the other way round.

    Why: 26 parts by weight of a liquid are about 63 by volume to a packed powder; the two numbers
        are mixed up easily.
    Source: common practice, no source.
    Bad:
        ratio: {by: volume, powder: 100, liquid: 26 ± 1}
    Good:
        ratio: {by: weight, powder: 100, liquid: 26 ± 1}
    """
    for mixture, component in _mixtures(facts):
        known = component.on_card
        if known is not None and known.partner.by != mixture.measured_by:
            yield Finding(
                Severity.WARNING,
                "ratio.other-basis",
                component.span,
                f"the ratio is by {mixture.measured_by}, and the card of `{known.card.key}` gives "
                f"{_card_says(known)}",
                f"write the ratio by {known.partner.by}, so that it can be set against the card",
                _on_card(known),
                "ratio",
            )


def ratio_partner_not_on_card(facts: Facts) -> Iterator[Finding]:
    """
    A material is mixed with one that its card does not name as a partner.

    Why: a powder mixed with the wrong liquid sets late, never, or with heat and gas.
    Source: the card of the material.
    Bad:
        # powder.yaml
        partners: [{material: phosphate-liquid, by: weight, parts: 30 ± 2}]
    Good:
        # powder.yaml
        partners: [{material: potassium-silicate, by: weight, parts: 26 ± 2}]
    """
    for mixture, component in _mixtures(facts):
        cards = [card for card in (mixture.reference.card, component.card) if card is not None]
        listing = next((card for card in cards if card.partners), None)
        if component.on_card is not None or listing is None or component.card is None:
            continue
        names = ", ".join(f"`{partner.material}`" for partner in listing.partners)
        yield Finding(
            Severity.ERROR,
            "ratio.partner-not-on-card",
            component.span,
            f"`{mixture.reference.key}` is mixed with `{component.key}` "
            f"(`{component.card.id}`), and the card of `{listing.key}` names only {names}",
            "use a partner of the card, or add this one under `partners` with its source",
            (Related(listing.partners[0].span, "the partners are listed here"),),
            "ratio",
        )


def ratio_no_partner_data(facts: Facts) -> Iterator[Finding]:
    """
    No card says in what ratio two materials are mixed, so the ratio is not checked.

    Why: a ratio that is typed wrong looks like any other.
    Source: common practice, no source.
    Bad:
        ratio: {by: weight, liquid: 100, cleaner: 5 ± 1}
    Good:
        ratio: {by: weight, powder: 100, liquid: 26 ± 1}
    """
    for mixture, component in _mixtures(facts):
        cards = [card for card in (mixture.reference.card, component.card) if card is not None]
        if cards and not any(card.partners for card in cards):
            yield Finding(
                Severity.NOTE,
                "ratio.no-partner-data",
                component.span,
                f"no card says in what ratio `{mixture.reference.key}` and `{component.key}` are "
                "mixed, so the ratio is not checked",
                "add `partners` to the card of the powder or base",
                (),
                "ratio",
            )


def declaration_missing(facts: Facts) -> Iterator[Finding]:
    """
    A card lacks a declaration that the plant requires of every material.

    Why: customers ask for it, and a part is not shipped without it.
    Source: common practice, no source; the plant's own list.
    Bad:
        # plant.yaml
        required_declarations: [rohs]
    Good:
        # plant.yaml
        required_declarations: [rohs]
        # powder.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
        # liquid.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
        # cleaner.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
    """
    plant = facts.process.plant
    for card in facts.process.materials.values():
        stated = {declaration.id for declaration in card.declarations}
        absent = [name for name in plant.required_declarations if name not in stated]
        if absent:
            yield Finding(
                Severity.ERROR,
                "declaration.missing",
                card.span,
                f"the card of `{card.key}` does not declare {', '.join(absent)}",
                "add to `declarations` the status, its date and its evidence",
                (Related(plant.span, "the plant requires it of every card"),),
                card.key,
            )


def declaration_negative(facts: Facts) -> Iterator[Finding]:
    """
    A material does not conform to a declaration that the plant requires.

    Why: the part that is made of it does not conform either.
    Source: common practice, no source; the plant's own list.
    Bad:
        # plant.yaml
        required_declarations: [rohs]
        # powder.yaml
        declarations: {rohs: {status: does not conform, date: 2025-05-12, evidence: Maker's letter}}
        # liquid.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
        # cleaner.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
    Good:
        # plant.yaml
        required_declarations: [rohs]
        # powder.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
        # liquid.yaml
        declarations: {rohs: {status: conforms, date: 2025-05-12, evidence: Maker's letter}}
        # cleaner.yaml
        declarations: {rohs: {status: not applicable, date: 2025-05-12, evidence: Not shipped}}
    """
    required = facts.process.plant.required_declarations
    for card in facts.process.materials.values():
        if card.family is Family.AUXILIARY:
            continue
        for declaration in card.declarations:
            if declaration.id in required and declaration.status == "does not conform":
                yield Finding(
                    Severity.WARNING,
                    "declaration.negative",
                    card.span,
                    f"`{card.key}` does not conform to {declaration.id} "
                    f"({declaration.evidence.strip()})",
                    "use another material, or tell the customer in writing",
                    subject=card.key,
                )
