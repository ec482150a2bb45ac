"""By what a characteristic is measured or judged, where the definition leaves it to the step."""

from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Step
from speccomp.quantities import Kind, QuantityError, Toleranced

LOOK = "Look"
COUNT = "Count"

_HEAT = frozenset({Kind.TEMPERATURE, Kind.TEMPERATURE_DIFFERENCE, Kind.RAMP_RATE})
_LOAD = frozenset({Kind.FORCE, Kind.STRESS, Kind.PRESSURE, Kind.LOADING_RATE, Kind.FORCE_RATE})
_ELECTRIC = frozenset({Kind.VOLTAGE, Kind.CURRENT, Kind.RESISTANCE, Kind.POWER})
_SIZE = frozenset(
    {Kind.LENGTH, Kind.AREA, Kind.VOLUME, Kind.FRACTION, Kind.RATIO, Kind.ANGLE, Kind.SPEED}
)
_WEIGHED = frozenset({Kind.MASS, Kind.RATIO, Kind.FRACTION, Kind.COUNT})

# What equipment of each type shows on its own instruments, whatever its range is given in.
_SHOWN: dict[str, frozenset[Kind]] = {
    "scale": _WEIGHED | {Kind.MASS_FLOW, Kind.DENSITY, Kind.VOLUME},
    "oven": _HEAT | {Kind.TIME},
    "thermometer": _HEAT,
    "timer": frozenset({Kind.TIME}),
    "mixer": frozenset({Kind.ROTATION_SPEED, Kind.TIME}),
    "vacuum-chamber": frozenset({Kind.PRESSURE, Kind.TIME}),
    "sprayer": frozenset({Kind.PRESSURE}),
    "dispenser": frozenset(
        {Kind.VOLUME, Kind.MASS, Kind.PRESSURE, Kind.TIME, Kind.FLOW_RATE, Kind.MASS_FLOW}
    ),
}
# Kinds that a gauge ranged in one of them may serve as well: a testing machine ranged in
# newtons gives a strength, a caliper a shrinkage, a graduated cylinder a ratio by volume.
_GROUPS = (_LOAD, _ELECTRIC, _SIZE)
_FROM_HUMIDITY = frozenset({Kind.HUMIDITY, Kind.TEMPERATURE})


def measured_kinds(equipment: Equipment) -> frozenset[Kind] | None:
    """
    Return the kinds of limit that a piece of equipment can measure; None where none is excluded.

    A tool or a mould may judge anything by its own shape, as a template does.
    """
    if equipment.type in ("tool", "mould"):
        return None
    shown = _SHOWN.get(equipment.type, frozenset())
    kind = equipment.measures
    if kind is None:
        return shown or None
    if equipment.type != "gauge":
        return shown | {kind}
    if kind is Kind.HUMIDITY:
        return _FROM_HUMIDITY
    return next((group for group in _GROUPS if kind in group), frozenset({kind}))


def technique_of(step: Step, characteristic: Characteristic) -> Equipment | str | None:
    """
    Return by what a characteristic is measured or judged.

    The gauge or method that the definition names counts first. Without one, what is judged is
    looked at, what is counted is counted, and a value is read from the equipment of the step
    that measures its kind: the scale, the oven's own sensor, a gauge, a timer. None where the
    step has nothing of that kind.
    """
    control = characteristic.control
    if control.gauge is not None:
        return control.gauge
    requirement = characteristic.requirement
    if control.method:
        return control.method
    if isinstance(requirement, str):
        return LOOK
    fitting = [item for item in step.equipment if _measures(item, requirement.kind)]
    fitting.sort(key=lambda item: _rank(item, requirement))
    if fitting:
        return fitting[0]
    return COUNT if requirement.kind is Kind.COUNT else None


def _measures(equipment: Equipment, kind: Kind) -> bool:
    """Tell whether a value of the kind may be read from equipment that nobody named for it."""
    match equipment.type:
        case "gauge":
            return equipment.measures is kind
        case "scale":
            return kind in (Kind.MASS, Kind.RATIO)
        case "oven" | "thermometer" | "timer" | "vacuum-chamber" | "sprayer":
            return kind in _SHOWN[equipment.type]
        case _:
            return False


def _rank(equipment: Equipment, requirement: Toleranced) -> tuple[bool, bool]:
    """Put a range that holds the limit first, and instruments before machines."""
    machine = equipment.type in ("oven", "vacuum-chamber", "sprayer")
    return (not range_holds(equipment, requirement), machine)


def range_holds(equipment: Equipment, requirement: Toleranced) -> bool:
    """Tell whether both limits lie inside the equipment's range, where the two compare."""
    limits = equipment.range
    if limits is None or limits.kind is not requirement.kind:
        return True
    try:
        low, high = requirement.bounds_in(limits.unit)
    except QuantityError:
        return True
    ends = [end for end in (low, high) if end is not None]
    above = limits.lower is None or all(end >= limits.lower for end in ends)
    below = limits.upper is None or all(end <= limits.upper for end in ends)
    return above and below
