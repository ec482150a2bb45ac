"""
Ratios of components: by weight, by volume, and as far as two readings show them.

Every ratio is relative to the reference component, which is measured out first: the amount of a
component divided by the amount of the reference. An amount is a mass or a volume, as it is weighed
or measured out; where the ratio is written in the other one, densities convert it. With more than
two components each one has its own ratio to the reference, so no error carries over from one to
the next.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from speccomp.calc.errors import LimitError, RangeError
from speccomp.calc.limits import Limits, bounds, nominal, read_limits, require_order
from speccomp.calc.magnitudes import amount_unit, not_negative, positive, positive_number
from speccomp.calc.rounding import reaches
from speccomp.quantities import Quantity, quantity


@dataclass(frozen=True, slots=True)
class Reading:
    """
    What a scale or a measuring vessel shows for one portion.

    amount: the net reading, a mass or a volume. permissible_error: amount by which it may differ
    from the true one, rounding of the display and the tare included.
    """

    amount: Quantity
    permissible_error: Quantity


@dataclass(frozen=True, slots=True)
class RatioUncertainty:
    """A ratio with its standard uncertainty and its expanded uncertainty at k = 2."""

    ratio: float
    standard: float
    expanded: float


def mass_ratio(part: Limits[float], reference_part: float) -> Limits[float]:
    """
    Return the ratio of a component to the reference, from parts by weight.

    r = p / p_ref, for the target and each limit.
    part: plain numbers, more than zero. reference_part: plain number, more than zero.
    Returns plain numbers.
    Source: definition of parts by weight.
    Errors: RangeError for a part of zero or less, LimitError for limits out of order.
    """
    return scaled_ratio(part, 1 / positive_number(reference_part, "part of the reference"))


def mass_per_volume(density: Limits[Quantity]) -> Limits[float]:
    """
    Return what a part by volume weighs, from the limits of a density.

    density: mass per volume of a component as it is measured out (bulk density for a powder).
    Returns plain numbers of g/cm3; a density without limits is taken as exact.
    Source: definition of density.
    Errors: KindError, RangeError for a density of zero or less, LimitError for limits out of order.
    """
    numbers = read_limits(density, lambda value, name: positive(value, "g/cm3", name), "density")
    low, high = bounds(numbers)
    middle = nominal(numbers)
    return Limits(middle if low is None else low, middle, middle if high is None else high)


def volume_per_mass(density: Limits[Quantity]) -> Limits[float]:
    """
    Return how much room a part by weight takes, from the limits of a density.

    density, errors: as in mass_per_volume.
    Returns plain numbers of cm3/g; a density without limits is taken as exact.
    Source: definition of density.
    """
    rho = mass_per_volume(density)
    low, middle, high = (1 / side for side in (rho.upper, rho.target, rho.lower) if side)
    return Limits(low, middle, high)


def conversion(component: Limits[float], reference: Limits[float]) -> Limits[float]:
    """
    Return the factor from a ratio in parts to one in amounts, with the limits of both densities.

    k = a/a_ref, from a_lo/a_ref,hi to a_hi/a_ref,lo.
    component, reference: amount per part with both limits and a target, as mass_per_volume and
    volume_per_mass return it; UNCONVERTED where parts and amounts are of one kind.
    Returns plain numbers.
    Source: worst case of independent densities, common practice, no source.
    Errors: LimitError without a target or a limit.
    """
    low, target, high = _all_sides(component)
    reference_low, reference_target, reference_high = _all_sides(reference)
    return Limits(low / reference_high, target / reference_target, high / reference_low)


UNCONVERTED = Limits(1.0, 1.0, 1.0)
"""The conversion of a ratio whose parts are measured out as they are written."""


def _all_sides(factor: Limits[float]) -> tuple[float, float, float]:
    if factor.lower is None or factor.target is None or factor.upper is None:
        raise LimitError(f"The factor {written(factor)} needs a target and both limits.")
    return factor.lower, factor.target, factor.upper


def measured_ratio(ratio: Limits[float], factor: Limits[float]) -> Limits[float]:
    """
    Return the ratio of the amounts that holds the ratio in parts, wherever the densities lie.

    From r_lo k_hi to r_hi k_lo; the target is r k, moved between them where it lies outside.
    ratio: plain numbers, component to reference, in parts. factor: as `conversion` returns it.
    Returns plain numbers, with the sides that the ratio has.
    Source: worst case of independent densities, common practice, no source.
    Errors: RangeError for a part of zero or less, LimitError for limits out of order, or when the
    densities are known so badly that no ratio of the amounts is sure to hold the ratio.
    """
    low_factor, middle, high_factor = _all_sides(factor)
    checked = scaled_ratio(ratio, 1)
    lower = None if checked.lower is None else checked.lower * high_factor
    upper = None if checked.upper is None else checked.upper * low_factor
    if lower is not None and upper is not None and not reaches(upper, lower):
        spread = (high_factor - low_factor) / (2 * middle) * 100
        raise LimitError(
            f"The densities are known to ±{spread:.3g} %, and the ratio {written(ratio)} leaves "
            "no room for that."
        )
    if checked.target is None:
        return Limits(lower, None, upper)
    target = checked.target * middle
    if upper is not None:
        target = min(target, upper)
    return Limits(lower, target if lower is None else max(target, lower), upper)


def scaled_ratio(part: Limits[float], factor: float) -> Limits[float]:
    """
    Return the target and each limit times a factor.

    part: plain numbers, more than zero. factor: plain number.
    Returns plain numbers.
    Source: arithmetic.
    Errors: RangeError for a part of zero or less, LimitError for limits out of order or none.
    """
    require_order(part, "part", written(part))
    for value in given(part):
        positive_number(value, "part")
    return Limits(
        None if part.lower is None else part.lower * factor,
        None if part.target is None else part.target * factor,
        None if part.upper is None else part.upper * factor,
    )


def component_masses(total: Quantity, parts: Sequence[float]) -> tuple[Quantity, ...]:
    """
    Return the mass of each component of a mix, from parts by weight.

    m_i = m p_i / sum(p).
    total: mass of the mix. parts: plain numbers, more than zero, one per component.
    Returns masses in g, in the order of the parts.
    Source: definition of parts by weight.
    Errors: KindError, RangeError for a negative mass or a part of zero or less, LimitError
    without parts.
    """
    grams = not_negative(total, "g", "mass of the mix")
    if not parts:
        raise LimitError("The mix has no parts.")
    whole = math.fsum(positive_number(part, "part") for part in parts)
    return tuple(quantity(grams * part / whole, "g") for part in parts)


def parts_by_weight(parts: Sequence[float], densities: Sequence[Quantity]) -> tuple[float, ...]:
    """
    Return parts by weight from parts by volume.

    p_i rho_i / rho_1, so that the first part keeps its number.
    parts: plain numbers, more than zero. densities: mass per volume of each component as it
    is measured out, one per part.
    Returns plain numbers, in the order of the parts.
    Source: definition of density.
    Errors: KindError, RangeError for a part or density of zero or less, LimitError without parts or
    with another number of densities than of parts.
    """
    if len(parts) != len(densities):
        raise LimitError(f"The mix has {len(parts)} parts, with densities of {len(densities)}.")
    if not parts:
        raise LimitError("The mix has no parts.")
    rho = [positive(density, "g/cm3", "density of the component") for density in densities]
    return tuple(
        positive_number(part, "part") * own / rho[0] for part, own in zip(parts, rho, strict=True)
    )


def worst_case_ratio(
    reference: Sequence[Reading], component: Reading, factor: Limits[float] = UNCONVERTED
) -> tuple[float, float]:
    """
    Return the least and the greatest ratio in parts that two readings can stand for.

    ((L - u)/(P + u_P)/k_hi, (L + u)/(P - u_P)/k_lo), P the sum of the readings of the reference and
    u_P the sum of their permissible errors.
    reference: readings of the reference, one per portion. component: reading of the component.
    factor: from parts to amounts, as `conversion` returns it.
    Returns plain numbers.
    Source: worst case of independent errors, common practice, no source.
    Errors: KindError, RangeError for an amount of zero or a negative error, or when an error is as
    large as its reading, LimitError without a reading of the reference.
    """
    amount, error = summed_readings(reference)
    own_amount, own_error = summed_readings([component])
    low_factor, _, high_factor = _all_sides(factor)
    if error >= amount:
        unit = amount_unit(reference[0].amount, "reading")
        raise RangeError(
            f"The error of {error:g} {unit} is not below the reading of {amount:g} {unit}."
        )
    low, high = (
        (own_amount - own_error) / (amount + error),
        (own_amount + own_error) / (amount - error),
    )
    return low / high_factor, high / low_factor


def ratio_uncertainty(
    reference: Sequence[Reading], component: Reading, factor: Limits[float] = UNCONVERTED
) -> RatioUncertainty:
    """
    Return the ratio in parts that two readings show and its uncertainty.

    r = L/(P k), u(r)^2 = r^2 ((u_L/L)^2 + (u_P/P)^2 + (u_k/k)^2), each reading with u = a/sqrt(3)
    for a permissible error a, the factor with half its width, portions of the reference in
    quadrature, U = 2 u.
    reference: readings of the reference, one per portion. component: reading of the component.
    factor: from parts to amounts, as `conversion` returns it.
    Returns plain numbers.
    Source: JCGM 100:2008 (GUM), 4.3.7 and 5.1.2, from memory.
    Validity: independent readings; errors small beside the readings.
    Errors: KindError, RangeError for an amount of zero or a negative error, LimitError without a
    reading of the reference.
    """
    amount, _ = summed_readings(reference)
    own_amount, own_error = summed_readings([component])
    low_factor, middle, high_factor = _all_sides(factor)
    unit = amount_unit(reference[0].amount, "reading")
    squares = math.fsum(float(r.permissible_error.m_as(unit)) ** 2 for r in reference)
    ratio = own_amount / amount / middle
    spread = (high_factor - low_factor) / (2 * middle)
    relative = math.sqrt(((own_error / own_amount) ** 2 + squares / amount**2 + spread**2) / 3)
    return RatioUncertainty(ratio, ratio * relative, 2 * ratio * relative)


def summed_readings(readings: Sequence[Reading]) -> tuple[float, float]:
    """
    Return the summed amount and the summed permissible error of one component's portions.

    readings: one per portion, each an amount of more than zero and an error of zero or more, all
    masses or all volumes.
    Returns plain numbers of g or cm3.
    Source: arithmetic.
    Errors: KindError, RangeError, LimitError without a reading.
    """
    if not readings:
        raise LimitError("There is no reading.")
    unit = amount_unit(readings[0].amount, "reading")
    amount = math.fsum(positive(r.amount, unit, "reading") for r in readings)
    errors = (not_negative(r.permissible_error, unit, "permissible error") for r in readings)
    return amount, math.fsum(errors)


def given(ratio: Limits[float]) -> list[float]:
    """Return the numbers that are given, lowest first."""
    return [value for value in (ratio.lower, ratio.target, ratio.upper) if value is not None]


def written(ratio: Limits[float]) -> str:
    """Return a ratio as an error message shows it."""
    return " to ".join(f"{value:g}" for value in given(ratio))
