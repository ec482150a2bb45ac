"""Check discs: shrinkage, gap, warp, mass loss, and the decision on a reading."""

import math
from enum import StrEnum

from speccomp.calc.errors import RangeError
from speccomp.calc.gauge import DecisionLimits
from speccomp.calc.magnitudes import exceeds, not_negative, positive, shown
from speccomp.quantities import Quantity, quantity


class Decision(StrEnum):
    """What a reading says about a limit."""

    ACCEPT = "accept"
    REJECT = "reject"
    CANNOT_JUDGE = "cannot judge"


def linear_shrinkage(mould: Quantity, disc: Quantity) -> float:
    """
    Return the linear shrinkage of a disc as a fraction; below zero when it has grown.

    (D_mould - D_disc)/D_mould.
    mould, disc: lengths, diameters at the same temperature.
    Returns a plain number, 0.003 for 0.3 %.
    Source: ASTM C531.
    Errors: KindError, RangeError for a length of zero or less.
    """
    whole = positive(mould, "mm", "diameter of the mould")
    return (whole - positive(disc, "mm", "diameter of the disc")) / whole


def shrinkage_uncertainty(
    mould: Quantity, disc: Quantity, mould_uncertainty: Quantity, disc_uncertainty: Quantity
) -> float:
    """
    Return the uncertainty of a linear shrinkage from those of the two diameters.

    sqrt(u_disc^2 + (D_disc u_mould/D_mould)^2)/D_mould.
    mould, disc: lengths. mould_uncertainty, disc_uncertainty: lengths, both standard or both
    expanded with the same factor.
    Returns a plain number, of the same sort as what was given.
    Source: JCGM 100:2008 (GUM), 5.1.2, from memory.
    Validity: independent measurements.
    Errors: KindError, RangeError for a length of zero or less or a negative uncertainty.
    """
    whole = positive(mould, "mm", "diameter of the mould")
    share = positive(disc, "mm", "diameter of the disc") / whole
    return (
        math.hypot(
            not_negative(disc_uncertainty, "mm", "uncertainty of the disc"),
            share * not_negative(mould_uncertainty, "mm", "uncertainty of the mould"),
        )
        / whole
    )


def edge_gap(mould: Quantity, disc: Quantity) -> Quantity:
    """
    Return the gap all round a disc in the middle of its mould; below zero when it has grown.

    (D_mould - D_disc)/2.
    mould, disc: lengths, diameters.
    Returns a length in mm.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less.
    """
    whole = positive(mould, "mm", "diameter of the mould")
    return quantity((whole - positive(disc, "mm", "diameter of the disc")) / 2, "mm")


def warp(height: Quantity, thickness: Quantity) -> Quantity:
    """
    Return the warp of a disc that lies on a flat plate.

    height - thickness.
    height: length, greatest height above the plate. thickness: length, of the disc at that place.
    Returns a length in mm.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less or a height below the thickness.
    """
    top = positive(height, "mm", "height of the disc")
    own = positive(thickness, "mm", "thickness of the disc")
    if top < own:
        raise RangeError(
            f"The height of the disc is {shown(height)}, less than its thickness of "
            f"{shown(thickness)}."
        )
    return quantity(top - own, "mm")


def mass_loss(before: Quantity, after: Quantity) -> float:
    """
    Return the loss of mass as a fraction of the mass before; below zero for a gain.

    (m_before - m_after)/m_before.
    before, after: masses.
    Returns a plain number, 0.06 for 6 %.
    Source: definition, wet basis.
    Errors: KindError, RangeError for a mass before of zero or less or a negative one after.
    """
    whole = positive(before, "g", "mass before")
    return (whole - not_negative(after, "g", "mass after")) / whole


def mass_loss_uncertainty(
    before: Quantity, after: Quantity, before_uncertainty: Quantity, after_uncertainty: Quantity
) -> float:
    """
    Return the uncertainty of a mass loss from those of the two masses.

    sqrt(u_after^2 + (m_after u_before/m_before)^2)/m_before.
    before, after: masses. before_uncertainty, after_uncertainty: masses, both standard, both
    expanded with the same factor, or both permissible errors.
    Returns a plain number, of the same sort as what was given.
    Source: JCGM 100:2008 (GUM), 5.1.2, from memory.
    Validity: independent weighings.
    Errors: KindError, RangeError for a mass of zero or less or a negative uncertainty.
    """
    whole = positive(before, "g", "mass before")
    share = positive(after, "g", "mass after") / whole
    return (
        math.hypot(
            not_negative(after_uncertainty, "g", "uncertainty of the mass after"),
            share * not_negative(before_uncertainty, "g", "uncertainty of the mass before"),
        )
        / whole
    )


def disc_volume(diameter: Quantity, thickness: Quantity) -> Quantity:
    """
    Return the volume of a disc.

    pi D^2 t/4.
    diameter, thickness: lengths.
    Returns a volume in cm3.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less.
    """
    width = positive(diameter, "mm", "diameter of the disc")
    return quantity(
        math.pi * width**2 * positive(thickness, "mm", "thickness of the disc") / 4000, "cm3"
    )


def decide(reading: Quantity, limits: DecisionLimits) -> Decision:
    """
    Return what a reading says: accept, reject, or cannot judge.

    Reject outside the rejecting limits, accept inside the accepting ones or on them, cannot judge
    in between.
    reading: of the kind of the limits. limits: as decision_limits gives them.
    Source: JCGM 106:2012, from memory.
    Errors: KindError for a reading of another kind, RangeError for one that is not a number.
    """
    if math.isnan(reading.magnitude):
        raise RangeError("The reading is not a number.")
    if _beyond(limits.reject_lower, reading) or _beyond(reading, limits.reject_upper):
        return Decision.REJECT
    if _beyond(limits.accept_lower, reading) or _beyond(reading, limits.accept_upper):
        return Decision.CANNOT_JUDGE
    return Decision.ACCEPT


def _beyond(first: Quantity | None, second: Quantity | None) -> bool:
    """Tell whether the first is the greater; never so when one is absent."""
    return first is not None and second is not None and exceeds(first, second)
