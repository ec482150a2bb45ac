"""Equivalent age of a cure beside the qualified one: advice, never an acceptance."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from speccomp.calc import cure as calc
from speccomp.calc.cure import CureProfile
from speccomp.calc.limits import Limits
from speccomp.calc.maturity import (
    equivalent_age_arrhenius,
    equivalent_age_nurse_saul,
    nominal_history,
)
from speccomp.derive import formulas
from speccomp.derive.cure import CureStep
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.model.material import Family, Material, QualifiedCure
from speccomp.quantities import Quantity, Toleranced, quantity

REFERENCE = "23 degC, assumed"
DATUM = "0 degC, assumed"
_SETTING = (Family.CHEMICAL, Family.HYDRAULIC)


@dataclass(frozen=True, slots=True)
class Ages:
    """What the nominal cure and the card's are worth as time at the reference temperature."""

    ours: Number[Quantity]
    qualified: Number[Quantity]


def derive_ages(
    card: Material, cure: QualifiedCure, steps: Sequence[CureStep], label: str, ledger: Ledger
) -> Ages | None:
    """Return the equivalent ages; None for a material that does not set by a reaction."""
    qualified = _qualified_profile(cure)
    if card.family not in _SETTING or qualified is None:
        return None
    ours = CureProfile(tuple(leg for step in steps for leg in step.profile.legs))
    inputs = tuple(item for step in steps for item in step.inputs)
    age = partial(_age, card, ledger)
    return Ages(
        age(f"{label}.age", "equivalent age of the cure", ours, inputs),
        age(
            f"{label}.age-on-card",
            "equivalent age of the card's cure",
            qualified,
            tuple(_card_inputs(cure)),
        ),
    )


def _age(
    card: Material,
    ledger: Ledger,
    name: str,
    title: str,
    profile: CureProfile,
    inputs: tuple[Input, ...],
) -> Number[Quantity]:
    history, reference = nominal_history(profile), quantity(23, "degC")
    inputs = (*inputs, Input("reference temperature", REFERENCE))
    energy = card.pot_life.activation_energy if card.pot_life else None
    note = "Advice only: made for hydraulic cements near ambient."
    if energy is None or card.pot_life is None:
        value = equivalent_age_nurse_saul(history, quantity(0, "degC"), reference)
        sources = (*inputs, Input("datum temperature", DATUM))
        return ledger.add(name, title, value, formulas.AGE_NURSE_SAUL, sources, note)
    value = equivalent_age_arrhenius(history, energy.nominal_quantity, reference)
    sources = (*inputs, written("activation energy", energy, card.pot_life.span))
    return ledger.add(name, title, value, formulas.AGE_ARRHENIUS, sources, note)


def _card_inputs(cure: QualifiedCure) -> tuple[Input, ...]:
    values = {
        "ambient": cure.ambient,
        "dry at": cure.dry_at,
        "dry for": cure.dry_for,
        "ramp": cure.ramp,
        "final at": cure.final_at,
        "final for": cure.final_for,
    }
    return tuple(
        written(f"{name} on the card", value, cure.span)
        for name, value in values.items()
        if value is not None
    )


def _qualified_profile(cure: QualifiedCure) -> CureProfile | None:
    """Return the card's cure as holds and ramps at nominal values; None where it has no hold."""
    segments: list[calc.Hold | calc.Ramp] = []
    start = Limits(target=quantity(23, "degC"))
    if cure.ambient is not None:
        segments.append(calc.Hold(start, _target(cure.ambient)))
    for at, time in ((cure.dry_at, cure.dry_for), (cure.final_at, cure.final_for)):
        if at is None or time is None:
            continue
        if cure.ramp is not None:
            segments.append(calc.Ramp(_target(at), _target(cure.ramp)))
        segments.append(calc.Hold(_target(at), _target(time)))
    return calc.cure_profile(start, segments) if segments else None


def _target(value: Toleranced) -> Limits[Quantity]:
    return Limits(target=value.nominal_quantity)
