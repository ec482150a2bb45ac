"""Changes of cautions and waivers: added, removed, made weaker, moved after their step."""

from collections.abc import Iterator, Sequence

from speccomp.compare.change import Change
from speccomp.compare.differences import Difference
from speccomp.compare.paths import ORDER, Path, part_after
from speccomp.compare.sides import Side, Sides
from speccomp.compare.steps import gear_changes
from speccomp.compare.values import lines_of, presence
from speccomp.compare.wording import shortened
from speccomp.model.shared import Signal

SAFETY = frozenset({"caution", "container", "hazard", "cure.steam"})
"""Families of rules, and rules, that are about people's safety, as the waivers know them."""


def caution_changes(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield the changes of one caution; all differences of it are given."""
    path = differences[0].path[:2]
    rules = _caution_rules(sides, path)
    for found in differences:
        match found.path[2:]:
            case ():
                yield _present(sides, found)
            case ("signal",):
                yield sides.change(_word(found), found, rules)
            case ("hazard" | "consequence" | "avoid",):
                yield sides.change(_text(found), found, rules)
            case ("gear",):
                yield from gear_changes(sides, found)
            case ("before",):
                yield from _places(sides, found, rules)
            case ("topic",):
                yield sides.change("caution-reworded", found, rules)


def _present(sides: Sides, found: Difference) -> Change:
    if found.path[-1] == ORDER:
        return sides.change("listed-otherwise", found, ("document-data",))
    rules = _caution_rules(sides, found.path)
    return sides.change(presence("caution", found), found, rules)


def _caution_rules(sides: Sides, path: Path) -> tuple[str, ...]:
    """Return the rule for a caution: about people, unless both revisions call it a notice."""
    words = {word for word in sides.texts((*path, "signal")) if word}
    return ("product-caution",) if words == {Signal.NOTICE} else ("caution",)


def _word(found: Difference) -> str:
    """Return the kind for another signal word."""
    before, after = Signal(str(found.before)), Signal(str(found.after))
    return "caution-strengthened" if after.rank < before.rank else "caution-weakened"


def _text(found: Difference) -> str:
    """Return the kind for another text; one that only lost words is weaker."""
    before, after = str(found.before or ""), str(found.after or "")
    if shortened(before, after):
        return "caution-weakened"
    return "caution-strengthened" if shortened(after, before) else "caution-reworded"


def _places(sides: Sides, found: Difference, rules: tuple[str, ...]) -> Iterator[Change]:
    """Yield steps that a caution no longer stands before, those it now does, and moves."""
    before, after = lines_of(found.before), lines_of(found.after)
    gone = [step for step in before if step not in after]
    new = [step for step in after if step not in before]
    for step in list(gone):
        kind = _move(sides, step, new[0]) if new else ""
        if kind:
            gone.remove(step)
            yield sides.change(kind, found, rules, values=(step, new.pop(0)))
    front = "at the front of the document only"
    for step in gone:
        only = (step, front if not after else None)
        yield sides.change("caution-off-step", found, rules, values=only)
    for step in new:
        only_now = (front if not before else None, step)
        yield sides.change("caution-before-step", found, rules, values=only_now)
    if not {*before} ^ {*after}:
        yield sides.change("listed-otherwise", found, ("document-data",))


def _move(sides: Sides, old: str, new: str) -> str:
    """Return the kind for a move between two steps; empty where no revision has both."""
    for side in sides.both[::-1]:
        was, now = _position(side, old), _position(side, new)
        if was is not None and now is not None:
            return "caution-later" if now > was else "caution-earlier"
    return ""


def _position(side: Side, step: str) -> int | None:
    """Return where a step, or the first step of a block, stands in the order of the work."""
    names = [part_after(part) for part in side.form.branch(("steps",))]
    return next((n for n, name in enumerate(names) if step in (name, name.split(".")[0])), None)


def waiver_changes(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield the changes of one waiver; all differences of it are given."""
    path = differences[0].path[:2]
    finding = sides.text((*path, "finding"))
    safety = finding in SAFETY or finding.partition(".")[0] in SAFETY
    rules = ("safety-waiver",) if safety else ("waiver",)
    for found in differences:
        match found.path[2:]:
            case () if found.path[-1] == ORDER:
                yield sides.change("listed-otherwise", found, ("document-data",))
            case ():
                yield sides.change(presence("waiver", found), found, rules)
            case ("until",) if found.before and found.after:
                longer = str(found.after) > str(found.before)
                kind = "waiver-extended" if longer else "waiver-shortened"
                yield sides.change(kind, found, rules)
            case ("why" | "by" | "role" | "until",):
                yield sides.change("waiver-reworded", found, rules)
