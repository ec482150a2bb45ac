"""Which rules decide how much a change matters, from where it is in the process."""

import re
from collections.abc import Iterable

from speccomp.compare.change import Size
from speccomp.compare.limits import SAME_LIMIT, allows_more, is_inside
from speccomp.compare.paths import Path, part_after, part_before
from speccomp.compare.sides import Sides
from speccomp.quantities import Kind, Toleranced

_ALWAYS = {"cure": "cure", "mix": "mix"}
_WINDOWS = frozenset({"time since mixing", "application time", "working time", "open time"})
_SINCE_CONTACT = re.compile(r"\bsince (?:the )?[\w-]+ (?:met|meets?) ", re.IGNORECASE)
_WEIGHING = frozenset({"weigh", "add"})
_AMOUNTS = frozenset({Kind.MASS, Kind.VOLUME})
_MATERIAL_STATE = frozenset(
    {
        *("condition", "reblend", "weigh", "add", "mix", "de-air", "prepare-surface", "apply"),
        *("dispense", "dip", "spray", "compact", "assemble", "rest", "cure", "cool", "demould"),
    }
)


def process_rules(sides: Sides, step: Path, limit: str = "") -> tuple[str, ...]:
    """
    Return the rules by which a step, or a limit of it, is a special process; none where it is not.

    Cures and mixes always are; the plant files of both revisions may list operations, steps and
    limits beside them.
    """
    operations = sides.texts((*step, "operation"))
    rules = [_ALWAYS[name] for name in operations if name in _ALWAYS]
    part = step[1]
    ids = [
        name
        for ident in (part_before(part), part_after(part))
        for name in (ident, ident.split(".")[0], f"{ident}/{limit}")
    ]
    listed = {name for side in sides.both for name in side.process.plant.special_processes}
    if listed.intersection((*operations, *ids)):
        rules.append("special-process")
    return tuple(rules)


def works_material(sides: Sides, step: Path) -> bool:
    """Tell whether a step changes the state of the material or the part."""
    return bool(_MATERIAL_STATE.intersection(sides.texts((*step, "operation"))))


def mark_rules(sides: Sides, item: Path) -> tuple[str, ...]:
    """Return the rules by which a limit is a special characteristic, before or after."""
    rules = []
    for side in sides.both:
        mark = side.form.text((*item, "control", "special"))
        entry = side.process.plant.special.get(mark)
        title = entry.title.lower() if entry else ""
        if mark:
            safety = "safety" in (mark, *title.split())
            rules.append("safety-characteristic" if safety else "special-characteristic")
    return tuple(rules)


def limit_rules(
    sides: Sides,
    item: Path,
    kind: str,
    size: Size | None,
    base: Iterable[str],
    validated: str = "validated",
) -> tuple[str, ...]:
    """
    Return the rules that decide how much the change of a limit matters.

    `item` is the path of what has the limit, `base` the rules by which it belongs to a special
    process, `validated` the name of its validated range.
    """
    if kind in SAME_LIMIT:
        return ("restated" if kind == "restated" else "resolution",)
    rules = list(base)
    if not allows_more(kind, size):
        return (*mark_rules(sides, item), "narrower")
    if rules and _stays_validated(sides, item, validated):
        return (*mark_rules(sides, item), "inside-validated")
    return (*mark_rules(sides, item), *(rules or ["limit"]))


def _stays_validated(sides: Sides, item: Path, validated: str) -> bool:
    """Tell whether the later limit lies inside a range that both revisions call validated."""
    name = validated.removeprefix("validated").removeprefix("_") or "requirement"
    limit = sides.after.form.get((*item, name))
    known = sides.nodes((*item, validated))
    ranges = [one for one in known if isinstance(one, Toleranced)]
    return (
        isinstance(limit, Toleranced)
        and isinstance(known[1], Toleranced)
        and all(is_inside(limit, one) for one in ranges)
    )


def marks_within(sides: Sides, step: Path) -> tuple[str, ...]:
    """Return the rules by which any limit of a step is a special characteristic."""
    lists = [(*step, name) for name in ("characteristics", "profile")]
    return tuple(
        rule
        for path in lists
        for part in dict.fromkeys(part for branch in sides.branches(path) for part in branch)
        for rule in mark_rules(sides, (*path, part))
    )


def weighing_rules(sides: Sides, item: Path) -> tuple[str, ...]:
    """Return the rule for what is weighed or metered of a material of the ratio."""
    measured = [
        value.kind for value in sides.nodes((*item, "requirement")) if isinstance(value, Toleranced)
    ]
    step = item[:2]
    of_ratio = any(
        side.form.text((*step, "material")) in map(part_after, side.form.branch(("ratio", "parts")))
        and side.form.text((*step, "operation")) in _WEIGHING
        for side in sides.both
    )
    return ("weighed",) if of_ratio and _AMOUNTS.intersection(measured) else ()


def window_rules(sides: Sides, item: Path) -> tuple[str, ...]:
    """Return the rule for limits on the time from mixing, if the limit is one."""
    name = sides.text((*item, "name"))
    return ("time-window",) if name in _WINDOWS or _SINCE_CONTACT.search(name) else ()


def text_rules(kind: str, base: Iterable[str]) -> tuple[str, ...]:
    """Return the rules for a changed text of something that follows the rules `base`."""
    if kind == "wording":
        return ("wording",)
    return tuple(base) or ("work",)
