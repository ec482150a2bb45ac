"""Mixing again: how old a batch is when a later step mixes it once more."""

from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.derive import formulas
from speccomp.derive.mixture import APPLYING
from speccomp.derive.model_values import greatest
from speccomp.derive.numbers import Input, Ledger, Number, derived_from
from speccomp.derive.work_times import MIXING, WAITING, WorkTimes, longest_time, time_input
from speccomp.model.process import Process, Step
from speccomp.quantities import Quantity, quantity

_NOTE = "Counted from the start of mixing; what no step limits in time is not counted."


@dataclass(frozen=True, slots=True)
class Remix:
    """A step that mixes a batch again after it has waited or been used, and the age it then has."""

    step: Step
    age: Number[Quantity]


def derive_remixes(process: Process, work: WorkTimes, ledger: Ledger) -> tuple[Remix, ...]:
    """Return the steps that mix a batch again, with its greatest age at the end of each."""
    return tuple(_remixes(process, work, ledger))


def _remixes(process: Process, work: WorkTimes, ledger: Ledger) -> Iterator[Remix]:
    uses = {use.step.id: use for use in work.last_uses}
    shares = {part.material for part in process.ratio.parts} if process.ratio else set()
    age: Quantity | None = None
    inputs: list[Input] = []
    paused = False
    for step in process.steps:
        name = step.operation.name
        if name == "weigh" and step.material is not None and step.material.key in shares:
            age = None  # the next mix is another batch
        if age is None and name == "mix":
            age, inputs, paused = quantity(0, "s"), [], False
        if age is None:
            continue
        limit, use = longest_time(step), uses.get(step.id)
        if limit is not None:
            age, inputs = age + greatest(limit[1]), [*inputs, time_input(limit)]
        if use is not None and use.age.value > age:
            age, inputs = use.age.value, [derived_from(use.age)]
        if name in MIXING and paused:
            yield Remix(step, _record(step, age, inputs, ledger))
        paused = paused or name in WAITING or name in APPLYING


def _record(step: Step, age: Quantity, inputs: list[Input], ledger: Ledger) -> Number[Quantity]:
    return ledger.add(
        f"work.{step.id}.age-when-mixed-again",
        f"greatest age of the mix at the end of `{step.id}`",
        age,
        formulas.AGE_AGAIN,
        tuple(inputs),
        _NOTE,
    )
