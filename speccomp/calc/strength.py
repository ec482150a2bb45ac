"""Strength of a specimen from the force that breaks it, and the shape of the specimen."""

import math

from speccomp.calc.magnitudes import not_negative, positive
from speccomp.quantities import Quantity, quantity


def rectangle_area(width: Quantity, depth: Quantity) -> Quantity:
    """
    Return the area of a rectangular section.

    b d.
    width, depth: lengths.
    Returns an area in mm2.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less.
    """
    return quantity(positive(width, "mm", "width") * positive(depth, "mm", "depth"), "mm2")


def circle_area(diameter: Quantity) -> Quantity:
    """
    Return the area of a round section.

    pi D^2/4.
    diameter: length.
    Returns an area in mm2.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less.
    """
    return quantity(math.pi * positive(diameter, "mm", "diameter") ** 2 / 4, "mm2")


def compressive_strength(force: Quantity, area: Quantity) -> Quantity:
    """
    Return the compressive strength.

    F/A.
    force: greatest force. area: loaded area.
    Returns a stress in MPa.
    Source: ASTM C109, C579.
    Errors: KindError, RangeError for a negative force or an area of zero or less.
    """
    return _force_on(force, area)


def briquet_tensile_strength(force: Quantity, area: Quantity) -> Quantity:
    """
    Return the tensile strength of a briquet.

    F/A.
    force: greatest force. area: section at the waist.
    Returns a stress in MPa.
    Source: ASTM C307.
    Errors: KindError, RangeError for a negative force or an area of zero or less.
    """
    return _force_on(force, area)


def _force_on(force: Quantity, area: Quantity) -> Quantity:
    newtons = not_negative(force, "N", "force")
    return quantity(newtons / positive(area, "mm2", "area"), "MPa")


def flexural_strength_3_point(
    force: Quantity, span: Quantity, width: Quantity, depth: Quantity
) -> Quantity:
    """
    Return the flexural strength with the load at the middle of the span.

    3 F L/(2 b d^2).
    force: greatest force. span: length L between the supports. width, depth: lengths, depth
    along the load.
    Returns a stress in MPa.
    Source: ASTM C580 method A, ASTM C293.
    Validity: straight elastic beam, see span_to_depth.
    Errors: KindError, RangeError for a negative force or a length of zero or less.
    """
    return quantity(1.5 * _bending(force, span, width, depth), "MPa")


def flexural_strength_third_point(
    force: Quantity, span: Quantity, width: Quantity, depth: Quantity
) -> Quantity:
    """
    Return the flexural strength with loads at the thirds of the span.

    F L/(b d^2).
    force: greatest force, both loads together. span: length L between the supports. width,
    depth: lengths, depth along the load.
    Returns a stress in MPa.
    Source: ASTM C78.
    Validity: straight elastic beam that breaks between the loads, see span_to_depth.
    Errors: KindError, RangeError for a negative force or a length of zero or less.
    """
    return quantity(_bending(force, span, width, depth), "MPa")


def flexural_strength_quarter_point(
    force: Quantity, span: Quantity, width: Quantity, depth: Quantity
) -> Quantity:
    """
    Return the flexural strength with loads at the quarters of the span.

    3 F L/(4 b d^2).
    force: greatest force, both loads together. span: length L between the supports. width,
    depth: lengths, depth along the load.
    Returns a stress in MPa.
    Source: ASTM C1161.
    Validity: straight elastic beam that breaks between the loads, see span_to_depth.
    Errors: KindError, RangeError for a negative force or a length of zero or less.
    """
    return quantity(0.75 * _bending(force, span, width, depth), "MPa")


def _bending(force: Quantity, span: Quantity, width: Quantity, depth: Quantity) -> float:
    """Return F L/(b d^2) in MPa."""
    moment = not_negative(force, "N", "force") * positive(span, "mm", "span")
    return moment / (positive(width, "mm", "width") * positive(depth, "mm", "depth") ** 2)


def splitting_tensile_strength(force: Quantity, length: Quantity, diameter: Quantity) -> Quantity:
    """
    Return the tensile strength of a cylinder or disc that is split across its diameter.

    2 F/(pi L D).
    force: greatest force. length: of the cylinder, or thickness of the disc. diameter: length.
    Returns a stress in MPa.
    Source: ASTM C496, ASTM D3967 with flat platens.
    Errors: KindError, RangeError for a negative force or a length of zero or less.
    """
    surface = positive(length, "mm", "length") * positive(diameter, "mm", "diameter")
    return quantity(2 * not_negative(force, "N", "force") / (math.pi * surface), "MPa")


def span_to_depth(span: Quantity, depth: Quantity) -> float:
    """
    Return the span of a beam over its depth, to set against the method's limits.

    L/d.
    span, depth: lengths.
    Returns a plain number.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less.
    """
    return positive(span, "mm", "span") / positive(depth, "mm", "depth")


def slenderness(length: Quantity, diameter: Quantity) -> float:
    """
    Return the length of a cylinder over its diameter, to set against the method's limits.

    L/D.
    length, diameter: lengths; of a prism the least width in place of the diameter.
    Returns a plain number.
    Source: geometry.
    Errors: KindError, RangeError for a length of zero or less.
    """
    return positive(length, "mm", "length") / positive(diameter, "mm", "diameter")
