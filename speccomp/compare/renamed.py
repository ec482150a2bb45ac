"""Find which steps, limits and segments are called otherwise in the later revision."""

from collections.abc import Iterable

from speccomp.compare.change import Change
from speccomp.compare.paths import Path, part_after, part_before, path_after, path_before
from speccomp.compare.renaming import GONE, Renamed
from speccomp.compare.sides import Sides

_STEPS: Path = ("steps",)


def find_renamed(sides: Sides, changes: Iterable[Change]) -> Renamed:
    """Return what is called otherwise, from the matching of the two revisions and the changes."""
    steps: dict[str, str] = {}
    parts: dict[str, dict[str, str]] = {}
    after = sides.after.form.branch(("steps",))
    for step in sides.before.form.branch(("steps",)):
        if step in after:
            old, new = part_before(step), part_after(step)
            if old != new:
                steps[old] = new
            inner = _parts(sides, ("steps", step))
            if inner:
                parts[old] = inner
    moved = {}
    for change in changes:
        if change.kind == "limit-moved":
            moved[_row(path_before(change.covers[1]))] = _row(path_after(change.covers[0]))
        elif change.kind in ("step-split", "steps-merged"):
            moved.update(_divided(sides, change))
    return Renamed(steps, parts, moved)


def _divided(sides: Sides, change: Change) -> dict[str, str]:
    """Return the limits of a divided or merged step that have gone on to another one."""
    involved = list(dict.fromkeys(path[1] for path in change.covers))
    moved = {}
    for step in involved:
        for limit in sides.before.form.branch(("steps", step, "characteristics")):
            homes = [
                other
                for other in involved
                if limit in sides.after.form.branch(("steps", other, "characteristics"))
            ]
            if len(homes) == 1 and homes[0] != step:
                old, new = ((*_STEPS, one, "characteristics", limit) for one in (step, homes[0]))
                moved[_row(path_before(old))] = _row(path_after(new))
    return moved


def _row(path: tuple[str, ...]) -> str:
    return f"{path[1]}/{path[3]}"


def _parts(sides: Sides, step: Path) -> dict[str, str]:
    """Return the limits and segments of a step that are called otherwise or are gone."""
    found: dict[str, str] = {}
    for section in ("characteristics", "profile"):
        before, after = sides.branches((*step, section))
        for part in before:
            old = part_before(part)
            new = part_after(part) if part in after else f"{old}{GONE}"
            if old != new:
                found[old] = new
                if section == "profile":
                    numbers = [name.rstrip(GONE).rpartition("-")[2] for name in (old, new)]
                    found[numbers[0]] = numbers[1] + (GONE if part not in after else "")
    return found
