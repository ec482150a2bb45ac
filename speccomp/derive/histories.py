"""Thermal histories: steam check, drying, ambient time and final cure of the same parts."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial

from speccomp.calc.cure import ChartPoint, CureProfile
from speccomp.calc.steam import DryingRequirement, drying_progress
from speccomp.derive import formulas
from speccomp.derive.age import Ages, derive_ages
from speccomp.derive.cure import CureStep
from speccomp.derive.drying import Drying, Place, derive_drying, derive_need, governing_cure
from speccomp.derive.mixture import Mixture
from speccomp.derive.model_values import least, limits_of
from speccomp.derive.numbers import Input, Ledger, Number, written
from speccomp.derive.steam import (
    SteamCheck,
    derive_allowed,
    derive_dried_before,
    derive_short_before,
    derive_steam,
    first_too_hot,
)
from speccomp.derive.water import Water
from speccomp.model.material import Family, Material, QualifiedCure
from speccomp.model.process import Process
from speccomp.quantities import Quantity, Toleranced, quantity


@dataclass(frozen=True, slots=True)
class QualifiedHold:
    """A hold that the card asks for beside drying, and the time of the holds that count for it."""

    required: Number[Quantity]
    credited: Number[Quantity]


@dataclass(frozen=True, slots=True)
class History:
    """
    Consecutive cure steps of the same parts.

    `last` tells that no material is applied after it, so that what it lacks is not made up later.
    `card` and `cure` are what it is set against, None where no card has a qualified cure.
    `drying` is None where the drying need is not known; `why_unknown` then says why, and is empty
    for a material that holds no water. `steam` covers the segments in which the part is wet, all
    of them where nothing shows that it dries; `too_hot` is the first that is above what is
    allowed, `dried_before` the drying time credited before it and `short_before` what is missing
    of the need then. `chart` has its times from the
    start of the first step.
    """

    label: str
    last: bool
    steps: tuple[CureStep, ...]
    card: Material | None
    cure: QualifiedCure | None
    drying: Drying | None
    why_unknown: str
    allowed: Number[Quantity] | None
    steam: tuple[SteamCheck, ...]
    too_hot: SteamCheck | None
    dried_before: Number[Quantity] | None
    short_before: Number[Quantity] | None
    ambient: QualifiedHold | None
    final: QualifiedHold | None
    ages: Ages | None
    chart: tuple[ChartPoint, ...]

    @property
    def places(self) -> tuple[Place, ...]:
        """All segments in order, each with its step."""
        return places_of(self.steps)


def places_of(steps: Sequence[CureStep]) -> tuple[Place, ...]:
    """Return all segments of steps in order, each with its step."""
    return tuple((step, segment) for step in steps for segment in step.segments)


def derive_histories(
    process: Process,
    mixture: Mixture | None,
    cures: Sequence[tuple[CureStep, ...]],
    water: Water | None,
    ledger: Ledger,
) -> tuple[History, ...]:
    """Return the thermal histories with all that is checked about them."""
    allowed = None
    if water is not None and cures:
        work = partial(derive_allowed, process.plant, water, ledger)
        allowed = ledger.attempt("curing.allowed", process.plant.span, work)
    histories = []
    for number, steps in enumerate(cures, start=1):
        label = "curing" if number == 1 else f"curing-{number}"
        choose = partial(governing_cure, process, mixture, steps)
        against = ledger.attempt(label, steps[0].step.span, choose)
        span = against[1].span if against else steps[0].step.span
        check = partial(_history, process, against, steps, label, ledger)
        history = ledger.attempt(label, span, check)
        if history is not None:
            history = replace(history, last=number == len(cures))
            heat = partial(_with_steam, history, allowed, ledger)
            histories.append(ledger.attempt(f"{label}.steam", span, heat) or history)
    return tuple(histories)


def _history(
    process: Process,
    against: tuple[Material, QualifiedCure] | None,
    steps: tuple[CureStep, ...],
    label: str,
    ledger: Ledger,
) -> History:
    card, cure = against or (None, None)
    drying, why = None, "" if _holds_no_water(process) else "no card has a qualified cure"
    ambient = final = ages = None
    if card is not None and cure is not None:
        need = derive_need(process, card, cure, label, ledger)
        drying = None if need is None else derive_drying(need, steps, label, ledger)
        why = "" if drying else _why_unknown(process, card, cure)
        ambient = _ambient(cure, steps, label, ledger)
        final = _final(cure, steps, label, ledger)
        ages = derive_ages(card, cure, steps, label, ledger)
    return History(
        label=label,
        last=True,
        steps=steps,
        card=card,
        cure=cure,
        drying=drying,
        why_unknown=why,
        allowed=None,
        steam=(),
        too_hot=None,
        dried_before=None,
        short_before=None,
        ambient=ambient,
        final=final,
        ages=ages,
        chart=tuple(_chart(steps)),
    )


def _holds_no_water(process: Process) -> bool:
    families = {card.family for card in process.materials.values()}
    return families <= {Family.ORGANIC, Family.AUXILIARY}


def _why_unknown(process: Process, card: Material, cure: QualifiedCure) -> str:
    """Say why no drying need is known; nothing for a material that holds no water."""
    if card.family is Family.ORGANIC:
        return ""
    if cure.dry_at is None or cure.dry_for is None or cure.section is None:
        return f"the cure `{cure.name}` on the card of `{card.key}` has no drying hold"
    if all(part.thickest_section is None for part in process.parts):
        return "no part gives its thickest section"
    return "the drying hold on the card cannot be read"


def _with_steam(
    history: History, allowed: Number[Quantity] | None, ledger: Ledger
) -> History | None:
    """Return the history with its steam check; nothing where there is none to make."""
    if allowed is None or (history.drying is None and not history.why_unknown):
        return None
    steam = tuple(derive_steam(history.steps, history.drying, allowed, ledger))
    too_hot = first_too_hot(steam)
    before = derive_dried_before(history.drying, too_hot, history.places, history.label, ledger)
    short = derive_short_before(history.drying, before, history.label, ledger)
    return replace(
        history,
        allowed=allowed,
        steam=steam,
        too_hot=too_hot,
        dried_before=before,
        short_before=short,
    )


def _ambient(
    cure: QualifiedCure, steps: Sequence[CureStep], label: str, ledger: Ledger
) -> QualifiedHold | None:
    """Return the time at ambient before the first heat, where the card asks for one."""
    if cure.ambient is None:
        return None
    seconds, inputs = 0.0, list[Input]()
    for step in steps:
        if not step.at_ambient:
            break
        seconds += sum(segment.leg.shortest for segment in step.segments if segment.leg.holds)
        inputs += step.inputs
    required = _required(f"{label}.ambient", cure.ambient, cure, ledger)
    credited = ledger.add(
        f"{label}.ambient.credited",
        "time at ambient before heating, at its shortest",
        quantity(seconds, "s"),
        formulas.SUM_OF_HOLDS,
        tuple(inputs),
    )
    return QualifiedHold(required, credited)


def _final(
    cure: QualifiedCure, steps: Sequence[CureStep], label: str, ledger: Ledger
) -> QualifiedHold | None:
    """Return the time of the holds that are as hot as the card's final cure, where it has one."""
    if cure.final_at is None or cure.final_for is None:
        return None
    profile = CureProfile(tuple(segment.leg for _, segment in places_of(steps)))
    anything = quantity(1, "mm")
    # The final cure does not grow with the thickness, so both sections are the same.
    requirement = DryingRequirement(limits_of(cure.final_at), least(cure.final_for), anything)
    credited = drying_progress(profile, requirement, anything).credited
    inputs = (
        *(item for step in steps for item in step.inputs),
        written("final temperature on the card", cure.final_at, cure.span),
    )
    hold = ledger.add(
        f"{label}.final.credited",
        "time of the holds as hot as the card's final cure, at their shortest",
        credited,
        formulas.CREDITED_TIME,
        inputs,
    )
    return QualifiedHold(_required(f"{label}.final", cure.final_for, cure, ledger), hold)


def _required(
    name: str, value: Toleranced, cure: QualifiedCure, ledger: Ledger
) -> Number[Quantity]:
    return ledger.add(
        f"{name}.required",
        "least time on the card",
        least(value),
        formulas.TIME_AS_WRITTEN,
        (written("time on the card", value, cure.span),),
    )


def _chart(steps: Sequence[CureStep]) -> list[ChartPoint]:
    points, elapsed = [], quantity(0, "s")
    for step in steps:
        points += [replace(point, elapsed=point.elapsed + elapsed) for point in step.chart]
        elapsed = elapsed + step.nominal.value
    return points
