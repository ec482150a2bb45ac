"""Weighing: whether the scales can hold the ratio, and whether the stated masses do."""

from collections.abc import Iterator

from speccomp.derive.model_values import greatest, limit_named
from speccomp.derive.scales import Balance, Weighed, scale_of
from speccomp.derive.stated_masses import INSTRUCTED
from speccomp.derive.weighing import ComponentWeighing, WeighingAt
from speccomp.findings import Finding, Related, Severity
from speccomp.model.plant import Equipment
from speccomp.model.process import Step
from speccomp.quantities import Direction, Kind, Quantity, Toleranced
from speccomp.rules.amounts import amount, per_cent
from speccomp.rules.facts import Facts


def instructed(facts: Facts) -> Iterator[tuple[ComponentWeighing, WeighingAt]]:
    """Go through the components at the masses that the steps state."""
    making = facts.derived.making
    for weighing in making.weighing if making else ():
        for at in weighing.at:
            if at.label == INSTRUCTED:
                yield weighing, at


def first_step(weighed: Weighed) -> Step:
    """Return the first step that weighs a component."""
    return weighed.portions[0].step


def stated_like(weighed: Weighed) -> Toleranced | None:
    """Return the mass that the author wrote for a component."""
    stated = weighed.portions[0].mass
    return stated[1] if stated else None


def mass_of(
    facts: Facts, weighed: Weighed, value: Quantity, round_to: Direction = "nearest"
) -> str:
    """Return a mass of a component in the unit that the author wrote it in."""
    return amount(facts, value, Kind.MASS, stated_like(weighed), round_to)


def _error(facts: Facts, value: Quantity, weighed: Weighed, round_to: Direction = "nearest") -> str:
    like = weighed.portions[0].scale.permissible_error
    return f"±{amount(facts, value, Kind.MASS, like, round_to)}"


def in_parts(balance: Balance, ratio: float) -> str:
    """Return a ratio by weight as the definition gives it: in parts, else in per cent of it."""
    component, reference = balance.own.component, balance.reference.component
    if component.ratio == component.by_weight:
        return f"{ratio * reference.parts:.4g}"
    target = component.by_weight.target if component.by_weight else None
    return f"{ratio:.4g}" if target is None else per_cent(ratio / target, 4)


def allowed_ratio(balance: Balance) -> str:
    """Say what the ratio allows, as it is written."""
    part = balance.own.component.part
    return f"the ratio allows {part.parts.text.strip()}" if part else "the ratio allows less"


def _scales(balance: Balance) -> dict[str, Equipment]:
    weighed = (balance.reference, balance.own)
    return {portion.scale.id: portion.scale for item in weighed for portion in item.portions}


def _with_errors(balance: Balance) -> str:
    return " and ".join(
        f"`{name}` (±{scale.permissible_error.text.strip()})"
        for name, scale in _scales(balance).items()
        if scale.permissible_error is not None
    )


def described(balance: Balance) -> tuple[Related, ...]:
    """Point at the scales and the ratio."""
    scales = (
        Related(scale.span, f"`{name}` is described here")
        for name, scale in _scales(balance).items()
    )
    part = balance.own.component.part
    return (*scales, *((Related(part.span, "the ratio is here"),) if part else ()))


def _cure(facts: Facts, balance: Balance, at: WeighingAt) -> str:
    """Say from what mass these scales do, and what scale would do here."""
    reference = balance.reference
    least = mass_of(facts, reference, balance.smallest_reference.value, "up")
    hint = f"weigh at least {least} of `{reference.component.key}` on these scales"
    if at.largest_error is not None:
        scale = "a scale" if balance.same_scale else f"for `{balance.own.component.key}` a scale"
        error = _error(facts, at.largest_error.value, balance.own, "down")
        hint += f", or use {scale} with an error of {error} or less"
    return hint


def window_empty(facts: Facts) -> Iterator[Finding]:
    """
    At the masses stated, no reading of the scales holds the ratio.

    Why: the scales' errors alone can put the ratio out of its limits, whatever the operator does;
        liquid beyond the ratio costs strength, too little leaves dry pockets.
    Source: worst case of the scales' permissible errors, common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          bench-scale:
            type: scale
            name: Bench scale
            readability: 0.5 g
            permissible_error: 1 g
            capacity: 6 kg
        # definition.yaml
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 100 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 26.0 ± 0.5 g}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 100 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 26.0 ± 0.5 g}
    """
    for weighing, at in instructed(facts):
        balance = weighing.balance
        if at.exact is None and at.worst is not None:
            low, high = (in_parts(balance, number.value) for number in at.worst)
            yield Finding(
                Severity.ERROR,
                "weigh.window-empty",
                first_step(balance.own).span,
                f"{mass_of(facts, balance.reference, at.reference.value)} of "
                f"`{balance.reference.component.key}` and the matching "
                f"`{balance.own.component.key}` can be mixed at anything from {low} to {high} with "
                f"{_with_errors(balance)}; {allowed_ratio(balance)}",
                _cure(facts, balance, at),
                described(balance),
                first_step(balance.own).id,
            )


def window_below_readability(facts: Facts) -> Iterator[Finding]:
    """
    The window in which the ratio holds is narrower than the step of the display.

    Why: the scale could weigh it, but shows no number inside the limits.
    Source: common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          bench-scale:
            type: scale
            name: Bench scale
            readability: 2 g
            permissible_error: 0.5 g
            capacity: 6 kg
        # definition.yaml
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 104 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 27.0 ± 0.1 g}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 104.0 ± 0.4 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 27.0 ± 0.2 g}
    """
    for weighing, at in instructed(facts):
        balance, exact = weighing.balance, at.exact
        if at.window is not None or exact is None or exact.lower is None or exact.upper is None:
            continue
        scale = balance.own.portions[0].scale
        low, high = (mass_of(facts, balance.own, side) for side in (exact.lower, exact.upper))
        step = amount(facts, balance.own.readability, Kind.MASS, scale.readability)
        least = mass_of(facts, balance.reference, balance.smallest_reference.value, "up")
        yield Finding(
            Severity.ERROR,
            "weigh.window-below-readability",
            first_step(balance.own).span,
            f"the ratio holds from {low} to {high} of `{balance.own.component.key}`, and "
            f"`{scale.id}` shows steps of {step}, none of them in between",
            f"weigh at least {least} of `{balance.reference.component.key}`, or use a scale with "
            "a finer display",
            described(balance),
            first_step(balance.own).id,
        )


def over_capacity(facts: Facts) -> Iterator[Finding]:
    """
    A mass to weigh is beyond the capacity of the scale.

    Why: an overloaded scale shows nothing or shows wrong, and it is often damaged.
    Source: common practice, no source.
    Bad:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 8.0 ± 0.1 kg}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 4.0 ± 0.1 kg}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
    """
    for step in facts.process.steps:
        scale = scale_of(step)
        limit = limit_named(step, "mass", "amount", kind=Kind.MASS)
        if step.operation.name != "weigh" or limit is None or scale is None:
            continue
        capacity = scale.capacity
        if capacity is not None and greatest(limit[1]) > greatest(capacity):
            yield Finding(
                Severity.ERROR,
                "weigh.over-capacity",
                limit[0].span,
                f"`{step.id}` weighs {limit[1].text.strip()} on `{scale.id}`, which carries "
                f"{capacity.text.strip()}",
                "weigh in portions, each a step of its own, or name another scale; the container "
                "counts as well",
                (Related(scale.span, f"`{scale.id}` is described here"),),
                limit[0].id,
            )
