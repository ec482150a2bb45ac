"""Cure profiles that contradict themselves or leave something open."""

from collections.abc import Iterator
from itertools import pairwise

from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Characteristic, Hold, Ramp, Segment, Step
from speccomp.quantities import Kind, QuantityError, Toleranced
from speccomp.rules.facts import Facts


def _value(characteristic: Characteristic | None) -> Toleranced | None:
    requirement = characteristic.requirement if characteristic else None
    return requirement if isinstance(requirement, Toleranced) else None


def _apart(first: Toleranced, second: Toleranced) -> bool:
    """Tell whether no value lies within the limits of both."""
    try:
        low, high = second.bounds_in(first.unit)
    except QuantityError:
        return False
    above = first.upper is not None and low is not None and low > first.upper
    below = first.lower is not None and high is not None and high < first.lower
    return above or below


def _pairs(facts: Facts) -> Iterator[tuple[Step, int, Segment, Segment]]:
    """Go through neighbouring segments; the number is that of the second, counted from 1."""
    for step in facts.process.steps:
        for number, (first, second) in enumerate(pairwise(step.profile), start=2):
            yield step, number, first, second


def missing_profile(facts: Facts) -> Iterator[Finding]:
    """
    A cure has no profile, so neither temperature nor time is stated.

    Why: drying too fast blisters the body, too short leaves water in it.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    for step in facts.process.steps:
        if step.operation.name != "cure" or step.profile:
            continue
        timed = any(
            isinstance(c.requirement, Toleranced) and c.requirement.kind is Kind.TIME
            for c in step.characteristics
        )
        if step.method != "oven" and timed:
            continue
        hold = "23 ± 3 degC, for: 18 to 24 h" if step.method == "ambient" else "…, for: …"
        yield Finding(
            Severity.ERROR,
            "step.missing-profile",
            step.span,
            f"`{step.id}` cures without a profile",
            f"add under profile, in order, `- hold: {{at: {hold}}}` and "
            "`- ramp: {to: …, at: at most …}`",
            subject=step.id,
        )


def ramp_at_ambient(facts: Facts) -> Iterator[Finding]:
    """
    A cure at ambient has a ramp, though nothing heats the part.

    Why: a profile that cannot be run is run in some other way.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: ambient
            do: Leave the parts on the rack.
            with: [thermometer, timer]
            profile:
              - hold: {at: 23 ± 3 degC, for: 18 to 24 h}
              - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    for step in facts.process.steps:
        if step.method != "ambient":
            continue
        for number, segment in enumerate(step.profile, start=1):
            if isinstance(segment, Ramp):
                to = _value(segment.to)
                yield Finding(
                    Severity.ERROR,
                    "step.ramp-at-ambient",
                    segment.span,
                    f"`{step.id}` cures at ambient, but segment {number} is a ramp to "
                    f"{to.text if to else 'another temperature'}",
                    "write `method: oven` with an oven under `with`, or move the ramp to an oven "
                    "cure of its own",
                    subject=step.id,
                )


def hold_off_ramp_end(facts: Facts) -> Iterator[Finding]:
    """
    A hold is at another temperature than the ramp before it ends at.

    Why: the step between the two is made at whatever rate the oven has.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 180 ± 5 degF, for: 4 to 5 h}
    """
    for step, number, first, second in _pairs(facts):
        if not (isinstance(first, Ramp) and isinstance(second, Hold)):
            continue
        end, start = _value(first.to), _value(second.at)
        if end and start and _apart(end, start):
            yield Finding(
                Severity.ERROR,
                "step.hold-off-ramp-end",
                second.span,
                f"hold {number} of `{step.id}` is at {start.text}, but the ramp before it ends "
                f"at {end.text}",
                "make the two temperatures the same, or add the ramp that leads to the hold",
                (Related(first.span, f"the ramp ends at {end.text}"),),
                step.id,
            )


def jump_between_holds(facts: Facts) -> Iterator[Finding]:
    """
    Two holds at different temperatures follow each other without a ramp.

    Why: without a limit on the rate the part heats as fast as the oven can, and water inside the
        body boils before it gets out.
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
              - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
              - ramp: {to: 150 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
    """
    for step, number, first, second in _pairs(facts):
        if not (isinstance(first, Hold) and isinstance(second, Hold)):
            continue
        one, other = _value(first.at), _value(second.at)
        if one and other and _apart(one, other):
            yield Finding(
                Severity.WARNING,
                "step.jump-between-holds",
                second.span,
                f"hold {number} of `{step.id}` is at {other.text} straight after one at "
                f"{one.text}, with no ramp between",
                f"add between them `- ramp: {{to: {other.text}, at: at most 1 K/min}}`, with a "
                "rate that the material stands",
                (Related(first.span, f"the hold at {one.text}"),),
                step.id,
            )


def ramp_without_upper_rate(facts: Facts) -> Iterator[Finding]:
    """
    A ramp has no upper limit on its rate.

    Why: a fast rise drives steam through a wet body and cracks a dry one.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: at least 1 K/min}
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    for step, characteristic in _segment_limits(facts, Ramp):
        rate = _value(characteristic)
        if rate and rate.is_limit and rate.upper is None:
            yield Finding(
                Severity.WARNING,
                "step.ramp-without-upper-rate",
                characteristic.span,
                f"the ramp is {rate.text}, so it may be as fast as the oven can",
                f"write `at most {rate.lower} {rate.unit}`, or a range",
                subject=step.id,
            )


def hold_without_minimum(facts: Facts) -> Iterator[Finding]:
    """
    A hold has no least time, so leaving it out would be within its limits.

    Why: the hold is there to get the water out; only its least time proves that it did.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: at most 5 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: at least 4 h}
    """
    for step, characteristic in _segment_limits(facts, Hold):
        time = _value(characteristic)
        if time and time.is_limit and not (time.lower or 0) > 0:
            yield Finding(
                Severity.ERROR,
                "step.hold-without-minimum",
                characteristic.span,
                f"the hold is {time.text}, which no time at all meets",
                "write a least time as well, for example `4 to 5 h`",
                subject=step.id,
            )


def _segment_limits(
    facts: Facts, kind: type[Hold] | type[Ramp]
) -> Iterator[tuple[Step, Characteristic]]:
    """Go through the times of all holds, or the rates of all ramps."""
    for step in facts.process.steps:
        for segment in step.profile:
            limit = segment.time if isinstance(segment, Hold) else segment.rate
            if isinstance(segment, kind) and limit is not None:
                yield step, limit
