"""No steam inside the body: the hottest a part can get, and when it is dry."""

from collections.abc import Callable
from dataclasses import dataclass

from speccomp.calc.cure import CureProfile, Leg
from speccomp.calc.drying import thickness_factor
from speccomp.calc.errors import LimitError, RangeError
from speccomp.calc.limits import Limits, read_limits
from speccomp.calc.magnitudes import CELSIUS_ZERO, kelvin, kelvin_difference, positive
from speccomp.calc.rounding import reaches
from speccomp.quantities import Quantity, quantity

ADVISORY_FACTOR = 4.0
"""Beyond this change in drying time the square of the thickness is only advice."""


@dataclass(frozen=True, slots=True)
class OvenError:
    """
    How far a part can be above the setpoint, as temperature differences.

    control_tolerance: of the controller. non_uniformity: between places in the oven.
    sensor_error: of the sensor that controls.
    """

    control_tolerance: Quantity
    non_uniformity: Quantity
    sensor_error: Quantity


@dataclass(frozen=True, slots=True)
class SteamMargin:
    """
    The steam check of one segment.

    segment: number from 0. highest: highest possible part temperature in degC. allowed: boiling
    point less the margin wanted, in degC. spare: kelvin between them, negative when too hot.
    """

    segment: int
    highest: Quantity
    allowed: Quantity
    spare: Quantity


@dataclass(frozen=True, slots=True)
class DryingRequirement:
    """
    The drying hold that a card qualifies.

    temperature: of the hold. duration: time of it. section: thickest section it dries.
    """

    temperature: Limits[Quantity]
    duration: Quantity
    section: Quantity


@dataclass(frozen=True, slots=True)
class DryingProgress:
    """
    How a cure meets a drying requirement.

    required: time for the section at hand. factor: required time over the card's. advisory: the
    factor is beyond 4 or below 1/4. credited: time of the holds that count, at their shortest.
    met_in: number of the segment, from 0, in which the requirement is met; None when it is
    not. met_after: time from the start of that segment, None when it is not. missing: time still
    to hold, zero when met.
    """

    required: Quantity
    factor: float
    advisory: bool
    credited: Quantity
    met_in: int | None
    met_after: Quantity | None
    missing: Quantity


def oven_error(error: OvenError) -> Quantity:
    """
    Return how far a part can be above the setpoint.

    Control tolerance + non-uniformity + sensor error: worst case, not in quadrature.
    Returns a temperature difference in K.
    Source: worst case, common practice, no source.
    Errors: KindError, RangeError for a negative part.
    """
    return quantity(
        kelvin_difference(error.control_tolerance, "control tolerance")
        + kelvin_difference(error.non_uniformity, "oven non-uniformity")
        + kelvin_difference(error.sensor_error, "sensor error"),
        "K",
    )


def highest_part_temperatures(profile: CureProfile, error: Quantity) -> tuple[Quantity, ...]:
    """
    Return the highest possible part temperature in each segment.

    The highest setpoint in the segment + the oven's error; of a ramp the hotter end.
    error: temperature difference, as oven_error gives it.
    Returns temperatures in degC, one per segment.
    Source: worst case, common practice, no source.
    Errors: KindError, RangeError for a negative error.
    """
    above = kelvin_difference(error, "oven error")
    return tuple(quantity(_hottest(leg) + above - CELSIUS_ZERO, "degC") for leg in profile.legs)


def _hottest(leg: Leg) -> float:
    return max(leg.start.upper, leg.end.upper)


def steam_margins(
    profile: CureProfile,
    error: Quantity,
    boiling_point: Quantity,
    margin: Quantity,
    wet_until: int | None,
) -> tuple[SteamMargin, ...]:
    """
    Return how far each segment stays below the boiling point while the part is wet.

    spare = boiling point - margin - highest possible part temperature.
    error: temperature difference, as oven_error gives it. boiling_point: at the plant. margin:
    temperature difference kept below it. wet_until: number of the segment, from 0, in
    which the part gets dry, itself included; None when it never does.
    Returns one result per wet segment.
    Source: worst case, common practice, no source.
    Errors: KindError, RangeError for a negative difference or a segment that does not exist.
    """
    above = kelvin_difference(error, "oven error")
    allowed = kelvin(boiling_point, "boiling point") - kelvin_difference(margin, "margin")
    last = len(profile.legs) - 1 if wet_until is None else wet_until
    if not 0 <= last < len(profile.legs):
        raise RangeError(f"There is no segment {last}; the cure has {len(profile.legs)}.")
    return tuple(
        SteamMargin(
            number,
            quantity(_hottest(leg) + above - CELSIUS_ZERO, "degC"),
            quantity(allowed - CELSIUS_ZERO, "degC"),
            quantity(allowed - _hottest(leg) - above, "K"),
        )
        for number, leg in enumerate(profile.legs[: last + 1])
    )


def highest_setpoint(
    boiling_point: Quantity, margin: Quantity, error: Quantity, tolerance: Quantity
) -> Quantity:
    """
    Return the highest setpoint that passes the steam check.

    boiling point - margin - oven error - tolerance.
    boiling_point: at the plant. margin, error: temperature differences, as in steam_margins.
    tolerance: temperature difference that the instruction allows above the setpoint.
    Returns a temperature in degC.
    Source: steam_margins solved for the setpoint.
    Errors: KindError, RangeError for a negative difference.
    """
    return quantity(
        kelvin(boiling_point, "boiling point")
        - kelvin_difference(margin, "margin")
        - kelvin_difference(error, "oven error")
        - kelvin_difference(tolerance, "tolerance")
        - CELSIUS_ZERO,
        "degC",
    )


def _counts(temperature: Limits[Quantity]) -> Callable[[Leg], bool]:
    """Return the test whether a hold is at least as hot as the card's."""
    card = read_limits(temperature, kelvin, "drying temperature")
    if card.lower is not None:
        coldest = card.lower
        return lambda leg: reaches(leg.end.lower, coldest)
    if card.target is None:
        raise LimitError("The drying temperature has an upper limit only; a lower one is needed.")
    target = card.target
    return lambda leg: reaches(leg.end.nominal, target)


def drying_progress(
    profile: CureProfile, requirement: DryingRequirement, section: Quantity
) -> DryingProgress:
    """
    Return where along a cure the drying requirement is met.

    required = card's time (L/L_card)^2. A hold counts with its shortest duration when it is not
    colder than the card's: its lowest temperature against the card's lower limit, or its nominal
    against the card's target where the card gives no lower limit. Ramps do not count.
    section: length, thickest section at hand.
    Returns times in s.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, for the square of the
    thickness; what counts is common practice, no source.
    Errors: KindError, RangeError for a time or length of zero or less, LimitError when the card's
    temperature is given by an upper limit only.
    """
    counts = _counts(requirement.temperature)
    factor = thickness_factor(section, requirement.section)
    required = positive(requirement.duration, "s", "drying time") * factor
    credited, met_in, met_after = 0.0, None, None
    for number, leg in enumerate(profile.legs):
        if not (leg.holds and counts(leg)):
            continue
        if met_in is None and reaches(credited + leg.shortest, required):
            met_in, met_after = number, quantity(required - credited, "s")
        credited += leg.shortest
    return DryingProgress(
        quantity(required, "s"),
        factor,
        not 1 / ADVISORY_FACTOR <= factor <= ADVISORY_FACTOR,
        quantity(credited, "s"),
        met_in,
        met_after,
        quantity(0.0 if met_in is not None else required - credited, "s"),
    )
