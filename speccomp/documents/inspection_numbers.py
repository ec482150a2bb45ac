"""What samples show, readings that decide, discs and specimens."""

from collections.abc import Iterator, Mapping, Sequence

from speccomp.derive import Number
from speccomp.derive.disc_limits import DiscLimit, MassLossLimit
from speccomp.derive.gauges import GaugeFit, steps_of
from speccomp.derive.model_values import greatest
from speccomp.derive.sampling import DETECTS_DIGITS, Sample, sample_sentence
from speccomp.derive.specimens import SpecimenCheck
from speccomp.documents.figure_views import FigureView
from speccomp.documents.number_print import Printer, span
from speccomp.documents.views import CharacteristicView, Table
from speccomp.documents.words import equipment_name, printed, sentence_case
from speccomp.model.process import Process
from speccomp.quantities import Direction, Kind, Quantity

Shown = Mapping[str, CharacteristicView]
_NONE = "–"


def build_decisions(process: Process, fits: Sequence[GaugeFit], shown: Shown) -> FigureView | None:
    """
    Return the readings that decide about the product at one step.

    Only where the uncertainty of the gauge moves a limit by at least one step of its display.
    """
    printer = Printer(process.plant.units)
    rows = []
    for fit in fits:
        step = _moved(fit)
        if fit.characteristic.product and step is not None and fit.can_accept:
            view = shown[fit.characteristic.id]
            rows.append((f"{view.name} ({view.number})", *_decision(printer, fit, step)))
    if not rows:
        return None
    columns = ("Characteristic", "Accept", "Reject", "Gauge")
    table = Table(columns, tuple(rows), (), "Readings that decide")
    note = "The uncertainty of the gauge is in it: between accept and reject it cannot judge."
    return printer.figure("check", table, (note,), (), (1,))


def _moved(fit: GaugeFit) -> Quantity | None:
    """Return the step of the display if the uncertainty is at least as large."""
    resolution, uncertainty = steps_of(fit.gauge, fit.requirement.kind)
    if resolution is None or uncertainty is None or greatest(uncertainty) < greatest(resolution):
        return None
    return greatest(resolution)


def _decision(printer: Printer, fit: GaugeFit, step: Quantity) -> tuple[str, str, str]:
    def at(number: Number[Quantity], toward: Direction) -> str:
        return printer.to_step(number, step, toward)

    low, high = fit.accept_from, fit.accept_to
    if low is not None and high is not None:
        accept = span(at(low, "up"), at(high, "down"))
    elif low is not None:
        accept = f"from {at(low, 'up')}"
    else:
        accept = f"up to {at(high, 'down')}" if high is not None else _NONE
    reject = [
        *([f"below {at(fit.reject_below, 'down')}"] if fit.reject_below else []),
        *([f"above {at(fit.reject_above, 'up')}"] if fit.reject_above else []),
    ]
    return accept, " or ".join(reject), equipment_name(fit.gauge)


def build_discs(
    process: Process, sizes: Sequence[DiscLimit], losses: Sequence[MassLossLimit]
) -> FigureView | None:
    """Return the limits on discs as a person measures them, and the readings that decide."""
    printer = Printer(process.plant.units)
    sentences = [
        *(sentence for limit in sizes for sentence in _disc(printer, limit)),
        *(sentence for limit in losses for sentence in _mass_loss(printer, limit)),
    ]
    return printer.figure("check", None, sentences) if sentences else None


def _disc(printer: Printer, limit: DiscLimit) -> Iterator[str]:
    yield (
        f"At the limit of the {limit.characteristic.name} a disc has shrunk by "
        f"{printer.value(limit.shrinkage, 2, 'down')} and measures "
        f"{printer.value(limit.smallest, 4, 'up')}."
    )
    accept, reject, gauge = limit.accept_from, limit.reject_below, limit.gauge
    if accept is None or reject is None or gauge is None or limit.uncertainty is None:
        return

    def at(number: Number[Quantity], toward: Direction) -> str:
        resolution, _ = steps_of(gauge, Kind.LENGTH)
        if resolution is None:
            return printer.value(number, 5, toward)
        return printer.to_step(number, greatest(resolution), toward)

    sound = "no disc is accepted for certain"
    if limit.can_accept:
        sound = f"accept a disc from {at(accept, 'up')}"
    yield (
        f"Measured with {equipment_name(gauge)}, mould and disc together to ± "
        f"{printer.value(limit.uncertainty, 2, 'up')}: {sound}, reject one below "
        f"{at(reject, 'down')}; in between it cannot judge."
    )


