"""Cure profiles: temperatures, times, what the oven adds and what it must do."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from speccomp.calc import cure as calc
from speccomp.calc.cure import ChartPoint, CureProfile, Leg
from speccomp.calc.limits import Limits
from speccomp.calc.steam import OvenError, highest_part_temperatures, oven_error
from speccomp.derive import formulas
from speccomp.derive.mixture import APPLYING
from speccomp.derive.model_values import first_of_type, greatest, limits_of, requirement
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.plant import Equipment, Plant
from speccomp.model.process import Characteristic, Hold, Process, Ramp, Segment, Step
from speccomp.quantities import Quantity, Toleranced, quantity


@dataclass(frozen=True, slots=True)
class CureSegment:
    """
    One hold or ramp of a cure step; `number` counts from 1.

    `starts` and `ends` are nominal times from the start of the step; `highest` is the highest
    possible part temperature, `rate` the fastest rate of a ramp, None where nothing bounds it.
    """

    number: int
    segment: Segment
    leg: Leg
    starts: Number[Quantity]
    ends: Number[Quantity]
    highest: Number[Quantity]
    rate: Number[Quantity] | None

    @property
    def temperature(self) -> Characteristic | None:
        """The limit on the temperature of a hold, or at the end of a ramp."""
        return self.segment.at if isinstance(self.segment, Hold) else self.segment.to

    @property
    def heats(self) -> bool:
        """Tell whether a ramp goes up."""
        return not self.leg.holds and self.leg.end.nominal > self.leg.start.nominal

    @property
    def name(self) -> str:
        """The segment in words."""
        return f"{'hold' if self.leg.holds else 'ramp'} {self.number}"


@dataclass(frozen=True, slots=True)
class CureStep:
    """
    One step with a profile.

    `error` is how far a part can be above the setpoint, zero at ambient; `chart` has two points
    for each segment, from the start of the step. `longest` is None where nothing bounds it.
    """

    step: Step
    oven: Equipment | None
    inputs: tuple[Input, ...]
    profile: CureProfile
    error: Number[Quantity]
    segments: tuple[CureSegment, ...]
    shortest: Number[Quantity]
    nominal: Number[Quantity]
    longest: Number[Quantity] | None
    chart: tuple[ChartPoint, ...]

    @property
    def at_ambient(self) -> bool:
        """Tell whether nothing heats the parts."""
        return self.oven is None and self.step.method == "ambient"


def derive_cures(process: Process, ledger: Ledger) -> tuple[tuple[CureStep, ...], ...]:
    """
    Return the steps with profiles, those of one thermal history together.

    A history ends where a step applies material again: what comes after dries anew.
    """
    histories: list[tuple[CureStep, ...]] = []
    history: list[CureStep] = []
    previous: CureStep | None = None
    for step in process.steps:
        if step.operation.name in APPLYING and history:
            histories.append(tuple(history))
            history, previous = [], None
        if not step.profile:
            previous = None
            continue
        work = partial(_cure_step, step, _start(process.plant, previous), ledger)
        previous = ledger.attempt(f"curing.{step.id}", step.span, work)
        if previous is not None:
            history.append(previous)
    return (*histories, tuple(history)) if history else tuple(histories)


def _start(plant: Plant, previous: CureStep | None) -> Limits[Quantity]:
    """Return the temperature before a step: of the step just before it, else of the shop."""
    if previous is not None:
        points = previous.chart[-1]
        return Limits(points.lower, points.nominal, points.upper)
    shop = plant.shop_temperature
    if shop is None:
        return Limits(target=quantity(23, "degC"))
    if shop.lower is None or shop.upper is None:
        return Limits(target=shop.nominal_quantity)
    return limits_of(shop)


def _cure_step(step: Step, start: Limits[Quantity], ledger: Ledger) -> CureStep | None:
    values = [_values(segment) for segment in step.profile]
    if any(first is None or second is None for first, second in values):
        return None
    segments = [
        calc.Hold(limits_of(first), limits_of(second))
        if isinstance(segment, Hold)
        else calc.Ramp(limits_of(first), limits_of(second))
        for segment, (first, second) in zip(step.profile, values, strict=True)
        if first is not None and second is not None
    ]
    profile = calc.cure_profile(start, segments)
    oven = first_of_type(step, "oven")
    error = _error(step, oven, ledger)
    name, inputs = f"curing.{step.id}", tuple(_inputs(step))
    total = calc.total_duration(profile)

    def duration(which: str, value: Quantity | None) -> Number[Quantity] | None:
        if value is None:
            return None
        title = f"{which} duration of `{step.id}`"
        return ledger.add(f"{name}.{which}", title, value, formulas.DURATION, inputs)

    shortest, nominal = duration("shortest", total.lower), duration("nominal", total.target)
    if shortest is None or nominal is None:
        return None
    return CureStep(
        step,
        oven,
        inputs,
        profile,
        error,
        tuple(_segments(step, profile, error, ledger)),
        shortest,
        nominal,
        duration("longest", total.upper),
        calc.chart_points(profile),
    )


def _values(segment: Segment) -> tuple[Toleranced | None, Toleranced | None]:
    if isinstance(segment, Hold):
        return requirement(segment.at), requirement(segment.time)
    return requirement(segment.to), requirement(segment.rate)


def _inputs(step: Step) -> Iterator[Input]:
    for segment in step.profile:
        match segment:
            case Hold():
                limits = (segment.at, segment.time)
            case Ramp():
                limits = (segment.to, segment.rate)
        for limit in limits:
            value = requirement(limit)
            if limit is not None and value is not None:
                yield written(limit.name, value, limit.span)


def _error(step: Step, oven: Equipment | None, ledger: Ledger) -> Number[Quantity]:
    name, title = f"curing.{step.id}.oven-error", "how far a part can be above the setpoint"
    zero = quantity(0, "K")
    if oven is None:
        note = "No oven: the limits hold for the part itself."
        return ledger.add(name, title, zero, formulas.OVEN_ERROR, (), note)
    parts = {
        "control tolerance": oven.control_tolerance,
        "non-uniformity": oven.non_uniformity,
        "sensor error": oven.sensor_error,
    }
    known = {key: greatest(value) for key, value in parts.items() if value is not None}
    if len(known) < len(parts):
        absent = ", ".join(key for key in parts if key not in known)
        ledger.missing(
            f"curing.{step.id}.oven-error",
            f"the plant file does not give the {absent} of `{oven.id}`",
            "add it to the oven in the plant file",
            oven.span,
        )
    error = oven_error(OvenError(*(known.get(key, zero) for key in parts)))
    inputs = tuple(
        written(f"{key} of `{oven.id}`", value, oven.span)
        for key, value in parts.items()
        if value is not None
    )
    return ledger.add(name, title, error, formulas.OVEN_ERROR, inputs)


def _segments(
    step: Step, profile: CureProfile, error: Number[Quantity], ledger: Ledger
) -> Iterator[CureSegment]:
    starts = calc.segment_starts(profile)
    highest = highest_part_temperatures(profile, error.value)
    for number, (segment, leg) in enumerate(zip(step.profile, profile.legs, strict=True), 1):
        name = f"curing.{step.id}.{'hold' if leg.holds else 'ramp'}-{number}"
        inputs = tuple(_inputs(step))

        def time(
            which: str, value: Quantity, name: str = name, inputs: tuple[Input, ...] = inputs
        ) -> Number[Quantity]:
            title = f"nominal time at which it {which}"
            return ledger.add(f"{name}.{which}", title, value, formulas.DURATION, inputs)

        rate = None
        if not leg.holds and leg.fastest is not None:
            rate = ledger.add(
                f"{name}.rate",
                "fastest rate that the ramp allows",
                quantity(leg.fastest, "K/s"),
                formulas.FASTEST_RATE,
                inputs[2 * number - 1 : 2 * number],
            )
        yield CureSegment(
            number,
            segment,
            leg,
            time("starts", starts[number - 1]),
            time("ends", starts[number]),
            ledger.add(
                f"{name}.highest",
                "highest possible part temperature",
                highest[number - 1],
                formulas.HIGHEST_PART_TEMPERATURE,
                (*inputs[2 * number - 2 : 2 * number - 1], derived_from(error)),
            ),
            rate,
        )
