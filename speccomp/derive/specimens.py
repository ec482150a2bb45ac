"""Test specimens: loaded area, shape, and the force at which a strength limit is met."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from speccomp.calc.errors import LimitError
from speccomp.calc.strength import (
    briquet_tensile_strength,
    circle_area,
    compressive_strength,
    flexural_strength_3_point,
    flexural_strength_quarter_point,
    flexural_strength_third_point,
    rectangle_area,
    slenderness,
    span_to_depth,
    splitting_tensile_strength,
)
from speccomp.derive import formulas
from speccomp.derive.model_values import requirement
from speccomp.derive.numbers import Formula, Input, Ledger, Number, written
from speccomp.model.process import Characteristic, Process, Specimen, Step
from speccomp.quantities import Kind, Quantity, Toleranced, quantity

Strength = Callable[[Quantity], Quantity]

_FLEXURE = {
    "three-point": (flexural_strength_3_point, formulas.FLEXURE_3_POINT),
    "third-point": (flexural_strength_third_point, formulas.FLEXURE_THIRD_POINT),
    "quarter-point": (flexural_strength_quarter_point, formulas.FLEXURE_QUARTER_POINT),
}


# Method, load, and the shape that the method asks for: least and greatest, from memory.
_SHAPES: tuple[tuple[str, str, tuple[float, float]], ...] = (
    ("C78", "third-point", (3.0, 3.0)),
    ("C293", "three-point", (3.0, 3.0)),
    ("C580", "three-point", (9.0, 9.0)),
    ("C1161", "three-point", (40 / 3, 40 / 3)),
    ("C1161", "quarter-point", (40 / 3, 40 / 3)),
    ("EN 196-1", "three-point", (2.5, 2.5)),
    ("D3967", "splitting", (0.2, 0.75)),
)
_CLOSE = 0.02


@dataclass(frozen=True, slots=True)
class ForceAtLimit:
    """The force at which a specimen of nominal size just meets a limit on its strength."""

    characteristic: Characteristic
    force: Number[Quantity]


@dataclass(frozen=True, slots=True)
class SpecimenCheck:
    """
    The specimen of one test.

    `strength` is the formula that turns the greatest force into the strength. `area` is None for
    bending; `shape` is span over depth, or length over diameter, and `wanted_shape` what the
    method of the step asks for, where that is known.
    """

    step: Step
    specimen: Specimen
    strength: Formula
    area: Number[Quantity] | None
    shape: Number[float] | None
    forces: tuple[ForceAtLimit, ...]
    wanted_shape: tuple[float, float] | None

    @property
    def fits_method(self) -> bool:
        """Tell whether the shape is within 2 % of what the method asks for, as far as is known."""
        if self.shape is None or self.wanted_shape is None:
            return True
        low, high = self.wanted_shape
        return low * (1 - _CLOSE) <= self.shape.value <= high * (1 + _CLOSE)


def derive_specimens(process: Process, ledger: Ledger) -> tuple[SpecimenCheck, ...]:
    """Return the specimens of all tests that describe one."""
    found = []
    for step in process.steps:
        if step.specimen is not None:
            work = partial(_specimen, step, step.specimen, ledger)
            found.append(ledger.attempt(f"specimen.{step.id}", step.specimen.span, work))
    return tuple(specimen for specimen in found if specimen is not None)


def _specimen(step: Step, specimen: Specimen, ledger: Ledger) -> SpecimenCheck:
    inputs = tuple(_inputs(specimen))
    name = f"specimen.{step.id}"
    area, strength, formula = None, None, None
    if specimen.load in _FLEXURE:
        bending, formula = _FLEXURE[specimen.load]
        sizes = (_size(specimen, "span"), _size(specimen, "width"), _size(specimen, "depth"))
        strength = partial(_bent, bending, sizes)
    elif specimen.load == "splitting":
        length, diameter = _size(specimen, "length"), _size(specimen, "diameter")
        strength, formula = partial(_split, length, diameter), formulas.SPLITTING
    else:
        area = ledger.add(f"{name}.area", "loaded area", _area(specimen), formulas.AREA, inputs)
        tension = specimen.load == "briquet"
        pressed = briquet_tensile_strength if tension else compressive_strength
        strength = partial(_pressed, pressed, area.value)
        formula = formulas.BRIQUET if tension else formulas.COMPRESSION
    return SpecimenCheck(
        step,
        specimen,
        formula,
        area,
        _shape(name, specimen, inputs, ledger),
        tuple(_forces(step, strength, formula, inputs, ledger)),
        _wanted_shape(step.method, specimen.load),
    )


def _wanted_shape(method: str, load: str) -> tuple[float, float] | None:
    """Return the shape that a method asks for under a load; None for one that is not known."""
    return next(
        (
            shape
            for name, loaded, shape in _SHAPES
            if loaded == load and re.search(rf"\b{name}\b(?!-)", method)
        ),
        None,
    )


def _sizes(specimen: Specimen) -> dict[str, Toleranced | None]:
    return {
        "width": specimen.width,
        "depth": specimen.depth,
        "diameter": specimen.diameter,
        "length": specimen.length,
        "span": specimen.span_length,
    }


def _inputs(specimen: Specimen) -> Iterator[Input]:
    for name, value in _sizes(specimen).items():
        if value is not None:
            yield written(name, value, specimen.span)


def _size(specimen: Specimen, name: str) -> Quantity:
    value = _sizes(specimen)[name]
    if value is None:
        raise LimitError(f"The specimen has no {name}; the load `{specimen.load}` needs it.")
    return value.nominal_quantity


def _area(specimen: Specimen) -> Quantity:
    if specimen.diameter is not None:
        return circle_area(specimen.diameter.nominal_quantity)
    return rectangle_area(_size(specimen, "width"), _size(specimen, "depth"))


def _bent(
    bending: Callable[[Quantity, Quantity, Quantity, Quantity], Quantity],
    sizes: tuple[Quantity, Quantity, Quantity],
    force: Quantity,
) -> Quantity:
    return bending(force, *sizes)


def _split(length: Quantity, diameter: Quantity, force: Quantity) -> Quantity:
    return splitting_tensile_strength(force, length, diameter)


def _pressed(
    pressed: Callable[[Quantity, Quantity], Quantity], area: Quantity, force: Quantity
) -> Quantity:
    return pressed(force, area)


def _shape(
    name: str, specimen: Specimen, inputs: tuple[Input, ...], ledger: Ledger
) -> Number[float] | None:
    """Return span over depth of a beam, or length over width of what is pressed."""
    length, width = specimen.length, specimen.diameter or specimen.width
    if specimen.load in _FLEXURE:
        value = span_to_depth(_size(specimen, "span"), _size(specimen, "depth"))
        return ledger.add(f"{name}.shape", "span over depth", value, formulas.SHAPE, inputs)
    if length is None or width is None:
        return None
    value = slenderness(length.nominal_quantity, width.nominal_quantity)
    return ledger.add(f"{name}.shape", "length over width", value, formulas.SHAPE, inputs)


def _forces(
    step: Step, strength: Strength, formula: Formula, inputs: tuple[Input, ...], ledger: Ledger
) -> Iterator[ForceAtLimit]:
    per_newton = strength(quantity(1, "N")).m_as("MPa")
    for characteristic in step.characteristics:
        value = requirement(characteristic)
        limit = value.lower_quantity if value and value.kind is Kind.STRESS else None
        if value is None or limit is None:
            continue
        force = ledger.add(
            f"specimen.{characteristic.id.replace('/', '.')}.force",
            f"force at the least {characteristic.name}",
            quantity(limit.m_as("MPa") / per_newton, "N"),
            formulas.force_at_limit(formula),
            (written(characteristic.name, value, characteristic.span), *inputs),
        )
        yield ForceAtLimit(characteristic, force)
