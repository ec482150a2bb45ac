"""
Ratios of components: by weight, by volume, and as far as two readings show them.

Every ratio is by weight and relative to the reference component, which is weighed first: the mass
of a component divided by the mass of the reference. With more than two components each one has
its own ratio to the reference, so no error carries over from one to the next.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from speccomp.calc.errors import LimitError, RangeError
from speccomp.calc.limits import Limits, require_order
from speccomp.calc.magnitudes import not_negative, positive, positive_number
from speccomp.quantities import Quantity, quantity


@dataclass(frozen=True, slots=True)
class Reading:
    """
    What a scale shows for one net weighing.

    mass: the net reading. permissible_error: mass by which it may differ from the true net mass,
    rounding of the display and the tare included.
    """

    mass: Quantity
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


def mass_ratio_by_volume(
    part: Limits[float], reference_part: float, density: Quantity, reference_density: Quantity
) -> Limits[float]:
    """
    Return the ratio by weight of a component to the reference, from parts by volume.

    r = (p rho) / (p_ref rho_ref), for the target and each limit.
    part, reference_part: plain numbers, more than zero. density, reference_density: mass per
    volume of each component as it is measured out (bulk density for a powder).
    Returns plain numbers.
    Source: definition of density.
    Errors: KindError, RangeError for a part or density of zero or less, LimitError for limits
    out of order.
    """
    rho = positive(density, "g/cm3", "density of the component")
    rho_reference = positive(reference_density, "g/cm3", "density of the reference")
    reference = positive_number(reference_part, "part of the reference")
    return scaled_ratio(part, rho / (reference * rho_reference))


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


def worst_case_ratio(reference: Sequence[Reading], component: Reading) -> tuple[float, float]:
    """
    Return the least and the greatest ratio that two readings can stand for.

    ((L - u)/(P + u_P), (L + u)/(P - u_P)), P the sum of the readings of the reference and u_P the
    sum of their permissible errors.
    reference: readings of the reference, one per portion. component: reading of the component.
    Returns plain numbers.
    Source: worst case of independent scale errors, common practice, no source.
    Errors: KindError, RangeError for a mass of zero or a negative error, or when an error is as
    large as its reading, LimitError without a reading of the reference.
    """
    mass, error = summed_readings(reference)
    component_mass, component_error = summed_readings([component])
    if error >= mass:
        raise RangeError(f"The scale error of {error:g} g is not below the reading of {mass:g} g.")
    return (component_mass - component_error) / (mass + error), (
        component_mass + component_error
    ) / (mass - error)


def ratio_uncertainty(reference: Sequence[Reading], component: Reading) -> RatioUncertainty:
    """
    Return the ratio that two readings show and its uncertainty.

    r = L/P, u(r)^2 = r^2 ((u_L/L)^2 + (u_P/P)^2), each reading with u = a/sqrt(3) for a permissible
    error a, portions of the reference in quadrature, U = 2 u.
    reference: readings of the reference, one per portion. component: reading of the component.
    Returns plain numbers.
    Source: JCGM 100:2008 (GUM), 4.3.7 and 5.1.2, from memory.
    Validity: independent weighings; errors small beside the readings.
    Errors: KindError, RangeError for a mass of zero or a negative error, LimitError without a
    reading of the reference.
    """
    mass, _ = summed_readings(reference)
    component_mass, component_error = summed_readings([component])
    squares = math.fsum(r.permissible_error.m_as("g") ** 2 for r in reference)
    ratio = component_mass / mass
    relative = math.sqrt(((component_error / component_mass) ** 2 + squares / mass**2) / 3)
    return RatioUncertainty(ratio, ratio * relative, 2 * ratio * relative)


def summed_readings(readings: Sequence[Reading]) -> tuple[float, float]:
    """
    Return the summed mass and the summed permissible error of one component's portions.

    readings: one per portion, each a mass of more than zero and an error of zero or more.
    Returns plain numbers of g.
    Source: arithmetic.
    Errors: KindError, RangeError, LimitError without a reading.
    """
    if not readings:
        raise LimitError("There is no reading.")
    mass = math.fsum(positive(r.mass, "g", "reading") for r in readings)
    error = math.fsum(not_negative(r.permissible_error, "g", "permissible error") for r in readings)
    return mass, error


def given(ratio: Limits[float]) -> list[float]:
    """Return the numbers that are given, lowest first."""
    return [value for value in (ratio.lower, ratio.target, ratio.upper) if value is not None]


def written(ratio: Limits[float]) -> str:
    """Return a ratio as an error message shows it."""
    return " to ".join(f"{value:g}" for value in given(ratio))
