"""Samples: whether they show what is claimed, and follow the plan that is named."""

from collections.abc import Iterator

from speccomp.derive.sampling import Sample
from speccomp.findings import Finding, Severity
from speccomp.quantities import Toleranced
from speccomp.rules.amounts import per_cent
from speccomp.rules.facts import Facts


def cannot_show_claim(facts: Facts) -> Iterator[Finding]:
    """
    A sample is too small to show what is claimed for it.

    Why: a lot that must not go unseen goes unseen more often than the claim says.
    Source: success-run theorem, binomial with none found; of a lot that is counted, the
        hypergeometric distribution.
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            limits:
              seal length:
                value: 80 ± 1 mm
                gauge: caliper
                sample: 5
                claim: {bad: 10 %, confidence: 95 %}
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            limits:
              seal length:
                value: 80 ± 1 mm
                gauge: caliper
                sample: 29
                claim: {bad: 10 %, confidence: 95 %}
    """
    for sample in facts.derived.sampling:
        claim, item = sample.claim, sample.characteristic
        if claim is None or sample.size is None or sample.size >= claim.needed.value:
            continue
        lot = f" of {claim.claim.lot}" if claim.claim.lot else ""
        yield Finding(
            Severity.ERROR,
            "sampling.cannot-show-claim",
            claim.claim.span,
            f"a sample of {sample.size} finds a lot{lot} that is {_written(claim.claim.bad)} bad "
            f"with {per_cent(claim.reached.value, round_to='down')} confidence, not "
            f"{_written(claim.claim.confidence)}",
            f"write `sample: {claim.needed.value}`{_shows(sample)}",
            subject=item.id,
        )


def _shows(sample: Sample) -> str:
    if sample.detects is None:
        return ""
    return f"; {sample.size} pieces show {per_cent(sample.detects.value, round_to='up')} bad"


def _written(value: Toleranced | None) -> str:
    return value.text.strip() if value else ""


def larger_than_lot(facts: Facts) -> Iterator[Finding]:
    """
    A sample is larger than the lot it is taken from.

    Why: one of the two numbers is wrong; the record will have empty lines.
    Source: arithmetic.
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            limits:
              seal length:
                value: 80 ± 1 mm
                gauge: caliper
                sample: 50
                claim: {bad: 10 %, confidence: 95 %, lot: 40}
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            limits:
              seal length:
                value: 80 ± 1 mm
                gauge: caliper
                sample: 30
                claim: {bad: 10 %, confidence: 95 %, lot: 40}
    """
    for sample in facts.derived.sampling:
        claim = sample.claim
        lot = claim.claim.lot if claim else None
        if sample.size is not None and claim is not None and lot is not None and sample.size > lot:
            yield Finding(
                Severity.ERROR,
                "sampling.larger-than-lot",
                claim.claim.span,
                f"the sample is {sample.size} pieces, and the lot has {lot}",
                "write `sample: 100 %`, or correct the lot",
                subject=sample.characteristic.id,
            )


def plan_mismatch(facts: Facts) -> Iterator[Finding]:
    """
    The sample size is another than the one of the sampling plan that is named.

    Why: the plan protects producer and customer only at its own sample size. Normal and tightened
        inspection are looked up; reduced inspection is not offered.
    Source: MIL-STD-105E, Tables I, II-A and II-B (ISO 2859-1 has the same plans).
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            limits:
              seal length:
                value: 80 ± 1 mm
                gauge: caliper
                sample: 5
                plan: {lot: 120, level: II, aql: 1.0}
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            limits:
              seal length:
                value: 80 ± 1 mm
                gauge: caliper
                sample: 13
                plan: {lot: 120, level: II, aql: 1.0}
    """
    for sample in facts.derived.sampling:
        plan, size = sample.plan, sample.size
        if plan is None or size is None or size == plan.size.value:
            continue
        wanted = "100 %" if plan.whole_lot else str(plan.size.value)
        yield Finding(
            Severity.ERROR,
            "sampling.plan-mismatch",
            sample.characteristic.control.sample.span
            if sample.characteristic.control.sample
            else plan.plan.span,
            f"the sample is {size}, and the plan for a lot of {plan.plan.lot} at level "
            f"{plan.plan.level} and AQL {plan.plan.aql:g} % is letter {plan.letter}: "
            f"n = {plan.size.value}, Ac = {plan.accept.value}, Re = {plan.reject.value}",
            f"write `sample: {wanted}`, or correct the plan",
            subject=sample.characteristic.id,
        )
