"""Weighing: whether the scales can hold the ratio, and whether the stated masses do."""

from collections.abc import Iterator

from speccomp.derive.measuring import Measured, Portion, amount_of, instrument_of
from speccomp.derive.model_values import greatest
from speccomp.derive.scales import Balance
from speccomp.derive.stated_masses import INSTRUCTED
from speccomp.derive.weighing import ComponentWeighing, WeighingAt
from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Step
from speccomp.quantities import Direction, Kind, Quantity, Toleranced
from speccomp.rules.amounts import amount
from speccomp.rules.facts import Facts


def instructed(facts: Facts) -> Iterator[tuple[ComponentWeighing, WeighingAt]]:
    """Go through the components at the amounts that the steps state."""
    making = facts.derived.making
    for weighing in making.weighing if making else ():
        for at in weighing.at:
            if at.label == INSTRUCTED:
                yield weighing, at


def first_step(measured: Measured) -> Step:
    """Return the first step that weighs or measures out a component."""
    return measured.portions[0].step


def stated_like(measured: Measured) -> Toleranced | None:
    """Return the amount that the author wrote for a component."""
    stated = measured.portions[0].amount
    return stated[1] if stated else None


def reading_of(
    facts: Facts, measured: Measured, value: Quantity, round_to: Direction = "nearest"
) -> str:
    """Return an amount of a component in the unit that the author wrote it in."""
    return amount(facts, value, measured.kind, stated_like(measured), round_to)


def _error(
    facts: Facts, value: Quantity, measured: Measured, round_to: Direction = "nearest"
) -> str:
    like = measured.portions[0].error
    return f"±{amount(facts, value, measured.kind, like, round_to)}"


def in_parts(balance: Balance, ratio: float) -> str:
    """Return a ratio as the definition gives it, in parts."""
    return f"{ratio * balance.reference.component.parts:.4g}"


def allowed_ratio(balance: Balance) -> str:
    """Say what the ratio allows, as it is written."""
    part = balance.own.component.part
    return f"the ratio allows {part.parts.text.strip()}" if part else "the ratio allows less"


def _portions(balance: Balance) -> dict[str, Portion]:
    """Return one portion for each scale or vessel, by its name."""
    both = (*balance.reference.portions, *balance.own.portions)
    return {portion.instrument.id: portion for portion in both}


def _with_errors(balance: Balance) -> str:
    known = " and ".join(
        f"`{name}` (±{portion.error.text.strip()})" for name, portion in _portions(balance).items()
    )
    densities = " and the limits of the densities" if balance.converted else ""
    return f"{known}{densities}"


def described(balance: Balance) -> tuple[Related, ...]:
    """Point at the scales and the ratio."""
    scales = (
        Related(portion.instrument.span, f"`{name}` is described here")
        for name, portion in _portions(balance).items()
    )
    part = balance.own.component.part
    return (*scales, *((Related(part.span, "the ratio is here"),) if part else ()))


def _cure(facts: Facts, balance: Balance, at: WeighingAt) -> str:
    """Say from what amount these scales do, and what scale would do here."""
    reference = balance.reference
    least = reading_of(facts, reference, balance.smallest_reference.value, "up")
    verb = "weigh" if reference.kind is Kind.MASS else "measure out"
    hint = f"{verb} at least {least} of `{reference.component.key}` on these scales"
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
                f"{reading_of(facts, balance.reference, at.reference.value)} of "
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
        balance, lower, upper = weighing.balance, at.exact_lower, at.exact_upper
        if at.window is not None or lower is None or upper is None:
            continue
        scale = balance.own.portions[0]
        low, high = (reading_of(facts, balance.own, side) for side in (lower.value, upper.value))
        step = amount(facts, balance.own.readability, balance.own.kind, scale.step_size)
        least = reading_of(facts, balance.reference, balance.smallest_reference.value, "up")
        yield Finding(
            Severity.ERROR,
            "weigh.window-below-readability",
            first_step(balance.own).span,
            f"the ratio holds from {low} to {high} of `{balance.own.component.key}`, and "
            f"`{scale.instrument.id}` shows steps of {step}, none of them in between",
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
        scale, limit = instrument_of(step), amount_of(step)
        if step.operation.name != "weigh" or limit is None or scale is None:
            continue
        capacity = scale.capacity
        if (
            capacity is not None
            and limit[1].kind is Kind.MASS
            and greatest(limit[1]) > greatest(capacity)
        ):
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
