"""What the scales and vessels hold: the least mass at which they can keep the ratio."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from speccomp.calc.limits import Limits
from speccomp.calc.ratio import UNCONVERTED, conversion, measured_ratio
from speccomp.calc.weighing import smallest_readable, smallest_reference
from speccomp.derive import formulas
from speccomp.derive.measuring import (
    Measured,
    density_inputs,
    error_inputs,
    measure_out,
    ratio_inputs,
)
from speccomp.derive.mixture import Mixture
from speccomp.derive.numbers import Formula, Input, Ledger, Number, derived_from
from speccomp.model.process import Process
from speccomp.quantities import Kind, Quantity, quantity


@dataclass(frozen=True, slots=True)
class Balance:
    """
    A component against the reference on their scales.

    `ratio` is that of the amounts as they are measured out, `factor` leads to it from the parts.
    `smallest_reference` is the least reading of the reference at which the scales hold the
    ratio and the display shows a reading inside the window; `smallest_mix` the mass of the mix
    then. `held_from` is the first of the two conditions alone.
    """

    reference: Measured
    own: Measured
    ratio: Limits[float]
    factor: Limits[float]
    inputs: tuple[Input, ...]
    held_from: Number[Quantity]
    smallest_reference: Number[Quantity]
    smallest_mix: Number[Quantity] | None

    @property
    def same_scale(self) -> bool:
        """Tell whether one scale weighs both, each in one portion."""
        first, second = self.reference.portions, self.own.portions
        return len(first) == len(second) == 1 and first[0].instrument.id == second[0].instrument.id

    @property
    def converted(self) -> bool:
        """Tell whether densities stand between the ratio as written and as measured out."""
        return self.factor != UNCONVERTED


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A component whose weighing is not checked: the density of `lacking` is not known."""

    own: Measured
    lacking: Measured


def derive_balances(
    process: Process, mixture: Mixture, ledger: Ledger
) -> tuple[tuple[Balance, ...], tuple[Unchecked, ...]]:
    """
    Return the components that are measured out, each with the reference and the scales of both.

    The second value holds those that are, but for which a density is missing.
    """
    measured = {item.key: measure_out(process, item, ledger) for item in mixture.components}
    reference = measured[mixture.reference.key]
    if reference is None:
        return (), ()
    found, unchecked = [], []
    for component in mixture.others:
        own = measured[component.key]
        if own is None:
            continue
        lacking = _lacking(own, reference, mixture.measured_by)
        if lacking is None:
            work = partial(_balance, reference, own, mixture, ledger)
            found.append(ledger.attempt(f"weighing.{component.key}", component.span, work))
        else:
            unchecked.append(Unchecked(own, lacking))
    return tuple(balance for balance in found if balance is not None), tuple(unchecked)


def _lacking(own: Measured, reference: Measured, by: str) -> Measured | None:
    """Return the one whose density is missing, where the ratio cannot do without."""
    return next((item for item in (own, reference) if item.per_part(by) is None), None)


def _balance(
    reference: Measured, own: Measured, mixture: Mixture, ledger: Ledger
) -> Balance | None:
    by, key, written = mixture.measured_by, own.component.key, own.component.ratio
    ours, theirs = own.per_part(by), reference.per_part(by)
    if written is None or ours is None or theirs is None:
        return None
    factor = conversion(ours, theirs)
    ratio = measured_ratio(written, factor)
    needed = [item for item in (own, reference) if item.per_part(by) != UNCONVERTED]
    shares = (*ratio_inputs((reference.component, own.component)), *density_inputs(*needed))
    name, inputs = f"weighing.{key}", (*shares, *error_inputs(reference, own))
    if factor != UNCONVERTED:
        shares = (*_record_ratio(name, ratio, shares, ledger),)
        inputs = (*shares, *error_inputs(reference, own))
    held = ledger.add(
        f"{name}.held-from",
        f"least reading of `{reference.component.key}` at which the scales hold the ratio",
        smallest_reference(ratio, reference.error, own.error),
        formulas.measured(formulas.SMALLEST_REFERENCE, reference.kind),
        inputs,
        WORST_CASE,
    )
    least = held.value
    if ratio.lower is not None and ratio.upper is not None:
        readable = smallest_readable(ratio, reference.error, own.error, own.readability)
        least = max(least, readable)
    smallest = ledger.add(
        f"{name}.smallest-reference",
        f"least reading of `{reference.component.key}` that leaves a reading of "
        f"`{key}` on the display",
        least,
        formulas.measured(formulas.SMALLEST_READABLE, reference.kind),
        (*inputs, derived_from(held)),
        WORST_CASE,
    )
    mix = _smallest_mix(name, reference, mixture, smallest, ledger)
    return Balance(reference, own, ratio, factor, inputs, held, smallest, mix)


def _record_ratio(
    name: str, ratio: Limits[float], inputs: tuple[Input, ...], ledger: Ledger
) -> Iterator[Input]:
    """Record the ratio of what is measured out, and go through its sides as inputs."""
    for side, title, value in (
        ("lower", "least ratio of what is measured out", ratio.lower),
        ("target", "ratio of what is measured out", ratio.target),
        ("upper", "greatest ratio of what is measured out", ratio.upper),
    ):
        if value is not None:
            full = f"{name}.measured-ratio-{side}"
            number = ledger.add(full, title, value, formulas.MEASURED_RATIO, inputs, _AMOUNTS)
            yield derived_from(number)


_AMOUNTS = "In g or cm³ of the component to a g or cm³ of the reference."
WORST_CASE = (
    "Worst case: every scale off by its permissible error at once, tare and rounding included."
)


def _smallest_mix(
    name: str,
    reference: Measured,
    mixture: Mixture,
    smallest: Number[Quantity],
    ledger: Ledger,
) -> Number[Quantity] | None:
    mass = reference.mass_of(smallest.value)
    if mixture.weights is None or mass is None:
        return None
    return ledger.add(
        f"{name}.smallest-mix",
        "least mass of mix at which the scales hold the ratio",
        mix_of(mass, mixture.weights),
        mix_formula(reference),
        (derived_from(smallest), *mix_inputs(reference, mixture)),
    )


def mix_of(reference: Quantity, weights: tuple[float, ...]) -> Quantity:
    """Return the mass of a mix with so much of the reference, from parts by weight."""
    return quantity(reference.m_as("g") * sum(weights) / weights[0], "g")


def mix_formula(reference: Measured) -> Formula:
    """Return the formula of `mix_of` for a reference that is weighed or measured in a vessel."""
    weighed = reference.kind is Kind.MASS
    return formulas.MIX_FROM_REFERENCE if weighed else formulas.MIX_FROM_REFERENCE_VOLUME


def mix_inputs(reference: Measured, mixture: Mixture) -> tuple[Input, ...]:
    """Return the parts, and the density of a reference that is measured in a vessel, as inputs."""
    dense = density_inputs(reference) if reference.kind is Kind.VOLUME else ()
    return (*ratio_inputs(mixture.components), *dense)
