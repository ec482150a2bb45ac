"""The working ranges of the mixers, as masses of mix, and the mix that the steps instruct."""

from dataclasses import dataclass

from speccomp.derive import formulas
from speccomp.derive.mixture import Mixture
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.derive.scales import Balance, mix_formula, mix_inputs, mix_of
from speccomp.derive.stated_masses import stated_amount
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
    if not balances or mixture.weights is None:
        return None
    reference, target = balances[0].reference, stated_amount(balances[0])
    mass = None if target is None else reference.mass_of(target.amount)
    if target is None or mass is None:
        return None
    return ledger.add(
        "batches.instructed-mix",
        "mass of the mix by the amounts in the steps",
        mix_of(mass, mixture.weights),
        mix_formula(reference),
        (*target.inputs, *mix_inputs(reference, mixture)),
    )
