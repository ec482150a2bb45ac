"""Changes of the route through the steps: moved, split and merged steps, moved limits."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from speccomp.compare.alignment import moved_items
from speccomp.compare.canonical import Branch, Node
from speccomp.compare.change import Change
from speccomp.compare.decide import mark_rules, process_rules, works_material
from speccomp.compare.differences import Difference
from speccomp.compare.outline import outline
from speccomp.compare.paths import ORDER, Pair, Part, Path
from speccomp.compare.sides import Side, Sides
from speccomp.compare.words import words_of

_STEPS: Path = ("steps",)
_IN_PARTS = ("actions", "equipment", "gear", "records", "images", "characteristics", "profile")


def moved_steps(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """
    Yield the steps that have moved: the fewest that explain the new order.

    The order matters to the material where the moved step or one that it passes works it.
    """
    found = next((one for one in differences if one.path == (*_STEPS, ORDER)), None)
    if found is None:
        return
    before, after = ([*branch] for branch in sides.branches(_STEPS))
    kept = [part for part in after if part in before]
    old = [part for part in before if part in kept]
    pairs = [(old.index(part), place) for place, part in enumerate(kept)]
    names = [min(part) if isinstance(part, Pair) else part for part in kept]
    for index in moved_items(pairs, names):
        place = pairs[index]
        passed = [
            other
            for other, (was, now) in enumerate(pairs)
            if (was < place[0]) is not (now < place[1])
        ]
        works = any(works_material(sides, (*_STEPS, kept[n])) for n in (index, *passed))
        change = sides.change(
            "step-moved",
            replace(found, path=(*_STEPS, kept[index])),
            ["order-of-work" if works else "work"],
            values=(_after(sides, 0, before, kept[index]), _after(sides, 1, after, kept[index])),
        )
        yield replace(change, covers=(found.path,))


def _after(sides: Sides, side: int, parts: Sequence[Part], part: Part) -> str:
    """Return behind which step a step stands in one revision."""
    place = parts.index(part)
    if not place:
        return "first"
    title = sides.both[side].form.text((*_STEPS, parts[place - 1], "title"))
    return f"after {title}"


def split_steps(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield steps that became several with the same actions, limits and equipment."""
    yield from _divided(sides, differences, 0, "step-split")


def merged_steps(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield steps that became one with the same actions, limits and equipment."""
    yield from _divided(sides, differences, 1, "steps-merged")


def _divided(
    sides: Sides, differences: Sequence[Difference], whole_side: int, kind: str
) -> Iterator[Change]:
    """Look for a step of one revision whose content is divided among steps of the other."""
    whole_steps, part_steps = (
        sides.branches(_STEPS) if not whole_side else sides.branches(_STEPS)[::-1]
    )
    own = [p for p in part_steps if p not in whole_steps and _unexplained(differences, p)]
    for whole in whole_steps if own else ():
        if whole not in part_steps and not _unexplained(differences, whole):
            continue
        parts = _parts_of(whole, whole_steps, part_steps, own)
        if len(parts) < 2:
            continue
        covered = list(_covered(differences, whole, parts))
        own = [part for part in own if part not in parts]
        chosen = (parts, [whole]) if whole_side else ([whole], parts)
        values = [
            tuple(line for part in some for line in _titled(side, part))
            for side, some in zip(sides.both, chosen, strict=True)
        ]
        base = process_rules(sides, (*_STEPS, whole))
        rules = base or ("work",)
        change = sides.change(kind, covered, rules, values=(values[0], values[1]))
        yield replace(change, title=sides.text((*_STEPS, whole, "title")))


def _unexplained(differences: Sequence[Difference], step: Part) -> bool:
    """Tell whether it is still open what became of a step that only one revision has."""
    return any(one.path == (*_STEPS, step) for one in differences)


def _parts_of(
    whole: Part, whole_steps: Branch, part_steps: Branch, own: Sequence[Part]
) -> list[Part]:
    """Return the steps, one after another, that together say what one step says; else nothing."""
    content = _content([whole_steps[whole]])
    order = list(part_steps)
    for start, first in enumerate(order):
        if first != whole and first not in own:
            continue
        chosen: list[Part] = []
        for part in order[start:]:
            if part != whole and part not in own:
                break
            chosen.append(part)
            if len(chosen) > 1 and _content([part_steps[p] for p in chosen]) == content:
                return chosen
    return []


def _content(steps: Sequence[Node]) -> list[list[str]]:
    """Return what several steps ask for together: actions in order, the rest as bags of lines."""
    content: list[list[str]] = []
    for field in ("operation", *_IN_PARTS):
        lines = [
            line
            for step in steps
            for line in outline(step.get(field) if isinstance(step, dict) else None, typed=True)
        ]
        if field == "actions":
            content.append(lines)
        elif field in ("operation", "equipment", "gear", "records"):
            content.append(sorted(set(lines)))
        else:
            content.append(sorted(lines))
    return content


def _covered(
    differences: Sequence[Difference], whole: Part, parts: Sequence[Part]
) -> Iterator[Difference]:
    """Yield the differences that the division explains: whole steps, and what one of them lost."""
    for one in differences:
        if one.path[:1] != _STEPS or len(one.path) < 2:
            continue
        present = len(one.path) == 2 and one.path[1] in (whole, *parts)
        lost = len(one.path) > 2 and one.path[1] == whole and one.path[2] in _IN_PARTS
        if present or lost:
            yield one


def _titled(side: Side, part: Part) -> tuple[str, ...]:
    step = side.form.branch((*_STEPS, part))
    return (f"{step.get('title')}:", *outline(step, words=words_of(side.process)))


def moved_limits(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield limits that are the same but stand in another step."""
    limits = [one for one in differences if len(one.path) == 4 and one.path[2] == "characteristics"]
    gone = [one for one in limits if one.after is None and one.path[3] != ORDER]
    new = [one for one in limits if one.before is None and one.path[3] != ORDER]
    for one in gone:
        other = next((other for other in new if other.after == one.before), None)
        if other is None or other.path[1] == one.path[1]:
            continue
        new.remove(other)
        base = (*process_rules(sides, one.path[:2]), *process_rules(sides, other.path[:2]))
        marks = (*mark_rules(sides, one.path), *mark_rules(sides, other.path))
        values = tuple(sides.text((*path[:2], "title")) for path in (one.path, other.path))
        change = sides.change(
            "limit-moved", [other, one], (*marks, *base, "limit"), values=(values[0], values[1])
        )
        yield replace(change, before_span=sides.before.places.span(one.path))
