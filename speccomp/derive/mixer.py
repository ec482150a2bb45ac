"""The working ranges of the mixers, as masses of mix, and the mix that the steps instruct."""

from dataclasses import dataclass

from speccomp.derive import formulas
from speccomp.derive.mixture import Mixture
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.derive.scales import Balance, ratio_inputs
from speccomp.derive.stated_masses import stated_mass
from speccomp.model.plant import Equipment
from speccomp.model.process import Process, Step
from speccomp.quantities import Kind, Quantity, quantity


@dataclass(frozen=True, slots=True)
class MixerRange:
    """The working range of the mixer of a step; a side is absent where it has no limit there."""

    step: Step
    mixer: Equipment
    least: Number[Quantity] | None
    most: Number[Quantity] | None


def derive_mixers(process: Process, mixture: Mixture, ledger: Ledger) -> tuple[MixerRange, ...]:
    """Return the ranges of the mixers that mix the batch."""
    found = []
    seen: set[str] = set()
    for step in process.steps:
        if step.operation.name not in ("mix", "add"):
            continue
        for item in step.equipment:
            if item.type == "mixer" and item.id not in seen:
                seen.add(item.id)
                found.append(
                    MixerRange(
                        step,
                        item,
                        _side("least", item, mixture, ledger),
                        _side("most", item, mixture, ledger),
                    )
                )
    return tuple(found)


def _side(
    which: str, mixer: Equipment, mixture: Mixture, ledger: Ledger
) -> Number[Quantity] | None:
    limits = mixer.range
    if limits is None:
        return None
    value = limits.lower_quantity if which == "least" else limits.upper_quantity
    inputs: tuple[Input, ...] = (written(f"range of `{mixer.id}`", limits, mixer.span),)
    title, formula = f"{which} mix that `{mixer.id}` mixes", formulas.MIXER_RANGE
    if value is None:
        return None
    if limits.kind is Kind.VOLUME and mixture.density is not None:
        value, formula = value * mixture.density.value, formulas.MIXER_RANGE_BY_VOLUME
        inputs = (*inputs, derived_from(mixture.density))
    elif limits.kind is not Kind.MASS:
        return None
    return ledger.add(
        f"mixer.{mixer.id}.{which}", title, quantity(value.m_as("g"), "g"), formula, inputs
    )


def derive_instructed_mix(
    mixture: Mixture, balances: tuple[Balance, ...], ledger: Ledger
) -> Number[Quantity] | None:
    """Return the mass of mix that the stated masses give; None where none is stated."""
    target = stated_mass(balances[0]) if balances else None
    if target is None or mixture.weights is None:
        return None
    return ledger.add(
        "batches.instructed-mix",
        "mass of the mix by the masses in the steps",
        quantity(target.mass.m_as("g") * sum(mixture.weights) / mixture.weights[0], "g"),
        formulas.MIX_FROM_REFERENCE,
        (*target.inputs, *ratio_inputs(mixture.components)),
    )
