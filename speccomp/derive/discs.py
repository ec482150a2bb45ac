"""Check discs and retained samples: how much of the mix they take."""

from dataclasses import dataclass
from functools import partial

from speccomp.calc.discs import disc_volume
from speccomp.calc.strength import circle_area
from speccomp.derive import formulas
from speccomp.derive.model_values import greatest, limit_named, whole_number
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.process import Characteristic, Process, Step
from speccomp.quantities import Kind, Quantity, Toleranced


@dataclass(frozen=True, slots=True)
class DiscSet:
    """
    The discs that one step casts from a mix.

    `area` and `volume` are of one disc, at the nominal size, which is that of the mould's cavity.
    """

    step: str
    count: Number[int]
    diameter: Toleranced
    thickness: Toleranced
    area: Number[Quantity]
    volume: Number[Quantity]
    total: Number[Quantity]


def derive_discs(process: Process, ledger: Ledger) -> tuple[DiscSet, ...]:
    """Return the discs of every step that casts some and gives their size."""
    found = (
        ledger.attempt(f"discs.{step.id}", step.span, partial(_discs, step, ledger))
        for step in process.steps
        if step.operation.name == "cast-discs"
    )
    return tuple(discs for discs in found if discs is not None)


def _discs(step: Step, ledger: Ledger) -> DiscSet | None:
    number = limit_named(step, "discs", kind=Kind.COUNT)
    width = limit_named(step, "disc diameter", kind=Kind.LENGTH)
    height = limit_named(step, "disc thickness", kind=Kind.LENGTH)
    if number is None or width is None or height is None:
        return None
    name, size = f"discs.{step.id}", (limit_input(width), limit_input(height))
    diameter, thickness = width[1].nominal_quantity, height[1].nominal_quantity
    count = ledger.add(
        f"{name}.count",
        "discs from one mix",
        whole_number(number[1]),
        formulas.GREATEST_COUNT,
        (limit_input(number),),
    )
    area = ledger.add(
        f"{name}.area",
        "face of a disc",
        circle_area(diameter),
        formulas.CIRCLE_AREA,
        size[:1],
    )
    volume = ledger.add(
        f"{name}.volume",
        "volume of a disc",
        disc_volume(diameter, thickness),
        formulas.DISC_VOLUME,
        size,
    )
    total = ledger.add(
        f"{name}.total",
        "mix for the discs",
        volume.value * count.value,
        formulas.ALL_DISCS,
        (derived_from(count), derived_from(volume)),
    )
    return DiscSet(step.id, count, width[1], height[1], area, volume, total)


def limit_input(limit: tuple[Characteristic, Toleranced]) -> Input:
    """Return a limit of a step as an input."""
    characteristic, value = limit
    return written(characteristic.name, value, characteristic.span)


@dataclass(frozen=True, slots=True)
class SampleTaken:
    """The sample that one step retains from a mix, as it is asked for: a mass or a volume."""

    step: str
    amount: Number[Quantity]


def derive_samples(process: Process, ledger: Ledger) -> tuple[SampleTaken, ...]:
    """Return the retained samples of a mix."""
    found = []
    shares = {part.material for part in process.ratio.parts} if process.ratio else set()
    for step in process.steps:
        of_component = step.material is not None and step.material.key in shares
        if step.operation.name != "retain-sample" or of_component:
            continue
        limit = limit_named(step, "amount", "mass", "volume")
        if limit is None:
            continue
        formula = {Kind.MASS: formulas.SAMPLE_MASS, Kind.VOLUME: formulas.SAMPLE_VOLUME}.get(
            limit[1].kind
        )
        if formula is not None:
            amount = ledger.add(
                f"retained.{step.id}.amount",
                "mix for the retained sample",
                greatest(limit[1]),
                formula,
                (limit_input(limit),),
            )
            found.append(SampleTaken(step.id, amount))
    return tuple(found)


def sample_volume(sample: SampleTaken, density: Quantity) -> Quantity:
    """Return a retained sample as a volume of mix."""
    amount = sample.amount
    return amount.value if amount.kind is Kind.VOLUME else amount.value / density
