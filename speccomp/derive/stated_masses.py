"""The amounts that the weighing steps state, and the ratios that they allow."""

from collections.abc import Callable
from dataclasses import dataclass

from speccomp.calc.ratio import Reading, ratio_uncertainty, worst_case_ratio
from speccomp.derive import formulas
from speccomp.derive.measuring import Measured, density_inputs, error_inputs
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.derive.scales import WORST_CASE, Balance
from speccomp.model.process import Characteristic
from speccomp.quantities import Kind, Quantity, Toleranced

INSTRUCTED = "instructed"
"""Label of the weighing at the mass that the steps state."""


@dataclass(frozen=True, slots=True)
class Target:
    """
    An amount of the reference to measure out, with the inputs it is from; its limits if stated.

    `amount` is a mass, or the volume that a measuring vessel shows.
    """

    label: str
    amount: Quantity
    inputs: tuple[Input, ...]
    limits: Toleranced | None = None


@dataclass(frozen=True, slots=True)
class StatedRatio:
    """
    The ratio in parts of the stated amounts, and the least and the greatest that they allow.

    The scales' errors are in the last two; a side is absent where no limit of an amount bounds it.
    """

    nominal: Number[float]
    lowest: Number[float] | None
    highest: Number[float] | None


def _stated(measured: Measured) -> tuple[tuple[Characteristic, Toleranced], ...]:
    """Return the amounts of all portions; none unless every portion states one."""
    amounts = [portion.amount for portion in measured.portions]
    stated = tuple(amount for amount in amounts if amount is not None)
    return stated if len(stated) == len(amounts) else ()


def _total(measured: Measured, side: Callable[[Toleranced], Quantity | None]) -> Quantity | None:
    """Return the sum of one side of all stated amounts; None where one lacks it."""
    sides = [side(value) for _, value in _stated(measured)]
    known = [value for value in sides if value is not None]
    if not known or len(known) != len(sides):
        return None
    return sum(known[1:], known[0])


def _inputs(measured: Measured) -> tuple[Input, ...]:
    return tuple(
        written(f"{measured.kind} of `{measured.component.key}`", value, item.span)
        for item, value in _stated(measured)
    )


def stated_amount(balance: Balance) -> Target | None:
    """Return the amount of the reference that its steps state, all portions together."""
    total = _total(balance.reference, lambda value: value.nominal_quantity)
    if total is None:
        return None
    stated = _stated(balance.reference)
    limits = stated[0][1] if len(stated) == 1 else None
    return Target(INSTRUCTED, total, _inputs(balance.reference), limits)


def derive_stated_ratio(balance: Balance, ledger: Ledger) -> StatedRatio | None:
    """Return the ratios that the stated masses allow; None where a component states no mass."""
    reference, own = balance.reference, balance.own
    if not _stated(reference) or not _stated(own):
        return None
    name, key = f"weighing.{own.component.key}.stated", own.component.key
    inputs = (
        *_inputs(reference),
        *_inputs(own),
        *error_inputs(reference, own),
        *(density_inputs(reference, own) if balance.converted else ()),
    )
    formula = formulas.STATED_RATIO_IN_PARTS if balance.converted else formulas.STATED_RATIO

    def extreme(which: str, title: str, value: float | None) -> Number[float] | None:
        if value is None:
            return None
        return ledger.add(
            f"{name}-{which}",
            f"{title} ratio of `{key}` that the {_kinds(balance)} in the steps allow",
            value,
            formula,
            inputs,
            WORST_CASE,
        )

    nominal = _nominal(balance, name, inputs, ledger)
    lowest = _extreme(
        balance, lambda v: v.upper_quantity, lambda v: v.lower_quantity, lambda pair: pair[0]
    )
    highest = _extreme(
        balance, lambda v: v.lower_quantity, lambda v: v.upper_quantity, lambda pair: pair[1]
    )
    return StatedRatio(
        nominal, extreme("lowest", "least", lowest), extreme("highest", "greatest", highest)
    )


def _nominal(
    balance: Balance, name: str, inputs: tuple[Input, ...], ledger: Ledger
) -> Number[float]:
    reference, own = (
        _total(measured, lambda value: value.nominal_quantity)
        for measured in (balance.reference, balance.own)
    )
    if reference is None or own is None:
        raise ValueError("a stated ratio without stated masses")
    readings = balance.reference.readings(reference)
    return ledger.add(
        f"{name}-nominal",
        f"ratio of `{balance.own.component.key}` by the {_kinds(balance)} in the steps",
        ratio_uncertainty(readings, Reading(own, balance.own.error), balance.factor).ratio,
        formulas.NOMINAL_RATIO_IN_PARTS if balance.converted else formulas.NOMINAL_RATIO,
        inputs,
    )


def _kinds(balance: Balance) -> str:
    kinds = {balance.reference.kind, balance.own.kind}
    return {1: "masses" if Kind.MASS in kinds else "volumes", 2: "amounts"}[len(kinds)]


def _extreme(
    balance: Balance,
    reference_side: Callable[[Toleranced], Quantity | None],
    own_side: Callable[[Toleranced], Quantity | None],
    chosen: Callable[[tuple[float, float]], float],
) -> float | None:
    reference = _total(balance.reference, reference_side)
    own = _total(balance.own, own_side)
    if reference is None or own is None:
        return None
    readings = balance.reference.readings(reference)
    return chosen(worst_case_ratio(readings, Reading(own, balance.own.error), balance.factor))
