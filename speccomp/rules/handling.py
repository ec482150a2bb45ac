"""Handling of a mix: reblending, order of addition, waiting, and what must not come too early."""

from collections.abc import Iterator

from speccomp.derive.measuring import amount_of
from speccomp.derive.mixture import APPLYING, Component
from speccomp.findings import Finding, Related, Severity
from speccomp.model.material import Family, Material
from speccomp.model.process import Process, Step
from speccomp.rules.facts import Facts

_USING = frozenset({"weigh", "add", *APPLYING})
_STIRRING = frozenset({"reblend", "mix"})


def reblend_missing(facts: Facts) -> Iterator[Finding]:
    """
    A material that comes apart in its container is used without having been reblended.

    Why: fines rise or settle on the road; the first batch gets what the last one lacks.
    Source: the card of the material.
    Bad:
        # powder.yaml
        segregates: true
    Good:
        # powder.yaml
        segregates: true
        # definition.yaml
        steps:
          - id: reblend
            operation: reblend
            material: powder
            do: Roll the closed container.
            with: [timer]
            limits: {rolling time: 8 to 10 min}
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
    """
    blended: set[str] = set()
    for step in facts.process.steps:
        card = step.material
        if card is None:
            continue
        if step.operation.name in _STIRRING:
            blended.add(card.key)
        elif step.operation.name in _USING and card.segregates and card.key not in blended:
            blended.add(card.key)
            yield Finding(
                Severity.ERROR,
                "reblend.missing",
                step.span,
                f"`{step.id}` uses `{card.key}`, which comes apart in its container, and no step "
                "before it reblends it",
                f"add before it a step with `operation: reblend` and `material: {card.key}`",
                (Related(card.span, "the card says that it segregates"),),
                step.id,
            )


def _added_at(process: Process, key: str) -> tuple[int, Step] | None:
    """Return the step by which a material gets into the container: its addition or weighing."""
    for name in ("add", "weigh"):
        for number, step in enumerate(process.steps):
            if step.operation.name == name and step.material and step.material.key == key:
                return number, step
    return None


def addition_reversed(facts: Facts) -> Iterator[Finding]:
    """
    The components go into the container in another order than the card says.

    Why: powder that lands on liquid closes over dry pockets that no mixer opens.
    Source: the card of the material; where it does not say, the material of the card goes first
        (common practice, no source).
    Bad:
        # powder.yaml
        partners: [{material: potassium-silicate, by: weight, parts: 26 ± 2, first: this}]
        # definition.yaml
        steps:
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
    Good:
        # powder.yaml
        partners: [{material: potassium-silicate, by: weight, parts: 26 ± 2, first: this}]
        # definition.yaml
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
    """
    making = facts.derived.making
    for component in making.mixture.others if making else ():
        known, order = component.on_card, _order(facts, component)
        if known is None or order is None:
            continue
        first, second = order
        wanted = known.partner.material if known.partner.partner_first else known.card.id
        if first.material is not None and first.material.id != wanted:
            yield Finding(
                Severity.ERROR,
                "order.addition-reversed",
                first.span,
                f"`{first.id}` comes before `{second.id}`, and by the card of `{known.card.key}` "
                f"`{wanted}` goes into the container first",
                f"move `{second.id}` in front of `{first.id}`",
                (Related(known.partner.span, "the card says which goes first"),),
                first.id,
            )


def _order(facts: Facts, component: Component) -> tuple[Step, Step] | None:
    """Return the steps that bring the reference and a component, in the order of the work."""
    making = facts.derived.making
    if making is None:
        return None
    found = [_added_at(facts.process, key) for key in (making.mixture.reference.key, component.key)]
    known = sorted((place for place in found if place), key=lambda place: place[0])
    return (known[0][1], known[1][1]) if len(known) == 2 else None


def retempering(facts: Facts) -> Iterator[Finding]:
    """
    A liquid is added to a mix that is complete, or that is already being used.

    Why: liquid beyond the ratio buys low viscosity with strength; a mix that has begun to set
        never binds again.
    Source: common practice, no source.
    Bad:
        materials: {powder: powder.yaml, liquid: liquid.yaml, cleaner: cleaner.yaml}
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
          - id: thin
            operation: add
            material: liquid
            do: Add a spoon of liquid to the rest of the mix.
            look_for: [{what: consistency, accept: Paste runs off the spatula}]
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    shares = {part.material for part in facts.process.ratio.parts} if facts.process.ratio else set()
    mixed: Step | None = None
    applied = False
    weighed: set[str] = set()
    for step in facts.process.steps:
        operation, card = step.operation.name, step.material
        if operation == "weigh" and card is not None:
            weighed.add(card.key)
        if operation == "mix":
            mixed, applied = step, False
        elif operation in APPLYING:
            applied = mixed is not None
        elif operation == "add" and mixed is not None and card is not None:
            beyond = card.form == "liquid" and card.key not in shares
            again = card.form == "liquid" and card.key in weighed and amount_of(step) is not None
            if not (beyond or applied or again):
                continue
            why = (
                "which is not in the ratio" if beyond else "of which the ratio has all it asks for"
            )
            why = "while the mix is being used" if applied else why
            yield Finding(
                Severity.ERROR,
                "mix.retempering",
                step.span,
                f"`{step.id}` adds `{card.key}` after `{mixed.id}`, {why}",
                "put everything in before mixing ends, and discard a mix that stiffens",
                (Related(mixed.span, "the batch is mixed here"),),
                step.id,
            )


def wait_uncovered(facts: Facts) -> Iterator[Finding]:
    """
    A paste that dries in air, or a mix on its way to the part, waits without a cover.

    Why: it skins over; the skin goes into the part as a lump that does not bond.
    Source: common practice, no source.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: rest
            operation: rest
            do: Let the paste rest in the bowl.
            with: [timer]
            limits: {rest time: 4 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: rest
            operation: rest
            do: Let the paste rest in the closed bowl.
            with: [timer]
            covered: true
            limits: {rest time: 4 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    for step, what in _waiting(facts):
        if not step.covered:
            said = "uncovered" if step.covered is False else "and nothing says that it is covered"
            yield Finding(
                Severity.ERROR,
                "wait.uncovered",
                step.span,
                f"{what} waits in `{step.id}`, {said}",
                "write `covered: true`, and say in the actions with what",
                subject=step.id,
            )


def _waiting(facts: Facts) -> Iterator[tuple[Step, str]]:
    """Go through the steps in which a mix, or a paste that dries in air, waits to be applied."""
    making = facts.derived.making
    alone = making.mixture.reference.card if making and not making.mixture.others else None
    steps = facts.process.steps
    in_pot = f"`{alone.key}`, which dries in air," if alone and _dries_in_air(alone) else ""
    for number, step in enumerate(steps):
        operation = step.operation.name
        if operation == "mix":
            in_pot = "the mix"
        elif operation in APPLYING:
            in_pot = ""
        elif operation == "rest" and in_pot:
            if any(other.operation.name in APPLYING for other in steps[number + 1 :]):
                yield step, in_pot
        elif operation == "store" and step.covered is False and _dries_in_air(step.material):
            yield step, f"`{step.material.key if step.material else ''}`, which dries in air,"


def _dries_in_air(card: Material | None) -> bool:
    return card is not None and card.family is Family.AIR
