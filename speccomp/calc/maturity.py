"""Equivalent age: what a temperature history is worth at one reference temperature."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from speccomp.calc.cure import CureProfile
from speccomp.calc.errors import LimitError, RangeError
from speccomp.calc.magnitudes import kelvin, magnitude, not_negative, shown
from speccomp.calc.potlife import GAS_CONSTANT
from speccomp.quantities import Quantity, quantity

WIDEST_STEP = 10.0
"""Kelvin over which one step of the integration goes, good to eleven digits."""

GAUSS_POINTS = (
    (0.0, 128 / 225),
    (-math.sqrt(5 - 2 * math.sqrt(10 / 7)) / 3, (322 + 13 * math.sqrt(70)) / 900),
    (math.sqrt(5 - 2 * math.sqrt(10 / 7)) / 3, (322 + 13 * math.sqrt(70)) / 900),
    (-math.sqrt(5 + 2 * math.sqrt(10 / 7)) / 3, (322 - 13 * math.sqrt(70)) / 900),
    (math.sqrt(5 + 2 * math.sqrt(10 / 7)) / 3, (322 - 13 * math.sqrt(70)) / 900),
)
"""Places on -1 to 1 and weights of the five-point Gauss-Legendre rule."""


@dataclass(frozen=True, slots=True)
class History:
    """
    Temperature over time as straight lines between points, in s and K.

    Two points at one time are a jump.
    """

    seconds: tuple[float, ...]
    kelvins: tuple[float, ...]


def temperature_history(points: Sequence[tuple[Quantity, Quantity]]) -> History:
    """
    Return a history from pairs of time and temperature, in order of time.

    points: at least two pairs of a time from any start and a temperature.
    Returns a history.
    Source: arithmetic.
    Errors: KindError, LimitError for fewer than two points, RangeError when time runs backwards.
    """
    if len(points) < 2:
        raise LimitError(f"The history has {len(points)} points; at least 2 are needed.")
    seconds = tuple(magnitude(time, "s", "time") for time, _ in points)
    for number, (before, after) in enumerate(pairwise(seconds), start=1):
        if after < before:
            raise RangeError(
                f"The history goes back in time, from {shown(points[number - 1][0])} "
                f"to {shown(points[number][0])}."
            )
    return History(seconds, tuple(kelvin(value, "temperature") for _, value in points))


def nominal_history(profile: CureProfile) -> History:
    """
    Return the nominal line of a cure as a history.

    Returns a history that starts at zero time.
    Source: arithmetic.
    """
    seconds, kelvins = [], []
    elapsed = 0.0
    for leg in profile.legs:
        seconds += [elapsed, elapsed + leg.nominal]
        kelvins += [leg.start.nominal, leg.end.nominal]
        elapsed += leg.nominal
    return History(tuple(seconds), tuple(kelvins))


def equivalent_age_nurse_saul(history: History, datum: Quantity, reference: Quantity) -> Quantity:
    """
    Return the time at a reference temperature that a history is worth, by Nurse-Saul.

    t_e = integral of max(0, T - T_0) dt / (T_ref - T_0), exact for straight lines.
    history: temperatures over time. datum: temperature T_0 below which nothing happens.
    reference: temperature T_ref.
    Returns a time in s.
    Source: ASTM C1074, from memory.
    Validity: advice only, never an acceptance; made for hydraulic cements near ambient.
    Errors: KindError, RangeError for a reference not above the datum.
    """
    zero, wanted = kelvin(datum, "datum temperature"), kelvin(reference, "reference temperature")
    if wanted <= zero:
        raise RangeError(
            f"The reference temperature is {shown(reference)}; "
            f"it must be above the datum of {shown(datum)}."
        )
    total = _sum(history, lambda start, end: _mean_above(start - zero, end - zero))
    return quantity(total / (wanted - zero), "s")


def _mean_above(start: float, end: float) -> float:
    """Return the mean of max(0, T) along a straight line from start to end."""
    if start >= 0 and end >= 0:
        return (start + end) / 2
    if start <= 0 and end <= 0:
        return 0.0
    top = max(start, end)
    return top * top / (2 * abs(end - start))


def equivalent_age_arrhenius(
    history: History, activation_energy: Quantity, reference: Quantity
) -> Quantity:
    """
    Return the time at a reference temperature that a history is worth, by Arrhenius.

    t_e = integral of exp(-(E/R)(1/T - 1/T_ref)) dt, R = 8.314 462 618 J/(mol K), by the five-point
    Gauss-Legendre rule on steps of at most 10 K.
    history: temperatures over time. activation_energy: energy per amount of substance.
    reference: temperature T_ref.
    Returns a time in s.
    Source: ASTM C1074, from memory.
    Validity: advice only, never an acceptance; one reaction sets the rate over the range.
    Errors: KindError, RangeError for a negative energy.
    """
    slope = not_negative(activation_energy, "J/mol", "activation energy") / GAS_CONSTANT
    inverse = 1 / kelvin(reference, "reference temperature")

    def rate(temperature: float) -> float:
        return math.exp(slope * (inverse - 1 / temperature))

    return quantity(_sum(history, lambda start, end: _mean(rate, start, end)), "s")


def _mean(rate: Callable[[float], float], start: float, end: float) -> float:
    """Return the mean of a rate along a straight line of temperature."""
    if start == end:
        return rate(start)
    steps = math.ceil(abs(end - start) / WIDEST_STEP)
    half = (end - start) / steps / 2
    return (
        math.fsum(
            weight / 2 * rate(start + (2 * step + 1 + place) * half)
            for step in range(steps)
            for place, weight in GAUSS_POINTS
        )
        / steps
    )


def _sum(history: History, mean: Callable[[float, float], float]) -> float:
    """Return the integral over time of a function given by its mean on each line."""
    return math.fsum(
        (after - before) * mean(start, end)
        for (before, after), (start, end) in zip(
            pairwise(history.seconds), pairwise(history.kelvins), strict=True
        )
        if after > before
    )
