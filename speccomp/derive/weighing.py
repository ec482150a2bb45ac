"""Weighing: the readings of each component that hold the ratio, for a mass of the reference."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

from speccomp.calc.limits import Limits
from speccomp.calc.magnitudes import like
from speccomp.calc.ratio import Reading, ratio_uncertainty, worst_case_ratio
from speccomp.calc.rounding import decimal_product, whole_down, whole_up
from speccomp.calc.weighing import (
    largest_component_error,
    largest_error_one_scale,
    round_inward,
    weighing_window,
)
from speccomp.derive import formulas
from speccomp.derive.model_values import greatest, least
from speccomp.derive.numbers import Input, Ledger, Number, derived_from
from speccomp.derive.scales import WORST_CASE, Balance, ratio_inputs, scale_inputs
from speccomp.derive.stated_masses import StatedRatio, Target, derive_stated_ratio, stated_mass
from speccomp.quantities import Quantity

ROWS = 5
SPREAD = 0.02
"""Width of the table by reading as a fraction of the target, where the step states no limits."""


@dataclass(frozen=True, slots=True)
class Window:
    """
    The readings of a component for one reading of the reference, as the display shows them.

    A side is absent where the ratio has no limit there.
    """

    reference: Number[Quantity]
    lower: Number[Quantity] | None
    target: Number[Quantity]
    upper: Number[Quantity] | None


@dataclass(frozen=True, slots=True)
class WeighingAt:
    """
    The weighing of a component at one mass of the reference.

    `label` is `instructed`, for the mass that the step states, or a part and a number of parts.
    `window` is None where no reading on the display holds the ratio; `exact` is the window before
    it is rounded to the display, None where not even that one exists. `rows` go by the actual
    reading of the reference; those without a window are left out. `largest_error` is the
    permissible error that would do: of the one scale for both, or of the component's scale.
    """

    label: str
    reference: Number[Quantity]
    exact: Limits[Quantity] | None
    window: Window | None
    rows: tuple[Window, ...]
    largest_error: Number[Quantity] | None
    worst: tuple[Number[float], Number[float]] | None
    uncertainty: Number[float] | None


@dataclass(frozen=True, slots=True)
class ComponentWeighing:
    """A component's weighing at every mass of the reference that the sheet shows."""

    balance: Balance
    at: tuple[WeighingAt, ...]
    stated: StatedRatio | None


def derive_weighing(
    balances: tuple[Balance, ...], targets: Iterable[Target], ledger: Ledger
) -> tuple[ComponentWeighing, ...]:
    """Return the weighing of every component at the instructed mass and at the targets."""
    wanted = tuple(targets)
    return tuple(_component(balance, wanted, ledger) for balance in balances)


def _component(balance: Balance, targets: tuple[Target, ...], ledger: Ledger) -> ComponentWeighing:
    component = balance.own.component
    instructed = stated_mass(balance)
    wanted = (*((instructed,) if instructed else ()), *targets)
    found = (
        ledger.attempt(
            f"weighing.{component.key}.{target.label}",
            component.span,
            partial(_at, balance, target, ledger),
        )
        for target in wanted
    )
    ratio = ledger.attempt(
        f"weighing.{component.key}.stated",
        component.span,
        partial(derive_stated_ratio, balance, ledger),
    )
    return ComponentWeighing(balance, tuple(at for at in found if at is not None), ratio)


def _at(balance: Balance, target: Target, ledger: Ledger) -> WeighingAt:
    reference, own = balance.reference, balance.own
    name = f"weighing.{own.component.key}.{target.label}"
    step = reference.readability
    reading = ledger.add(
        f"{name}.reference",
        f"reading of `{reference.component.key}` to aim at",
        _multiple(whole_up(_in_steps(target.mass, step)), step),
        formulas.READING_UP,
        target.inputs,
    )
    exact = _exact(balance, reading.value)
    inputs = _inputs(balance)
    window = _window(balance, reading, exact, f"{name}.window", inputs, ledger)
    rows = []
    for number, value in enumerate(_row_readings(reading.value, target, step), start=1):
        row = ledger.add(
            f"{name}.row-{number}.reference",
            f"reading of `{reference.component.key}`",
            value,
            formulas.ROW_READING,
            (derived_from(reading),),
        )
        shown = _window(
            balance, row, _exact(balance, value), f"{name}.row-{number}", inputs, ledger
        )
        if shown is not None:
            rows.append(shown)
    return WeighingAt(
        target.label,
        reading,
        exact,
        window,
        tuple(rows),
        _largest_error(balance, reading, name, ledger),
        *_spread(balance, reading, window, name, ledger),
    )


def _inputs(balance: Balance) -> tuple[Input, ...]:
    own, reference = balance.own, balance.reference
    return (
        *ratio_inputs((reference.component, own.component)),
        *scale_inputs(reference),
        *(() if balance.same_scale else scale_inputs(own)),
    )


def _exact(balance: Balance, mass: Quantity) -> Limits[Quantity] | None:
    ratio = balance.own.component.by_weight
    if ratio is None:
        return None
    return weighing_window(balance.reference.readings(mass), ratio, balance.own.error)


