"""What every row of the control plan has to have."""

from collections.abc import Iterator

from speccomp.findings import Finding, Severity, Span
from speccomp.model.process import Characteristic, Step
from speccomp.model.technique import measured_kinds, technique_of
from speccomp.quantities import Toleranced
from speccomp.rules.facts import Facts
from speccomp.rules.step_equipment import lacking_equipment


def no_technique(facts: Facts) -> Iterator[Finding]:
    """
    A limit has no gauge and no method, and nothing in its step measures it.

    Why: a limit that nobody can measure is a wish.
    Source: IATF 16949:2016, Annex A: evaluation and measurement technique; ISO 9001:2015,
        8.5.1 b (from memory).
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer]
            limits: {mixing time: 3 to 5 min}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer]
            limits:
              mixing time: {value: 3 to 5 min, gauge: timer}
    """
    for step, item in facts.process.characteristics():
        requirement = item.requirement
        if isinstance(requirement, str) or technique_of(step, item) is not None:
            continue
        # A step without its scale or oven has been reported for that already.
        if not lacking_equipment(step):
            yield Finding(
                Severity.ERROR,
                "control.no-technique",
                item.span,
                f"nothing in `{step.id}` measures {item.name}, {requirement.text}",
                _gauges(facts, requirement),
                subject=item.id,
            )


def _gauges(facts: Facts, requirement: Toleranced) -> str:
    fitting = [
        item.id
        for item in facts.process.plant.equipment.values()
        if item.type in ("gauge", "timer", "thermometer", "scale")
        and requirement.kind in (measured_kinds(item) or ())
    ]
    if fitting:
        return f"add `gauge: {fitting[0]}` to the limit or `{fitting[0]}` to `with`"
    return "add a gauge for it to the plant file, or `method: …` to the limit"


def _lacking(facts: Facts, key: str) -> Iterator[tuple[Step, Characteristic, Span]]:
    """Go through the limits whose control lacks a setting; the two of a segment share theirs."""
    seen: set[Span] = set()
    for step, item in facts.process.characteristics():
        if getattr(item.control, key) is None and item.control.span not in seen:
            seen.add(item.control.span)
            yield step, item, item.span


def _advice(example: str) -> str:
    return f"add `{example}` here, or to control_defaults in the plant file"


def no_sample(facts: Facts) -> Iterator[Finding]:
    """
    A check does not say how many are looked at, and the plant file has no default.

    Why: one inspector looks at one piece and the next at ten.
    Source: IATF 16949:2016, Annex A: sample size and frequency.
    Bad:
        # plant.yaml
        control_defaults:
          {every: batch, reaction: hold-and-call, responsible: operator, record: batch-record}
    Good:
        # plant.yaml
        control_defaults:
          sample: 1
          every: batch
          reaction: hold-and-call
          responsible: operator
          record: batch-record
    """
    for step, item, span in _lacking(facts, "sample"):
        # The sample of an inspection by a claim or a plan follows from it.
        if item.control.claim or item.control.plan:
            continue
        yield Finding(
            Severity.ERROR,
            "control.no-sample",
            span,
            f"{item.name} in `{step.id}` has no sample size",
            _advice("sample: 1"),
            subject=item.id,
        )


def no_frequency(facts: Facts) -> Iterator[Finding]:
    """
    A check does not say how often it is made, and the plant file has no default.

    Why: a limit without a frequency is checked when somebody thinks of it.
    Source: IATF 16949:2016, Annex A: sample size and frequency.
    Bad:
        # plant.yaml
        control_defaults:
          {sample: 1, reaction: hold-and-call, responsible: operator, record: batch-record}
    Good:
        # plant.yaml
        control_defaults:
          sample: 1
          every: batch
          reaction: hold-and-call
          responsible: operator
          record: batch-record
    """
    for step, item, span in _lacking(facts, "every"):
        yield Finding(
            Severity.ERROR,
            "control.no-frequency",
            span,
            f"{item.name} in `{step.id}` has no frequency",
            _advice("every: batch"),
            subject=item.id,
        )


def no_reaction(facts: Facts) -> Iterator[Finding]:
    """
    A check does not say what is done when the result is outside its limit.

    Why: without a reaction plan the bad batch is used while somebody is being asked.
    Source: IATF 16949:2016, Annex A and 9.1.1.1: reaction plan.
    Bad:
        # plant.yaml
        control_defaults: {sample: 1, every: batch, responsible: operator, record: batch-record}
    Good:
        # plant.yaml
        control_defaults:
          sample: 1
          every: batch
          reaction: hold-and-call
          responsible: operator
          record: batch-record
    """
    for step, item, span in _lacking(facts, "reaction"):
        yield Finding(
            Severity.ERROR,
            "control.no-reaction",
            span,
            f"{item.name} in `{step.id}` has no reaction plan",
            _advice("reaction: …") + f"; known: {', '.join(facts.process.reactions) or 'none'}",
            subject=item.id,
        )


def no_responsible(facts: Facts) -> Iterator[Finding]:
    """
    A check does not say which role makes it.

    Why: a check that is everybody's is nobody's.
    Source: common practice, no source.
    Bad:
        # plant.yaml
        control_defaults: {sample: 1, every: batch, reaction: hold-and-call, record: batch-record}
    Good:
        # plant.yaml
        control_defaults:
          sample: 1
          every: batch
          reaction: hold-and-call
          responsible: operator
          record: batch-record
    """
    for step, item, span in _lacking(facts, "responsible"):
        yield Finding(
            Severity.ERROR,
            "control.no-responsible",
            span,
            f"{item.name} in `{step.id}` has no role that checks it",
            _advice("responsible: …") + f"; known: {', '.join(facts.process.plant.roles)}",
            subject=item.id,
        )


def no_record(facts: Facts) -> Iterator[Finding]:
    """
    A check does not say where its result is written down.

    Why: a result that is not recorded cannot be shown to a customer or compared with the next.
    Source: IATF 16949:2016, 9.1.1.1: actual values are recorded.
    Bad:
        # plant.yaml
        control_defaults: {sample: 1, every: batch, reaction: hold-and-call, responsible: operator}
    Good:
        # plant.yaml
        control_defaults:
          sample: 1
          every: batch
          reaction: hold-and-call
          responsible: operator
          record: batch-record
    """
    for step, item, span in _lacking(facts, "record"):
        yield Finding(
            Severity.ERROR,
            "control.no-record",
            span,
            f"{item.name} in `{step.id}` has no record for its result",
            _advice("record: …") + f"; known: {', '.join(facts.process.records) or 'none'}",
            subject=item.id,
        )
