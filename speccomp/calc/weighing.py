"""
Measure out one component after the other: the window of readings, and what a scale can hold.

The amounts are masses or volumes. A component and the reference may be of different kinds; the
ratio is then one of amounts, such as cm3 to g.
"""

from collections.abc import Sequence

from speccomp.calc.errors import LimitError
from speccomp.calc.limits import Limits, bounds, nominal
from speccomp.calc.magnitudes import amount_unit, like, magnitude, not_negative, positive
from speccomp.calc.ratio import Reading, scaled_ratio, summed_readings, written
from speccomp.calc.rounding import decimal_product, reaches, whole_down, whole_up
from speccomp.quantities import Quantity, quantity


def weighing_window(
    reference: Sequence[Reading], ratio: Limits[float], permissible_error: Quantity
) -> Limits[Quantity] | None:
    """
    Return the readings of a component that hold the ratio whatever the scales' errors are.

    [r_lo (P + u_P) + u , r_hi (P - u_P) - u], P the sum of the readings of the reference and
    u_P the sum of their permissible errors. The target is r P, or the middle of the window for a
    range, moved into the window where it lies outside.
    reference: readings of the reference, one per portion. ratio: plain numbers, amount of the
    component to that of the reference. permissible_error: mass or volume, of the scale or vessel
    that measures out the component.
    Returns amounts in g or cm3 as the permissible error, with the sides that the ratio has; None
    when no reading holds the ratio.
    Source: worst case of independent scale errors, common practice, no source.
    Errors: KindError, RangeError for an amount of zero or a negative error, LimitError for limits
    out of order or no reading.
    """
    amount, reference_error = summed_readings(reference)
    unit = amount_unit(permissible_error, "permissible error")
    error = not_negative(permissible_error, unit, "permissible error")
    low, high = _sides(ratio)
    lower = None if low is None else low * (amount + reference_error) + error
    upper = None if high is None else high * (amount - reference_error) - error
    if lower is not None and upper is not None:
        if not reaches(upper, lower):
            return None
        upper = max(lower, upper)
    aim = nominal(Limits(lower, None, upper)) if ratio.target is None else ratio.target * amount
    if lower is not None:
        aim = max(aim, lower)
    if upper is not None:
        aim = min(aim, upper)
    return Limits(_amount(lower, unit), quantity(aim, unit), _amount(upper, unit))


def _amount(value: float | None, unit: str) -> Quantity | None:
    return None if value is None else quantity(value, unit)


def _sides(ratio: Limits[float]) -> tuple[float | None, float | None]:
    """Return the lowest and the highest ratio allowed, once checked."""
    return bounds(scaled_ratio(ratio, 1))


def round_inward(
    lower: Quantity | None, upper: Quantity | None, step: Quantity
) -> Limits[Quantity] | None:
    """
    Return the first and the last multiple of a step between two limits.

    step ceil(lower/step), step floor(upper/step); a limit within 1e-9 of a step is on it.
    lower, upper: masses or volumes, either may be absent. step: of their kind, the readability of
    the scale.
    Returns amounts in the unit of the step, without a target, with the sides that were given;
    None when no multiple lies between them.
    Source: ASME A112.18.1-2018/CSA B125.1-18, Annex A: minima round up, maxima round down.
    Errors: KindError, RangeError for a step of zero or less, LimitError without limits.
    """
    if lower is None and upper is None:
        raise LimitError("There is no limit to round.")
    unit = amount_unit(step, "step")
    size = positive(step, unit, "step")
    first = None if lower is None else whole_up(magnitude(lower, unit, "lower limit") / size)
    last = None if upper is None else whole_down(magnitude(upper, unit, "upper limit") / size)
    if first is not None and last is not None and first > last:
        return None
    return Limits(_steps(first, step), None, _steps(last, step))


def _steps(number: int | None, step: Quantity) -> Quantity | None:
    return None if number is None else like(decimal_product(number, step.magnitude), step)


def smallest_reference(
    ratio: Limits[float], reference_error: Quantity, component_error: Quantity
) -> Quantity:
    """
    Return the least reading of the reference at which the scales can hold the ratio.

    With a target r: P = max((u + r_lo u_P)/(r - r_lo), (u + r_hi u_P)/(r_hi - r)), each term only
    where the limit is given; the target itself is then a good reading. For a range without a
    target P = (2 u + (r_lo + r_hi) u_P)/(r_hi - r_lo); the middle of the window is.
    ratio: plain numbers. reference_error, component_error: masses or volumes, the permissible
    errors u_P of the reference (all portions together) and u of the component.
    Returns an amount in g or cm3 as the error of the reference; zero for a one-sided limit without
    a target, which some reading always holds.
    Source: weighing_window solved for P.
    Errors: KindError, RangeError for a negative error, LimitError when the ratio has no room.
    """
    u_reference, unit = _error(reference_error, "permissible error of the reference")
    u, _ = _error(component_error, "permissible error")
    return quantity(_smallest(ratio, u_reference, u), unit)


