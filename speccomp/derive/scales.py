"""The scales that weigh the components, and the least mass at which they can hold the ratio."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from speccomp.calc.ratio import Reading
from speccomp.calc.weighing import smallest_readable_mass, smallest_reference_mass
from speccomp.derive import formulas
from speccomp.derive.mixture import Component, Mixture
from speccomp.derive.model_values import first_of_type, greatest, limit_named
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Process, Step
from speccomp.quantities import Kind, Quantity, Toleranced, quantity


@dataclass(frozen=True, slots=True)
class Portion:
    """
    One weighing of a component.

    `mass` is the mass that the step states, None where it states none.
    """

    step: Step
    scale: Equipment
    readability: Quantity
    error: Quantity
    mass: tuple[Characteristic, Toleranced] | None


@dataclass(frozen=True, slots=True)
class Weighed:
    """
    A component and its weighings, in order.

    `error` is the summed permissible error of all portions, `readability` the step of the display
    that a reading is rounded to: that of the coarsest scale.
    """

    component: Component
    portions: tuple[Portion, ...]
    error: Quantity
    readability: Quantity

    def readings(self, mass: Quantity) -> tuple[Reading, ...]:
        """Return the readings of a mass that is split evenly over the portions."""
        share = mass / len(self.portions)
        return tuple(Reading(share, portion.error) for portion in self.portions)


@dataclass(frozen=True, slots=True)
class Balance:
    """
    A component against the reference on their scales.

    `smallest_reference` is the least reading of the reference at which the scales hold the
    ratio and the display shows a reading inside the window; `smallest_mix` the mass of the mix
    then. `held_from` is the first of the two conditions alone.
    """

    reference: Weighed
    own: Weighed
    held_from: Number[Quantity]
    smallest_reference: Number[Quantity]
    smallest_mix: Number[Quantity] | None

    @property
    def same_scale(self) -> bool:
        """Tell whether one scale weighs both, each in one portion."""
        first, second = self.reference.portions, self.own.portions
        return len(first) == len(second) == 1 and first[0].scale.id == second[0].scale.id


def derive_balances(process: Process, mixture: Mixture, ledger: Ledger) -> tuple[Balance, ...]:
    """Return the components that are weighed, each with the reference and the scales of both."""
    weighed = {
        component.key: _weighed(process, component, ledger) for component in mixture.components
    }
    reference = weighed[mixture.reference.key]
    if reference is None:
        return ()
    found = []
    for component in mixture.others:
        own = weighed[component.key]
        if own is not None and component.by_weight is not None:
            work = partial(_balance, reference, own, mixture, ledger)
            found.append(ledger.attempt(f"weighing.{component.key}", component.span, work))
    return tuple(balance for balance in found if balance is not None)


def weighing_steps(process: Process, key: str) -> tuple[Step, ...]:
    """Return the steps that weigh a material of the ratio before the batch has been mixed."""
    steps = []
    for step in process.steps:
        if step.operation.name == "weigh" and step.material and step.material.key == key:
            steps.append(step)
        elif step.operation.name == "mix" and steps:
            break
    return tuple(steps)


def scale_of(step: Step) -> Equipment | None:
    """Return the scale of a step: the one its mass is read from, else the first it names."""
    mass = limit_named(step, "mass", "amount", kind=Kind.MASS)
    gauge = mass[0].control.gauge if mass else None
    return gauge if gauge is not None and gauge.type == "scale" else first_of_type(step, "scale")


def _weighed(process: Process, component: Component, ledger: Ledger) -> Weighed | None:
    portions = []
    for step in weighing_steps(process, component.key):
        scale = scale_of(step)
        if scale is None or scale.readability is None or scale.permissible_error is None:
            ledger.missing(
                f"weighing.{component.key}",
                f"`{step.id}` names no scale whose readability and permissible error are known",
                "name a scale of the plant file under `with`",
                step.span,
            )
            return None
        mass = limit_named(step, "mass", "amount", kind=Kind.MASS)
        portions.append(
            Portion(
                step, scale, greatest(scale.readability), greatest(scale.permissible_error), mass
            )
        )
    if not portions and component.part is not None:
        ledger.missing(
            f"weighing.{component.key}",
            f"no step weighs `{component.key}`",
            "add a step with `operation: weigh` and this material",
            component.span,
        )
    if not portions:
        return None
    return Weighed(
        component,
        tuple(portions),
        sum((portion.error for portion in portions[1:]), portions[0].error),
        max((portion.readability for portion in portions), key=lambda step: step.m_as("g")),
    )


def scale_inputs(weighed: Weighed) -> tuple[Input, ...]:
    """Return the permissible errors of a component's scales as inputs."""
    return tuple(
        written(
            f"permissible error of `{portion.scale.id}`",
            portion.scale.permissible_error,
            portion.scale.span,
        )
        for portion in weighed.portions
        if portion.scale.permissible_error is not None
    )


def ratio_inputs(components: Sequence[Component]) -> tuple[Input, ...]:
    """Return the parts of components as inputs."""
    return tuple(
        written(f"parts of `{component.key}`", component.part.parts, component.span)
        for component in components
        if component.part is not None
    )


def _balance(reference: Weighed, own: Weighed, mixture: Mixture, ledger: Ledger) -> Balance | None:
    component = own.component
    ratio = component.by_weight
    if ratio is None:
        return None
    name = f"weighing.{component.key}"
    inputs = (
        *ratio_inputs((reference.component, component)),
        *scale_inputs(reference),
        *(scale_inputs(own) if own.portions[0].scale != reference.portions[0].scale else ()),
    )
    held = ledger.add(
        f"{name}.held-from",
        f"least reading of `{reference.component.key}` at which the scales hold the ratio",
        smallest_reference_mass(ratio, reference.error, own.error),
        formulas.SMALLEST_REFERENCE,
        inputs,
        WORST_CASE,
    )
    readable = held.value
    if ratio.lower is not None and ratio.upper is not None:
        readable = smallest_readable_mass(ratio, reference.error, own.error, own.readability)
    smallest = ledger.add(
        f"{name}.smallest-reference",
        f"least reading of `{reference.component.key}` that leaves a reading of "
        f"`{component.key}` on the display",
        max(held.value, readable, key=lambda mass: mass.m_as("g")),
        formulas.SMALLEST_READABLE,
        (*inputs, derived_from(held)),
        WORST_CASE,
    )
    return Balance(reference, own, held, smallest, _smallest_mix(name, mixture, smallest, ledger))


WORST_CASE = (
    "Worst case: every scale off by its permissible error at once, tare and rounding included."
)


def _smallest_mix(
    name: str, mixture: Mixture, smallest: Number[Quantity], ledger: Ledger
) -> Number[Quantity] | None:
    if mixture.weights is None:
        return None
    return ledger.add(
        f"{name}.smallest-mix",
        "least mass of mix at which the scales hold the ratio",
        quantity(smallest.value.m_as("g") * sum(mixture.weights) / mixture.weights[0], "g"),
        formulas.MIX_FROM_REFERENCE,
        (derived_from(smallest), *ratio_inputs(mixture.components)),
    )
