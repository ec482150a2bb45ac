"""Changes of the mixing ratio, and whether they follow a material card."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal

from speccomp.compare.change import Change
from speccomp.compare.controls import control_changes
from speccomp.compare.decide import limit_rules, mark_rules
from speccomp.compare.differences import Difference
from speccomp.compare.limits import SAME_LIMIT, limit_change
from speccomp.compare.paths import part_after
from speccomp.compare.sides import Side, Sides
from speccomp.compare.values import presence
from speccomp.findings import Related
from speccomp.model.material import Partner
from speccomp.quantities import Toleranced, same_meaning

_RULES = ("ratio",)


def ratio_changes(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield the changes of the ratio; all differences of it are given."""
    for found in differences:
        match found.path[1:]:
            case ():
                yield _present(sides, found)
            case ("by",):
                yield sides.change("ratio-basis", found, _RULES)
            case ("parts", _):
                yield _present(sides, found)
            case ("parts", _, "parts"):
                yield _part(sides, found)
            case ("parts", "#order"):
                yield sides.change("listed-otherwise", found, _RULES)
            case ("parts", _, "control", *_):
                yield from control_changes(sides, found)


def _present(sides: Sides, found: Difference) -> Change:
    return sides.change(presence("ratio", found), found, _RULES)


def _part(sides: Sides, found: Difference) -> Change:
    """Return the change of the parts of one material, taken to 100 parts of the reference."""
    before, after = found.before, found.after
    if not isinstance(before, Toleranced) or not isinstance(after, Toleranced):
        return _present(sides, found)
    material = part_after(found.path[2])
    if sides.texts(("ratio", "by"))[0] != sides.texts(("ratio", "by"))[1]:
        # Parts by volume and parts by weight are no numbers of one scale.
        return sides.change("limit-replaced", found, (*mark_rules(sides, found.path[:-1]), *_RULES))
    if material == _reference(sides.after):
        kind, size = limit_change(before, after)
        if _same_ratio(sides):
            kind, size = "restated", None
        else:
            kind = kind.replace("restated", "value-changed")
    else:
        kind, size = limit_change(_to_100(sides.before, before), _to_100(sides.after, after))
        if kind == "digits-changed" and _base_number(sides.before) != _base_number(sides.after):
            kind = "restated"
    rules = limit_rules(sides, found.path[:-1], kind, size, _RULES)
    change = sides.change(kind, found, rules, size=size)
    return change if kind in SAME_LIMIT else _with_card(sides, change, material)


def _reference(side: Side) -> str:
    ratio = side.process.ratio
    return ratio.parts[0].material if ratio else ""


def _same_ratio(sides: Sides) -> bool:
    """Tell whether the two ratios are the same when taken to 100 parts of the reference."""
    ours, theirs = (
        {part.material: _to_100(side, part.parts) for part in side.process.ratio.parts}
        if side.process.ratio
        else {}
        for side in sides.both
    )
    return ours.keys() == theirs.keys() and all(
        same_meaning(value, theirs[material]) for material, value in ours.items()
    )


def _to_100(side: Side, value: Toleranced) -> Toleranced:
    """Return parts to 100 parts of the reference material; as they are where it has no number."""
    reference = _base_number(side)
    if not reference:
        return value
    factor = Decimal(100) / reference
    of_tolerance = factor if value.tolerance_unit == value.unit else Decimal(1)
    return replace(
        value,
        target=_times(value.target, factor),
        lower=_times(value.lower, factor),
        upper=_times(value.upper, factor),
        plus=_times(value.plus, of_tolerance),
        minus=_times(value.minus, of_tolerance),
    )


def _base_number(side: Side) -> Decimal | None:
    """Return the parts of the reference material."""
    ratio = side.process.ratio
    return ratio.parts[0].parts.target if ratio else None


def _times(number: Decimal | None, factor: Decimal) -> Decimal | None:
    return None if number is None else number * factor


def _with_card(sides: Sides, change: Change, material: str) -> Change:
    """Say what the card of the mixture says in both revisions, where it moved too."""
    before, after = (_on_card(side, material) for side in sides.both)
    if before is None or after is None or before.parts is None or after.parts is None:
        return change
    if same_meaning(before.parts, after.parts):
        return replace(change, note=f"the card still says {after.parts.text}")
    note = f"the card moved from {before.parts.text} to {after.parts.text}"
    related = (Related(after.span, f"the card says {after.parts.text}"),)
    return replace(change, note=note, related=related)


def _on_card(side: Side, material: str) -> Partner | None:
    """Return what the card of the reference material says of mixing with another material."""
    ratio = side.process.ratio
    reference = side.process.materials.get(ratio.parts[0].material) if ratio else None
    other = side.process.materials.get(material)
    if reference is None or other is None:
        return None
    return next((one for one in reference.partners if one.material == other.id), None)


def card_ratio_note(sides: Sides) -> str:
    """Say what the definition makes of a ratio that moved on a card."""
    ratios = [side.process.ratio for side in sides.both]
    if ratios[0] is None or ratios[1] is None:
        return "the definition states no ratio of its own, so the card’s counts"
    moved = [part.parts for part in ratios[0].parts] != [part.parts for part in ratios[1].parts]
    return "the definition’s own ratio moved too" if moved else "the definition’s own ratio stands"
