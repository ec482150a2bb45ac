"""Cures against the card: drying data, ambient time, final cure."""

from collections.abc import Iterator

from speccomp.derive.cure import CureStep
from speccomp.derive.histories import History, QualifiedHold
from speccomp.derive.model_values import requirement
from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Step
from speccomp.quantities import Kind, Toleranced
from speccomp.rules.amounts import amount
from speccomp.rules.facts import Facts

_ELECTRIC = frozenset({Kind.VOLTAGE, Kind.RESISTANCE, Kind.CURRENT})


def _card(history: History) -> tuple[Related, ...]:
    if history.cure is None or history.card is None:
        return ()
    message = f"the cure that the card of `{history.card.key}` qualifies"
    return (Related(history.cure.span, message),)


def _unknown(facts: Facts) -> Iterator[tuple[History, CureStep]]:
    """Go through the histories of which nobody knows how long they have to dry."""
    for history in facts.derived.cures:
        if history.drying is None and history.why_unknown:
            hot = [step for step in history.steps if not step.at_ambient]
            yield history, (hot or list(history.steps))[0]


def no_drying_data(facts: Facts) -> Iterator[Finding]:
    """
    Nothing says how long the part has to dry; the cure stays below the boiling point.

    Why: no steam can form, but nobody knows whether the part is dry in the end.
    Source: common practice, no source.
    Bad:
        # powder.yaml
        cure: [{name: oven, section: 9 mm, ramp: at most 1 K/min}]
    Good:
        # powder.yaml
        cure: [{name: oven, section: 9 mm, dry: {at: 82 degC, for: 4 h}}]
    """
    for history, step in _unknown(facts):
        if history.too_hot is None:
            yield Finding(
                Severity.NOTE,
                "cure.no-drying-data",
                step.step.span,
                f"whether `{step.step.id}` dries the part is not checked: {history.why_unknown}",
                "add `dry` to the cure on the card, and `thickest_section` to the part",
                _card(history),
                step.step.id,
            )


def steam_unknown(facts: Facts) -> Iterator[Finding]:
    """
    A cure passes the boiling point, and nothing says when the part is dry.

    Why: if water is left at that moment, steam cracks the body; nobody can tell whether it is.
    Source: common practice, no source.
    Bad:
        # powder.yaml
        cure: [{name: oven, section: 9 mm, ramp: at most 1 K/min}]
        # definition.yaml
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
              - ramp: {to: 150 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
    """
    for history, _ in _unknown(facts):
        check = history.too_hot
        if check is None:
            continue
        step, segment = check.place
        like = requirement(segment.temperature)
        hottest = amount(facts, segment.highest.value, Kind.TEMPERATURE, like)
        yield Finding(
            Severity.WARNING,
            "cure.steam-unknown",
            segment.segment.span,
            f"{segment.name} of `{step.step.id}` can bring a part to {hottest}, and whether it is "
            f"dry by then is not known: {history.why_unknown}",
            "add `dry` to the cure on the card, and `thickest_section` to the part",
            _card(history),
            step.step.id,
        )


def _shortfall(history: History, hold: QualifiedHold | None) -> bool:
    return hold is not None and hold.credited.value.m_as("s") < hold.required.value.m_as("s") * (
        1 - 1e-9
    )


