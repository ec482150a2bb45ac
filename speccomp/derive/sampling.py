"""Samples: what they show, and what a claim or a sampling plan asks for."""

from dataclasses import dataclass
from functools import cache, partial

from speccomp.calc.errors import RangeError
from speccomp.calc.rounding import whole_up
from speccomp.calc.sampling import (
    detected_fraction,
    detection_confidence,
    lot_detection_probability,
    lot_zero_acceptance_size,
    operating_characteristic,
    zero_acceptance_size,
)
from speccomp.calc.sampling_plans import Inspection, single_sampling_plan
from speccomp.derive import formulas
from speccomp.derive.model_values import as_fraction
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.model.process import Characteristic, Claim, Process, SamplePlan, Step
from speccomp.model.shared import NOWHERE
from speccomp.quantities import Kind, PrintUnits, print_value, quantity

USUAL_CONFIDENCE = 0.95
DETECTS_DIGITS = 3
SMALL_LOT = 10_000
"""Up to this size the lot is counted out; a larger one is taken as endless."""

PROBABILITIES = (0.95, 0.10)


@dataclass(frozen=True, slots=True)
class ClaimCheck:
    """A claim against its sample: the size that shows it and the confidence that is reached."""

    claim: Claim
    bad: float
    confidence: float
    needed: Number[int]
    reached: Number[float]


@dataclass(frozen=True, slots=True)
class PlanCheck:
    """
    The sampling plan that a code letter leads to.

    `points` are the fractions bad that are accepted with a probability of 95 % and of 10 %.
    """

    plan: SamplePlan
    letter: str
    size: Number[int]
    accept: Number[int]
    reject: Number[int]
    whole_lot: bool
    points: tuple[Number[float], ...]


@dataclass(frozen=True, slots=True)
class Sample:
    """
    A sample of one characteristic.

    `size` is None where every piece is looked at. `confidence` is that of the claim, 95 % without
    one; `detects` the fraction bad that a sample without a bad piece finds with it.
    """

    step: Step
    characteristic: Characteristic
    size: int | None
    confidence: float
    detects: Number[float] | None
    claim: ClaimCheck | None
    plan: PlanCheck | None


def derive_samples_taken(process: Process, ledger: Ledger) -> tuple[Sample, ...]:
    """Return what the samples of product characteristics, claims and plans show."""
    found = []
    for step, characteristic in process.characteristics():
        control = characteristic.control
        wanted = characteristic.product or control.claim or control.plan
        if not wanted or control.sample is None:
            continue
        size, whole = _size(control.sample.value)
        if size is None and not whole:
            continue
        work = partial(_sample, step, characteristic, size, ledger)
        found.append(ledger.attempt(_name(characteristic), characteristic.control.span, work))
    return tuple(sample for sample in found if sample is not None)


def _size(text: str) -> tuple[int | None, bool]:
    """Read a sample size; the second value tells that every piece is looked at."""
    bare = text.strip()
    if bare.replace(" ", "") == "100%":
        return None, True
    return (int(bare), False) if bare.isdecimal() and int(bare[:9]) > 0 else (None, False)


def _name(characteristic: Characteristic) -> str:
    return f"samples.{characteristic.id.replace('/', '.')}"


def _sample(step: Step, characteristic: Characteristic, size: int | None, ledger: Ledger) -> Sample:
    name, control = _name(characteristic), characteristic.control
    setting = control.sample
    source = Input("sample", setting.value if setting else "", setting.span if setting else NOWHERE)
    claim = None if control.claim is None else _claim(name, control.claim, size, source, ledger)
    confidence = claim.confidence if claim else USUAL_CONFIDENCE
    detects = None
    if size is not None:
        detects = ledger.add(
            f"{name}.detects",
            "fraction bad that the sample finds",
            detected_fraction(size, confidence),
            formulas.DETECTED_FRACTION,
            (source, Input("confidence", f"{confidence * 100:g} %")),
        )
    plan = None if control.plan is None else _plan(name, control.plan, ledger)
    return Sample(step, characteristic, size, confidence, detects, claim, plan)


