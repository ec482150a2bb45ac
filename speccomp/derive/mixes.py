"""How an order is split into mixes that pot life, mixer and scales allow."""

from dataclasses import dataclass
from functools import partial

from speccomp.calc.batch import equal_counts
from speccomp.calc.potlife import (
    Constraint,
    ConstraintName,
    MixMasses,
    MixTimes,
    parts_per_mix,
    plan_mixes,
)
from speccomp.derive import formulas
from speccomp.derive.batch import Order, PartNeeds, derive_order
from speccomp.derive.mix_clock import MixClockRow, derive_clock
from speccomp.derive.mix_sizes import PARTS_PER_MIX, Shop, SizedMix, derive_sized_mix
from speccomp.derive.numbers import Input, Ledger, Number, derived_from
from speccomp.model.process import Batch, Process
from speccomp.quantities import quantity

MOST_MIXES = 200
"""Longer tables are not made."""

ORDER = "order"
"""What binds when neither pot life nor mixer does."""

_UPPER = (ConstraintName.POT_LIFE, ConstraintName.MIXER_MOST)


@dataclass(frozen=True, slots=True)
class PartPlan:
    """
    The mixes for an order of one part.

    `sizes` are those of the sheet; `mixes` the parts of each mix of the order, larger ones first,
    `groups` each size of them with how many there are, `ordered` the parts of the whole order.
    `constraints` are the limits on a mix with their margins, the upper ones for the largest mix
    and the lower ones for the smallest. `binding` says what sets the size: the name of a
    constraint, `parts per mix` or `order`. `clock` is empty without pot life or cycle time.
    `in_time` is the most parts that the pot life allows at the card's temperature,
    `in_time_when_hot` on the hottest day.
    """

    needs: PartNeeds
    sizes: tuple[SizedMix, ...]
    ordered: int
    groups: tuple[tuple[Number[int], Number[int]], ...]
    mixes: tuple[Number[int], ...]
    constraints: tuple[Constraint, ...]
    binding: str
    clock: tuple[MixClockRow, ...]
    order: Order
    in_time: Number[int] | None
    in_time_when_hot: Number[int] | None

    @property
    def smallest(self) -> SizedMix:
        """The smallest mix of the order."""
        return next(one for one in self.sizes if one.size.parts == self.mixes[-1].value)

    @property
    def broken(self) -> tuple[Constraint, ...]:
        """Return the limits that the mixes of the order do not keep."""
        return tuple(limit for limit in self.constraints if limit.margin.magnitude < 0)


def derive_plan(process: Process, needs: PartNeeds, shop: Shop, ledger: Ledger) -> PartPlan | None:
    """Return the mixes for an order of a part; None where its values make no sense."""
    work = partial(_plan, process, needs, shop, ledger)
    return ledger.attempt(f"batches.{needs.label}.plan", needs.part.span, work)


def _times(shop: Shop, when_hot: bool) -> MixTimes | None:
    life = shop.pot_life
    if life is None:
        return None
    return shop.work.of_mix(life.worst if when_hot else life.on_card, life)