def ambient_too_short(facts: Facts) -> Iterator[Finding]:
    """
    The part is heated before it has stood at ambient as long as its card asks for.

    Why: the body gets its first strength at ambient; heat before that drives bubbles into it.
    Source: the card of the material.
    Bad:
        # powder.yaml
        cure: [{name: oven, section: 9 mm, dry: {at: 82 degC, for: 4 h}, ambient: at least 18 h}]
    Good:
        # powder.yaml
        cure: [{name: oven, section: 9 mm, dry: {at: 82 degC, for: 4 h}, ambient: at least 18 h}]
        # definition.yaml
        steps:
          - id: set
            operation: cure
            method: ambient
            do: Leave the parts on the rack.
            with: [thermometer, timer]
            profile:
              - hold: {at: 22 ± 4 degC, for: 18 to 24 h}
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    for history in facts.derived.cures:
        hold, hot = history.ambient, [step for step in history.steps if not step.at_ambient]
        if hold is None or not hot or not _shortfall(history, hold):
            continue
        like = history.cure.ambient if history.cure else None
        has = amount(facts, hold.credited.value, Kind.TIME, like)
        needs = amount(facts, hold.required.value, Kind.TIME, like)
        yield Finding(
            Severity.ERROR,
            "cure.ambient-too-short",
            hot[0].step.span,
            f"`{hot[0].step.id}` heats the part after {has} at ambient, and its card asks for "
            f"{needs}",
            f"hold it at ambient for at least {needs} before, in a cure step by `ambient`",
            _card(history),
            hot[0].step.id,
        )


def final_too_short(facts: Facts) -> Iterator[Finding]:
    """
    The cure does not reach the final hold that gives the material its properties.

    Why: below the last hold many binders stay soluble in water, and the strength on the data
        sheet is not there.
    Source: the card of the material.
    Bad:
        # powder.yaml
        cure:
          - name: oven
            section: 9 mm
            dry: {at: 82 degC, for: 4 h}
            final: {at: 150 degC, for: 2 h}
    Good:
        # powder.yaml
        cure:
          - name: oven
            section: 9 mm
            dry: {at: 82 degC, for: 4 h}
            final: {at: 150 degC, for: 2 h}
        # definition.yaml
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
              - ramp: {to: 150 ± 5 degC, at: at most 1 K/min}
              - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
    """
    for history in facts.derived.cures:
        hold, cure = history.final, history.cure
        if hold is None or cure is None or cure.final_at is None or cure.final_for is None:
            continue
        if not history.last or not _shortfall(history, hold):
            continue
        last = history.steps[-1].step
        has = amount(facts, hold.credited.value, Kind.TIME, cure.final_for)
        yield Finding(
            Severity.ERROR,
            "cure.final-too-short",
            last.span,
            f"the card asks for {cure.final_for.text.strip()} at {cure.final_at.text.strip()}, "
            f"and the cure holds that or more for {has} at the shortest",
            f"add a hold at {cure.final_at.text.strip()} for at least "
            f"{amount(facts, hold.required.value, Kind.TIME, cure.final_for)}",
            _card(history),
            last.id,
        )


def electrical_before_dry(facts: Facts) -> Iterator[Finding]:
    """
    An electrical test comes before the part is dry.

    Why: damp in the body conducts: a good part fails, or is damaged by the test voltage.
    Source: common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          tester: {type: gauge, name: Tester, range: 0.1 to 9999 Mohm, resolution: 0.1 Mohm}
        # definition.yaml
        steps:
          - id: test
            operation: test
            method: Insulation resistance, terminals to sheath
            do: Clip the leads to terminal and sheath.
            with: [tester]
            limits: {insulation resistance: {value: at least 100 Mohm, gauge: tester}}
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    Good:
        # plant.yaml
        equipment:
          tester: {type: gauge, name: Tester, range: 0.1 to 9999 Mohm, resolution: 0.1 Mohm}
        # definition.yaml
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
          - id: test
            operation: test
            method: Insulation resistance, terminals to sheath
            do: Clip the leads to terminal and sheath.
            with: [tester]
            limits: {insulation resistance: {value: at least 100 Mohm, gauge: tester}}
    """
    order = {step.id: number for number, step in enumerate(facts.process.steps)}
    for history in facts.derived.cures:
        if history.drying is None and not history.why_unknown:
            continue
        met_in = history.drying.met_in if history.drying else None
        dry = (met_in[0] if met_in else history.steps[-1]).step
        for step in facts.process.steps:
            if order[step.id] < order[dry.id] and _is_electrical(step):
                yield Finding(
                    Severity.ERROR,
                    "test.electrical-before-dry",
                    step.span,
                    f"`{step.id}` tests electrically before `{dry.id}`, in which the part gets dry",
                    f"move `{step.id}` behind `{dry.id}`",
                    (Related(dry.span, "the part is dry after this step"),),
                    step.id,
                )


def _is_electrical(step: Step) -> bool:
    return step.operation.name == "test" and any(
        isinstance(item.requirement, Toleranced) and item.requirement.kind in _ELECTRIC
        for item in step.characteristics
    )
