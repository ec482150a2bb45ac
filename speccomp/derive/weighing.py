"""Weighing: the readings of each component that hold the ratio, for one of the reference."""

from collections.abc import Iterable, Iterator
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
from speccomp.derive.measuring import Measured, density_inputs, error_inputs, ratio_inputs
from speccomp.derive.model_values import greatest, least
from speccomp.derive.numbers import Input, Ledger, Number, derived_from
from speccomp.derive.scales import WORST_CASE, Balance
from speccomp.derive.stated_masses import StatedRatio, Target, derive_stated_ratio, stated_amount
from speccomp.quantities import Kind, Quantity, quantity

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
    The weighing of a component at one reading of the reference.

    `label` is `instructed`, for the amount that the step states, or a part and a number of parts.
    `window` is None where no reading on the display holds the ratio; `exact` is the window before
    it is rounded to the display, None where not even that one exists, and `exact_lower` and
    `exact_upper` are its sides by name. `rows` go by the actual
    reading of the reference; those without a window are left out. `largest_error` is the
    permissible error that would do: of the one scale for both, or of the component's scale.
    """

    label: str
    reference: Number[Quantity]
    exact: Limits[Quantity] | None
    exact_lower: Number[Quantity] | None
    exact_upper: Number[Quantity] | None
    window: Window | None
    rows: tuple[Window, ...]
    largest_error: Number[Quantity] | None
    worst: tuple[Number[float], Number[float]] | None
    uncertainty: Number[float] | None


@dataclass(frozen=True, slots=True)
class ComponentWeighing:
    """A component's weighing at every reading of the reference that the sheet shows."""

    balance: Balance
    at: tuple[WeighingAt, ...]
    stated: StatedRatio | None


def derive_weighing(
    balances: tuple[Balance, ...], targets: Iterable[Target], ledger: Ledger
) -> tuple[ComponentWeighing, ...]:
    """Return the weighing of every component at the instructed amount and at the targets."""
    wanted = tuple(targets)
    return tuple(_component(balance, wanted, ledger) for balance in balances)


def _component(balance: Balance, targets: tuple[Target, ...], ledger: Ledger) -> ComponentWeighing:
    component = balance.own.component
    instructed = stated_amount(balance)
    in_kind = (_in_kind(balance.reference, target, ledger) for target in targets)
    wanted = (
        *((instructed,) if instructed else ()),
        *(target for target in in_kind if target is not None),
    )
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


def _in_kind(reference: Measured, target: Target, ledger: Ledger) -> Target | None:
    """Return a target mass as the reference is measured out; None where no density is known."""
    amount = reference.amount_of(target.amount)
    if amount is None or reference.kind is Kind.MASS:
        return None if amount is None else target
    key = reference.component.key
    number = ledger.add(
        f"weighing.{key}.{target.label}.volume",
        f"volume of `{key}`",
        amount,
        formulas.AMOUNT_FROM_MASS,
        (*target.inputs, *density_inputs(reference)),
    )
    return Target(target.label, amount, (derived_from(number),))


def _at(balance: Balance, target: Target, ledger: Ledger) -> WeighingAt:
    reference, own = balance.reference, balance.own
    name = f"weighing.{own.component.key}.{target.label}"
    step = reference.readability
    reading = ledger.add(
        f"{name}.reference",
        f"reading of `{reference.component.key}` to aim at",
        _multiple(whole_up(_in_steps(target.amount, step)), step),
        formulas.measured(formulas.READING_UP, reference.kind),
        target.inputs,
    )
    exact = _exact(balance, reading.value)
    inputs = balance.inputs
    least_exact, greatest_exact = _exact_sides(balance, reading, exact, name, ledger)
    window = _window(balance, reading, exact, f"{name}.window", inputs, ledger)
    rows = []
    for number, value in enumerate(_row_readings(reading.value, target, step), start=1):
        row = ledger.add(
            f"{name}.row-{number}.reference",
            f"reading of `{reference.component.key}`",
            value,
            formulas.measured(formulas.ROW_READING, reference.kind),
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
        least_exact,
        greatest_exact,
        window,
        tuple(rows),
        _largest_error(balance, reading, name, ledger),
        *_spread(balance, reading, window, name, ledger),
    )


def _exact(balance: Balance, amount: Quantity) -> Limits[Quantity] | None:
    return weighing_window(balance.reference.readings(amount), balance.ratio, balance.own.error)


def _exact_sides(
    balance: Balance,
    reading: Number[Quantity],
    exact: Limits[Quantity] | None,
    name: str,
    ledger: Ledger,
) -> Iterator[Number[Quantity] | None]:
    """Record the sides of a window before it is rounded to the display."""
    for which, value in (
        ("least", exact.lower if exact else None),
        ("greatest", exact.upper if exact else None),
    ):
        if value is None:
            yield None
            continue
        yield ledger.add(
            f"{name}.exact.{which}",
            f"{which} amount of `{balance.own.component.key}`, not rounded to the display",
            value,
            formulas.measured(formulas.EXACT_WINDOW, balance.own.kind),
            (derived_from(reading), *balance.inputs),
            WORST_CASE,
        )


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
        formula = formulas.measured(formula, balance.own.kind)
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
    ratio = balance.ratio
    if ratio.target is None and None in (ratio.lower, ratio.upper):
        return None
    shares = ratio_inputs((balance.own.component,))
    inputs = (derived_from(reading), *shares)
    title = f"permissible error that would do for {reading.title}"
    if balance.same_scale:
        error: Quantity | None = largest_error_one_scale(reading.value, ratio)
        formula = formulas.LARGEST_ERROR_ONE_SCALE
    else:
        own, reference = balance.own.error, balance.reference
        error = largest_component_error(reading.value, ratio, reference.error, own)
        formula, inputs = formulas.LARGEST_ERROR, (*inputs, *error_inputs(reference))
    if error is None:
        return None
    formula = formulas.measured(formula, balance.own.kind)
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
        if balance.ratio.target is None:
            return None, None
        aim = quantity(
            balance.ratio.target * reading.value.m_as(balance.reference.unit), balance.own.unit
        )
    readings = balance.reference.readings(reading.value)
    own = Reading(aim, balance.own.error)
    low, high = worst_case_ratio(readings, own, balance.factor)
    inputs = (derived_from(window.target) if window else derived_from(reading), *balance.inputs)
    converted = balance.converted
    formula = formulas.WORST_RATIO_IN_PARTS if converted else formulas.WORST_RATIO
    worst = (
        ledger.add(f"{name}.worst-low", "least ratio", low, formula, inputs),
        ledger.add(f"{name}.worst-high", "greatest ratio", high, formula, inputs),
    )
    expanded = ledger.add(
        f"{name}.uncertainty",
        "expanded uncertainty of the ratio, k = 2",
        ratio_uncertainty(readings, own, balance.factor).expanded,
        formulas.RATIO_UNCERTAINTY_IN_PARTS if converted else formulas.RATIO_UNCERTAINTY,
        inputs,
    )
    return worst, expanded
