"""Steps in an order in which the work cannot be done."""

from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Process, Step
from speccomp.rules.facts import Facts

_APPLYING = frozenset({"apply", "dispense", "dip", "spray", "compact"})


def _first(process: Process, *operations: str) -> int | None:
    """Return the place of the first step with one of the operations."""
    places = (n for n, step in enumerate(process.steps) if step.operation.name in operations)
    return next(places, None)


def _of_mixture(process: Process, step: Step) -> bool:
    shares = {part.material for part in process.ratio.parts} if process.ratio else set()
    return step.material is None or step.material.key in shares


def mix_before_weigh(facts: Facts) -> Iterator[Finding]:
    """
    A material of the ratio is weighed only after the batch has been mixed.

    Why: nothing is added once mixing has ended; an order that was pasted wrongly gets followed.
    Source: common practice, no source.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
    Good:
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
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    """
    process = facts.process
    mixed = _first(process, "mix")
    if mixed is None or process.ratio is None:
        return
    shares = {part.material for part in process.ratio.parts}
    before, after = process.steps[:mixed], process.steps[mixed + 1 :]
    ready = {step.material.key for step in before if step.material}
    # What is added to a running mix is weighed after its first stage.
    added = {step.material.key for step in after if step.material and step.operation.name == "add"}
    for step in after:
        material = step.material.key if step.material else ""
        if step.operation.name == "weigh" and material in shares - ready - added:
            ready.add(material)
            yield Finding(
                Severity.ERROR,
                "order.mix-before-weigh",
                step.span,
                f"`{step.id}` weighs `{material}` after `{process.steps[mixed].id}` has mixed it",
                f"move `{step.id}` in front of `{process.steps[mixed].id}`",
                (Related(process.steps[mixed].span, "the batch is mixed here"),),
                step.id,
            )


def apply_before_mix(facts: Facts) -> Iterator[Finding]:
    """
    The mixture is applied before the first step that mixes it, and not after.

    Why: an order that was pasted wrongly gets followed.
    Source: common practice, no source.
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
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
    process = facts.process
    mixed = _first(process, "mix")
    applied = [
        place
        for place, step in enumerate(process.steps)
        if step.operation.name in _APPLYING and _of_mixture(process, step)
    ]
    # With a mixing nozzle each part is run alone before the mix, and the mixture after it.
    if mixed is None or not applied or applied[-1] > mixed:
        return
    step, mix = process.steps[applied[0]], process.steps[mixed]
    yield Finding(
        Severity.WARNING,
        "order.apply-before-mix",
        step.span,
        f"`{step.id}` applies the mixture before `{mix.id}` mixes it, and no step does after",
        f"move `{step.id}` behind `{mix.id}`, or name its `material` if it is another one",
        (Related(mix.span, "the first mix is here"),),
        step.id,
    )


def cure_before_apply(facts: Facts) -> Iterator[Finding]:
    """
    The first cure comes before anything is applied.

    Why: there is nothing yet to cure; an order that was pasted wrongly gets followed.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    process = facts.process
    applied = _first(process, *_APPLYING, "assemble", "cast-discs")
    cured = _first(process, "cure")
    if applied is None or cured is None or applied < cured:
        return
    cure, fill = process.steps[cured], process.steps[applied]
    yield Finding(
        Severity.WARNING,
        "order.cure-before-apply",
        cure.span,
        f"`{cure.id}` cures before `{fill.id}`, the first step that applies anything",
        f"move `{cure.id}` behind `{fill.id}`; to bake parts out beforehand, write "
        "`operation: prepare-surface`",
        (Related(fill.span, "the first application is here"),),
        cure.id,
    )


def discs_checked_before_cast(facts: Facts) -> Iterator[Finding]:
    """
    Discs are checked without a step before it that casts them.

    Why: discs from the same batch, cured beside the parts, are the evidence for the batch; discs
        of another batch prove nothing.
    Source: common practice, no source.
    Bad:
        steps:
          - id: look-at-discs
            operation: check-discs
            do: Look at the edge of each disc.
            look_for: [{what: disc edge, accept: No gap to the mould}]
    Good:
        steps:
          - id: cast
            operation: cast-discs
            do: Fill the disc mould level with its rim.
            with: [disc-mould, caliper]
            limits: {discs: 3 to 5, disc diameter: 50 ± 1 mm, disc thickness: 6 ± 1 mm}
          - id: look-at-discs
            operation: check-discs
            do: Look at the edge of each disc.
            look_for: [{what: disc edge, accept: No gap to the mould}]
    """
    process = facts.process
    cast = _first(process, "cast-discs")
    checked = _first(process, "check-discs")
    if checked is not None and (cast is None or cast > checked):
        step = process.steps[checked]
        yield Finding(
            Severity.WARNING,
            "order.discs-checked-before-cast",
            step.span,
            f"`{step.id}` checks discs, but no step before it casts any",
            "add a step with `operation: cast-discs` behind the mix",
            subject=step.id,
        )
