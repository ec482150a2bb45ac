"""How much to mix for a number of parts, and how many parts a mix gives."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from speccomp.calc.errors import KindError, LimitError
from speccomp.calc.limits import Limits, bounds, nominal, read_limits
from speccomp.calc.magnitudes import (
    count,
    fraction_below_one,
    not_negative,
    positive,
    positive_number,
)
from speccomp.calc.rounding import whole_down, whole_up
from speccomp.quantities import Quantity, quantity


@dataclass(frozen=True, slots=True)
class BatchNeeds:
    """
    What a batch has to fill.

    parts: count. fill_volume: volume per part with its limits. loss_fraction: volume lost to purge
    and pot residue as a fraction of the fill, 0.05 for 5 %. extra_volume: volume of the discs
    and the retained sample of the batch.
    """

    parts: int
    fill_volume: Limits[Quantity]
    loss_fraction: float
    extra_volume: Quantity


@dataclass(frozen=True, slots=True)
class EqualBatches:
    """A quantity split into batches of one size."""

    count: int
    size: Quantity


def mixed_density(parts: Sequence[float], densities: Sequence[Quantity]) -> Quantity:
    """
    Return the density of a mix of parts by weight.

    1/rho = sum(w_i/rho_i), w_i = p_i/sum(p).
    parts: plain numbers by weight, more than zero. densities: true density of each component,
    without the air between grains.
    Returns a density in g/cm3.
    Source: ideal mixing, volumes add.
    Validity: no entrained air, no reaction or dissolving that changes the volume.
    Errors: KindError, RangeError for a part or density of zero or less, LimitError without parts
    or with another number of densities than of parts.
    """
    numbers, rho = _mix(parts, densities)
    volume = math.fsum(part / own for part, own in zip(numbers, rho, strict=True))
    return quantity(math.fsum(numbers) / volume, "g/cm3")


def mixed_density_by_volume(parts: Sequence[float], densities: Sequence[Quantity]) -> Quantity:
    """
    Return the density of a mix of parts by volume.

    rho = sum(p_i rho_i)/sum(p_i).
    parts: plain numbers by volume, more than zero. densities: density of each component as
    the parts are measured, without the air between grains.
    Returns a density in g/cm3.
    Source: ideal mixing, volumes add.
    Validity: no entrained air, no reaction or dissolving that changes the volume.
    Errors: KindError, RangeError for a part or density of zero or less, LimitError without parts
    or with another number of densities than of parts.
    """
    numbers, rho = _mix(parts, densities)
    mass = math.fsum(part * own for part, own in zip(numbers, rho, strict=True))
    return quantity(mass / math.fsum(numbers), "g/cm3")


def _mix(parts: Sequence[float], densities: Sequence[Quantity]) -> tuple[list[float], list[float]]:
    if len(parts) != len(densities):
        raise LimitError(f"The mix has {len(parts)} parts, with densities of {len(densities)}.")
    if not parts:
        raise LimitError("The mix has no parts.")
    return (
        [positive_number(part, "part") for part in parts],
        [positive(density, "g/cm3", "density of the component") for density in densities],
    )


def density_with_air(density: Quantity, air_fraction: float) -> Quantity:
    """
    Return the density of a mix with entrained air.

    rho (1 - a).
    density: density without air. air_fraction: volume of air in the volume of the mix, 0 to 1.
    Returns a density in g/cm3.
    Source: definition of density.
    Errors: KindError, RangeError for a density of zero or less or a fraction outside 0 to 1.
    """
    air = fraction_below_one(air_fraction, "fraction of air")
    return quantity(positive(density, "g/cm3", "density") * (1 - air), "g/cm3")


def paste_volume(needs: BatchNeeds) -> Limits[Quantity]:
    """
    Return the volume of mix that a batch needs.

    V = n v (1 + f) + V_extra, at the lowest, the nominal and the highest fill volume.
    needs: at least one part.
    Returns volumes in cm3; a side is absent where the fill volume has no limit there.
    Source: common practice, no source.
    Errors: KindError, RangeError for a count below one, a volume of zero or less or a loss outside
    0 to 1, LimitError for limits out of order.
    """
    return _each(_cubic_centimetres(needs), "cm3", 1)


def paste_mass(needs: BatchNeeds, density: Quantity) -> Limits[Quantity]:
    """
    Return the mass of mix that a batch needs.

    m = rho (n v (1 + f) + V_extra), at the lowest, the nominal and the highest fill volume.
    needs: at least one part. density: density of the mix as it is filled.
    Returns masses in g; a side is absent where the fill volume has no limit there.
    Source: common practice, no source.
    Errors: those of paste_volume, RangeError for a density of zero or less.
    """
    return _each(_cubic_centimetres(needs), "g", positive(density, "g/cm3", "density"))


def _cubic_centimetres(needs: BatchNeeds) -> Limits[float]:
    parts = count(needs.parts, 1, "number of parts")
    loss = fraction_below_one(needs.loss_fraction, "fraction lost")
    extra = not_negative(needs.extra_volume, "cm3", "extra volume")
    fill = read_limits(
        needs.fill_volume, lambda value, name: positive(value, "cm3", name), "fill volume"
    )
    lower, upper = bounds(fill)

    def total(volume: float) -> float:
        return parts * volume * (1 + loss) + extra

    return Limits(
        None if lower is None else total(lower),
        total(nominal(fill)),
        None if upper is None else total(upper),
    )


def _each(limits: Limits[float], unit: str, factor: float) -> Limits[Quantity]:
    def side(value: float | None) -> Quantity | None:
        return None if value is None else quantity(value * factor, unit)

    return Limits(side(limits.lower), side(limits.target), side(limits.upper))


def parts_from_mass(
    mass: Quantity,
    density: Quantity,
    fill_volume: Quantity,
    loss_fraction: float,
    extra_volume: Quantity,
) -> int:
    """
    Return how many parts a mass of mix fills.

    n = floor((m/rho - V_extra)/(v (1 + f))), zero where the extra volume takes it all.
    mass: mass of the mix. density: density of the mix as it is filled. fill_volume: volume per
    part; the highest one allowed gives the number that is certain. loss_fraction and
    extra_volume: as in BatchNeeds.
    Returns a count.
    Source: paste_mass solved for n.
    Errors: KindError, RangeError for a density or fill volume of zero or less, a negative mass or
    extra volume, or a loss outside 0 to 1.
    """
    volume = not_negative(mass, "g", "mass of the mix") / positive(density, "g/cm3", "density")
    fill = positive(fill_volume, "cm3", "fill volume")
    loss = fraction_below_one(loss_fraction, "fraction lost")
    left = volume - not_negative(extra_volume, "cm3", "extra volume")
    return max(0, whole_down(left / (fill * (1 + loss))))


def whole_containers(needed: Quantity, content: Quantity) -> int:
    """
    Return how many whole containers to draw.

    ceil(needed/content).
    needed, content: both masses or both volumes.
    Returns a count.
    Source: common practice, no source.
    Errors: KindError unless both are masses or both are volumes, RangeError for a negative need or
    a content of zero or less.
    """
    try:
        need, unit = not_negative(needed, "g", "amount needed"), "g"
    except KindError:
        need, unit = not_negative(needed, "cm3", "amount needed"), "cm3"
    return whole_up(need / positive(content, unit, "content of a container"))


def equal_batches(total: Quantity, largest: Quantity) -> EqualBatches:
    """
    Return the fewest batches of one size that make a total.

    count = ceil(total/largest), size = total/count: no small remainder is left over.
    total, largest: masses.
    Returns a count and a mass in g.
    Source: common practice, no source.
    Errors: KindError, RangeError for a mass of zero or less.
    """
    grams = positive(total, "g", "total mass")
    number = whole_up(grams / positive(largest, "g", "largest batch"))
    return EqualBatches(number, quantity(grams / number, "g"))


def equal_counts(parts: int, most: int) -> tuple[int, ...]:
    """
    Return the fewest groups of parts that are equal but for one part, larger ones first.

    ceil(parts/most) groups.
    parts: count, at least 1. most: count, the largest group allowed, at least 1.
    Returns counts.
    Source: common practice, no source.
    Errors: RangeError for a count below 1.
    """
    groups = -(-count(parts, 1, "number of parts") // count(most, 1, "largest group"))
    small, larger = divmod(parts, groups)
    return (small + 1,) * larger + (small,) * (groups - larger)
