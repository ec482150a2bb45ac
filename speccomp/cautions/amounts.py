"""Numbers of a step that decide about cautions, each in one unit and with its place."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from speccomp.findings import Span
from speccomp.model.material import Material
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Hold, Process, Ramp, Segment, Step
from speccomp.quantities import (
    Form,
    Kind,
    PrintUnits,
    Toleranced,
    print_toleranced,
    round_significant,
)

CONTAINER_SHARE = 1.05
"""A full container weighs a twentieth more than its content (common practice, no source)."""
STEAM_MARGIN = 5.0
"""Kelvin below boiling from which steam is near."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A number, how it is said, and where it stands."""

    number: float
    said: str
    span: Span


def said_in(number: float, unit: str, kind: Kind, units: PrintUnits) -> str:
    """Return a number of a canonical unit as the plant prints it, to three significant digits."""
    target = round_significant(Decimal(repr(number)), 3)
    text = print_toleranced(Toleranced(kind, Form.EXACT, unit, target=target), units)
    # What it was converted from in brackets is for what an author wrote.
    return text.partition(" [")[0]


def _highest(value: Toleranced, unit: str) -> float:
    low, high = value.bounds_in(unit)
    end = high if high is not None else low
    return float(end if end is not None else value.exact_in(value.nominal, unit))


def _most(limits: Iterable[Characteristic], unit: str, units: PrintUnits) -> Seen | None:
    """Return the highest upper limit in a unit."""
    found = [
        Seen(
            _highest(limit.requirement, unit), f"{limit.name} {limit.requirement.text}", limit.span
        )
        for limit in limits
        if isinstance(limit.requirement, Toleranced)
    ]
    return max(found, key=lambda seen: seen.number, default=None)


def _of_kind(step: Step, kind: Kind) -> list[Characteristic]:
    return [
        limit
        for limit in step.characteristics
        if isinstance(limit.requirement, Toleranced) and limit.requirement.kind is kind
    ]


def highest_temperature(step: Step, units: PrintUnits) -> Seen | None:
    """Return the highest temperature that the step's profile or limits allow, in degC."""
    return _most(_of_kind(step, Kind.TEMPERATURE), "degC", units)


def last_temperature(step: Step, units: PrintUnits) -> Seen | None:
    """Return the temperature at which the step's profile ends, in degC."""
    ends = [end for segment in step.profile if (end := _end(segment)) is not None]
    return _most(ends[-1:], "degC", units)


def _end(segment: Segment) -> Characteristic | None:
    match segment:
        case Hold():
            return segment.at
        case Ramp():
            return segment.to


def hold_time(step: Step) -> Seen | None:
    """Return the time of all holds of the step together, at the least, in h."""
    times = [s.time for s in step.profile if isinstance(s, Hold) and s.time is not None]
    values = [t.requirement for t in times if isinstance(t.requirement, Toleranced)]
    if not values:
        return None
    hours = sum(float(v.bounds_in("h")[0] or v.exact_in(v.nominal, "h")) for v in values)
    return Seen(hours, f"holds of {hours:g} h", times[0].span)


_SINCE_MIXING = ("time since mixing", "application time", "working time", "open time")


def time_since_mixing(step: Step, units: PrintUnits) -> Seen | None:
    """Return the longest time from mixing that a limit of the step allows, in min."""
    limits = [c for c in _of_kind(step, Kind.TIME) if c.name.lower() in _SINCE_MIXING]
    return _most(limits, "min", units)


def pressure(step: Step, equipment: Iterable[Equipment], units: PrintUnits) -> Seen | None:
    """Return the highest pressure above that of the air, in bar: by limit, else by equipment."""
    limits = [limit for limit in _of_kind(step, Kind.PRESSURE) if "absolute" not in limit.name]
    found = _most(limits, "bar", units)
    if found is not None:
        return found
    ranges = [
        Seen(
            _highest(item.range, "bar"),
            f"{item.name} works at {print_toleranced(item.range, units)}",
            item.span,
        )
        for item in equipment
        if item.type in ("sprayer", "dispenser")
        and item.range is not None
        and item.range.kind is Kind.PRESSURE
    ]
    return max(ranges, key=lambda seen: seen.number, default=None)