def _plan(process: Process, needs: PartNeeds, shop: Shop, ledger: Ledger) -> PartPlan | None:
    batch = process.batch
    if batch is None:
        return None
    times = _times(shop, when_hot=True)
    masses = _masses(needs, shop, batch.parts)
    most, binding = _most(batch.parts, times, masses, shop)
    if -(-batch.parts // most) > MOST_MIXES:
        ledger.impossible(
            f"batches.{needs.label}.plan",
            f"an order of {batch.parts} parts at {most} per mix takes more than {MOST_MIXES} mixes",
            batch.span,
            "plan a smaller order",
        )
        return None
    equal = equal_counts(batch.parts, most)
    sizes = _sizes(batch.sizes, equal, most, shop, masses)
    groups = _groups(needs, batch, equal, most, ledger)
    mixes = tuple(parts for parts, count in groups for _ in range(count.value))
    life = shop.pot_life
    return PartPlan(
        needs,
        tuple(derive_sized_mix(needs, parts, shop, batch, equal, ledger) for parts in sizes),
        batch.parts,
        groups,
        mixes,
        _constraints(equal, times, masses, shop),
        binding,
        ()
        if times is None or life is None
        else derive_clock(needs, mixes, times, (shop.work, life.worst), ledger),
        derive_order(needs, equal, shop.mixture, ledger),
        _in_time("in-time", needs, _times(shop, when_hot=False), shop, ledger),
        _in_time("in-time-when-hot", needs, times, shop, ledger),
    )


def _groups(
    needs: PartNeeds, batch: Batch, equal: tuple[int, ...], most: int, ledger: Ledger
) -> tuple[tuple[Number[int], Number[int]], ...]:
    """Return the sizes of the order's mixes, larger ones first, each with how many there are."""
    name, part = f"batches.{needs.label}", needs.part.number
    inputs = (Input("parts of the order", str(batch.parts), batch.span), Input("n", str(most)))
    return tuple(
        (
            ledger.add(f"{name}.mix-of-{parts}", f"{part} of a mix", parts, formulas.MIXES, inputs),
            ledger.add(
                f"{name}.mixes-of-{parts}",
                f"mixes of {parts} {part}",
                equal.count(parts),
                formulas.MIXES,
                inputs,
            ),
        )
        for parts in dict.fromkeys(equal)
    )


def _masses(needs: PartNeeds, shop: Shop, parts: int) -> MixMasses:
    """Return the masses of a mix; without a mixer the whole order bounds it."""
    zero = quantity(0, "g")
    least = [mixer.least.value for mixer in shop.mixers if mixer.least is not None]
    most = [mixer.most.value for mixer in shop.mixers if mixer.most is not None]
    held = [mix.smallest_mix.value for mix in shop.balances if mix.smallest_mix is not None]
    whole = needs.per_mix.value + needs.per_part.value * parts
    return MixMasses(
        needs.per_part.value,
        needs.per_mix.value,
        max(least, default=zero),
        min(most, default=whole),
        max(held, default=zero),
    )


def _clockless(parts: int) -> MixTimes:
    """Return times that never bind, for a mix without pot life or cycle time."""
    second, none = quantity(1, "s"), quantity(0, "s")
    return MixTimes(second * (parts + 1), 0.0, none, none, second, 1)


def _most(parts: int, times: MixTimes | None, masses: MixMasses, shop: Shop) -> tuple[int, str]:
    """Return the most parts of a mix and what sets it; 1 where not even one part fits."""
    one = plan_mixes(1, times or _clockless(parts), masses)
    allowed = {item.name: item.parts for item in one.constraints}
    candidates: list[tuple[int, str]] = [(parts, ORDER)]
    if shop.stated is not None:
        candidates.append((shop.stated.parts, PARTS_PER_MIX))
    if times is not None:
        candidates.append((allowed[ConstraintName.POT_LIFE], ConstraintName.POT_LIFE))
    if any(mixer.most is not None for mixer in shop.mixers):
        candidates.append((allowed[ConstraintName.MIXER_MOST], ConstraintName.MIXER_MOST))
    most, binding = min(candidates, key=lambda candidate: candidate[0])
    return max(1, most), str(binding)


def _constraints(
    mixes: tuple[int, ...], times: MixTimes | None, masses: MixMasses, shop: Shop
) -> tuple[Constraint, ...]:
    """Return the limits that exist, upper ones for the largest mix, lower for the smallest."""
    clock = times or _clockless(mixes[0])
    exists = {
        ConstraintName.POT_LIFE: times is not None,
        ConstraintName.MIXER_MOST: any(mixer.most is not None for mixer in shop.mixers),
        ConstraintName.MIXER_LEAST: any(mixer.least is not None for mixer in shop.mixers),
        ConstraintName.WEIGHING_LEAST: masses.weighing_least.magnitude > 0,
    }
    found = []
    for parts, upper in ((mixes[0], True), (mixes[-1], False)):
        # A plan for parts that do not fit is made in mixes of one; of one mix it tells the margins.
        plan = plan_mixes(parts, clock, masses)
        if len(plan.parts) == 1:
            found += [
                limit
                for limit in plan.constraints
                if exists[limit.name] and (limit.name in _UPPER) == upper
            ]
    return tuple(found)


def _sizes(
    listed: tuple[int, ...], mixes: tuple[int, ...], most: int, shop: Shop, masses: MixMasses
) -> tuple[int, ...]:
    """Return the sizes of the sheet: those listed, else chosen ones; the order's; a step's."""
    sizes = {*mixes, *(listed or (most,))}
    half = most // 2
    least = max(masses.mixer_least, masses.weighing_least)
    if not listed and half and masses.per_mix + half * masses.per_part >= least:
        sizes.add(half)
    if shop.stated is not None:
        sizes.add(shop.stated.parts)
    return tuple(sorted(sizes))


def _in_time(
    which: str, needs: PartNeeds, times: MixTimes | None, shop: Shop, ledger: Ledger
) -> Number[int] | None:
    life = shop.pot_life
    if times is None or life is None:
        return None
    at = life.on_card if which == "in-time" else life.worst
    return ledger.add(
        f"batches.{needs.label}.{which}",
        f"most {needs.part.number} from one mix in the pot life at {at.where}",
        parts_per_mix(times),
        formulas.PARTS_IN_TIME,
        (
            derived_from(at.usable),
            derived_from(shop.work.mixing),
            derived_from(shop.work.transfer),
            *((derived_from(shop.work.cycle),) if shop.work.cycle else ()),
        ),
    )
