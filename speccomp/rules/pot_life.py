"""Pot life: whether a mix is used up before it sets."""

from collections.abc import Iterator

from speccomp.derive import Making
from speccomp.derive.mix_sizes import SizedMix
from speccomp.derive.mixes import PartPlan
from speccomp.derive.pot_life import LifeAt, PotLife
from speccomp.derive.work_times import LastUse
from speccomp.findings import Finding, Related, Severity, Span
from speccomp.model.process import Step
from speccomp.quantities import Kind, Quantity
from speccomp.rules.amounts import amount, per_cent
from speccomp.rules.facts import Facts


def lives(facts: Facts) -> Iterator[tuple[Making, PotLife]]:
    """Give the mixes and their pot life, where there is one."""
    making = facts.derived.making
    if making is not None and making.pot_life is not None:
        yield making, making.pot_life


def first_mix(facts: Facts) -> Step | None:
    """Return the step that mixes the batch."""
    return next((step for step in facts.process.steps if step.operation.name == "mix"), None)


def _time(facts: Facts, value: Quantity) -> str:
    return amount(facts, value, Kind.TIME)


def usable_life(facts: Facts, life: PotLife, at: LifeAt) -> str:
    """Return the usable pot life with the temperature it holds at."""
    margin = f", {per_cent(life.margin)} of it kept back" if life.margin else ""
    temperature = amount(facts, at.temperature, Kind.TEMPERATURE)
    return f"{_time(facts, at.life.value)} at {temperature}{margin}"


def stated_life(life: PotLife) -> tuple[Related, ...]:
    """Point at the pot life on the card."""
    stated = life.card.pot_life
    if stated is None or stated.time is None:
        return ()
    at = f" at {stated.at.text.strip()}" if stated.at else ""
    return (Related(stated.span, f"the card says {stated.time.text.strip()}{at}"),)


def _sizes(facts: Facts, making: Making) -> Iterator[tuple[PartPlan, SizedMix, Span, str]]:
    """Go through the sizes of mix that the definition sets, with their place and subject."""
    batch = facts.process.batch
    for plan in making.plans:
        for sized in plan.sizes:
            if sized.listed and batch is not None:
                yield plan, sized, batch.span, "batch"
            elif sized.stated_by is not None:
                yield plan, sized, sized.stated_by.span, sized.stated_by.id


def _takes(facts: Facts, making: Making, plan: PartPlan, sized: SizedMix, time: Quantity) -> str:
    work = making.work
    parts = f"{sized.size.parts} {plan.needs.part.number}"
    cycle = "" if work.cycle is None else f", {_time(facts, work.cycle.value)} a part"
    stations = f" at {work.stations} stations" if work.stations > 1 else ""
    return (
        f"{parts} from one mix take {_time(facts, time)} "
        f"({_time(facts, work.mixing.value)} mixing, {_time(facts, work.transfer.value)} to the "
        f"first part{cycle}{stations})"
    )


def _smaller(most: int | None) -> str:
    if not most:
        return "mix and fill faster, or cool the shop; not even one part fits"
    return f"fill at most {most} parts from one mix, or add stations"


def judged_uses(making: Making, life: PotLife) -> Iterator[LastUse]:
    """
    Go through the limits that end the use of a mix.

    Those under a condition are the author's own for it; where mixing alone takes the pot life,
    that is the fault.
    """
    if making.work.mixing.value < life.on_card.usable.value:
        for use in making.work.last_uses:
            if not use.limit.condition:
                yield use


def batch_outlives(facts: Facts) -> Iterator[Finding]:
    """
    A mix takes longer to use up than its pot life lasts.

    Why: the last parts are filled with cement that has begun to set; it does not bond.
    Source: common practice, no source; the rate doubles per 10 K unless the card says otherwise.
    Bad:
        batch: {parts: 240, loss: 8 %, cycle_time: 30 s, transfer_time: 3 min, sizes: [40, 120]}
    Good:
        batch: {parts: 240, loss: 8 %, cycle_time: 30 s, transfer_time: 3 min, sizes: [40, 60]}
    """
    for making, life in lives(facts):
        at = life.on_card
        for plan, sized, span, subject in _sizes(facts, making):
            time = sized.time
            if time is None or making.work.mixing.value >= at.usable.value:
                continue
            if sized.overrun is not None and time.value > at.usable.value:
                most = plan.in_time.value if plan.in_time else None
                yield Finding(
                    Severity.ERROR,
                    "potlife.batch-outlives",
                    span,
                    f"{_takes(facts, making, plan, sized, time.value)}; the pot life is "
                    f"{usable_life(facts, life, at)}, so it is over "
                    f"{_time(facts, sized.overrun.value)} too early",
                    _smaller(most),
                    stated_life(life),
                    subject,
                )