def _mass_loss(printer: Printer, limit: MassLossLimit) -> Iterator[str]:
    accept = (
        f"accept a loss up to {printer.value(limit.accept_to, 3, 'down')}"
        if limit.can_accept
        else "no loss is accepted for certain"
    )
    yield (
        f"A fresh disc weighs about {printer.value(limit.mass)}. Weighed on "
        f"{equipment_name(limit.scale)}, the {limit.characteristic.name} is known to ± "
        f"{printer.value(limit.uncertainty, 2, 'up')}: {accept}, reject one above "
        f"{printer.value(limit.reject_above, 3, 'up')}; in between it cannot judge."
    )


def build_specimen(process: Process, check: SpecimenCheck) -> FigureView:
    """Return how a test turns the force into the strength, and the force at its limits."""
    printer = Printer(process.plant.units)
    sizes = {
        "width b": check.specimen.width,
        "depth d": check.specimen.depth,
        "diameter D": check.specimen.diameter,
        "length L": check.specimen.length,
        "span L": check.specimen.span_length,
    }
    given = ", ".join(f"{name} {printed(v, process.plant)}" for name, v in sizes.items() if v)
    sentences = [f"Strength = {check.strength.text}, F the greatest force; {given}."]
    if check.area is not None:
        sentences.append(f"Loaded area A = {printer.value(check.area)}.")
    if check.shape is not None:
        shape = printer.note(check.shape, f"{check.shape.value:.3g}")
        sentences.append(f"{sentence_case(check.shape.title)}: {shape}.")
    for limit in check.forces:
        name = sentence_case(limit.characteristic.name)
        sentences.append(f"{name} is met from a force of {printer.value(limit.force, 3, 'up')}.")
    return printer.figure("check", None, sentences)


def build_samples(process: Process, samples: Sequence[Sample], shown: Shown) -> FigureView | None:
    """Return what the samples of a definition show, in sentences, one row for each."""
    printer = Printer(process.plant.units)
    rows = []
    for sample in samples:
        if sample.size is None and sample.claim is None and sample.plan is None:
            continue
        view = shown[sample.characteristic.id]
        extra = [*_claim(printer, sample), *_plan(printer, sample)]
        rows.append((view.number, view.name, _shows(printer, sample), " ".join(extra)))
    if not rows:
        return None
    columns = ("No.", "Characteristic", "What the sample shows", "Claim or plan")
    return printer.figure("samples", Table(columns, tuple(rows), (), "Samples"))


def _shows(printer: Printer, sample: Sample) -> str:
    if sample.detects is not None:
        printer.value(sample.detects, DETECTS_DIGITS, "up")  # noted as the sentence prints it
    return sample_sentence(sample, printer.units)


def _claim(printer: Printer, sample: Sample) -> Iterator[str]:
    claim = sample.claim
    if claim is None or claim.claim.bad is None or claim.claim.confidence is None:
        return
    bad, confidence = claim.claim.bad.text.strip(), claim.claim.confidence.text.strip()
    lot = f" of {claim.claim.lot}" if claim.claim.lot else ""
    yield (
        f"Claim: a lot{lot} that is {bad} bad is found with {confidence} confidence; it needs n = "
        f"{printer.value(claim.needed)} and has {printer.value(claim.reached, 3, 'down')}."
    )


def _plan(printer: Printer, sample: Sample) -> Iterator[str]:
    plan = sample.plan
    if plan is None:
        return
    written = plan.plan
    yield (
        f"Plan: lot {written.lot}, level {written.level}, AQL {written.aql:g} %, "
        f"{written.inspection}: code letter {plan.letter}, n = {printer.value(plan.size)}, "
        f"Ac = {printer.value(plan.accept)}, Re = {printer.value(plan.reject)}."
    )
    if plan.whole_lot:
        yield "The plan asks for the whole lot."
    if len(plan.points) == 2:
        good, bad = plan.points
        yield (
            f"It accepts a lot that is {printer.value(good, 3, 'down')} bad with a probability of "
            f"95 %, one that is {printer.value(bad, 3, 'up')} bad with 10 %."
        )