def _error(value: Quantity, name: str) -> tuple[float, str]:
    """Return a permissible error as a plain number, and the unit that it counts."""
    unit = amount_unit(value, name)
    return not_negative(value, unit, name), unit


def _smallest(ratio: Limits[float], u_reference: float, u: float) -> float:
    if ratio.target is None:
        low, high = _sides(ratio)
        if low is None or high is None:
            return 0.0
        return (2 * u + (low + high) * u_reference) / _room(low, high, ratio)
    return max((u + side * u_reference) / room for side, room in _rooms(ratio, ratio.target))


def _room(low: float, high: float, ratio: Limits[float]) -> float:
    if high == low:
        raise LimitError(f"The ratio {written(ratio)} leaves no room for a scale's error.")
    return high - low


def _both_sides(ratio: Limits[float]) -> tuple[float, float]:
    low, high = _sides(ratio)
    if low is None or high is None:
        raise LimitError(f"The ratio {written(ratio)} needs a lower and an upper limit.")
    return low, high


def smallest_readable(
    ratio: Limits[float],
    reference_error: Quantity,
    component_error: Quantity,
    readability: Quantity,
) -> Quantity:
    """
    Return the least reading of the reference that leaves a component reading on the display.

    The window is then at least one readability wide, so that a multiple of it lies inside:
    P = (2 u + (r_lo + r_hi) u_P + d)/(r_hi - r_lo).
    ratio: plain numbers with both limits. reference_error, component_error: masses or volumes, the
    permissible errors. readability: of the kind of the component's error, the step d of its
    display.
    Returns an amount in g or cm3 as the error of the reference.
    Source: weighing_window solved for a width of d.
    Errors: KindError, RangeError for a negative error or a readability of zero or less, LimitError
    when the ratio has no room or only one side.
    """
    u_reference, unit = _error(reference_error, "permissible error of the reference")
    u, own = _error(component_error, "permissible error")
    step = positive(readability, own, "readability")
    low, high = _both_sides(ratio)
    width = 2 * u + (low + high) * u_reference + step
    return quantity(width / _room(low, high, ratio), unit)


def largest_error_one_scale(amount: Quantity, ratio: Limits[float]) -> Quantity:
    """
    Return the permissible error that would do when one scale weighs both components.

    With a target r: u = min(P (r - r_lo)/(1 + r_lo), P (r_hi - r)/(1 + r_hi)), each term only
    where the limit is given; for a range without a target
    u = P (r_hi - r_lo)/(2 + r_lo + r_hi).
    amount: reading P of the reference, in one portion. ratio: plain numbers, a target with at
    least one limit, or both limits.
    Returns an amount in g or cm3 as the reading.
    Source: smallest_reference solved for u = u_P.
    Errors: KindError, RangeError for an amount of zero or less, LimitError when the ratio has no
    room or only one side and no target.
    """
    unit = amount_unit(amount, "reading of the reference")
    reading = positive(amount, unit, "reading of the reference")
    if ratio.target is None:
        low, high = _both_sides(ratio)
        return quantity(reading * _room(low, high, ratio) / (2 + low + high), unit)
    errors = [reading * room / (1 + side) for side, room in _rooms(ratio, ratio.target)]
    return quantity(min(errors), unit)


def largest_component_error(
    amount: Quantity, ratio: Limits[float], reference_error: Quantity, own: Quantity
) -> Quantity | None:
    """
    Return the permissible error that would do for the scale of the component alone.

    With a target r: u = min(P (r - r_lo) - r_lo u_P, P (r_hi - r) - r_hi u_P), each term only
    where the limit is given; for a range without a target
    u = (P (r_hi - r_lo) - (r_lo + r_hi) u_P)/2.
    amount: reading P of the reference. ratio: plain numbers, a target with at least one limit, or
    both limits. reference_error: of the kind of the reading, the permissible error u_P of the
    reference. own: the error that the component's scale has now; only its kind counts.
    Returns an amount in g or cm3 as `own`; None when the error of the reference alone breaks the
    ratio.
    Source: smallest_reference solved for u.
    Errors: KindError, RangeError for an amount of zero or less or a negative error, LimitError when
    the ratio has no room or only one side and no target.
    """
    u_reference, unit = _error(reference_error, "permissible error of the reference")
    reading = positive(amount, unit, "reading of the reference")
    if ratio.target is None:
        low, high = _both_sides(ratio)
        error = (reading * _room(low, high, ratio) - (low + high) * u_reference) / 2
    else:
        rooms = _rooms(ratio, ratio.target)
        error = min(reading * room - side * u_reference for side, room in rooms)
    return None if error < 0 else quantity(error, amount_unit(own, "permissible error"))


def _rooms(ratio: Limits[float], target: float) -> list[tuple[float, float]]:
    """Return each limit of a ratio with its distance from the target."""
    low, high = _sides(ratio)
    rooms = []
    if low is not None:
        rooms.append((low, _room(low, target, ratio)))
    if high is not None:
        rooms.append((high, _room(target, high, ratio)))
    return rooms
