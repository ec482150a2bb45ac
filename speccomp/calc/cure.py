"""
A cure as holds and ramps: temperatures, durations, chart lines, and what the oven must do.

`cure_profile` reads the quantities once; the other functions take the profile it returns.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from speccomp.calc.errors import LimitError
from speccomp.calc.limits import Limits, bounds, nominal, read_limits
from speccomp.calc.magnitudes import CELSIUS_ZERO, kelvin, positive
from speccomp.quantities import Quantity, quantity


@dataclass(frozen=True, slots=True)
class Hold:
    """Stay at a temperature for a time."""

    at: Limits[Quantity]
    duration: Limits[Quantity]


@dataclass(frozen=True, slots=True)
class Ramp:
    """Change to a temperature at a rate, given without a sign for heating and cooling alike."""

    to: Limits[Quantity]
    rate: Limits[Quantity]


@dataclass(frozen=True, slots=True)
class Band:
    """A temperature in kelvin: lowest, nominal and highest."""

    lower: float
    nominal: float
    upper: float


@dataclass(frozen=True, slots=True)
class Leg:
    """
    One segment in plain numbers: kelvin, seconds, kelvin per second.

    holds: a hold, not a ramp. longest: None where nothing bounds it. fastest: None where nothing
    bounds the rate, zero in a hold that starts where the segment before ended.
    """

    holds: bool
    start: Band
    end: Band
    shortest: float
    nominal: float
    longest: float | None
    fastest: float | None


@dataclass(frozen=True, slots=True)
class CureProfile:
    """The segments of a cure, in order and read."""

    legs: tuple[Leg, ...]


@dataclass(frozen=True, slots=True)
class ChartPoint:
    """A corner of the cure chart: time from the start and the temperature band, all in print."""

    elapsed: Quantity
    lower: Quantity
    nominal: Quantity
    upper: Quantity


@dataclass(frozen=True, slots=True)
class OvenDemand:
    """
    What the profile asks of the oven.

    lowest, highest: temperatures in degC. heating, cooling: fastest rates in K/s, zero
    where there is none. unbounded: numbers of the segments, from 0, that have no fastest rate.
    """

    lowest: Quantity
    highest: Quantity
    heating: Quantity
    cooling: Quantity
    unbounded: tuple[int, ...]


def cure_profile(start: Limits[Quantity], segments: Sequence[Hold | Ramp]) -> CureProfile:
    """
    Return the segments of a cure, checked and read as numbers.

    start: temperature before the first segment. segments: holds and ramps; every
    temperature has a target or both limits; times are more than zero, and so are rates.
    Returns a profile. A ramp takes |T_end - T_start|/rate: nominal from the nominal temperatures
    and the nominal rate, shortest and longest from the ends of the bands and of the rate. A bare
    target counts as both limits. A hold outside the band where the segment before ended
    starts with a jump, of which nothing bounds the rate.
    Source: arithmetic.
    Errors: KindError, RangeError for a time or rate of zero or less, LimitError without segments,
    for limits out of order, or for a temperature with a limit on one side only.
    """
    if not segments:
        raise LimitError("The cure has no segments.")
    before = _band(start, "starting temperature")
    legs = []
    for number, segment in enumerate(segments, start=1):
        match segment:
            case Hold():
                leg = _hold(segment, before, f"of segment {number}")
            case Ramp():
                leg = _ramp(segment, before, f"of segment {number}")
        legs.append(leg)
        before = leg.end
    return CureProfile(tuple(legs))


def _band(temperature: Limits[Quantity], name: str) -> Band:
    limits = read_limits(temperature, kelvin, name)
    if limits.target is not None:
        low = limits.target if limits.lower is None else limits.lower
        high = limits.target if limits.upper is None else limits.upper
        return Band(low, limits.target, high)
    lower, upper = bounds(limits)
    if lower is None or upper is None:
        raise LimitError(f"The {name} has a limit on one side only; both sides are needed.")
    return Band(lower, nominal(limits), upper)


def _hold(hold: Hold, before: Band, where: str) -> Leg:
    band = _band(hold.at, f"temperature {where}")
    time = read_limits(
        hold.duration, lambda value, name: positive(value, "s", name), f"duration {where}"
    )
    shortest, longest = bounds(time)
    jumps = band.lower > before.upper or band.upper < before.lower
    return Leg(
        holds=True,
        start=band,
        end=band,
        shortest=shortest or 0.0,
        nominal=nominal(time),
        longest=longest,
        fastest=None if jumps else 0.0,
    )


def _ramp(ramp: Ramp, before: Band, where: str) -> Leg:
    band = _band(ramp.to, f"temperature {where}")
    rate = read_limits(ramp.rate, lambda value, name: positive(value, "K/s", name), f"rate {where}")
    slowest, fastest = bounds(rate)
    gap = max(0.0, band.lower - before.upper, before.lower - band.upper)
    reach = max(band.upper - before.lower, before.upper - band.lower)
    return Leg(
        holds=False,
        start=before,
        end=band,
        shortest=0.0 if fastest is None else gap / fastest,
        nominal=abs(band.nominal - before.nominal) / nominal(rate),
        longest=None if slowest is None else reach / slowest,
        fastest=fastest,
    )


def total_duration(profile: CureProfile) -> Limits[Quantity]:
    """
    Return the shortest, the nominal and the longest duration of a cure.

    Sum over the segments, see cure_profile.
    Returns times in s, the nominal one as target; no upper one where nothing bounds a segment.
    Source: arithmetic.
    """
    longest: float | None = 0.0
    for leg in profile.legs:
        longest = None if longest is None or leg.longest is None else longest + leg.longest
    return Limits(
        quantity(sum(leg.shortest for leg in profile.legs), "s"),
        quantity(sum(leg.nominal for leg in profile.legs), "s"),
        None if longest is None else quantity(longest, "s"),
    )


def segment_starts(profile: CureProfile) -> tuple[Quantity, ...]:
    """
    Return when each segment starts, and at the end when the cure is over, at nominal times.

    Returns times in s from the start of the cure, one more than there are segments.
    Source: arithmetic.
    """
    elapsed = 0.0
    starts = [quantity(elapsed, "s")]
    for leg in profile.legs:
        elapsed += leg.nominal
        starts.append(quantity(elapsed, "s"))
    return tuple(starts)


def chart_points(profile: CureProfile) -> tuple[ChartPoint, ...]:
    """
    Return the corners of the cure's line and of its tolerance band, at nominal times.

    Two points per segment, its start and its end, joined by straight lines; a hold that starts with
    a jump has its first point at the same time as the last one of the segment before.
    Returns times in s and temperatures in degC.
    Source: arithmetic.
    """
    starts = segment_starts(profile)
    points = []
    for leg, (begin, end) in zip(profile.legs, pairwise(starts), strict=True):
        points += [_point(begin, leg.start), _point(end, leg.end)]
    return tuple(points)


def _point(elapsed: Quantity, band: Band) -> ChartPoint:
    return ChartPoint(elapsed, _celsius(band.lower), _celsius(band.nominal), _celsius(band.upper))


def _celsius(kelvins: float) -> Quantity:
    return quantity(kelvins - CELSIUS_ZERO, "degC")


def oven_demand(profile: CureProfile) -> OvenDemand:
    """
    Return the temperatures and rates that an oven must reach for a cure.

    The ends of the temperature bands after the start, and the fastest rates that the ramps allow.
    A ramp whose bands overlap counts as the one its nominal temperatures make it.
    Returns temperatures in degC and rates in K/s.
    Source: arithmetic.
    """
    heating = cooling = 0.0
    for leg in profile.legs:
        fastest = leg.fastest or 0.0
        if leg.end.nominal > leg.start.nominal:
            heating = max(heating, fastest)
        elif leg.end.nominal < leg.start.nominal:
            cooling = max(cooling, fastest)
    return OvenDemand(
        _celsius(min(leg.end.lower for leg in profile.legs)),
        _celsius(max(leg.end.upper for leg in profile.legs)),
        quantity(heating, "K/s"),
        quantity(cooling, "K/s"),
        tuple(number for number, leg in enumerate(profile.legs) if leg.fastest is None),
    )
