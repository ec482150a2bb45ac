"""Sizes of mixes against mixers, scales and the order."""

from collections.abc import Iterator

from speccomp.calc.potlife import ConstraintName
from speccomp.derive.mix_sizes import SizedMix
from speccomp.derive.mixer import MixerRange
from speccomp.derive.mixes import PartPlan
from speccomp.findings import Finding, Related, Severity, Span
from speccomp.quantities import Kind, Quantity
from speccomp.rules.amounts import amount
from speccomp.rules.facts import Facts


def _plans(facts: Facts) -> tuple[PartPlan, ...]:
    making = facts.derived.making
    return making.plans if making else ()


def _batch_span(facts: Facts) -> Span:
    batch = facts.process.batch
    return batch.span if batch else facts.process.span


def _own_sizes(facts: Facts) -> Iterator[tuple[PartPlan, SizedMix, Span]]:
    """Go through the sizes that the definition sets itself, with the place where it does."""
    for plan in _plans(facts):
        for sized in plan.sizes:
            if sized.listed:
                yield plan, sized, _batch_span(facts)
            elif sized.stated_by is not None:
                yield plan, sized, sized.stated_by.span


def _for_parts(plan: PartPlan, sized: SizedMix) -> str:
    return f"a mix for {sized.size.parts} {plan.needs.part.number}"


def below_smallest_mass(facts: Facts) -> Iterator[Finding]:
    """
    A mix is so small that the scales cannot hold its ratio.

    Why: the smaller the mix, the more the scale's error counts; below some mass no reading is
        right for certain.
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
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [5, 40]}
    Good:
        # plant.yaml
        equipment:
          bench-scale:
            type: scale
            name: Bench scale
            readability: 0.5 g
            permissible_error: 1 g
            capacity: 6 kg
        # definition.yaml
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [20, 40]}
    """
    making = facts.derived.making
    for plan, sized, span in _own_sizes(facts):
        for weighing in making.weighing if making else ():
            balance = weighing.balance
            here = [at for at in weighing.at if at.label == sized.size.label]
            if balance.smallest_mix is None or not here or here[0].window is not None:
                continue
            scale = balance.own.portions[0].instrument
            mass = amount(facts, sized.size.mass.value, Kind.MASS)
            least = amount(facts, balance.smallest_mix.value, Kind.MASS, None, "up")
            yield Finding(
                Severity.ERROR,
                "batch.below-smallest-mass",
                span,
                f"{_for_parts(plan, sized)} weighs {mass}; `{scale.id}` can hold the ratio of "
                f"`{balance.own.component.key}` from {least}",
                f"make mixes of at least {least}, or name a finer scale",
                (Related(scale.span, f"`{scale.id}` is described here"),),
                "batch",
            )


def order_too_small(facts: Facts) -> Iterator[Finding]:
    """
    The whole order is less than the scales or the mixer can handle.

    Why: there is no way to make so little with this equipment; somebody makes more and throws
        the rest away without a number for it.
    Source: common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          mixer: {type: mixer, name: Planetary mixer, range: 0.5 to 6 kg, speed: 40 to 120 rpm}
        # definition.yaml
        batch: {parts: 10, loss: 8 %, cycle_time: 20 s}
    Good:
        # plant.yaml
        equipment:
          mixer: {type: mixer, name: Planetary mixer, range: 0.5 to 6 kg, speed: 40 to 120 rpm}
        # definition.yaml
        batch: {parts: 60, loss: 8 %, cycle_time: 20 s}
    """
    least = (ConstraintName.MIXER_LEAST, ConstraintName.WEIGHING_LEAST)
    for plan in _plans(facts):
        if any(sized.listed for sized in plan.sizes):
            continue
        for limit in plan.broken:
            if limit.name not in least:
                continue
            mass = amount(facts, plan.smallest.size.mass.value, Kind.MASS)
            wanted = amount(facts, limit.limit, Kind.MASS, None, "up")
            what = (
                "the mixer works" if limit.name is ConstraintName.MIXER_LEAST else "the scales work"
            )
            yield Finding(
                Severity.ERROR,
                "batch.order-too-small",
                _batch_span(facts),
                f"{plan.ordered} {plan.needs.part.number} make mixes of {mass}, and {what} "
                f"from {wanted}",
                f"plan at least {limit.parts} parts for a mix, or name smaller equipment",
                (),
                "batch",
            )