def hot_shop(facts: Facts) -> Iterator[Finding]:
    """
    On the hottest day of the shop a mix sets before it is used up, though not on others.

    Why: the reaction is about twice as fast for every 10 K. The margin of the pot life is there
        for such days, so it is not counted here.
    Source: common practice, no source.
    Bad:
        # plant.yaml
        shop: {temperature: 18 to 36 degC}
        # definition.yaml
        batch: {parts: 240, loss: 8 %, cycle_time: 30 s, transfer_time: 3 min, sizes: [40, 60]}
    Good:
        # plant.yaml
        shop: {temperature: 18 to 30 degC}
        # definition.yaml
        batch: {parts: 240, loss: 8 %, cycle_time: 30 s, transfer_time: 3 min, sizes: [30, 40]}
    """
    for making, life in lives(facts):
        planned, hot = life.on_card.usable.value, life.worst
        cases = [
            (_takes(facts, making, plan, sized, sized.time.value), sized.time.value, span, subject)
            for plan, sized, span, subject in _sizes(facts, making)
            if sized.time is not None
        ]
        cases += [
            (
                f"`{use.step.id}` may use a mix that is {_time(facts, use.age.value)} old",
                use.age.value,
                use.limit.span,
                use.limit.id,
            )
            for use in judged_uses(making, life)
        ]
        for what, time, span, subject in cases:
            if hot.life.value < time <= planned:
                temperature = amount(facts, hot.temperature, Kind.TEMPERATURE)
                yield Finding(
                    Severity.WARNING,
                    "potlife.hot-shop",
                    span,
                    f"{what}; at {temperature} the mix sets after {_time(facts, hot.life.value)}",
                    "use it up sooner, or limit the room temperature of the mixing step",
                    (
                        *stated_life(life),
                        Related(facts.process.plant.span, "the shop is described here"),
                    ),
                    subject,
                )


def mixing_too_long(facts: Facts) -> Iterator[Finding]:
    """
    Mixing alone takes up the pot life.

    Why: what is left after mixing is too stiff to fill.
    Source: common practice, no source.
    Bad:
        # powder.yaml
        pot_life: {time: 5 min, at: 23 degC}
    Good:
        # powder.yaml
        pot_life: {time: 60 min, at: 23 degC}
    """
    for making, life in lives(facts):
        mix, mixing = first_mix(facts), making.work.mixing.value
        if mix is not None and mixing >= life.on_card.usable.value:
            yield Finding(
                Severity.ERROR,
                "potlife.mixing-too-long",
                mix.span,
                f"mixing takes up to {_time(facts, mixing)}; the pot life is "
                f"{usable_life(facts, life, life.on_card)}",
                "shorten the mixing time, or use a material with a longer pot life",
                stated_life(life),
                mix.id,
            )


def transfer_too_short(facts: Facts) -> Iterator[Finding]:
    """
    The batch counts on a shorter way to the first part than the steps in between take.

    Why: the clock of every mix is wrong by the difference, and the pot life with it.
    Source: arithmetic.
    Bad:
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, transfer_time: 1 min}
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: rest
            operation: rest
            do: Let the paste rest in the closed bowl.
            with: [timer]
            covered: true
            limits: {rest time: 4 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        batch: {parts: 120, loss: 8 %, cycle_time: 20 s, transfer_time: 7 min}
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: rest
            operation: rest
            do: Let the paste rest in the closed bowl.
            with: [timer]
            covered: true
            limits: {rest time: 4 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    making, batch = facts.derived.making, facts.process.batch
    if making is None or batch is None or batch.transfer_time is None:
        return
    waiting, transfer = making.work.waiting.value, making.work.transfer.value
    if waiting > transfer:
        yield Finding(
            Severity.WARNING,
            "potlife.transfer-too-short",
            batch.span,
            f"the first part comes {_time(facts, transfer)} after mixing, and the steps before it "
            f"take up to {_time(facts, waiting)}",
            f"raise `transfer_time` to {_time(facts, waiting)} or more",
            (),
            "batch",
        )
