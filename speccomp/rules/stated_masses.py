"""The masses that the weighing steps state, against the ratio."""

from collections.abc import Iterator

from speccomp.derive import Number
from speccomp.derive.scales import Balance
from speccomp.derive.weighing import WeighingAt
from speccomp.findings import Finding, Related, Severity
from speccomp.rules.facts import Facts
from speccomp.rules.weighing import (
    allowed_ratio,
    described,
    first_step,
    in_parts,
    instructed,
    reading_of,
    stated_like,
)

_CLOSE = 1e-9


def masses_off_ratio(facts: Facts) -> Iterator[Finding]:
    """
    The masses that the steps allow do not keep the ratio together.

    Why: each reading is within its own limit, and the mix is still off the ratio; the record
        looks right and the part is weak.
    Source: worst case of the limits and of the scales' errors, common practice, no source.
    Bad:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 200 ± 5 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 52 ± 1 g}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 200 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 52 ± 1 g}
    """
    for weighing, at in instructed(facts):
        balance, stated = weighing.balance, weighing.stated
        if at.exact is None or stated is None or _outside(balance, stated.nominal):
            continue
        ends = [number for number in (stated.lowest, stated.highest) if number is not None]
        if not any(_outside(balance, number) for number in ends):
            continue
        together = " to ".join(in_parts(balance, number.value) for number in ends)
        yield Finding(
            Severity.WARNING,
            "weigh.masses-off-ratio",
            first_step(balance.own).span,
            f"{_both(balance)} together allow {together}; {allowed_ratio(balance)}",
            _narrower(facts, balance, at),
            _places(balance),
            first_step(balance.own).id,
        )


def _outside(balance: Balance, ratio: Number[float]) -> bool:
    wanted = balance.own.component.ratio
    if wanted is None:
        return False
    below = wanted.lower is not None and ratio.value < wanted.lower * (1 - _CLOSE)
    return below or (wanted.upper is not None and ratio.value > wanted.upper * (1 + _CLOSE))


def _both(balance: Balance) -> str:
    """Return both amounts as they are stated; of several portions the first."""
    said = []
    for measured in (balance.reference, balance.own):
        amount = stated_like(measured)
        portions = f"{len(measured.portions)} times " if len(measured.portions) > 1 else ""
        said.append(
            f"{portions}{amount.text.strip() if amount else '?'} of `{measured.component.key}`"
        )
    return " and ".join(said)


def _places(balance: Balance) -> tuple[Related, ...]:
    other = Related(first_step(balance.reference).span, "the other amount is stated here")
    return (other, *described(balance))


def targets_off_ratio(facts: Facts) -> Iterator[Finding]:
    """
    The masses that the steps aim at are not in the ratio.

    Why: one of the three numbers was changed and the others were not; every batch is wrong.
    Source: definition of parts by weight.
    Bad:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 200 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 56.0 ± 0.5 g}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
            limits: {mass: 200 ± 1 g}
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid into the bowl.
            with: [bench-scale]
            limits: {mass: 52.0 ± 0.5 g}
    """
    for weighing, at in instructed(facts):
        balance, stated = weighing.balance, weighing.stated
        if stated is None or not _outside(balance, stated.nominal):
            continue
        aim = at.window.target.value if at.window else None
        right = (
            f"`{reading_of(facts, balance.own, aim)}`" if aim is not None else "the right amount"
        )
        yield Finding(
            Severity.ERROR,
            "weigh.targets-off-ratio",
            first_step(balance.own).span,
            f"{_both(balance)} make {in_parts(balance, stated.nominal.value)}; "
            f"{allowed_ratio(balance)}",
            f"aim at {right} of `{balance.own.component.key}`, or correct the ratio",
            _places(balance),
            first_step(balance.own).id,
        )


def _narrower(facts: Facts, balance: Balance, at: WeighingAt) -> str:
    """Say which readings hold the ratio at every reading of the reference that is allowed."""
    rows = at.rows or ((at.window,) if at.window else ())
    lows = [row.lower.value for row in rows if row.lower is not None]
    highs = [row.upper.value for row in rows if row.upper is not None]
    if not lows or not highs or max(lows) > min(highs):
        return "narrow the limits of both amounts, or let the operator use the weighing table"
    low, high = (reading_of(facts, balance.own, side) for side in (max(lows), min(highs)))
    return f"narrow the limits, for example to {low} to {high} of `{balance.own.component.key}`"