def voltage(step: Step, units: PrintUnits) -> Seen | None:
    """Return the highest voltage of the step's limits, in V."""
    return _most(_of_kind(step, Kind.VOLTAGE), "V", units)


def oven_error(oven: Equipment) -> float:
    """Return how far a part can be above the setpoint of an oven, in K."""
    errors = (oven.control_tolerance, oven.non_uniformity, oven.sensor_error)
    return sum(float(e.exact_in(e.nominal, "K")) for e in errors if e is not None)


def _kilograms(value: Toleranced, material: Material | None) -> float | None:
    """Return a mass, or a volume of the material, in kg; None where no density is known."""
    if value.kind is Kind.MASS:
        return _highest(value, "kg")
    density = material.density if material else None
    if value.kind is not Kind.VOLUME or density is None:
        return None
    return _highest(value, "L") * _density(density)


def _density(density: Toleranced) -> float:
    return float(density.nominal_quantity.m_as("kg/L"))


def lifted(step: Step, units: PrintUnits) -> Seen | None:
    """Return the heaviest container or batch that is lifted in the step, in kg."""
    material = step.material
    if step.operation.name == "weigh":
        masses = [limit for limit in _of_kind(step, Kind.MASS) if limit.name in ("mass", "amount")]
        return _most(masses, "kg", units)
    if material is None:
        return None
    found = [
        Seen(
            mass * CONTAINER_SHARE,
            f"a {pack.name} of {material.name} weighs about "
            + said_in(mass * CONTAINER_SHARE, "kg", Kind.MASS, units),
            material.span,
        )
        for pack in material.packs
        if pack.holds is not None and (mass := _kilograms(pack.holds, material)) is not None
    ]
    return max(found, key=lambda seen: seen.number, default=None)


def volume(step: Step, material: Material, units: PrintUnits) -> Seen | None:
    """Return how much of a material is at hand, in L: a full pack, or more by the step's limit."""
    found: list[Seen] = []
    limits = [*_of_kind(step, Kind.MASS), *_of_kind(step, Kind.VOLUME)]
    for limit in limits if step.material is material else ():
        litres = _litres(limit.requirement, material)
        if litres is not None and isinstance(limit.requirement, Toleranced):
            said = f"{limit.name} {print_toleranced(limit.requirement, units)}"
            found.append(Seen(litres, said, limit.span))
    for pack in material.packs:
        litres = _litres(pack.holds, material) if pack.holds is not None else None
        if litres is not None and pack.holds is not None:
            holds = print_toleranced(pack.holds, units)
            said = f"a {pack.name} of {material.name} holds {holds}"
            found.append(Seen(litres, said, material.span))
    return max(found, key=lambda seen: seen.number, default=None)


def _litres(value: Toleranced | str, material: Material) -> float | None:
    if not isinstance(value, Toleranced):
        return None
    if value.kind is Kind.VOLUME:
        return _highest(value, "L")
    if value.kind is Kind.MASS and material.density is not None:
        return _highest(value, "kg") / _density(material.density)
    return None


def batch_mass(process: Process) -> Seen | None:
    """Return the mass of the mixture as it is weighed, in kg."""
    shares = {part.material for part in process.ratio.parts} if process.ratio else set()
    found: dict[str, Seen] = {}
    for step in process.steps:
        if step.operation.name == "weigh" and step.material and step.material.key in shares:
            masses = [c for c in _of_kind(step, Kind.MASS) if c.name in ("mass", "amount")]
            seen = _most(masses, "kg", process.plant.units)
            if seen is not None:
                found.setdefault(step.material.key, seen)
    if not found or set(found) != shares:
        return None
    total = sum(seen.number for seen in found.values())
    said = f"the batch is {said_in(total, 'kg', Kind.MASS, process.plant.units)}"
    return Seen(total, said, next(iter(found.values())).span)


def reaches(seen: Seen | None, asked: Toleranced, unit: str) -> bool:
    """
    Tell whether a number lies within what a pack asks for.

    Raises QuantityError where the units do not convert; the schema and the reader of packs have
    seen to that.
    """
    if seen is None:
        return False
    low, high = asked.bounds_in(unit)
    number = Decimal(repr(seen.number))
    return (low is None or number >= low) and (high is None or number <= high)
