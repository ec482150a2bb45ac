"""Values of the model as the formulas take them."""

from speccomp.calc.limits import Limits
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Step
from speccomp.quantities import Kind, Quantity, Toleranced


def limits_of(value: Toleranced) -> Limits[Quantity]:
    """Return a toleranced value as target and limits."""
    return Limits(value.lower_quantity, value.target_quantity, value.upper_quantity)


def greatest(value: Toleranced) -> Quantity:
    """Return the upper limit, else the target, else the one lower limit."""
    return _first(value.upper_quantity, value.target_quantity, value)


def least(value: Toleranced) -> Quantity:
    """Return the lower limit, else the target, else the one upper limit."""
    return _first(value.lower_quantity, value.target_quantity, value)


def _first(limit: Quantity | None, target: Quantity | None, value: Toleranced) -> Quantity:
    if limit is not None:
        return limit
    return value.nominal_quantity if target is None else target


def as_fraction(value: Toleranced) -> float:
    """Return the nominal value of a fraction as a plain number, 0.08 for 8 %."""
    return float(value.exact_in(value.nominal, ""))


def whole_number(value: Toleranced) -> int:
    """Return the greatest count that a limit on a count asks for."""
    return int(greatest(value).magnitude)


def requirement(characteristic: Characteristic | None) -> Toleranced | None:
    """Return the value of a limit; None where a person judges by words."""
    wanted = characteristic.requirement if characteristic else None
    return wanted if isinstance(wanted, Toleranced) else None


def limit_named(
    step: Step, *names: str, kind: Kind | None = None
) -> tuple[Characteristic, Toleranced] | None:
    """Return the first limit of a step that has one of the names and the kind, with its value."""
    for name in names:
        for characteristic in step.characteristics:
            value = requirement(characteristic)
            if characteristic.name.lower() != name or value is None:
                continue
            if kind is None or value.kind is kind:
                return characteristic, value
    return None


def first_of_type(step: Step, type_name: str) -> Equipment | None:
    """Return the first equipment of a type that a step names."""
    return next((item for item in step.equipment if item.type == type_name), None)