def outside_mixer(facts: Facts) -> Iterator[Finding]:
    """
    A mix is outside the working range of the mixer.

    Why: too little is not reached by the beater and stays unmixed, too much climbs over the rim.
    Source: common practice, no source.
    Bad:
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [5, 40]}
    Good:
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [20, 40]}
    """
    making = facts.derived.making
    for mixer in making.mixers if making else ():
        wrong: list[tuple[str, Quantity, Span]] = []
        instructed = making.instructed if making else None
        if instructed is not None:
            wrong.append(("the mix that the steps weigh", instructed.value, mixer.step.span))
        wrong += [
            (_for_parts(plan, sized), sized.size.mass.value, span)
            for plan, sized, span in _own_sizes(facts)
            if sized.listed or instructed is None
        ]
        for what, mass, span in wrong:
            if not _outside(mixer, mass):
                continue
            limits = mixer.mixer.range
            yield Finding(
                Severity.ERROR,
                "batch.outside-mixer",
                span,
                f"{what} has {amount(facts, mass, Kind.MASS)}, and `{mixer.mixer.id}` mixes "
                f"{limits.text.strip() if limits else ''}",
                _other_size(facts, mixer, mass),
                (Related(mixer.mixer.span, f"`{mixer.mixer.id}` is described here"),),
                "batch" if span == _batch_span(facts) else mixer.step.id,
            )


def _outside(mixer: MixerRange, mass: Quantity) -> bool:
    low, high = mixer.least, mixer.most
    return (low is not None and bool(mass < low.value)) or (
        high is not None and bool(mass > high.value)
    )


def _other_size(facts: Facts, mixer: MixerRange, mass: Quantity) -> str:
    low, high = mixer.least, mixer.most
    if low is not None and mass < low.value:
        least = amount(facts, low.value, Kind.MASS, None, "up")
        return f"make at least {least}, or name a smaller mixer"
    if high is None:
        return "name another mixer"
    return (
        f"make at most {amount(facts, high.value, Kind.MASS, None, 'down')}, or name a larger mixer"
    )


def over_parts_per_mix(facts: Facts) -> Iterator[Finding]:
    """
    A size in the batch table is beyond the parts per mix that a step allows.

    Why: the sheet offers what the instruction forbids, and the sheet is what lies on the bench.
    Source: common practice, no source.
    Bad:
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [20, 80]}
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            limits: {parts per mix: {value: at most 60 parts, method: Count the parts}}
    Good:
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [20, 60]}
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            limits: {parts per mix: {value: at most 60 parts, method: Count the parts}}
    """
    making, batch = facts.derived.making, facts.process.batch
    stated = making.stated_parts if making else None
    if stated is None or batch is None:
        return
    for parts in batch.sizes:
        if parts > stated.parts:
            yield Finding(
                Severity.ERROR,
                "batch.over-parts-per-mix",
                batch.span,
                f"the batch table has a size of {parts} parts, and `{stated.limit.id}` allows "
                f"{stated.parts}",
                f"list sizes up to {stated.parts}, or correct the limit",
                (Related(stated.limit.span, "parts per mix are limited here"),),
                "batch",
            )


def fills_fewer_parts(facts: Facts) -> Iterator[Finding]:
    """
    The mix that the steps weigh does not fill the parts that one mix is said to be for.

    Why: the last parts are topped up from the next mix, or filled thin.
    Source: common practice, no source.
    Bad:
        batch: {parts: 120, loss: 8 %, cycle_time: 10 s}
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
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            limits: {parts per mix: {value: at most 40 parts, method: Count the parts}}
    Good:
        batch: {parts: 120, loss: 8 %, cycle_time: 10 s}
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
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            limits: {parts per mix: {value: at most 14 parts, method: Count the parts}}
    """
    making = facts.derived.making
    stated = making.stated_parts if making else None
    if making is None or making.instructed is None or stated is None:
        return
    for number, filled in making.instructed_parts.items():
        if filled.value < stated.parts:
            mass = amount(facts, making.instructed.value, Kind.MASS)
            yield Finding(
                Severity.WARNING,
                "batch.fills-fewer-parts",
                stated.limit.span,
                f"one mix is for up to {stated.parts} parts, and the {mass} that the steps weigh "
                f"fill {filled.value} {number} at the largest fill volume",
                f"weigh more, or write `at most {filled.value} parts`",
                (Related(_batch_span(facts), "loss and order are here"),),
                stated.limit.id,
            )
