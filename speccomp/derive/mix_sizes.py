"""The sizes of mix on the sheet, and the time that each takes."""

from dataclasses import dataclass

from speccomp.derive import formulas
from speccomp.derive.batch import BatchSize, PartNeeds, derive_size
from speccomp.derive.mixer import MixerRange
from speccomp.derive.mixture import Mixture
from speccomp.derive.model_values import limit_named, whole_number
from speccomp.derive.numbers import Input, Ledger, Number, derived_from
from speccomp.derive.pot_life import PotLife
from speccomp.derive.scales import Balance
from speccomp.derive.work_times import WorkTimes
from speccomp.model.process import Batch, Characteristic, Process
from speccomp.quantities import Kind, Quantity

PARTS_PER_MIX = "parts per mix"


@dataclass(frozen=True, slots=True)
class StatedParts:
    """The most parts per mix that a step allows."""

    limit: Characteristic
    parts: int


@dataclass(frozen=True, slots=True)
class SizedMix:
    """
    A size of mix on the sheet, with the time it takes.

    `time` is from the start of mixing to the last part, `overrun` by how much it is more than the
    pot life at the card's temperature allows; None without what they are from. `stated_by` is
    the limit on parts per mix that sets this size; None for the others. `listed` tells that the
    definition lists the size itself.
    """

    parts: Number[int]
    size: BatchSize
    time: Number[Quantity] | None
    overrun: Number[Quantity] | None
    stated_by: Characteristic | None
    listed: bool


@dataclass(frozen=True, slots=True)
class Shop:
    """What the mixes of every part share."""

    mixture: Mixture
    mixers: tuple[MixerRange, ...]
    balances: tuple[Balance, ...]
    pot_life: PotLife | None
    work: WorkTimes
    stated: StatedParts | None


def derive_stated_parts(process: Process) -> StatedParts | None:
    """Return the least of the limits on parts per mix; None where no step states one."""
    found = []
    for step in process.steps:
        limit = limit_named(step, PARTS_PER_MIX, kind=Kind.COUNT)
        if limit is not None and limit[1].upper is not None and whole_number(limit[1]) > 0:
            found.append(StatedParts(limit[0], whole_number(limit[1])))
    return min(found, key=lambda stated: stated.parts, default=None)


def derive_sized_mix(
    needs: PartNeeds,
    parts: int,
    shop: Shop,
    batch: Batch,
    equal: tuple[int, ...],
    ledger: Ledger,
) -> SizedMix:
    """Return one size of mix of the sheet, with the time it takes."""
    listed = parts in batch.sizes
    size = derive_size(needs, parts, shop.mixture, ledger)
    number = _size_number(size, shop, batch, equal, ledger)
    stated = shop.stated
    by = stated.limit if stated is not None and stated.parts == parts else None
    work = shop.work
    if work.cycle is None:
        return SizedMix(number, size, None, None, by, listed)
    rounds = -(-parts // work.stations)
    time = ledger.add(
        f"batches.{size.label}.time",
        f"time of a mix for {parts} parts, from the start of mixing to the last part",
        work.mixing.value + work.transfer.value + rounds * work.cycle.value,
        formulas.TIME_OF_MIX,
        (
            Input("parts", str(parts)),
            Input("stations", str(work.stations)),
            derived_from(work.mixing),
            derived_from(work.transfer),
            derived_from(work.cycle),
        ),
    )
    return SizedMix(number, size, time, _overrun(size, time, shop, ledger), by, listed)


def _size_number(
    size: BatchSize, shop: Shop, batch: Batch, equal: tuple[int, ...], ledger: Ledger
) -> Number[int]:
    """Record a size of mix, with what it comes from."""
    written = [Input("parts of the order", str(batch.parts), batch.span)]
    formula = formulas.MIXES if size.parts in equal else formulas.SIZE_CHOSEN
    if size.parts in batch.sizes:
        formula = formulas.SIZE_LISTED
        written = [Input("sizes", ", ".join(map(str, batch.sizes)), batch.span)]
    elif shop.stated is not None and size.parts == shop.stated.parts:
        formula, limit = formulas.SIZE_LISTED, shop.stated.limit
        written = [Input(limit.name, str(shop.stated.parts), limit.span)]
    title = "parts of a mix"
    return ledger.add(f"batches.{size.label}.parts", title, size.parts, formula, tuple(written))


def _overrun(
    size: BatchSize, time: Number[Quantity], shop: Shop, ledger: Ledger
) -> Number[Quantity] | None:
    if shop.pot_life is None:
        return None
    usable = shop.pot_life.on_card.usable
    return ledger.add(
        f"batches.{size.label}.overrun",
        f"time by which the pot life is over before a mix for {size.parts} parts is used up",
        max(time.value - usable.value, time.value * 0),
        formulas.OVERRUN,
        (derived_from(time), derived_from(usable)),
    )
