"""The last use of a mix: limits that say until when it may be applied."""

from collections.abc import Iterator

from speccomp.derive import Number
from speccomp.derive.mixture import APPLYING
from speccomp.findings import Finding, Severity
from speccomp.quantities import Kind, Quantity
from speccomp.rules.amounts import amount
from speccomp.rules.facts import Facts
from speccomp.rules.pot_life import first_mix, judged_uses, lives, stated_life, usable_life


def _time(facts: Facts, value: Quantity) -> str:
    return amount(facts, value, Kind.TIME)


def applied_too_late(facts: Facts) -> Iterator[Finding]:
    """
    A step may still apply the mix when its pot life is over.

    Why: the limit tells the operator that the mix is still good, and it is not.
    Source: common practice, no source; the limit counts from the end of mixing, the pot life from
        its start.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            with: [timer]
            limits: {time since mixing: at most 60 min}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            with: [timer]
            limits: {time since mixing: at most 30 min}
    """
    for making, life in lives(facts):
        whole = life.on_card.life.value
        for use in judged_uses(making, life):
            if use.age.value > whole:
                yield Finding(
                    Severity.ERROR,
                    "potlife.applied-too-late",
                    use.limit.span,
                    f"`{use.step.id}` may use a mix that is {_time(facts, use.age.value)} old, "
                    f"mixing included; the pot life is {usable_life(facts, life, life.on_card)}",
                    _sooner(facts, use.longest),
                    stated_life(life),
                    use.limit.id,
                )


def _sooner(facts: Facts, longest: Number[Quantity] | None) -> str:
    if longest is None or longest.value.magnitude <= 0:
        return "nothing is left of the pot life after mixing; mix faster"
    return f"write `at most {amount(facts, longest.value, Kind.TIME, None, 'down')}` or less"


def into_margin(facts: Facts) -> Iterator[Finding]:
    """
    A step may still apply the mix in the part of its pot life that the plant keeps back.

    Why: the margin is for warm days and slow hands; a limit that uses it up leaves none.
    Source: common practice, no source; 10 % unless the plant file says otherwise.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            with: [timer]
            limits: {time since mixing: at most 52 min}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            with: [timer]
            limits: {time since mixing: at most 40 min}
    """
    for making, life in lives(facts):
        usable, whole = life.on_card.usable.value, life.on_card.life.value
        for use in judged_uses(making, life):
            if usable < use.age.value <= whole:
                yield Finding(
                    Severity.WARNING,
                    "potlife.into-margin",
                    use.limit.span,
                    f"`{use.step.id}` may use a mix that is {_time(facts, use.age.value)} old, "
                    f"mixing included; the pot life is {usable_life(facts, life, life.on_card)}",
                    _sooner(facts, use.longest),
                    stated_life(life),
                    use.limit.id,
                )


def no_limit(facts: Facts) -> Iterator[Finding]:
    """
    Nothing says how long a mix with a pot life may be used.

    Why: each operator uses it until it feels stiff; by then the last parts do not bond.
    Source: common practice, no source.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            with: [timer]
            limits: {time since mixing: at most 30 min}
    """
    for making, life in lives(facts):
        mix, work = first_mix(facts), making.work
        applied = any(step.operation.name in APPLYING for step in facts.process.steps)
        if mix is None or not applied or work.last_uses or work.cycle is not None:
            continue
        yield Finding(
            Severity.WARNING,
            "potlife.no-limit",
            mix.span,
            f"the mix of `{mix.id}` has a pot life of {usable_life(facts, life, life.on_card)}, "
            "and no limit says until when it may be used",
            "add to the step that applies it, for example `time since mixing: at most …`, or a "
            "`cycle_time` to the batch",
            stated_life(life),
            mix.id,
        )


def mixed_after_end(facts: Facts) -> Iterator[Finding]:
    """
    A batch is mixed again when its pot life may be over.

    Why: stirring breaks what has begun to set and makes it look fresh; it never binds again.
    Source: common practice, no source; the times of the steps at their longest, against the pot
        life of the card less the margin of the plant.
    Bad:
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
            limits: {rest time: 45 to 50 min}
          - id: mix-again
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 1 to 2 min}
    Good:
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
          - id: mix-again
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 1 to 2 min}
    """
    for making, life in lives(facts):
        for remix in making.remixes:
            if remix.age.value > life.on_card.usable.value:
                yield Finding(
                    Severity.ERROR,
                    "potlife.mixed-after-end",
                    remix.step.span,
                    f"`{remix.step.id}` mixes a batch again that is up to "
                    f"{_time(facts, remix.age.value)} old; the pot life is "
                    f"{usable_life(facts, life, life.on_card)}",
                    "discard what is left, or shorten the times before",
                    stated_life(life),
                    remix.step.id,
                )
