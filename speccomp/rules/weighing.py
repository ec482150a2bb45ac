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


def _instructed(facts: Facts) -> Iterator[tuple[ComponentWeighing, WeighingAt]]:
    """Go through the components at the masses that the steps state."""
    making = facts.derived.making
    for weighing in making.weighing if making else ():
        for at in weighing.at:
            if at.label == INSTRUCTED:
                yield weighing, at


def _step(weighed: Weighed) -> Step:
    return weighed.portions[0].step


def _mass_like(weighed: Weighed) -> Toleranced | None:
    """Return the mass that the author wrote for a component."""
    stated = weighed.portions[0].mass
    return stated[1] if stated else None


def _mass(facts: Facts, weighed: Weighed, value: Quantity, round_to: Direction = "nearest") -> str:
    return amount(facts, value, Kind.MASS, _mass_like(weighed), round_to)


def _error(facts: Facts, value: Quantity, weighed: Weighed, round_to: Direction = "nearest") -> str:
    like = weighed.portions[0].scale.permissible_error
    return f"±{amount(facts, value, Kind.MASS, like, round_to)}"


def _in_parts(balance: Balance, ratio: float) -> str:
    """Return a ratio by weight as the definition gives it: in parts, else in per cent of it."""
    component, reference = balance.own.component, balance.reference.component
    if component.ratio == component.by_weight:
        return f"{ratio * reference.parts:.4g}"
    target = component.by_weight.target if component.by_weight else None
    return f"{ratio:.4g}" if target is None else per_cent(ratio / target, 4)


def _allowed(balance: Balance) -> str:
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


def _described(balance: Balance) -> tuple[Related, ...]:
    scales = (
        Related(scale.span, f"`{name}` is described here")
        for name, scale in _scales(balance).items()
    )
    part = balance.own.component.part
    return (*scales, *((Related(part.span, "the ratio is here"),) if part else ()))


def _cure(facts: Facts, balance: Balance, at: WeighingAt) -> str:
    """Say from what mass these scales do, and what scale would do here."""
    reference = balance.reference
    least = _mass(facts, reference, balance.smallest_reference.value, "up")
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
    for weighing, at in _instructed(facts):
        balance = weighing.balance
        if at.exact is None and at.worst is not None:
            low, high = (_in_parts(balance, number.value) for number in at.worst)
            yield Finding(
                Severity.ERROR,
                "weigh.window-empty",
                _step(balance.own).span,
                f"{_mass(facts, balance.reference, at.reference.value)} of "
                f"`{balance.reference.component.key}` and the matching "
                f"`{balance.own.component.key}` can be mixed at anything from {low} to {high} with "
                f"{_with_errors(balance)}; {_allowed(balance)}",
                _cure(facts, balance, at),
                _described(balance),
                _step(balance.own).id,
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
    for weighing, at in _instructed(facts):
        balance, exact = weighing.balance, at.exact
        if at.window is not None or exact is None or exact.lower is None or exact.upper is None:
            continue
        scale = balance.own.portions[0].scale
        low, high = (_mass(facts, balance.own, side) for side in (exact.lower, exact.upper))
        step = amount(facts, balance.own.readability, Kind.MASS, scale.readability)
        least = _mass(facts, balance.reference, balance.smallest_reference.value, "up")
        yield Finding(
            Severity.ERROR,
            "weigh.window-below-readability",
            _step(balance.own).span,
            f"the ratio holds from {low} to {high} of `{balance.own.component.key}`, and "
            f"`{scale.id}` shows steps of {step}, none of them in between",
            f"weigh at least {least} of `{balance.reference.component.key}`, or use a scale with "
            "a finer display",
            _described(balance),
            _step(balance.own).id,
        )


def masses_off_ratio(facts: Facts) -> Iterator[Finding]:
    """
    The masses that the steps allow do not keep the ratio together.

    Why: each reading is within its own limit, and the mix is still off the ratio; the record
        looks right and the part is weak.
    Source: worst case of the limits and of the scales' errors, common practice, no source.
    Bad:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 200 ± 5 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 52 ± 1 g}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 200 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 52 ± 1 g}
    """
    for weighing, at in _instructed(facts):
        balance, stated, ratio = weighing.balance, weighing.stated, at.exact
        wanted = balance.own.component.by_weight
        if ratio is None or stated is None or wanted is None:
            continue
        low, high = stated.lowest, stated.highest
        below = low is not None and wanted.lower is not None and low.value < wanted.lower - 1e-12
        above = high is not None and wanted.upper is not None and high.value > wanted.upper + 1e-12
        if not (below or above):
            continue
        ends = " to ".join(_in_parts(balance, n.value) for n in (low, high) if n is not None)
        first, second = _mass_like(balance.reference), _mass_like(balance.own)
        yield Finding(
            Severity.WARNING,
            "weigh.masses-off-ratio",
            _step(balance.own).span,
            f"{first.text.strip() if first else ''} of `{balance.reference.component.key}` and "
            f"{second.text.strip() if second else ''} of `{balance.own.component.key}` together "
            f"allow {ends}; {_allowed(balance)}",
            _narrower(facts, balance, at),
            (
                Related(_step(balance.reference).span, "the other mass is stated here"),
                *_described(balance),
            ),
            _step(balance.own).id,
        )


def _narrower(facts: Facts, balance: Balance, at: WeighingAt) -> str:
    """Say which readings hold the ratio at every reading of the reference that is allowed."""
    rows = at.rows or ((at.window,) if at.window else ())
    lows = [row.lower.value for row in rows if row.lower is not None]
    highs = [row.upper.value for row in rows if row.upper is not None]
    if not lows or not highs or max(lows) > min(highs):
        return "narrow the limits of both masses, or let the operator use the weighing table"
    low, high = (_mass(facts, balance.own, side) for side in (max(lows), min(highs)))
    return f"narrow the limits, for example to {low} to {high} of `{balance.own.component.key}`"


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
