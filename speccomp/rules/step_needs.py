"""What a step has to say, by its operation, so that it can be done and judged."""

from collections.abc import Iterator

from speccomp.findings import Finding, Severity
from speccomp.model.operations import LIMIT_KINDS, Need
from speccomp.model.process import Step
from speccomp.quantities import KINDS, Toleranced
from speccomp.rules.facts import Facts

Group = tuple[str, ...]

# Examples of the size the limit has at a bench, where that of its kind would mislead.
_TYPICAL = {
    "mixing time": "3 to 5 min",
    "rolling time": "8 to 10 min",
    "vacuum time": "5 to 8 min",
    "rest time": "10 to 15 min",
    "immersion time": "5 to 10 s",
    "jolting time": "60 ± 3 s",
    "storage temperature": "5 to 30 degC",
    "material temperature": "22 ± 4 degC",
    "part temperature": "at most 45 degC",
    "absolute pressure": "at most 5 kPa",
    "pot pressure": "150 ± 20 kPa",
    "atomising pressure": "200 ± 20 kPa",
    "layer thickness": "0.2 to 0.4 mm",
    "strokes": "60 strokes",
}


def meets(step: Step, group: Group) -> bool:
    """Tell whether a step has at least one of what a group of needs names."""
    return any(_has(step, need) for need in group)


def _has(step: Step, need: str) -> bool:
    values = [c.requirement for c in step.characteristics]
    match need:
        case Need.ANY_LIMIT:
            return any(isinstance(value, Toleranced) for value in values)
        case Need.LOOK_FOR:
            return any(isinstance(value, str) for value in values)
        case Need.PROFILE:
            return bool(step.profile)
        case Need.RECORD:
            return bool(step.records) or any(c.control.record for c in step.characteristics)
        case Need():
            return any(item.type == need for item in step.equipment)
        case _:
            return _has_limit(step, need)


def _has_limit(step: Step, name: str) -> bool:
    """Tell whether a limit has the name, or is of its kind under a name of the author's own."""
    kind = LIMIT_KINDS.get(name)
    for characteristic in step.characteristics:
        value, own = characteristic.requirement, characteristic.name.lower()
        if isinstance(value, Toleranced) and (
            own == name or (value.kind is kind and own not in LIMIT_KINDS)
        ):
            return True
    return False


def _gaps(facts: Facts) -> Iterator[tuple[Step, Group]]:
    for step in facts.process.steps:
        for group in step.operation.needs:
            if not meets(step, group):
                yield step, group


def _limit_names(group: Group) -> list[str]:
    return [name for name in group if not isinstance(name, Need)]


def _advice(names: list[str]) -> str:
    kind = LIMIT_KINDS.get(names[0])
    example = _TYPICAL.get(names[0]) or (KINDS[kind].example if kind else "…")
    return f"add under limits, for example `{names[0]}: {example}`"


def missing_limit(facts: Facts) -> Iterator[Finding]:
    """
    A step lacks a limit that its operation cannot do without.

    Why: a vacuum, a pressure or a storage temperature that nobody states is set by habit, and
        differs from shift to shift.
    Source: ISO 9001:2015, 8.5.1 a: the results to be achieved are stated (from memory).
    Bad:
        steps:
          - id: store
            operation: store
            do: Put the containers on the shelf.
            limits: {storage humidity: at most 60 % RH}
    Good:
        steps:
          - id: store
            operation: store
            do: Put the containers on the shelf.
            with: [thermometer]
            limits: {storage temperature: 10 to 30 degC}
    """
    for step, group in _gaps(facts):
        names = _limit_names(group)
        if names and len(names) == len(group) and names != ["mass", "amount"]:
            yield Finding(
                Severity.ERROR,
                "step.missing-limit",
                step.span,
                f"`{step.id}` has no limit on {' or '.join(names)}, "
                f"which the operation `{step.operation.name}` needs",
                _advice(names),
                subject=step.id,
            )


def no_end_condition(facts: Facts) -> Iterator[Finding]:
    """
    A step does not say when it is over: neither a time nor something to look for.

    Why: a mix that is stopped too early holds dry lumps, one that goes on eats the pot life.
    Source: common practice, no source.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer]
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    """
    for step, group in _gaps(facts):
        names = _limit_names(group)
        if names and Need.LOOK_FOR in group:
            yield Finding(
                Severity.ERROR,
                "step.no-end-condition",
                step.span,
                f"`{step.id}` does not say when it is done: it has no limit on "
                f"{' or '.join(names)}, and nothing to look for",
                f"{_advice(names)}, or under look_for what it must look like",
                subject=step.id,
            )


def nothing_judged(facts: Facts) -> Iterator[Finding]:
    """
    A step has neither a limit nor something to look for, so nobody can say it was done right.

    Why: work without an acceptance criterion cannot be inspected, and the control plan has no row
        for it.
    Source: ISO 9001:2015, 8.5.1 a and c: characteristics are defined and monitored (from memory).
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    for step, group in _gaps(facts):
        if Need.ANY_LIMIT in group:
            yield Finding(
                Severity.ERROR,
                "step.nothing-judged",
                step.span,
                f"`{step.id}` has neither a limit nor anything to look for",
                "add under look_for `{what: …, accept: …}`, or a value under limits",
                subject=step.id,
            )


def missing_record(facts: Facts) -> Iterator[Finding]:
    """
    A step that ends in a record names none.

    Why: a lot that was received without a record cannot be traced to the parts it went into.
    Source: ISO/TR 10013:2001, 4.5.2: records that the work makes are named.
    Bad:
        steps:
          - {id: close, operation: record, do: Complete the records of the batch.}
    Good:
        steps:
          - id: close
            operation: record
            do: Complete the records of the batch.
            record: [batch-record]
    """
    for step, group in _gaps(facts):
        if Need.RECORD in group:
            known = ", ".join(facts.process.records)
            yield Finding(
                Severity.ERROR,
                "step.missing-record",
                step.span,
                f"`{step.id}` names no record, which the operation `{step.operation.name}` needs",
                f"add `record: […]` with one of: {known}",
                subject=step.id,
            )


def missing_mass(facts: Facts) -> Iterator[Finding]:
    """
    A material is weighed, but neither the step nor the ratio says how much.

    Why: the ratio of the mixture decides strength and pot life.
    Source: common practice, no source.
    Bad:
        steps:
          - id: weigh-cleaner
            operation: weigh
            material: cleaner
            do: Weigh the cleaner into the beaker.
            with: [bench-scale]
    Good:
        steps:
          - id: weigh-cleaner
            operation: weigh
            material: cleaner
            do: Weigh the cleaner into the beaker.
            with: [bench-scale]
            limits: {mass: 250 ± 5 g}
    """
    ratio = facts.process.ratio
    shares = {part.material for part in ratio.parts} if ratio else set()
    for step, group in _gaps(facts):
        if _limit_names(group) != ["mass", "amount"] or step.material is None:
            continue
        if step.material.key not in shares:
            yield Finding(
                Severity.ERROR,
                "step.missing-mass",
                step.span,
                f"`{step.id}` does not say how much `{step.material.key}` is weighed, "
                "and the ratio does not either",
                f"add under limits `mass: 26 ± 1 g`, or `{step.material.key}` to the ratio",
                subject=step.id,
            )
