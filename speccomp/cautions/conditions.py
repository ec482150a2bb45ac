"""Whether a step is a situation that a caution pack describes, and which facts show it."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from speccomp.cautions.amounts import Seen, reaches
from speccomp.cautions.hazards import MaterialHazards
from speccomp.cautions.scene import Holding, Scene
from speccomp.cautions.words import find_phrase
from speccomp.findings import Span
from speccomp.model.packs import Held, Situation
from speccomp.quantities import Toleranced


@dataclass(frozen=True, slots=True)
class Fact:
    """What shows that a caution is called for, in words, and where it stands."""

    text: str
    span: Span


Found = tuple[Fact, ...] | None
"""The facts that show a condition; None where it does not hold."""


def facts_of(situation: Situation, scene: Scene, known: Sequence[MaterialHazards]) -> Found:
    """
    Return the facts that make a step the situation, or None; the operation is left to the caller.

    `known` are the materials of the definition.
    """
    found = [Fact(f"operation {scene.step.operation.name}", scene.step.span)]
    for check in _CHECKS:
        facts = check(situation, scene)
        if facts is None:
            return None
        found.extend(facts)
    materials = _materials(situation, scene, known)
    return None if materials is None else (*found, *materials)


def _materials(situation: Situation, scene: Scene, known: Sequence[MaterialHazards]) -> Found:
    if situation.material is None and situation.beside is None:
        return ()
    holdings = scene.held
    for holding in holdings:
        own = _holding(situation.material, holding, scene) if situation.material else ()
        if own is None:
            continue
        if situation.beside is None:
            return own
        for other in known:
            if other.material is not holding.hazards.material:
                beside = _holding(situation.beside, Holding(other, other.material.form), scene)
                if beside is not None:
                    return (*own, *beside)
    return None


def _holding(asked: Held, holding: Holding, scene: Scene) -> Found:
    """Return the facts that show a material in hand to be what is asked for."""
    hazards = holding.hazards
    ruled_out = (
        (asked.forms and holding.form not in asked.forms)
        or (asked.families and hazards.material.family not in asked.families)
        or any(_starting(asked.unless_hazard, hazards.codes))
        or any(name in hazards.contents for name in asked.without)
    )
    if ruled_out:
        return None
    facts = (_code(asked, hazards), _content(asked, hazards), _amount(asked, holding, scene))
    wanted = (asked.hazards, asked.contains, asked.amount)
    if any(want and fact is None for want, fact in zip(wanted, facts, strict=True)):
        return None
    return tuple(fact for fact in facts if fact is not None) or (_in_hand(holding),)


def _code(asked: Held, hazards: MaterialHazards) -> Fact | None:
    code = next(_starting(asked.hazards, hazards.codes), None)
    return Fact(hazards.said(code), hazards.span) if code is not None else None


def _amount(asked: Held, holding: Holding, scene: Scene) -> Fact | None:
    if asked.amount is None:
        return None
    amount = scene.amount(holding.hazards.material)
    if amount is None or not reaches(amount, asked.amount, "L"):
        return None
    return Fact(amount.said, amount.span)


def _in_hand(holding: Holding) -> Fact:
    material = holding.hazards.material
    return Fact(f"{material.name} in hand, {holding.form}", material.span)


def _starting(asked: Iterable[str], codes: Iterable[str]) -> Iterator[str]:
    beginnings = tuple(asked)
    return (code for code in codes if beginnings and code.startswith(beginnings))


def _content(asked: Held, hazards: MaterialHazards) -> Fact | None:
    for name in asked.contains:
        content = hazards.contents.get(name)
        if content is None:
            continue
        share = content.per_cent
        if share is None or asked.at_least is None:
            return Fact(content.said, content.span)
        if share >= float(asked.at_least.exact_in(asked.at_least.nominal, "%")):
            return Fact(f"{content.said} ({share:g} %)", content.span)
    return None


def _equipment(situation: Situation, scene: Scene) -> Found:
    found: list[Fact] = []
    if situation.equipment:
        item = next((e for e in scene.equipment if e.type in situation.equipment), None)
        if item is None:
            return None
        found.append(Fact(f"{item.type} {item.name}", item.span))
    if situation.features:
        pair = next(
            ((e, f) for e in scene.equipment for f in situation.features if f in e.features), None
        )
        if pair is None:
            return None
        found.append(Fact(f"{pair[0].name} is {pair[1]}", pair[0].span))
    if situation.used:
        name = next((name for name in situation.used if name in scene.used), None)
        if name is None:
            return None
        found.append(Fact(f"{name} is used", scene.used[name]))
    return tuple(found)


def _made_of(situation: Situation, scene: Scene) -> Found:
    if not situation.made_of:
        return ()
    for item in scene.equipment:
        # Stainless steel withstands what plain steel does not.
        plain = item.material.lower().replace("stainless steel", "")
        if any(find_phrase(word, plain) for word in situation.made_of):
            return (Fact(f"{item.name} is made of {item.material}", item.span),)
    return None


def _vented(situation: Situation, scene: Scene) -> Found:
    if situation.vented is None:
        return ()
    for item in scene.equipment:
        if item.type == "oven" and bool(item.vented) is situation.vented:
            said = "is vented" if item.vented else "is not said to be vented"
            return (Fact(f"{item.name} {said}", item.span),)
    return None


def _flags(situation: Situation, scene: Scene) -> Found:
    step = scene.step
    seen = {
        "covered": (situation.covered, bool(step.covered), "covered"),
        "wet": (situation.wet, scene.wet, "free water is still in the part"),
        "unloads": (situation.unloads, scene.unloads, "hot parts are taken out"),
    }
    found = []
    for asked, is_so, words in seen.values():
        if asked is None:
            continue
        if asked is not is_so:
            return None
        found.append(Fact(words if is_so else f"not said to be {words}", step.span))
    if situation.steam is not None:
        if situation.steam is not (scene.steam is not None):
            return None
        if scene.steam is not None:
            found.append(Fact(scene.steam.said, scene.steam.span))
    return tuple(found)


def _amounts(situation: Situation, scene: Scene) -> Found:
    pairs: tuple[tuple[Toleranced | None, Seen | None, str], ...] = (
        (situation.temperature, scene.temperature, "degC"),
        (situation.hold, scene.hold, "h"),
        (situation.since_mixing, scene.since_mixing, "min"),
        (situation.pressure, scene.pressure, "bar"),
        (situation.voltage, scene.voltage, "V"),
        (situation.lifted, scene.lifted, "kg"),
    )
    found = []
    for asked, seen, unit in pairs:
        if asked is None:
            continue
        if seen is None or not reaches(seen, asked, unit):
            return None
        found.append(Fact(seen.said, seen.span))
    if situation.batch is not None:
        batch = _batch(situation.batch, scene)
        if batch is None:
            return None
        found.append(batch)
    return tuple(found)


def _batch(asked: Toleranced, scene: Scene) -> Fact | None:
    """Compare the batch with the largest one on a card in hand, else with what the pack asks."""
    if scene.batch is None:
        return None
    cards = [h.hazards.material for h in scene.held if h.hazards.material.largest_batch is not None]
    for card in cards:
        largest = card.largest_batch
        limit = None if largest is None else largest.exact_in(largest.nominal, "kg")
        if largest is not None and limit is not None and scene.batch.number > limit:
            said = f"{scene.batch.said}; the card of {card.name} allows {largest.text}"
            return Fact(said, scene.batch.span)
    if cards or not reaches(scene.batch, asked, "kg"):
        return None
    return Fact(scene.batch.said, scene.batch.span)


def _words(situation: Situation, scene: Scene) -> Found:
    found: list[Fact] = []
    if situation.says:
        said = next((s for phrase in situation.says if (s := scene.says(phrase))), None)
        if said is None:
            return None
        found.append(Fact(f"the step says “{said[0]}”", said[1]))
    if situation.limits:
        limit = limit_called(situation.limits, scene)
        if limit is None:
            return None
        found.append(limit)
    if situation.gear:
        gear = _gear(situation, scene)
        if gear is None:
            return None
        found.append(gear)
    codes = situation.local_codes
    if codes and codes != scene.process.plant.local_codes:
        return None
    return tuple(found)


def limit_called(names: Iterable[str], scene: Scene) -> Fact | None:
    """Return a limit of the step by its name; a star at the end of a name stands for the rest."""
    for limit in scene.step.characteristics:
        if isinstance(limit.requirement, str):
            continue
        for name in names:
            stem = name.removesuffix("*").lower()
            own = limit.name.lower()
            if own == name.lower() or (name.endswith("*") and own.startswith(stem)):
                return Fact(f"limit {limit.name}", limit.span)
    return None


def _gear(situation: Situation, scene: Scene) -> Fact | None:
    process, step = scene.process, scene.step
    worn = [(item, process.place("protective_gear")) for item in process.protective_gear]
    worn += [(item, step.span) for item in step.gear]
    worn += [
        (item, caution.span)
        for caution in process.cautions
        if step.id in caution.before
        for item in caution.gear
    ]
    for item, place in worn:
        named = any(find_phrase(word, item) for word in situation.gear)
        if named and not any(find_phrase(word, item) for word in situation.gear_without):
            return Fact(f"protective gear: {item}", place)
    return None


_CHECKS: tuple[Callable[[Situation, Scene], Found], ...] = (
    _equipment,
    _made_of,
    _vented,
    _flags,
    _amounts,
    _words,
)