def _window(
    balance: Balance,
    reference: Number[Quantity],
    exact: Limits[Quantity] | None,
    name: str,
    inputs: tuple[Input, ...],
    ledger: Ledger,
) -> Window | None:
    """Return a window in steps of the display; None where no step lies inside."""
    if exact is None or exact.target is None:
        return None
    step = balance.own.readability
    lower, upper = exact.lower, exact.upper
    if lower is not None or upper is not None:
        rounded = round_inward(lower, upper, step)
        if rounded is None:
            return None
        lower, upper = rounded.lower, rounded.upper
    key, sources = balance.own.component.key, (derived_from(reference), *inputs)

    def side(which: str, title: str, value: Quantity) -> Number[Quantity]:
        formula = formulas.WINDOW_TARGET if which == "target" else formulas.WINDOW
        return ledger.add(
            f"{name}.{which}", f"{title} of `{key}`", value, formula, sources, WORST_CASE
        )

    return Window(
        reference,
        None if lower is None else side("lower", "least reading", lower),
        side("target", "reading to aim at", _nearest(exact.target, lower, upper, step)),
        None if upper is None else side("upper", "greatest reading", upper),
    )


def _nearest(
    target: Quantity, lower: Quantity | None, upper: Quantity | None, step: Quantity
) -> Quantity:
    """Return the multiple of a step nearest to a target, between two multiples of it."""
    number = round(_in_steps(target, step))
    if lower is not None:
        number = max(number, whole_up(_in_steps(lower, step)))
    if upper is not None:
        number = min(number, whole_down(_in_steps(upper, step)))
    return _multiple(number, step)


def _in_steps(mass: Quantity, step: Quantity) -> float:
    """Return how many steps of the display a mass is."""
    return float(mass.m_as(step.units) / step.magnitude)


def _multiple(number: int, step: Quantity) -> Quantity:
    return like(decimal_product(number, step.magnitude), step)


def _row_readings(reading: Quantity, target: Target, step: Quantity) -> list[Quantity]:
    """Return readings at round multiples of the display's step: over the limits, or near."""
    unit = step.units
    middle = reading.m_as(unit)
    low, high = middle * (1 - SPREAD / 2), middle * (1 + SPREAD / 2)
    stated = target.limits is not None and target.limits.is_limit
    if target.limits is not None and stated:
        low = min(middle, least(target.limits).m_as(unit))
        high = max(middle, greatest(target.limits).m_as(unit))
    stride = _round_stride((high - low) / (ROWS - 1) / step.magnitude)
    centre = round(middle / step.magnitude / stride)
    first, last = centre - ROWS // 2, centre + ROWS // 2
    if stated:
        first = whole_up(low / step.magnitude / stride)
        last = min(whole_down(high / step.magnitude / stride), first + 2 * ROWS)
    return [_multiple(number * stride, step) for number in range(first, last + 1) if number > 0]


def _round_stride(steps: float) -> int:
    """Return the greatest of 1, 2, 5, 10, 20, … steps that is not above a number of steps."""
    stride = 1
    while 10 * stride <= steps:
        stride *= 10
    return max(factor * stride for factor in (1, 2, 5) if factor * stride <= max(steps, stride))


def _largest_error(
    balance: Balance, reading: Number[Quantity], name: str, ledger: Ledger
) -> Number[Quantity] | None:
    ratio = balance.own.component.by_weight
    if ratio is None or (ratio.target is None and None in (ratio.lower, ratio.upper)):
        return None
    inputs = (derived_from(reading), *ratio_inputs((balance.own.component,)))
    title = f"permissible error that would do for {reading.title}"
    if balance.same_scale:
        error: Quantity | None = largest_error_one_scale(reading.value, ratio)
        formula = formulas.LARGEST_ERROR_ONE_SCALE
    else:
        error = largest_component_error(reading.value, ratio, balance.reference.error)
        formula, inputs = formulas.LARGEST_ERROR, (*inputs, *scale_inputs(balance.reference))
    if error is None:
        return None
    return ledger.add(f"{name}.largest-error", title, error, formula, inputs, WORST_CASE)


def _spread(
    balance: Balance,
    reading: Number[Quantity],
    window: Window | None,
    name: str,
    ledger: Ledger,
) -> tuple[tuple[Number[float], Number[float]] | None, Number[float] | None]:
    """Return the ratios that the target reading can stand for, worst case and by the GUM."""
    exact = _exact(balance, reading.value)
    aim = window.target.value if window else exact.target if exact else None
    if aim is None:
        ratio = balance.own.component.by_weight
        if ratio is None or ratio.target is None:
            return None, None
        aim = ratio.target * reading.value
    readings = balance.reference.readings(reading.value)
    own = Reading(aim, balance.own.error)
    low, high = worst_case_ratio(readings, own)
    inputs = (derived_from(window.target) if window else derived_from(reading), *_inputs(balance))
    worst = (
        ledger.add(f"{name}.worst-low", "least ratio", low, formulas.WORST_RATIO, inputs),
        ledger.add(f"{name}.worst-high", "greatest ratio", high, formulas.WORST_RATIO, inputs),
    )
    expanded = ledger.add(
        f"{name}.uncertainty",
        "expanded uncertainty of the ratio, k = 2",
        ratio_uncertainty(readings, own).expanded,
        formulas.RATIO_UNCERTAINTY,
        inputs,
    )
    return worst, expanded
