"""The components of the ratio: whether each is weighed or measured out, and can be checked."""

from collections.abc import Iterator

from speccomp.derive.mixture import density_key, density_name
from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import RatioPart, Step
from speccomp.quantities import Kind
from speccomp.rules.facts import Facts

_GIVING = frozenset({"weigh", "add"})


def not_weighed(facts: Facts) -> Iterator[Finding]:
    """
    The steps weigh or add some components of the ratio, and another one never.

    Why: nobody is told when and how much of it goes in, and its share of the mix rests on habit;
        the scales are checked against the ratio only for what a step weighs.
    Source: common practice, no source.
    Bad:
        # powder.yaml
        partners:
          - {material: potassium-silicate, by: weight, parts: 26 ± 2}
          - {material: cleaner, by: weight, parts: 2.0 ± 0.5}
        # definition.yaml
        ratio: {by: weight, powder: 100, liquid: 26 ± 1, cleaner: 2.0 ± 0.2}
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
    Good:
        # powder.yaml
        partners:
          - {material: potassium-silicate, by: weight, parts: 26 ± 2}
          - {material: cleaner, by: weight, parts: 2.0 ± 0.5}
        # definition.yaml
        ratio: {by: weight, powder: 100, liquid: 26 ± 1, cleaner: 2.0 ± 0.2}
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
          - id: weigh-cleaner
            operation: weigh
            material: cleaner
            do: Weigh the cleaner into the bowl.
            with: [bench-scale]
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    """
    given = _given(facts)
    parts = _shared_out(facts)
    known = [given[part.material] for part in parts if part.material in given]
    for part in parts if known else ():
        if part.material in given:
            continue
        others = ", ".join(f"`{step.id}`" for step in known)
        yield Finding(
            Severity.ERROR,
            "weigh.component-not-weighed",
            part.span,
            f"the ratio has {part.parts.text.strip()} of `{part.material}`, and no step weighs or "
            f"adds it beside {others}",
            f"add a step with `operation: weigh` and `material: {part.material}`, or take it out "
            "of the ratio",
            (Related(known[0].span, "another component is weighed here"),),
            part.material,
        )


def ratio_not_weighed(facts: Facts) -> Iterator[Finding]:
    """
    A batch is mixed by a ratio of which no step weighs, adds or dispenses any component.

    Why: the ratio is a limit that nobody is told to meet; neither the scales nor the masses are
        checked against it.
    Source: common practice, no source.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
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
    given, parts = _given(facts), _shared_out(facts)
    mix = next((step for step in facts.process.steps if step.operation.name == "mix"), None)
    if mix is None or not parts or any(part.material in given for part in parts):
        return
    names = ", ".join(f"`{part.material}`" for part in parts)
    yield Finding(
        Severity.WARNING,
        "weigh.ratio-not-weighed",
        mix.span,
        f"`{mix.id}` mixes by a ratio of {names}, and no step weighs or adds one of them",
        "add a step with `operation: weigh` for each, or name the dispenser that holds the ratio",
        (Related(parts[0].span, "the ratio is here"),),
        mix.id,
    )


def density_unknown(facts: Facts) -> Iterator[Finding]:
    """
    A scale or vessel is not checked against the ratio, because a card lacks a density.

    Why: parts by volume that are weighed, or parts by weight that are measured in a vessel, need
        the density at which a material is measured out, of a powder that with the air between its
        grains; a check that did not run must not look like one that passed.
    Source: definition of density; worst case of the limits of the density on the card.
    Bad:
        ratio: {by: volume, powder: 100, liquid: 60 ± 2}
    Good:
        # powder.yaml
        bulk_density: 1.60 ± 0.02 g/cm3
        # definition.yaml
        ratio: {by: volume, powder: 100, liquid: 60 ± 2}
    """
    making, ratio = facts.derived.making, facts.process.ratio
    for unchecked in making.unchecked if making else ():
        lacking, own, card = unchecked.lacking, unchecked.own, unchecked.lacking.component.card
        step, name = lacking.portions[0].step, density_key(lacking.component)
        if ratio is None or card is None:
            continue
        verb = "weighs" if lacking.kind is Kind.MASS else "measures out the volume of"
        yield Finding(
            Severity.WARNING,
            "ratio.density-unknown",
            own.component.span,
            f"the ratio is by {ratio.by}, `{step.id}` {verb} `{card.key}`, and its card gives no "
            f"{density_name(lacking.component)}; the readings of `{own.component.key}` are not "
            "checked",
            f"add `{name}: … g/cm3` with its tolerance to the card of `{card.key}`",
            (Related(card.span, "the card is here"), Related(step.span, "it is measured out here")),
            own.component.key,
        )


def _given(facts: Facts) -> dict[str, Step]:
    """Return the first step that weighs or adds a material, by material."""
    return {
        step.material.key: step
        for step in reversed(facts.process.steps)
        if step.operation.name in _GIVING and step.material is not None
    }


def _shared_out(facts: Facts) -> tuple[RatioPart, ...]:
    """Return the parts of the ratio that people give; none where a dispenser holds the ratio."""
    steps, ratio = facts.process.steps, facts.process.ratio
    metered = any(item.type == "dispenser" for step in steps for item in step.equipment)
    return () if ratio is None or metered else ratio.parts
