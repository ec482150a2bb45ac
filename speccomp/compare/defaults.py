"""A control default of the plant that moved, with all that follows it, as one change."""

from collections.abc import Iterator, Sequence

from speccomp.compare.change import Change
from speccomp.compare.controls import setting_kind
from speccomp.compare.decide import mark_rules
from speccomp.compare.differences import Difference
from speccomp.compare.kinds import KINDS
from speccomp.compare.paths import Path
from speccomp.compare.sides import Sides
from speccomp.model.shared import Setting

_DEFAULTS: Path = ("plant", "defaults")


def moved_defaults(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield each default of the plant that moved and that limits, checks or steps follow."""
    for found in differences:
        if found.path[:2] == _DEFAULTS and len(found.path) == 3:
            followers = [one for one in differences if _follows(one, found)]
            if followers:
                yield _moved(sides, found, followers)


def _follows(one: Difference, default: Difference) -> bool:
    """Tell whether a difference of a setting comes from the default, in both revisions."""
    if one.path[0] not in ("steps", "ratio") or one.path[-1] != default.path[-1]:
        return False
    pairs = ((one.before, default.before), (one.after, default.after))
    return all(_inherited(setting, of_plant) for setting, of_plant in pairs)


def _inherited(setting: object, of_plant: object) -> bool:
    if not isinstance(setting, Setting) or not isinstance(of_plant, Setting):
        return setting is of_plant is None
    return setting.inherited and setting.value == of_plant.value


def _moved(sides: Sides, found: Difference, followers: Sequence[Difference]) -> Change:
    items = [one.path[: -2 if one.path[-2] == "control" else -1] for one in followers]
    marks = [mark_rules(sides, item) for item in items]
    titles = [sides.title(item) for item in items]
    marked = dict.fromkeys([t for t, m in zip(titles, marks, strict=True) if m] + titles)
    kind = setting_kind(str(found.path[-1]), found)
    rules = [rule for rules in (*marks, ("control-plan",)) for rule in rules]
    count = f"{len(followers)} {'place follows' if len(followers) == 1 else 'places follow'} it"
    return sides.change(
        "plant-default",
        [found, *followers],
        ["restated"] if kind == "restated" else rules,
        note=f"{KINDS[kind].words}; {count}: {'; '.join(marked)}",
    )
