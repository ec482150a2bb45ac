"""How the components are measured out: on scales, or in measuring vessels."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from speccomp.calc.limits import Limits
from speccomp.calc.ratio import UNCONVERTED, Reading, mass_per_volume, volume_per_mass
from speccomp.derive.mixture import Component
from speccomp.derive.model_values import greatest, limits_of, requirement
from speccomp.derive.numbers import Input, Ledger, written
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Process, Step
from speccomp.quantities import Kind, Quantity, Toleranced

_NAMES = ("mass", "amount", "volume")
_UNITS = {Kind.MASS: "g", Kind.VOLUME: "cm3"}


@dataclass(frozen=True, slots=True)
class Portion:
    """
    One portion of a component.

    `instrument` is the scale or measuring vessel, `step_size` the step of its display or
    graduation, `error` its permissible error, or the uncertainty of a vessel; `amount` is the limit
    that the step states, None where it states none.
    """

    step: Step
    instrument: Equipment
    step_size: Toleranced
    error: Toleranced
    amount: tuple[Characteristic, Toleranced] | None


@dataclass(frozen=True, slots=True)
class Measured:
    """
    A component and its portions, in order, all masses or all volumes as `kind` says.

    `error` is the summed permissible error of all portions, `readability` the step of the display
    that a reading is rounded to: that of the coarsest scale.
    """

    component: Component
    portions: tuple[Portion, ...]
    kind: Kind
    error: Quantity
    readability: Quantity

    @property
    def unit(self) -> str:
        """The unit in which the formulas count it."""
        return _UNITS[self.kind]

    def readings(self, amount: Quantity) -> tuple[Reading, ...]:
        """Return the readings of an amount that is split evenly over the portions."""
        share = amount / len(self.portions)
        return tuple(Reading(share, greatest(portion.error)) for portion in self.portions)

    def per_part(self, by: str) -> Limits[float] | None:
        """Return the amount of a part by weight or volume; None where no density is known."""
        if (self.kind is Kind.MASS) is (by == "weight"):
            return UNCONVERTED
        if self.component.density is None:
            return None
        density = limits_of(self.component.density)
        return mass_per_volume(density) if self.kind is Kind.MASS else volume_per_mass(density)

    def amount_of(self, mass: Quantity) -> Quantity | None:
        """Return a mass as it is measured out; None where no density is known."""
        if self.kind is Kind.MASS:
            return mass
        density = self.component.density
        return None if density is None else mass / density.nominal_quantity

    def mass_of(self, amount: Quantity) -> Quantity | None:
        """Return what is measured out as a mass; None where no density is known."""
        if self.kind is Kind.MASS:
            return amount
        density = self.component.density
        return None if density is None else amount * density.nominal_quantity


def measured_kind(instrument: Equipment) -> Kind | None:
    """Return what a scale or measuring vessel measures; None for other equipment."""
    if instrument.type == "scale":
        return Kind.MASS
    vessel = instrument.type == "gauge" and instrument.measures is Kind.VOLUME
    return Kind.VOLUME if vessel else None


def instrument_of(step: Step) -> Equipment | None:
    """
    Return the scale or vessel of a step: what its amount is read from, else the first it names.

    A mass is read from a scale, a volume from a vessel; without an amount a scale counts first.
    """
    limit = amount_of(step)
    wanted = (limit[1].kind,) if limit else (Kind.MASS, Kind.VOLUME)
    gauge = limit[0].control.gauge if limit else None
    named = (*((gauge,) if gauge else ()), *step.equipment)
    return next(
        (item for kind in wanted for item in named if measured_kind(item) is kind),
        None,
    )


def amount_of(step: Step) -> tuple[Characteristic, Toleranced] | None:
    """Return the first limit of a step on the mass or volume of its material."""
    for name in _NAMES:
        for characteristic in step.characteristics:
            value = requirement(characteristic)
            if characteristic.name.lower() == name and value and value.kind in _UNITS:
                return characteristic, value
    return None


def measuring_steps(process: Process, key: str) -> tuple[Step, ...]:
    """
    Return the steps that measure out a material of the ratio before the batch has been mixed.

    Those are the ones that weigh it; where none does, those that add it by a scale or vessel.
    """
    return _steps(process, key, "weigh") or tuple(
        step for step in _steps(process, key, "add") if instrument_of(step) is not None
    )


def _steps(process: Process, key: str, operation: str) -> tuple[Step, ...]:
    steps = []
    for step in process.steps:
        if step.operation.name == operation and step.material and step.material.key == key:
            steps.append(step)
        elif step.operation.name == "mix" and steps:
            break
    return tuple(steps)


def measure_out(process: Process, component: Component, ledger: Ledger) -> Measured | None:
    """Return how a component is measured out; None and a gap where that is not known."""
    name = f"weighing.{component.key}"
    portions = []
    for step in measuring_steps(process, component.key):
        portion = _portion(step)
        if portion is None:
            ledger.missing(
                name,
                f"`{step.id}` names no scale whose readability and permissible error are known, "
                "and no measuring vessel whose resolution and uncertainty are",
                "name a scale of the plant file under `with`",
                step.span,
            )
            return None
        portions.append(portion)
    if not portions and component.part is not None:
        ledger.missing(
            name,
            f"no step weighs `{component.key}`",
            "add a step with `operation: weigh` and this material",
            component.span,
        )
    kinds = {measured_kind(portion.instrument) for portion in portions}
    if len(kinds) > 1:
        reason = f"`{component.key}` is measured out by mass and by volume"
        ledger.missing(name, reason, "weigh all of it", component.span)
    kind = kinds.pop() if len(kinds) == 1 else None
    return None if kind is None else _measured(component, tuple(portions), kind)


def _measured(component: Component, portions: tuple[Portion, ...], kind: Kind) -> Measured:
    errors = [greatest(portion.error) for portion in portions]
    steps = [greatest(portion.step_size) for portion in portions]
    coarsest = max(steps, key=lambda step: step.m_as(_UNITS[kind]))
    return Measured(component, portions, kind, sum(errors[1:], errors[0]), coarsest)


def _portion(step: Step) -> Portion | None:
    instrument = instrument_of(step)
    if instrument is None:
        return None
    if instrument.type == "scale":
        size, error = instrument.readability, instrument.permissible_error
    else:
        size, error = instrument.resolution, instrument.uncertainty
    if size is None or error is None:
        return None
    amount, kind = amount_of(step), measured_kind(instrument)
    stated = amount if amount is not None and amount[1].kind is kind else None
    return Portion(step, instrument, size, error, stated)


def error_inputs(*measured: Measured) -> tuple[Input, ...]:
    """Return the permissible errors of the scales and vessels as inputs, each once."""
    inputs = (
        written(f"{error_name(portion.instrument)} of `{portion.instrument.id}`", *place)
        for item in measured
        for portion in item.portions
        for place in ((portion.error, portion.instrument.span),)
    )
    return tuple(dict.fromkeys(inputs))


def error_name(instrument: Equipment) -> str:
    """Return what the error of a scale or vessel is called in the plant file."""
    return "permissible error" if instrument.type == "scale" else "uncertainty"


def ratio_inputs(components: Sequence[Component]) -> tuple[Input, ...]:
    """Return the parts of components as inputs."""
    return tuple(
        written(f"parts of `{component.key}`", component.part.parts, component.span)
        for component in components
        if component.part is not None
    )


def density_inputs(*measured: Measured) -> Iterator[Input]:
    """Go through the densities at which components are measured out, as inputs."""
    for item in measured:
        component, card = item.component, item.component.card
        if component.density is not None and card is not None:
            name = "bulk density" if card.form == "powder" else "density"
            yield written(f"{name} of `{component.key}`", component.density, card.span)
