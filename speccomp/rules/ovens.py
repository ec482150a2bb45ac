"""Cures against the oven and the plant: rates, range, air pressure."""

from collections.abc import Iterator

from speccomp.derive.cure import CureSegment, CureStep
from speccomp.derive.histories import History
from speccomp.derive.model_values import greatest, least, requirement
from speccomp.findings import Finding, Related, Severity
from speccomp.model.plant import Equipment
from speccomp.model.process import Ramp
from speccomp.model.technique import range_holds
from speccomp.quantities import Kind, Quantity, Toleranced
from speccomp.rules.amounts import amount, per_cent
from speccomp.rules.facts import Facts


def _card(history: History) -> tuple[Related, ...]:
    if history.cure is None or history.card is None:
        return ()
    message = f"the cure that the card of `{history.card.key}` qualifies"
    return (Related(history.cure.span, message),)


def _oven(oven: Equipment) -> tuple[Related, ...]:
    return (Related(oven.span, f"`{oven.id}` is described here"),)


def _segments(facts: Facts) -> Iterator[tuple[History, CureStep, CureSegment]]:
    for history in facts.derived.cures:
        for step, segment in history.places:
            yield history, step, segment


def ramp_too_fast(facts: Facts) -> Iterator[Finding]:
    """
    A ramp may be faster than the card allows, or must be faster than the oven can.

    Why: a fast rise drives steam through a damp body and cracks a dry one; a rate that the oven
        cannot reach makes the cure longer than the record says.
    Source: the card of the material; the oven's description; common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: 1 to 2 K/min}
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - ramp: {to: 82 ± 5 degC, at: 0.5 to 1 K/min}
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    for history, step, segment in _segments(facts):
        if not isinstance(segment.segment, Ramp) or segment.segment.rate is None:
            continue
        rate = requirement(segment.segment.rate)
        cure, oven = history.cure, step.oven
        found: tuple[str, Toleranced, tuple[Related, ...]] | None = None
        if rate is None:
            continue
        if cure is not None and cure.ramp is not None and _too_fast(segment, cure.ramp):
            where = f"the card of `{history.card.key if history.card else ''}` allows"
            found = (where, cure.ramp, _card(history))
        elif oven is not None and oven.ramp is not None and _slowest(rate) > greatest(oven.ramp):
            found = (f"`{oven.id}` does", oven.ramp, _oven(oven))
        if found is not None:
            yield Finding(
                Severity.ERROR,
                "cure.ramp-too-fast",
                segment.segment.rate.span,
                f"the rate of {segment.name} in `{step.step.id}` is {rate.text.strip()}, and "
                f"{found[0]} {found[1].text.strip()}",
                f"write `{_as_upper(found[1])}` or less",
                found[2],
                step.step.id,
            )


def _too_fast(segment: CureSegment, limit: Toleranced) -> bool:
    """Tell whether a rise may be faster than the card allows."""
    rate = segment.rate
    return segment.heats and rate is not None and _above(rate.value, greatest(limit))


def _above(value: Quantity, limit: Quantity) -> bool:
    return bool(value.m_as("K/s") > limit.m_as("K/s") * (1 + 1e-9))


def _slowest(rate: Toleranced) -> Quantity:
    """Return the slowest rate that the author allows; zero where only a fastest is given."""
    return least(rate) if rate.lower is not None or rate.target is not None else least(rate) * 0


def _as_upper(limit: Toleranced) -> str:
    number = limit.upper if limit.upper is not None else limit.nominal
    return f"at most {number} {limit.unit}"


def oven_out_of_range(facts: Facts) -> Iterator[Finding]:
    """
    A cure asks for a temperature that the oven does not reach or cannot hold.

    Why: the controller runs at its stop, and the record shows something else than the part had.
    Source: common practice, no source.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
              - ramp: {to: 350 ± 10 degC, at: at most 1 K/min}
              - hold: {at: 350 ± 10 degC, for: 2 to 3 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
              - ramp: {to: 250 ± 10 degC, at: at most 1 K/min}
              - hold: {at: 250 ± 10 degC, for: 2 to 3 h}
    """
    said: set[tuple[str, str]] = set()
    for _, step, segment in _segments(facts):
        oven, limit = step.oven, segment.temperature
        at = requirement(limit)
        if oven is None or oven.range is None or limit is None or at is None:
            continue
        fault = (step.step.id, at.text.strip())
        if range_holds(oven, at) or fault in said:
            continue
        said.add(fault)
        yield Finding(
            Severity.ERROR,
            "cure.oven-out-of-range",
            limit.span,
            f"{segment.name} of `{step.step.id}` is at {at.text.strip()}, and `{oven.id}` works "
            f"at {oven.range.text.strip()}",
            _other_way(segment, at, oven.range),
            _oven(oven),
            step.step.id,
        )


def _other_way(segment: CureSegment, at: Toleranced, works: Toleranced) -> str:
    """Say what to do instead; drying at ambient before the oven is a cure of its own."""
    low, high = works.lower_quantity, at.upper_quantity
    first = segment.name == "hold 1"
    if first and low is not None and high is not None and high < low:
        return "make it a step of its own before this one, with `method: ambient` and no oven"
    return "name another oven, or correct the temperature"


def pressure_off_elevation(facts: Facts) -> Iterator[Finding]:
    """
    The measured air pressure of the plant does not fit its elevation.

    Why: a weather report gives the pressure reduced to sea level; at 1600 m that hides 17 kPa,
        and water boils 5 K earlier than the checks then think.
    Source: U.S. Standard Atmosphere 1976; the weather moves the pressure by some 3 % (common
        practice, no source), so 5 % is allowed.
    Bad:
        # plant.yaml
        elevation: 1600 m
        air_pressure: 101.3 kPa
    Good:
        # plant.yaml
        elevation: 1000 m
        air_pressure: 90.0 kPa
    """
    water, plant = facts.derived.water, facts.process.plant
    if water is None or water.standard_pressure is None or plant.elevation is None:
        return
    stated, standard = water.pressure.value, water.standard_pressure.value
    off = water.deviation.value if water.deviation else 0.0
    if abs(off) > 0.05:
        like = plant.air_pressure
        yield Finding(
            Severity.WARNING,
            "cure.pressure-off-elevation",
            plant.span,
            f"the air pressure is {amount(facts, stated, Kind.PRESSURE, like)}, and at "
            f"{plant.elevation.text.strip()} it is about "
            f"{amount(facts, standard, Kind.PRESSURE, like)}: {per_cent(abs(off), 2)} "
            f"{'more' if off > 0 else 'less'}",
            "write the pressure as measured on site, not the one reduced to sea level",
            subject="air_pressure",
        )
