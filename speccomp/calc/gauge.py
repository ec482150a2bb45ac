"""Whether a gauge suits a limit, and what readings decide once its uncertainty is kept off."""

from dataclasses import dataclass

from speccomp.calc.errors import KindError, LimitError, RangeError
from speccomp.calc.limits import Limits
from speccomp.calc.magnitudes import exceeds, like, shown
from speccomp.calc.rounding import decimal_sum
from speccomp.quantities import Quantity


@dataclass(frozen=True, slots=True)
class DecisionLimits:
    """
    The readings that decide, in the unit of the limits; a side without a limit is absent.

    Accept from accept_lower to accept_upper, reject below reject_lower or above reject_upper; in
    between the gauge cannot judge.
    """

    accept_lower: Quantity | None
    accept_upper: Quantity | None
    reject_lower: Quantity | None
    reject_upper: Quantity | None

    @property
    def can_accept(self) -> bool:
        """Tell whether there is a reading that is accepted."""
        if self.accept_lower is None or self.accept_upper is None:
            return True
        return not exceeds(self.accept_lower, self.accept_upper)


def resolution_ratio(resolution: Quantity, lower: Quantity, upper: Quantity) -> float:
    """
    Return the resolution of a gauge as a part of the band between two limits.

    d/(upper - lower); at most 0.1 is wanted.
    resolution: a difference of the kind of the limits. lower, upper: limits.
    Returns a plain number.
    Source: common practice, no source.
    Errors: KindError for different kinds, RangeError for a resolution of zero or less, LimitError
    unless lower < upper.
    """
    return _step(resolution, "resolution") / _band(lower, upper, resolution)


def resolution_ratio_one_sided(resolution: Quantity, limit: Quantity, expected: Quantity) -> float:
    """
    Return the resolution of a gauge as a part of the distance from a limit to what is expected.

    d/|limit - expected|; at most 0.1 is wanted.
    resolution: a difference of the kind of the limit. limit: the one limit. expected: the value
    that a good part has.
    Returns a plain number.
    Source: common practice, no source.
    Errors: KindError for different kinds, RangeError for a resolution of zero or less, LimitError
    when limit and expected value are equal.
    """
    return _step(resolution, "resolution") / _distance(limit, expected, resolution)


def uncertainty_ratio(uncertainty: Quantity, lower: Quantity, upper: Quantity) -> float:
    """
    Return the uncertainty ratio of a gauge between two limits.

    (upper - lower)/(2 U); at least 4 is wanted.
    uncertainty: expanded uncertainty U, a difference of the kind of the limits. lower, upper:
    limits.
    Returns a plain number.
    Source: ANSI/NCSL Z540.3, from memory.
    Errors: KindError for different kinds, RangeError for an uncertainty of zero or less, LimitError
    unless lower < upper.
    """
    return _band(lower, upper, uncertainty) / (2 * _step(uncertainty, "uncertainty"))


def uncertainty_ratio_one_sided(
    uncertainty: Quantity, limit: Quantity, expected: Quantity
) -> float:
    """
    Return the uncertainty ratio of a gauge for a limit on one side.

    |limit - expected|/U; at least 4 is wanted.
    uncertainty: expanded uncertainty U, a difference of the kind of the limit. limit: the
    one limit. expected: the value that a good part has.
    Returns a plain number.
    Source: common practice, no source.
    Errors: KindError for different kinds, RangeError for an uncertainty of zero or less, LimitError
    when limit and expected value are equal.
    """
    return _distance(limit, expected, uncertainty) / _step(uncertainty, "uncertainty")


def decision_limits(limits: Limits[Quantity], uncertainty: Quantity) -> DecisionLimits:
    """
    Return the readings that are accepted and rejected, guard-banded by the gauge's uncertainty.

    Accept from lower + U to upper - U, reject below lower - U or above upper + U.
    limits: at least one limit; a target is not looked at. uncertainty: expanded uncertainty U of
    zero or more, a difference of the kind of the limits.
    Returns limits in the unit of each limit.
    Source: JCGM 106:2012, guard band of one U, from memory.
    Errors: KindError for different kinds, RangeError for an uncertainty below zero, LimitError
    without limits or with limits out of order.
    """
    lower, upper = limits.lower, limits.upper
    if lower is None and upper is None:
        raise LimitError("There is no limit to decide by.")
    if lower is not None and upper is not None and exceeds(lower, upper):
        raise LimitError(f"The limits are out of order: {shown(lower)} to {shown(upper)}.")
    if uncertainty.magnitude < 0:
        raise RangeError(f"The uncertainty is {shown(uncertainty)}; it must not be less than zero.")
    return DecisionLimits(
        None if lower is None else _shifted(lower, uncertainty, 1),
        None if upper is None else _shifted(upper, uncertainty, -1),
        None if lower is None else _shifted(lower, uncertainty, -1),
        None if upper is None else _shifted(upper, uncertainty, 1),
    )


def _shifted(limit: Quantity, uncertainty: Quantity, sign: int) -> Quantity:
    try:
        step = float(uncertainty.m_as((limit - limit).units))
    except TypeError:  # what the registry raises where units do not convert
        raise _mismatch(uncertainty, limit) from None
    return like(decimal_sum(limit.magnitude, sign * step), limit)


def _mismatch(difference: Quantity, limit: Quantity) -> KindError:
    return KindError(
        f"{shown(difference)} is not a difference that can be set against {shown(limit)}."
    )


def _step(difference: Quantity, name: str) -> float:
    if difference.magnitude <= 0:
        raise RangeError(f"The {name} is {shown(difference)}; it must be more than zero.")
    return float(difference.magnitude)


def _gap(lower: Quantity, upper: Quantity, difference: Quantity) -> float:
    """Return upper - lower in the unit of a difference."""
    try:
        return float((upper - lower).m_as(difference.units))
    except TypeError:  # what the registry raises where units do not convert
        raise _mismatch(difference, lower) from None


def _band(lower: Quantity, upper: Quantity, difference: Quantity) -> float:
    band = _gap(lower, upper, difference)
    if band <= 0:
        raise LimitError(f"There is no band between {shown(lower)} and {shown(upper)}.")
    return band


def _distance(limit: Quantity, expected: Quantity, difference: Quantity) -> float:
    distance = abs(_gap(expected, limit, difference))
    if distance == 0:
        raise LimitError(f"The expected value is the limit itself, {shown(limit)}.")
    return distance
