"""The masses that the weighing steps state, and the ratios that they allow."""

from collections.abc import Callable
from dataclasses import dataclass

from speccomp.calc.ratio import Reading, ratio_uncertainty, worst_case_ratio
from speccomp.derive import formulas
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.derive.scales import WORST_CASE, Balance, Weighed, scale_inputs
from speccomp.model.process import Characteristic
from speccomp.quantities import Quantity, Toleranced

INSTRUCTED = "instructed"
"""Label of the weighing at the mass that the steps state."""


@dataclass(frozen=True, slots=True)
class Target:
    """A mass of the reference to weigh for, with the inputs it is from; its limits if stated."""

    label: str
    mass: Quantity
    inputs: tuple[Input, ...]
    limits: Toleranced | None = None


@dataclass(frozen=True, slots=True)
class StatedRatio:
    """
    The ratio by weight of the stated masses, and the least and the greatest that they allow.

    The scales' errors are in the last two; a side is absent where a mass has no limit that bounds
    it.
    """

    nominal: Number[float]
    lowest: Number[float] | None
    highest: Number[float] | None


def _stated(weighed: Weighed) -> tuple[tuple[Characteristic, Toleranced], ...]:
    """Return the masses of all portions; none unless every portion states one."""
    masses = [portion.mass for portion in weighed.portions]
    stated = tuple(mass for mass in masses if mass is not None)
    return stated if len(stated) == len(masses) else ()


def _total(weighed: Weighed, side: Callable[[Toleranced], Quantity | None]) -> Quantity | None:
    """Return the sum of one side of all stated masses; None where one lacks it."""
    sides = [side(value) for _, value in _stated(weighed)]
    known = [value for value in sides if value is not None]
    if not known or len(known) != len(sides):
        return None
    return sum(known[1:], known[0])


def _inputs(weighed: Weighed) -> tuple[Input, ...]:
    return tuple(
        written(f"mass of `{weighed.component.key}`", value, item.span)
        for item, value in _stated(weighed)
    )


def stated_mass(balance: Balance) -> Target | None:
    """Return the mass of the reference that its steps state, all portions together."""
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
        *scale_inputs(reference),
        *(() if balance.same_scale else scale_inputs(own)),
    )

    def extreme(which: str, title: str, value: float | None) -> Number[float] | None:
        if value is None:
            return None
        return ledger.add(
            f"{name}-{which}",
            f"{title} ratio of `{key}` that the masses in the steps allow",
            value,
            formulas.STATED_RATIO,
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
        _total(weighed, lambda value: value.nominal_quantity)
        for weighed in (balance.reference, balance.own)
    )
    if reference is None or own is None:
        raise ValueError("a stated ratio without stated masses")
    return ledger.add(
        f"{name}-nominal",
        f"ratio of `{balance.own.component.key}` by the masses in the steps",
        ratio_uncertainty(
            balance.reference.readings(reference), Reading(own, balance.own.error)
        ).ratio,
        formulas.NOMINAL_RATIO,
        inputs,
    )


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
    return chosen(
        worst_case_ratio(balance.reference.readings(reference), Reading(own, balance.own.error))
    )
