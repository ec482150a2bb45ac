"""Drying: no steam inside a wet body, and a drying hold that is long enough."""

from collections.abc import Iterator

from speccomp.calc.steam import ADVISORY_FACTOR
from speccomp.derive.drying import Drying
from speccomp.derive.histories import History
from speccomp.derive.model_values import requirement
from speccomp.derive.steam import SteamCheck
from speccomp.findings import Finding, Related, Severity, Span
from speccomp.quantities import Kind, Quantity, Toleranced
from speccomp.rules.amounts import amount, oven_parts
from speccomp.rules.facts import Facts


def _temperature(facts: Facts, value: Quantity, like: Toleranced | None = None) -> str:
    return amount(facts, value, Kind.TEMPERATURE, like)


def _time(facts: Facts, value: Quantity, like: Toleranced | None = None) -> str:
    return amount(facts, value, Kind.TIME, like)


def _like(check: SteamCheck) -> Toleranced | None:
    """Return the temperature that the author wrote for a segment."""
    return requirement(check.place[1].temperature)


def _reaches(facts: Facts, check: SteamCheck, parts: str = "") -> str:
    """Say how hot a part can get in a segment, and how that comes about."""
    step, segment = check.place
    like = _like(check)
    hottest = _temperature(facts, segment.highest.value, like)
    written = f" ({like.text.strip()}" if like else " ("
    error = step.error.value
    oven = ""
    if step.oven is not None and error.magnitude:
        total = amount(facts, error, Kind.TEMPERATURE_DIFFERENCE)
        oven = f" and {total} of `{step.oven.id}`" + (f": {parts}" if parts else "")
    return f"{segment.name} of `{step.step.id}` can bring a part to {hottest}{written}{oven})"


def _boiling(facts: Facts, check: SteamCheck) -> str:
    water = facts.derived.water
    return _temperature(facts, water.boiling_point.value, _like(check)) if water else "?"


def _kept(facts: Facts) -> str:
    stated = facts.process.plant.margins.boiling
    return f"{stated.text.strip()} (plant file)" if stated else "5 K (assumed)"


def _places(facts: Facts, history: History, check: SteamCheck) -> tuple[Related, ...]:
    plant, oven = facts.process.plant, check.place[0].oven
    places = [Related(plant.span, "elevation or air pressure of the plant are here")]
    if oven is not None:
        places.insert(0, Related(oven.span, f"`{oven.id}` is described here"))
    return (*places, *_card(history))


def _card(history: History) -> tuple[Related, ...]:
    if history.cure is None or history.card is None:
        return ()
    return (
        Related(history.cure.span, f"the cure that the card of `{history.card.key}` qualifies"),
    )


def _hot(facts: Facts) -> Iterator[tuple[History, SteamCheck, bool]]:
    """Go through the histories that get too hot; the flag tells whether drying had begun."""
    for history in facts.derived.cures:
        if history.drying is not None and history.too_hot is not None:
            before = history.dried_before
            yield history, history.too_hot, bool(before and before.value.magnitude)


def steam(facts: Facts) -> Iterator[Finding]:
    """
    A hold or ramp can pass the local boiling point while the part is still wet.

    Why: water that boils inside the body blisters or cracks it. The setpoint alone proves nothing:
        its tolerance, the control, the non-uniformity and the sensor add up, and water boils
        earlier at a high plant.
    Source: common practice, no source; boiling point by IAPWS R7-97(2012) at the plant's pressure.
    Bad:
        # plant.yaml
        elevation: 1600 m
        # definition.yaml
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 95 ± 5 degC, for: 4 to 5 h}
    Good:
        # plant.yaml
        elevation: 1600 m
        # definition.yaml
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 +3/-5 degC, for: 4 to 5 h}
    """
    for history, check, dried in _hot(facts):
        if dried:
            continue
        over = amount(facts, check.spare.value * -1, Kind.TEMPERATURE_DIFFERENCE)
        like = _like(check)
        most = amount(facts, check.highest_setpoint.value, Kind.TEMPERATURE, like, "down")
        yield Finding(
            Severity.ERROR,
            "cure.steam",
            check.place[1].segment.span,
            f"{_reaches(facts, check, oven_parts(check.place[0].oven))} before it is dry; "
            f"water boils at {_boiling(facts, check)} here, and with the margin of "
            f"{_kept(facts)} below that it is {over} too hot",
            f"dry first at a setpoint of at most {most} with this tolerance",
            _places(facts, history, check),
            check.place[0].step.id,
        )


