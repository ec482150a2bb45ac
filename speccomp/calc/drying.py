"""Drying of a slab by diffusion, and how drying time grows with thickness."""

import math

from speccomp.calc.errors import RangeError
from speccomp.calc.magnitudes import not_negative, open_fraction, positive
from speccomp.quantities import Quantity, quantity

SHORT_TIME = 0.02
"""Below this Fourier number the two faces do not feel each other, to the last digit."""

SMALLEST_TERM = 1e-17


def free_water_left(
    diffusivity: Quantity, thickness: Quantity, time: Quantity, open_faces: int
) -> float:
    """
    Return the fraction of the free water that is still in a slab.

    sum over n of 8/((2n+1)^2 pi^2) exp(-(2n+1)^2 pi^2 Fo/4), Fo = D t/L^2, L half the thickness
    with both faces open and the whole of it with one; for Fo < 0.02 1 - 2 sqrt(Fo/pi), which is
    the same there to the last digit.
    diffusivity: length squared per time, of the water in the body. thickness: length. time: from
    the start of drying, zero or more. open_faces: 1 or 2.
    Returns a plain number from 0 to 1.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, eqs 4.17-4.20.
    Validity: even moisture at the start, dry air at the open faces, constant diffusivity.
    Errors: KindError, RangeError for a diffusivity or thickness of zero or less, a negative time,
    or another number of faces.
    """
    path = _path(thickness, open_faces)
    rate = positive(diffusivity, "m2/s", "diffusivity") / path**2
    return _left(rate * not_negative(time, "s", "time"))


def _path(thickness: Quantity, open_faces: int) -> float:
    """Return the way the water has to go, in m."""
    if open_faces not in (1, 2):
        raise RangeError(f"The number of open faces is {open_faces}; it must be 1 or 2.")
    return positive(thickness, "m", "thickness") / open_faces


def _left(fourier: float) -> float:
    if fourier < SHORT_TIME:
        return 1 - 2 * math.sqrt(fourier / math.pi)
    return math.fsum(8 / odd_square * decay for odd_square, decay in _terms(fourier))


def _terms(fourier: float) -> list[tuple[float, float]]:
    """Return (2n+1)^2 pi^2 and the decay of each term that matters."""
    terms = []
    number = 0
    while True:
        odd_square = ((2 * number + 1) * math.pi) ** 2
        decay = math.exp(-odd_square * fourier / 4)
        terms.append((odd_square, decay))
        if decay < SMALLEST_TERM:
            return terms
        number += 1


def time_to_dry(
    diffusivity: Quantity, thickness: Quantity, fraction_left: float, open_faces: int
) -> Quantity:
    """
    Return the time after which a fraction of the free water is left in a slab.

    free_water_left solved for the time.
    diffusivity: length squared per time, of the water in the body. thickness: length.
    fraction_left: plain number between 0 and 1. open_faces: 1 or 2.
    Returns a time in s.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, eqs 4.17-4.20.
    Validity: as for free_water_left.
    Errors: KindError, RangeError for a diffusivity or thickness of zero or less, a fraction outside
    0 to 1, or another number of faces.
    """
    path = _path(thickness, open_faces)
    rate = positive(diffusivity, "m2/s", "diffusivity") / path**2
    return quantity(_fourier(open_fraction(fraction_left, "fraction left")) / rate, "s")


def _fourier(left: float) -> float:
    fourier = math.pi * (1 - left) ** 2 / 4
    if fourier < SHORT_TIME:
        return fourier
    # The start lies below the root of a convex, falling curve, so Newton's steps only rise.
    while True:
        slope = 2 * math.fsum(decay for _, decay in _terms(fourier))
        step = (_left(fourier) - left) / slope
        if step <= 1e-14 * fourier:
            return fourier
        fourier += step


def thickness_factor(section: Quantity, reference_section: Quantity) -> float:
    """
    Return the factor by which drying time grows with thickness.

    (L/L_ref)^2.
    section, reference_section: lengths.
    Returns a plain number.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975: time enters as D t/L^2 only.
    Validity: the same open faces and the same drying conditions.
    Errors: KindError, RangeError for a length of zero or less.
    """
    ratio = positive(section, "mm", "section") / positive(
        reference_section, "mm", "reference section"
    )
    return ratio**2


def scaled_drying_time(time: Quantity, section: Quantity, reference_section: Quantity) -> Quantity:
    """
    Return the drying time of a section from that of another one.

    t (L/L_ref)^2.
    time: drying time of the reference section. section, reference_section: lengths.
    Returns a time in s.
    Source, validity: as for thickness_factor.
    Errors: KindError, RangeError for a time or length of zero or less.
    """
    seconds = positive(time, "s", "drying time")
    return quantity(seconds * thickness_factor(section, reference_section), "s")
