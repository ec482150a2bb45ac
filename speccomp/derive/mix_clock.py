"""The clock of a job: when each mix starts, is filled, and must be used up or thrown away."""

from dataclasses import dataclass

from speccomp.calc.potlife import MixTimes, clock_table
from speccomp.derive import formulas
from speccomp.derive.batch import PartNeeds
from speccomp.derive.numbers import Input, Ledger, Number, derived_from
from speccomp.derive.pot_life import LifeAt
from speccomp.derive.work_times import WorkTimes
from speccomp.quantities import Quantity


@dataclass(frozen=True, slots=True)
class MixClockRow:
    """
    The clock of one mix, from the start of the job.

    `start`: mixing and the pot life begin. `filled`: the last part is done. `use_by`: the margin
    of the pot life begins. `discard_at`: the pot life ends.
    """

    parts: Number[int]
    start: Number[Quantity]
    mix_end: Number[Quantity]
    ready: Number[Quantity]
    filled: Number[Quantity]
    use_by: Number[Quantity]
    discard_at: Number[Quantity]


def derive_clock(
    needs: PartNeeds,
    mixes: tuple[Number[int], ...],
    times: MixTimes,
    shared_times: tuple[WorkTimes, LifeAt],
    ledger: Ledger,
) -> tuple[MixClockRow, ...]:
    """Return one row for each mix; each starts when the one before is filled."""
    work, life = shared_times
    shared = tuple(
        derived_from(number)
        for number in (work.mixing, work.transfer, work.cycle, life.life, life.usable)
        if number is not None
    )
    rows = []
    clocks = clock_table(tuple(parts.value for parts in mixes), times, 1)
    for number, (parts, clock) in enumerate(zip(mixes, clocks, strict=True), start=1):
        inputs = (derived_from(parts), Input("stations", str(work.stations)), *shared)
        name = f"batches.{needs.label}.mix-{number}"
        values = {
            "start": ("start of mixing", clock.start),
            "mix-end": ("end of mixing", clock.mix_end),
            "ready": ("first part", clock.ready),
            "filled": ("last part done", clock.filled),
            "use-by": ("use by", clock.use_by),
            "discard-at": ("discard at", clock.discard_at),
        }
        numbers = [
            ledger.add(f"{name}.{key}", f"{title}, mix {number}", value, formulas.CLOCK, inputs)
            for key, (title, value) in values.items()
        ]
        rows.append(MixClockRow(parts, *numbers))
    return tuple(rows)