def _claim(
    name: str, claim: Claim, size: int | None, source: Input, ledger: Ledger
) -> ClaimCheck | None:
    if claim.bad is None or claim.confidence is None:
        return None
    bad, confidence = as_fraction(claim.bad), as_fraction(claim.confidence)
    lot = claim.lot if claim.lot is not None and claim.lot <= SMALL_LOT else None
    inputs = (
        written("bad", claim.bad, claim.span),
        written("confidence", claim.confidence, claim.span),
        *(() if claim.lot is None else (Input("lot", str(claim.lot), claim.span),)),
    )
    if lot is None:
        needed = zero_acceptance_size(bad, confidence)
        reached = 1.0 if size is None else detection_confidence(size, bad)
    else:
        pieces = _bad_pieces(lot, bad)
        needed = lot_zero_acceptance_size(lot, pieces, confidence)
        taken = lot if size is None else min(size, lot)
        reached = lot_detection_probability(lot, pieces, taken)
    sizes = formulas.ZERO_ACCEPTANCE if lot is None else formulas.LOT_ZERO_ACCEPTANCE
    found = formulas.DETECTION if lot is None else formulas.LOT_DETECTION
    return ClaimCheck(
        claim,
        bad,
        confidence,
        ledger.add(f"{name}.needed", "sample that shows the claim", needed, sizes, inputs),
        ledger.add(
            f"{name}.reached", "confidence that is reached", reached, found, (*inputs, source)
        ),
    )


def _bad_pieces(lot: int, bad: float) -> int:
    if not 0 < bad < 1:
        raise RangeError(f"The fraction bad is {bad:g}; it must lie between 0 and 1.")
    return max(1, whole_up(lot * bad))


def _plan(name: str, plan: SamplePlan, ledger: Ledger) -> PlanCheck:
    if plan.inspection not in tuple(Inspection):
        raise RangeError(f"There are no plans for {plan.inspection} inspection here.")
    found = single_sampling_plan(plan.lot, plan.level, plan.aql, Inspection(plan.inspection))
    inputs = (
        Input("lot", str(plan.lot), plan.span),
        Input("inspection level", plan.level, plan.span),
        Input("AQL", f"{plan.aql:g} %", plan.span),
        Input("inspection", plan.inspection, plan.span),
    )

    def count(key: str, title: str, value: int) -> Number[int]:
        return ledger.add(f"{name}.plan-{key}", title, value, formulas.SAMPLING_PLAN, inputs)

    points: tuple[Number[float], ...] = ()
    if found.accept < found.size:
        points = tuple(
            ledger.add(
                f"{name}.accepted-at-{probability * 100:.0f}",
                f"fraction bad that is accepted with a probability of {probability * 100:.0f} %",
                bad,
                formulas.OPERATING_CHARACTERISTIC,
                inputs,
            )
            for probability, bad in zip(
                PROBABILITIES, _accepted(found.size, found.accept), strict=True
            )
        )
    return PlanCheck(
        plan,
        found.letter,
        count("size", "pieces to inspect", found.size),
        count("accept", "acceptance number", found.accept),
        count("reject", "rejection number", found.reject),
        found.whole_lot,
        points,
    )


@cache
def _accepted(size: int, accept: int) -> tuple[float, ...]:
    return operating_characteristic(size, accept, PROBABILITIES)


def sample_sentence(sample: Sample, units: PrintUnits) -> str:
    """
    Return what a sample shows, in the words of a quality engineer.

    The fraction bad is rounded up and the confidence is as it was written, so that the sentence
    never claims more than the sample shows.
    """
    if sample.size is None or sample.detects is None:
        return "every piece is looked at"
    bad = print_value(
        quantity(sample.detects.value, ""), Kind.FRACTION, units, DETECTS_DIGITS, "up"
    )
    claimed = sample.claim.claim.confidence if sample.claim else None
    confidence = (
        print_value(quantity(sample.confidence, ""), Kind.FRACTION, units, digits=2)
        if claimed is None
        else claimed.text.strip()
    )
    return f"n = {sample.size}, c = 0 finds a lot that is {bad} bad with {confidence} confidence"
