"""Things that a definition declares and nothing uses, and names that hide others."""

from collections.abc import Iterator, Mapping
from typing import TypeVar

from speccomp.findings import Finding, Related, Severity
from speccomp.model.material import Family
from speccomp.model.shared import Reaction, Record
from speccomp.rules.facts import Facts

Plan = TypeVar("Plan", Reaction, Record)
# An auxiliary such as a solvent is used in these without being named as the step's material.
_WITH_AUXILIARY = frozenset({"clean", "prepare-surface", "demould", "dispose"})


def _own(declared: Mapping[str, Plan], plant: Mapping[str, Plan]) -> Iterator[Plan]:
    """Go through the plans that the definition declares itself."""
    for name, plan in declared.items():
        if plan is not plant.get(name):
            yield plan


def unused_material(facts: Facts) -> Iterator[Finding]:
    """
    A material is declared that neither the ratio nor a step uses.

    Why: it is listed among what the work needs, is fetched and stands on the bench.
    Source: common practice, no source.
    Bad:
        materials: {powder: powder.yaml, liquid: liquid.yaml, other: liquid.yaml}
    Good:
        materials: {powder: powder.yaml, liquid: liquid.yaml}
    """
    process = facts.process
    used = {step.material.key for step in process.steps if step.material}
    used |= {part.material for part in process.ratio.parts} if process.ratio else set()
    auxiliaries = any(step.operation.name in _WITH_AUXILIARY for step in process.steps)
    words = " ".join(action for step in process.steps for action in step.actions).lower()
    for key, material in process.materials.items():
        if key in used or (auxiliaries and material.family is Family.AUXILIARY):
            continue
        if key.replace("-", " ") not in words and material.name.lower() not in words:
            yield Finding(
                Severity.WARNING,
                "reference.unused-material",
                process.place("materials"),
                f"no step and no ratio uses the material `{key}`",
                f"delete `{key}`, or write `material: {key}` at the step that uses it",
                subject=key,
            )


def unused_reaction(facts: Facts) -> Iterator[Finding]:
    """
    A definition has a reaction plan that no check names.

    Why: a plan that nothing leads to is never followed; mostly the name at the check is another.
    Source: common practice, no source.
    Bad:
        reactions:
          discard: {title: Discard, do: Discard the batch., responsible: shift-lead}
    Good:
        reactions:
          discard: {title: Discard, do: Discard the batch., responsible: shift-lead}
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, reaction: discard}]
    """
    process = facts.process
    used = {step.reaction for step in process.steps}
    used |= {i.control.reaction.value for _, i in process.characteristics() if i.control.reaction}
    for reaction in _own(process.reactions, process.plant.reactions):
        if reaction.id not in used:
            yield Finding(
                Severity.WARNING,
                "reference.unused-reaction",
                reaction.span,
                f"no check names the reaction plan `{reaction.id}`",
                f"write `reaction: {reaction.id}` at a check, or delete it",
                subject=reaction.id,
            )


def unused_record(facts: Facts) -> Iterator[Finding]:
    """
    A definition has a record that no step and no check writes.

    Why: an auditor asks to see the forms that the document lists.
    Source: common practice, no source.
    Bad:
        records:
          cure-log: {title: Oven log, keep: 10 years}
    Good:
        records:
          cure-log: {title: Oven log, keep: 10 years}
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, record: cure-log}]
    """
    process = facts.process
    used = {name for step in process.steps for name in step.records}
    used |= {i.control.record.value for _, i in process.characteristics() if i.control.record}
    for record in _own(process.records, process.plant.records):
        if record.id not in used:
            yield Finding(
                Severity.WARNING,
                "reference.unused-record",
                record.span,
                f"no step and no check writes the record `{record.id}`",
                f"write `record: {record.id}` at a check or `record: [{record.id}]` at a step, "
                "or delete it",
                subject=record.id,
            )


def hides_plant(facts: Facts) -> Iterator[Finding]:
    """
    A reaction plan or record of the definition has the id of one of the plant.

    Why: the floor knows the plant's plan by that name and follows it, while the document prints
        another.
    Source: common practice, no source.
    Bad:
        reactions:
          hold-and-call: {title: Hold, do: Mark the batch., responsible: shift-lead}
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, reaction: hold-and-call}]
    Good:
        reactions:
          mark: {title: Hold, do: Mark the batch., responsible: shift-lead}
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, reaction: mark}]
    """
    process = facts.process
    both: list[tuple[Reaction | Record, Reaction | Record]] = [
        *((process.reactions[name], plan) for name, plan in process.plant.reactions.items()),
        *((process.records[name], plan) for name, plan in process.plant.records.items()),
    ]
    for own, theirs in both:
        if own is not theirs:
            yield Finding(
                Severity.WARNING,
                "reference.hides-plant",
                own.span,
                f"`{own.id}` of the definition takes the place of the plant's `{own.id}`",
                "give it an id of its own, or delete it and use the plant's",
                (Related(theirs.span, "the plant's one is here"),),
                own.id,
            )
