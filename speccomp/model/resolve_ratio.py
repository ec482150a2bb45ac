"""Give the limits of the mixing ratio to the steps that can hold them."""

from collections.abc import Sequence
from dataclasses import replace

from speccomp.model.process import Characteristic, Ratio, RatioPart, Step
from speccomp.quantities import Toleranced


def place_ratio(steps: Sequence[Step], ratio: Ratio | None) -> tuple[Step, ...]:
    """
    Return the steps with the limits of the ratio in them, before what is judged by eye.

    A limit belongs to each step that weighs the material. Where none does, a limit that says how
    it is measured belongs to the first step that adds the material, else to the first one that
    mixes, as a mixing nozzle does.
    """
    if ratio is None:
        return tuple(steps)
    placed = list(steps)
    for part in ratio.parts[1:]:
        for number in _places(steps, part):
            placed[number] = _with_limit(placed[number], ratio, part)
    return tuple(placed)


def _places(steps: Sequence[Step], part: RatioPart) -> list[int]:
    """Return the indexes of the steps that hold the share of a material."""
    control = part.characteristic.control if part.characteristic else None
    measured = control is not None and bool(control.gauge or control.method)

    def that(operation: str) -> list[int]:
        return [number for number, step in enumerate(steps) if step.operation.name == operation]

    def of_material(operation: str) -> list[int]:
        found = ((number, steps[number].material) for number in that(operation))
        return [number for number, used in found if used and used.key == part.material]

    others = of_material("add")[:1] or that("mix")[:1]
    return of_material("weigh") or (others if measured else [])


def _with_limit(step: Step, ratio: Ratio, part: RatioPart) -> Step:
    if part.characteristic is None:
        return step
    known = step.characteristics
    weighed = step.operation.name == "weigh"
    reference = f"{ratio.parts[0].parts.text} parts of {ratio.parts[0].material}"
    limit = replace(
        part.characteristic,
        id=f"{step.id}/ratio" if weighed else f"{step.id}/ratio-{part.material}",
        name=f"parts {'' if weighed else f'of {part.material} '}by {ratio.by} to {reference}",
    )
    first = next((n for n, item in enumerate(known) if _judged(item)), len(known))
    return replace(step, characteristics=(*known[:first], limit, *known[first:]))


def _judged(item: Characteristic) -> bool:
    return not isinstance(item.requirement, Toleranced)