def too_short(facts: Facts) -> Iterator[Finding]:
    """
    The drying hold is too short for the section before the part passes the boiling point.

    Why: a thick section dries about with the square of its thickness; what is left boils in the
        next ramp.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975, for the square of the thickness;
        the card's qualified hold.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 1 to 2 h}
              - ramp: {to: 150 ± 5 degC, at: at most 1 K/min}
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
    for history, check, dried in _hot(facts):
        drying, before, short = history.drying, history.dried_before, history.short_before
        if not dried or drying is None or before is None or short is None:
            continue
        like = drying.need.cure.dry_for
        yield Finding(
            Severity.ERROR,
            "cure.drying-too-short",
            _drying_place(drying),
            f"the drying holds last {_time(facts, before.value, like)} at the shortest, and "
            f"{_needs(facts, drying)}; then {_reaches(facts, check)}, and water boils at "
            f"{_boiling(facts, check)}",
            f"hold {_time(facts, short.value)} longer at the drying temperature",
            (Related(check.place[1].segment.span, "the part boils here"), *_card(history)),
            check.place[0].step.id,
        )


def _drying_place(drying: Drying) -> Span:
    """Return the last hold that counts as drying before the part gets hot: the first one."""
    return drying.holds[0][1].segment.span


def _needs(facts: Facts, drying: Drying) -> str:
    need = drying.need
    section, on_card = need.part.thickest_section, need.cure.section
    required = _time(facts, need.required.value, need.cure.dry_for)
    thick = section.text.strip() if section else ""
    hold = need.cure.dry_for.text.strip() if need.cure.dry_for else ""
    card = f", against {hold} for {on_card.text.strip() if on_card else ''} on the card"
    faces = "" if need.part.open_faces == 1 else ", drying from both faces,"
    return f"{need.part.number} with {thick}{faces} needs {required}{card}"


def not_dried(facts: Facts) -> Iterator[Finding]:
    """
    The cure ends before the part has had the drying that its card asks for.

    Why: the part leaves the oven wet; it cracks at the first heating in service, and tests of
        strength and insulation tell nothing.
    Source: the card's qualified hold; Crank, The Mathematics of Diffusion, 2nd ed. 1975.
    Bad:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 2 to 3 h}
    Good:
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
    """
    for history in facts.derived.cures:
        drying = history.drying
        if drying is None or history.too_hot is not None or drying.met_in is not None:
            continue
        if not history.last:
            continue
        last, like = history.steps[-1].step, drying.need.cure.dry_for
        yield Finding(
            Severity.WARNING,
            "cure.not-dried",
            last.span,
            f"the cure dries for {_time(facts, drying.credited.value, like)} at the shortest, and "
            f"{_needs(facts, drying)}",
            f"add {_time(facts, drying.missing.value)} at {_dry_at(drying)}",
            _card(history),
            last.id,
        )


def _dry_at(drying: Drying) -> str:
    at = drying.need.cure.dry_at
    return at.text.strip() if at else "the drying temperature"


def section_beyond_qualified(facts: Facts) -> Iterator[Finding]:
    """
    A part is thicker than the card's cure is qualified for; its drying time is scaled.

    Why: the square of the thickness is a rule, not a test; up to four times the time it is used,
        with a look at the first parts.
    Source: Crank, The Mathematics of Diffusion, 2nd ed. 1975; the factor of 4 is common practice,
        no source.
    Bad:
        parts:
          - number: TH-8
            name: Tubular heater
            drawing: D-4410 rev 3
            fill_volume: 6.2 ± 0.4 cm3
            thickest_section: 12 mm
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 8 to 9 h}
    Good:
        parts:
          - number: TH-8
            name: Tubular heater
            drawing: D-4410 rev 3
            fill_volume: 6.2 ± 0.4 cm3
            thickest_section: 9 mm
    """
    for history, drying in _thicker(facts):
        if drying.need.factor.value <= ADVISORY_FACTOR * (1 + 1e-9):
            yield Finding(
                Severity.WARNING,
                "cure.section-beyond-qualified",
                drying.need.part.span,
                _thickness(facts, drying),
                "break one of the first parts and look at the core, or have the section qualified",
                _card(history),
                drying.need.part.number,
            )


def section_far_beyond_qualified(facts: Facts) -> Iterator[Finding]:
    """
    A part is so much thicker than the qualified section that its drying cannot be scaled.

    Why: beyond four times the drying time, what the water does is no longer what was tested:
        it may set a skin, or dry from one side only.
    Source: common practice, no source.
    Bad:
        parts:
          - number: TH-8
            name: Tubular heater
            drawing: D-4410 rev 3
            fill_volume: 6.2 ± 0.4 cm3
            thickest_section: 20 mm
        steps:
          - id: cure
            operation: cure
            method: oven
            do: Put the parts into the oven.
            with: [oven]
            profile:
              - hold: {at: 82 ± 5 degC, for: 20 to 24 h}
    Good:
        parts:
          - number: TH-8
            name: Tubular heater
            drawing: D-4410 rev 3
            fill_volume: 6.2 ± 0.4 cm3
            thickest_section: 16 mm
            open_faces: 2
    """
    for history, drying in _thicker(facts):
        if drying.need.factor.value > ADVISORY_FACTOR * (1 + 1e-9):
            yield Finding(
                Severity.ERROR,
                "cure.section-far-beyond-qualified",
                drying.need.part.span,
                _thickness(facts, drying),
                "have a cure qualified for this section, and add it to the card",
                _card(history),
                drying.need.part.number,
            )


def _thicker(facts: Facts) -> Iterator[tuple[History, Drying]]:
    for history in facts.derived.cures:
        if history.drying is not None and history.drying.need.factor.value > 1 + 1e-9:
            yield history, history.drying


def _thickness(facts: Facts, drying: Drying) -> str:
    need = drying.need
    path = amount(facts, need.path.value, Kind.LENGTH, need.part.thickest_section)
    card = amount(facts, need.card_path.value, Kind.LENGTH, need.cure.section)
    return (
        f"the water in {need.part.number} has {path} to go, and the cure `{need.cure.name}` is "
        f"qualified for {card}: drying takes {need.factor.value:.2g} times as long"
    )
