"""Gauges against limits: steps in the band, uncertainty ratio, and the readings that decide."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from speccomp.calc.gauge import (
    DecisionLimits,
    decision_limits,
    resolution_ratio,
    resolution_ratio_one_sided,
    uncertainty_ratio,
    uncertainty_ratio_one_sided,
)
from speccomp.derive import formulas
from speccomp.derive.model_values import greatest, limits_of
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Process, Step
from speccomp.model.technique import technique_of
from speccomp.quantities import Kind, Quantity, Toleranced

_STEP_KINDS = {Kind.TEMPERATURE: Kind.TEMPERATURE_DIFFERENCE}
FROM_ZERO = "One-sided: the distance is taken from zero, as no expected value is stated."


@dataclass(frozen=True, slots=True)
class GaugeFit:
    """
    A gauge or scale against the limit that it measures.

    `steps` is how many steps of the display lie in the band, `uncertainty` the ratio of half the
    band to the expanded uncertainty; each None where the plant file does not give it. For a limit
    on one side the distance from zero stands for the band, and for half of it.
    """

    step: Step
    characteristic: Characteristic
    requirement: Toleranced
    gauge: Equipment
    steps: Number[float] | None
    uncertainty: Number[float] | None
    accept_from: Number[Quantity] | None
    accept_to: Number[Quantity] | None
    reject_below: Number[Quantity] | None
    reject_above: Number[Quantity] | None

    @property
    def can_accept(self) -> bool:
        """Tell whether any reading proves the limit."""
        low, high = self.accept_from, self.accept_to
        return low is None or high is None or bool(low.value <= high.value)


def derive_gauges(process: Process, ledger: Ledger) -> tuple[GaugeFit, ...]:
    """Return the fit of every gauge and scale to every limit that it measures."""
    found = []
    for step, characteristic in process.characteristics():
        gauge, wanted = technique_of(step, characteristic), characteristic.requirement
        if not isinstance(gauge, Equipment) or not isinstance(wanted, Toleranced):
            continue
        if not wanted.is_limit:
            continue
        resolution, uncertainty = steps_of(gauge, wanted.kind)
        if resolution is None and uncertainty is None:
            continue
        work = partial(_fit, step, characteristic, wanted, gauge, ledger)
        name = _name(characteristic)
        found.append(ledger.attempt(name, characteristic.span, work))
    return tuple(fit for fit in found if fit is not None)


def steps_of(gauge: Equipment, kind: Kind) -> tuple[Toleranced | None, Toleranced | None]:
    """Return resolution and uncertainty of a gauge or scale, as far as they are of the kind."""
    if gauge.type == "scale":
        pair = (gauge.readability, gauge.permissible_error)
    else:
        pair = (gauge.resolution, gauge.uncertainty)
    wanted = _STEP_KINDS.get(kind, kind)
    first, second = (value if value and value.kind is wanted else None for value in pair)
    return first, second


def _name(characteristic: Characteristic) -> str:
    return f"gauges.{characteristic.id.replace('/', '.')}"


@dataclass(frozen=True, slots=True)
class _Comparison:
    """A gauge set against a limit: plain numbers and readings, without their names."""

    steps: float | None
    uncertainty: float | None
    decision: DecisionLimits | None


def _compared(
    wanted: Toleranced, resolution: Toleranced | None, uncertainty: Toleranced | None
) -> _Comparison:
    limits = limits_of(wanted)
    low, high = limits.lower, limits.upper
    limit = high if low is None else low
    from_zero = limit is not None and not wanted.is_point and bool(limit.magnitude)
    steps = ratio = decision = None
    if resolution is not None:
        step = greatest(resolution)
        if low is not None and high is not None:
            steps = 1 / resolution_ratio(step, low, high)
        elif limit is not None and from_zero:
            steps = 1 / resolution_ratio_one_sided(step, limit, limit * 0)
    if uncertainty is not None and uncertainty.nominal > 0:
        error = greatest(uncertainty)
        decision = decision_limits(limits, error)
        if low is not None and high is not None:
            ratio = uncertainty_ratio(error, low, high)
        elif limit is not None and from_zero:
            ratio = uncertainty_ratio_one_sided(error, limit, limit * 0)
    return _Comparison(steps, ratio, decision)


def _fit(
    step: Step, characteristic: Characteristic, wanted: Toleranced, gauge: Equipment, ledger: Ledger
) -> GaugeFit:
    resolution, uncertainty = steps_of(gauge, wanted.kind)
    # Many limits of a definition are the same value on the same gauge.
    compared = ledger.once(
        (wanted, resolution, uncertainty), partial(_compared, wanted, resolution, uncertainty)
    )
    name, id_ = _name(characteristic), gauge.id
    source = written(characteristic.name, wanted, characteristic.span)
    note = "" if wanted.lower is not None and wanted.upper is not None else FROM_ZERO
    steps = ratio = None
    if resolution is not None and compared.steps is not None:
        inputs = (source, written(f"resolution of `{id_}`", resolution, gauge.span))
        title = f"steps of `{id_}` in the band"
        steps = ledger.add(f"{name}.steps", title, compared.steps, formulas.STEPS, inputs, note)
    if uncertainty is None:
        return GaugeFit(step, characteristic, wanted, gauge, steps, None, None, None, None, None)
    inputs = (source, written(f"uncertainty of `{id_}`", uncertainty, gauge.span))
    if compared.uncertainty is not None:
        title = f"uncertainty ratio of `{id_}`"
        ratio = ledger.add(
            f"{name}.uncertainty",
            title,
            compared.uncertainty,
            formulas.UNCERTAINTY_RATIO,
            inputs,
            note,
        )
    sides = _decision(name, wanted.kind, compared.decision, inputs, ledger)
    return GaugeFit(step, characteristic, wanted, gauge, steps, ratio, *sides)


def _decision(
    name: str,
    kind: Kind,
    decision: DecisionLimits | None,
    inputs: tuple[Input, ...],
    ledger: Ledger,
) -> Iterator[Number[Quantity] | None]:
    if decision is None:
        yield from (None,) * 4
        return
    formula = formulas.decision_limit(kind)
    for key, title, value in (
        ("accept-from", "least reading that is accepted", decision.accept_lower),
        ("accept-to", "greatest reading that is accepted", decision.accept_upper),
        ("reject-below", "a lower reading is rejected", decision.reject_lower),
        ("reject-above", "a greater reading is rejected", decision.reject_upper),
    ):
        if value is None:
            yield None
        else:
            yield ledger.add(f"{name}.{key}", title, value, formula, inputs)
