"""The equipment that a step names, against what its operation uses."""

from collections.abc import Iterator, Sequence

from speccomp.findings import Finding, Related, Severity
from speccomp.model.operations import Need
from speccomp.model.process import Step
from speccomp.rules.facts import Facts
from speccomp.rules.step_needs import Group, meets

_EQUIPMENT = frozenset(
    {Need.SCALE, Need.MIXER, Need.TOOL, Need.MOULD, Need.SPRAYER, Need.VACUUM_CHAMBER}
)
# What a method needs beside what its operation needs.
_BY_METHOD: dict[tuple[str, str], Group] = {
    ("cure", "oven"): ("oven",),
    ("dispense", "metered"): ("dispenser",),
    ("dispense", "air-powered"): ("dispenser",),
}
_FILLING = ("apply", "dispense", "dip", "compact", "assemble", "cast-discs")
# Operations in which equipment of a type makes sense; types left out can be used anywhere.
_USED_IN: dict[str, frozenset[str]] = {
    "mixer": frozenset({"weigh", "add", "mix", "reblend", "de-air", "condition", "clean"}),
    "oven": frozenset(
        {"cure", "cool", "condition", "store", "rest", "prepare-surface", "assemble", "demould"}
        | {"inspect", "test", "check-discs", "clean"}
    ),
    "vacuum-chamber": frozenset(
        {"de-air", "mix", "rest", "store", "cure", "cool", "inspect", "test", "clean", *_FILLING}
    ),
    "sprayer": frozenset({"spray", "clean", "prepare-surface"}),
    "dispenser": frozenset({"mix", "add", "weigh", "clean", *_FILLING}),
}


def lacking_equipment(step: Step) -> Sequence[Group]:
    """Return the groups of equipment types of which a step names none but needs one."""
    groups = [group for group in step.operation.needs if _EQUIPMENT.issuperset(group)]
    by_method = _BY_METHOD.get((step.operation.name, step.method))
    if by_method and not any(item.type in by_method for item in step.equipment):
        return [by_method]
    return [group for group in groups if not meets(step, group)]


def _known(facts: Facts, types: Group) -> str:
    names = [item.id for item in facts.process.plant.equipment.values() if item.type in types]
    if names:
        return f"add to `with` one of: {', '.join(names)}"
    return f"describe one with `type: {types[0]}` in the plant file, and name it under `with`"


def missing_equipment(facts: Facts) -> Iterator[Finding]:
    """
    A step does not name the scale, mixer, oven or other equipment that its operation needs.

    Why: which scale, which oven decides whether the limits can be held at all.
    Source: ISO 9001:2015, 8.5.1 d: the infrastructure is stated (from memory).
    Bad:
        steps:
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
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
    """
    for step in facts.process.steps:
        for types in lacking_equipment(step):
            words = " or ".join(name.replace("-", " ") for name in types)
            method = f" by `{step.method}`" if step.method else ""
            yield Finding(
                Severity.ERROR,
                "step.missing-equipment",
                step.span,
                f"`{step.id}` names no {words} under `with`, "
                f"which the operation `{step.operation.name}`{method} needs",
                _known(facts, types),
                subject=step.id,
            )


def odd_equipment(facts: Facts) -> Iterator[Finding]:
    """
    A step names equipment of a type that its operation does not use.

    Why: a line copied from another step sends the operator to the wrong machine, and the checks
        of that machine's range look at the wrong work.
    Source: common practice, no source.
    Bad:
        steps:
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale, oven]
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
    """
    for step in facts.process.steps:
        for item in step.equipment:
            used = _USED_IN.get(item.type)
            if used is not None and step.operation.name not in used:
                yield Finding(
                    Severity.WARNING,
                    "step.odd-equipment",
                    step.span,
                    f"`{step.id}` names `{item.id}`, and the operation `{step.operation.name}` "
                    f"does not use a {item.type.replace('-', ' ')}",
                    f"delete `{item.id}` from `with`, or correct the operation",
                    (Related(item.span, "the equipment is described here"),),
                    step.id,
                )


def oven_at_ambient(facts: Facts) -> Iterator[Finding]:
    """
    A cure at ambient names an oven.

    Why: an operator who finds an oven in the step heats the part; a wet body that is heated early
        blisters.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: ambient
            do: Leave the parts on the rack.
            with: [oven]
            profile:
              - hold: {at: 23 ± 3 degC, for: 18 to 24 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: ambient
            do: Leave the parts on the rack.
            with: [thermometer, timer]
            profile:
              - hold: {at: 23 ± 3 degC, for: 18 to 24 h}
    """
    for step in facts.process.steps:
        if step.operation.name != "cure" or step.method != "ambient":
            continue
        for item in step.equipment:
            if item.type == "oven":
                yield Finding(
                    Severity.WARNING,
                    "step.oven-at-ambient",
                    step.span,
                    f"`{step.id}` cures at ambient and yet names the oven `{item.id}`",
                    f"write `method: oven`, or delete `{item.id}` from `with`",
                    subject=step.id,
                )
