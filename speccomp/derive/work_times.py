"""The times of one mix: mixing, waiting, filling; and when a mix may still be applied."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.calc.potlife import MixTimes
from speccomp.derive import formulas
from speccomp.derive.mixture import APPLYING
from speccomp.derive.model_values import greatest, limit_named, requirement
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.derive.pot_life import LifeAt, PotLife
from speccomp.model.process import Batch, Characteristic, Process, Step
from speccomp.quantities import Kind, Quantity, Toleranced, quantity

MIXING = ("mix", "add")
WAITING = ("de-air", "rest")
_MIXING_LIMITS = ("mixing time", "time")
_WAITING_LIMITS = ("vacuum time", "rest time", "time")
_FROM_START = re.compile(
    r"\bstart of mixing\b|\bage\b|\bsince (?:the )?[\w-]+ (?:met|meets?) (?:the )?[\w-]+",
    re.IGNORECASE,
)
_FROM_END = re.compile(r"\b(?:since|after) (?:the )?(?:end of )?mixing\b", re.IGNORECASE)
_COUNTS_FROM = (
    "The pot life counts from the start of mixing, and so do an age and the time since one "
    "component met the other; `time since mixing` counts from its end."
)
_WORKING = re.compile(r"application time|working time", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class LastUse:
    """
    How old a mix may be, from the start of mixing, when a step still applies it.

    `limit` is the limit of the step that says so; one that holds under a condition is the author's
    own for that condition. `longest` is the greatest limit that leaves the margin of the pot life,
    zero or less when nothing is left; None without a pot life.
    """

    step: Step
    limit: Characteristic
    age: Number[Quantity]
    longest: Number[Quantity] | None


@dataclass(frozen=True, slots=True)
class WorkTimes:
    """
    The times of one mix at their longest.

    `mixing` is of all steps that mix; `waiting` of the steps between mixing and the first part,
    such as de-airing; `transfer` what the batch states, or `waiting`; `cycle` None where it is
    not stated.
    """

    mixing: Number[Quantity]
    waiting: Number[Quantity]
    transfer: Number[Quantity]
    cycle: Number[Quantity] | None
    stations: int
    last_uses: tuple[LastUse, ...]

    def of_mix(self, at: LifeAt, pot_life: PotLife) -> MixTimes | None:
        """Return the times of a mix at one temperature; None without a cycle time."""
        if self.cycle is None:
            return None
        return MixTimes(
            at.life.value,
            pot_life.margin,
            self.mixing.value,
            self.transfer.value,
            self.cycle.value,
            self.stations,
        )


def derive_work_times(process: Process, life: PotLife | None, ledger: Ledger) -> WorkTimes:
    """Return the longest times of mixing, of waiting and of filling a part."""
    until_applied = _until_applied(process)
    mixing = _total(
        "work.mixing-time",
        "time of mixing",
        [limit for step in until_applied if (limit := _time(step, MIXING, _MIXING_LIMITS))],
        ledger,
    )
    waiting = _total(
        "work.waiting-time",
        "time between mixing and the first part",
        [limit for step in until_applied if (limit := _time(step, WAITING, _WAITING_LIMITS))],
        ledger,
    )
    batch = process.batch
    transfer = waiting
    if batch is not None and batch.transfer_time is not None:
        title = "time to the first part"
        transfer = _stated("work.transfer-time", title, batch.transfer_time, batch, ledger)
    cycle = None
    if batch is not None and batch.cycle_time is not None:
        cycle = _stated("work.cycle-time", "time to fill a part", batch.cycle_time, batch, ledger)
    stations = batch.stations if batch else 1
    last_uses = tuple(_last_uses(process, mixing, waiting, life, ledger))
    return WorkTimes(mixing, waiting, transfer, cycle, stations, last_uses)


def _until_applied(process: Process) -> tuple[Step, ...]:
    """Return the steps from the first mix up to the first application after it."""
    found: list[Step] = []
    for step in process.steps:
        if found and step.operation.name in APPLYING:
            break
        if found or step.operation.name == "mix":
            found.append(step)
    return tuple(found)


def _time(
    step: Step, operations: tuple[str, ...], names: tuple[str, ...]
) -> tuple[Characteristic, Toleranced] | None:
    return limit_named(step, *names, kind=Kind.TIME) if step.operation.name in operations else None


def longest_time(step: Step) -> tuple[Characteristic, Toleranced] | None:
    """Return the limit on the time that a step mixes or waits; None for another step."""
    return _time(step, MIXING, _MIXING_LIMITS) or _time(step, WAITING, _WAITING_LIMITS)


def _total(
    name: str, title: str, limits: list[tuple[Characteristic, Toleranced]], ledger: Ledger
) -> Number[Quantity]:
    total = quantity(0, "s")
    for _, value in limits:
        total = total + greatest(value)
    inputs = tuple(time_input(limit) for limit in limits)
    note = "" if limits else "No step states one: none is counted."
    return ledger.add(name, f"longest {title}", total, formulas.SUM_OF_TIMES, inputs, note)


def time_input(limit: tuple[Characteristic, Toleranced]) -> Input:
    """Return a limit on a time as an input."""
    return written(limit[0].name, limit[1], limit[0].span)


def _stated(
    name: str, title: str, value: Toleranced, batch: Batch, ledger: Ledger
) -> Number[Quantity]:
    return ledger.add(
        name,
        f"longest {title}",
        greatest(value),
        formulas.TIME_AS_WRITTEN,
        (written(title, value, batch.span),),
    )


def _last_uses(
    process: Process,
    mixing: Number[Quantity],
    waiting: Number[Quantity],
    life: PotLife | None,
    ledger: Ledger,
) -> Iterator[LastUse]:
    """Go through the limits that end the use of a mix."""
    mixed = False
    for step in process.steps:
        mixed = mixed or step.operation.name == "mix"
        if not mixed or step.operation.name in MIXING:
            continue
        for limit in step.characteristics:
            value, before = requirement(limit), _before(limit, mixing, waiting)
            ends = value is not None and (value.upper is not None or value.target is not None)
            if value is None or before is None or value.kind is not Kind.TIME or not ends:
                continue
            age = greatest(value)
            for number in before:
                age = age + number.value
            inputs = (*(derived_from(number) for number in before), time_input((limit, value)))
            title = f"greatest age of the mix at the end of `{step.id}`"
            name = f"work.{step.id}.greatest-age"
            total = ledger.add(name, title, age, formulas.GREATEST_AGE, inputs, _COUNTS_FROM)
            yield LastUse(step, limit, total, _longest(step, total, greatest(value), life, ledger))


def _longest(
    step: Step, age: Number[Quantity], limit: Quantity, life: PotLife | None, ledger: Ledger
) -> Number[Quantity] | None:
    if life is None:
        return None
    usable = life.on_card.usable
    return ledger.add(
        f"work.{step.id}.longest-limit",
        f"longest limit of `{step.id}` that leaves the margin of the pot life",
        usable.value - (age.value - limit),
        formulas.LONGEST_LIMIT,
        (derived_from(usable), derived_from(age)),
    )


def _before(
    limit: Characteristic, mixing: Number[Quantity], waiting: Number[Quantity]
) -> tuple[Number[Quantity], ...] | None:
    """Return the times that come before the one a limit counts; None for another limit."""
    if _FROM_START.search(limit.name):
        return ()
    if _FROM_END.search(limit.name):
        return (mixing,)
    return (mixing, waiting) if _WORKING.fullmatch(limit.name) else None
