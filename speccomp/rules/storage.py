"""Storage of materials against their cards."""

import re
from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity
from speccomp.model.material import Material
from speccomp.model.process import Characteristic, Step
from speccomp.quantities import Kind, QuantityError, Toleranced, parse_toleranced
from speccomp.rules.facts import Facts

_TURNED = re.compile(
    r"\b(?:turn|tip|roll|rotate|invert|tumble|shake|stir)\w*\b.*"
    r"\b(?:over|upside|end|head|container|can|pail|drum|bag|contents?)\b|\b(?:invert|tumble|stir)",
    re.IGNORECASE,
)


def _stored(facts: Facts) -> Iterator[tuple[Step, Material]]:
    for step in facts.process.steps:
        if step.operation.name == "store" and step.material is not None:
            yield step, step.material


def _limits(
    facts: Facts, names: tuple[str, ...], kind: Kind
) -> Iterator[tuple[Step, Material, Characteristic, Toleranced]]:
    for step, card in _stored(facts):
        for item in step.characteristics:
            value = item.requirement
            if item.name.lower() in names and isinstance(value, Toleranced) and value.kind is kind:
                yield step, card, item, value


def _contains(card: Toleranced | None, value: Toleranced) -> bool:
    try:
        return card is None or card.contains(value)
    except QuantityError:
        return False


def _card(card: Material) -> tuple[Related, ...]:
    return (Related(card.span, f"the card of `{card.key}`"),)


def temperature_outside_card(facts: Facts) -> Iterator[Finding]:
    """
    A material may be stored warmer or colder than its card allows.

    Why: cold separates or freezes a liquid for good, heat shortens the shelf life.
    Source: the card of the material.
    Bad:
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer]
            limits: {storage temperature: 5 to 40 degC}
    Good:
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer]
            limits: {storage temperature: 12 to 28 degC}
    """
    names = ("storage temperature", "temperature", "room temperature")
    for step, card, item, value in _limits(facts, names, Kind.TEMPERATURE):
        if not _contains(card.storage_temperature, value) and card.storage_temperature:
            yield Finding(
                Severity.ERROR,
                "storage.temperature-outside-card",
                item.span,
                f"the {item.name} of `{card.key}` in `{step.id}` is {value.text.strip()}, and its "
                f"card allows {card.storage_temperature.text.strip()}",
                "narrow the limit to the card's",
                _card(card),
                item.id,
            )


def humidity_outside_card(facts: Facts) -> Iterator[Finding]:
    """
    A material may be stored damper than its card allows.

    Why: damp air sets a hydraulic powder in its pail and cakes every other one.
    Source: the card of the material.
    Bad:
        # plant.yaml
        equipment:
          hygrometer: {type: gauge, name: Hygrometer, range: 5 to 95 % RH, resolution: 0.1 % RH}
        # powder.yaml
        storage: {temperature: 10 to 30 degC, humidity: at most 60 % RH}
        # definition.yaml
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer, hygrometer]
            limits: {storage temperature: 12 to 28 degC, storage humidity: at most 80 % RH}
    Good:
        # plant.yaml
        equipment:
          hygrometer: {type: gauge, name: Hygrometer, range: 5 to 95 % RH, resolution: 0.1 % RH}
        # powder.yaml
        storage: {temperature: 10 to 30 degC, humidity: at most 60 % RH}
        # definition.yaml
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer, hygrometer]
            limits: {storage temperature: 12 to 28 degC, storage humidity: at most 60 % RH}
    """
    for step, card, item, value in _limits(facts, ("storage humidity", "humidity"), Kind.HUMIDITY):
        if not _contains(card.storage_humidity, value) and card.storage_humidity:
            yield Finding(
                Severity.ERROR,
                "storage.humidity-outside-card",
                item.span,
                f"the {item.name} of `{card.key}` in `{step.id}` is {value.text.strip()}, and its "
                f"card allows {card.storage_humidity.text.strip()}",
                "narrow the limit to the card's",
                _card(card),
                item.id,
            )


def longer_than_shelf_life(facts: Facts) -> Iterator[Finding]:
    """
    A material may be kept longer than its shelf life.

    Why: an old powder sets weak or not at all, and nothing shows it before the test.
    Source: the card of the material.
    Bad:
        # powder.yaml
        shelf_life: 12 months
        # definition.yaml
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer]
            keep: 2 years
            limits: {storage temperature: 12 to 28 degC}
    Good:
        # powder.yaml
        shelf_life: 12 months
        # definition.yaml
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer]
            keep: 12 months
            limits: {storage temperature: 12 to 28 degC}
    """
    for step, card in _stored(facts):
        life = _days(card.shelf_life)
        times = [(step.keep, step.span, step.id)]
        times += [
            (value.text.strip(), item.span, item.id)
            for _, own, item, value in _limits(facts, ("storage time", "time"), Kind.TIME)
            if own is card and item in step.characteristics
        ]
        for text, span, subject in times:
            kept = _days(text)
            if life is not None and kept is not None and kept > life * (1 + 1e-9):
                yield Finding(
                    Severity.ERROR,
                    "storage.longer-than-shelf-life",
                    span,
                    f"`{step.id}` keeps `{card.key}` for {text}, and its shelf life is "
                    f"{card.shelf_life}",
                    f"write {card.shelf_life} or less, counted from the date of manufacture",
                    _card(card),
                    subject,
                )


def _days(text: str) -> float | None:
    """Return the greatest time that a text allows, in days."""
    try:
        value = parse_toleranced(text, Kind.TIME) if text else None
    except QuantityError:
        return None
    if value is None or (value.upper is None and value.target is None):
        return None
    longest = value.upper if value.upper is not None else value.nominal
    return float(value.exact_in(longest, "d"))


def no_turn_over(facts: Facts) -> Iterator[Finding]:
    """
    A material that settles is stored without a word about turning its containers over.

    Why: what settles hard in months is not stirred up in minutes, and the first scoop is thin.
    Source: the card of the material; the words looked for are common practice, no source.
    Bad:
        # powder.yaml
        storage: {temperature: 10 to 30 degC, turn_over: 4 weeks}
        # definition.yaml
        steps:
          - id: store
            operation: store
            material: powder
            do: Put the pails on the shelf.
            with: [thermometer]
            limits: {storage temperature: 12 to 28 degC}
    Good:
        # powder.yaml
        storage: {temperature: 10 to 30 degC, turn_over: 4 weeks}
        # definition.yaml
        steps:
          - id: store
            operation: store
            material: powder
            do: [Put the pails on the shelf., Turn each pail over every 4 weeks.]
            with: [thermometer]
            limits: {storage temperature: 12 to 28 degC}
    """
    for step, card in _stored(facts):
        said = [*step.actions, step.note]
        said += [c.requirement for c in step.characteristics if isinstance(c.requirement, str)]
        said += [c.name for c in step.characteristics]
        if card.turn_over and not any(_TURNED.search(text) for text in said):
            yield Finding(
                Severity.WARNING,
                "storage.no-turn-over",
                step.span,
                f"`{step.id}` stores `{card.key}`, whose containers are turned over every "
                f"{card.turn_over}, and does not say so",
                f"add an action, for example `Turn each container over every {card.turn_over}.`",
                _card(card),
                step.id,
            )
