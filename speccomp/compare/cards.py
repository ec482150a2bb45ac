"""Changes of the materials and their cards."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from speccomp.compare.canonical import Node
from speccomp.compare.change import Change
from speccomp.compare.differences import Difference
from speccomp.compare.outline import Lines, both_sides
from speccomp.compare.paths import ORDER, Path
from speccomp.compare.ratio import card_ratio_note
from speccomp.compare.sides import Sides
from speccomp.compare.values import period_changes, presence, text_changes, value_changes
from speccomp.model.material import Family
from speccomp.quantities import Toleranced

_MATERIAL = ("material",)
_TECHNICAL = frozenset(
    {
        *("family", "form", "density", "partners", "pot_life", "cures", "diffusivity"),
        *("segregates", "largest_batch", "bulk_density"),
    }
)
_LIFE = frozenset({"shelf_life", "opened_life", "turn_over"})
_STORAGE = frozenset({"storage_temperature", "storage_humidity"})
_HAZARDS = frozenset({"hazards", "composition", "ph"})
_DOCUMENT = frozenset({"source_title", "source_date", "name", "key"})


def card_changes(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield the changes of one material; all differences of its card are given."""
    path = differences[0].path[:2]
    first = differences[0]
    if first.path == path:
        yield sides.change(presence("material", first), first, _presence(sides, path))
        return
    if any(found.path == (*path, "id") for found in differences):
        yield _replaced(sides, differences, path)
        return
    for found in differences:
        yield from _field(sides, found)


def _presence(sides: Sides, path: Path) -> tuple[str, ...]:
    """Return the rules for a material that only one revision has; cleaners are no constituents."""
    auxiliary = sides.text((*path, "family")) == Family.AUXILIARY
    hazards = ("hazard-data",) if any(sides.branches((*path, "hazards"))) else ()
    return (*hazards, "work" if auxiliary else "material")


def _replaced(sides: Sides, differences: Sequence[Difference], path: Path) -> Change:
    """Return the change to another material, with all in which the cards differ."""
    ordered = sorted(differences, key=lambda found: found.path != (*path, "id"))
    pairs = [_headed(found, path) for found in ordered]
    before, after = (tuple(line for pair in pairs for line in pair[side]) for side in (0, 1))
    hazards = ("hazard-data",) if any(d.path[2] in _HAZARDS for d in differences) else ()
    return sides.change(
        "material-replaced", ordered, (*hazards, *_MATERIAL), values=(before, after)
    )


def _headed(found: Difference, path: Path) -> tuple[Lines, Lines]:
    """Return both sides of a difference as lines headed by its field."""
    before: Node = found.before
    after: Node = found.after
    for part in reversed(found.path[len(path) :]):
        before = None if before is None else {part: before}
        after = None if after is None else {part: after}
    return both_sides(before, after)


def _field(sides: Sides, found: Difference) -> Iterator[Change]:
    name = str(found.path[2])
    if found.path[-1] == ORDER:
        yield sides.change("listed-otherwise", found, ("document-data",))
    elif name in _HAZARDS:
        yield _hazard(sides, found)
    elif name in _LIFE:
        yield from period_changes(sides, found, ("control-plan",))
    elif name in _STORAGE:
        yield from value_changes(sides, found, ())
    elif name == "storage_note":
        yield from text_changes(sides, found, ())
    elif name in _TECHNICAL:
        yield from _technical(sides, found)
    else:
        yield from _other(sides, found, name)


def _hazard(sides: Sides, found: Difference) -> Change:
    """Return the change of hazard data; a newer sheet that says the same is none of them."""
    rules = ["document-data" if found.path[2:] == ("hazards", "sheet_date") else "hazard-data"]
    if found.path[2] == "composition":
        rules.append("material")
    return sides.change("hazard-data", found, rules)


def _technical(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of what the process was qualified with."""
    ratio = found.path[2] == "partners" and found.path[4:] == ("parts",)
    note = card_ratio_note(sides) if ratio else ""
    if isinstance(found.before, Toleranced) and isinstance(found.after, Toleranced):
        for change in value_changes(sides, found, ("ratio",) if ratio else _MATERIAL):
            yield replace(change, note=note if change.kind != "restated" else "")
        return
    kind = presence("value", found) or "material-data"
    yield sides.change(kind, found, _MATERIAL, note=note)


def _other(sides: Sides, found: Difference, name: str) -> Iterator[Change]:
    """Yield the change of packs, declarations and the data of the card itself."""
    if (
        name == "packs"
        and isinstance(found.after, Toleranced)
        and isinstance(found.before, Toleranced)
    ):
        yield from value_changes(sides, found, ())
    elif name == "packs":
        yield sides.change(presence("value", found) or "material-data", found, ("work",))
    elif name == "declarations":
        dated = found.path[-1] in ("date", "evidence")
        yield sides.change(
            presence("value", found) or "material-data",
            found,
            ("document-data",) if dated else ("work",),
        )
    elif name in _DOCUMENT:
        yield sides.change("material-data", found, ("document-data",))
