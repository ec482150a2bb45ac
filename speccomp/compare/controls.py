"""Changes of how a limit is controlled: a row of the control plan beside its requirement."""

from collections.abc import Iterator
from dataclasses import replace

from speccomp.compare.change import Change
from speccomp.compare.decide import mark_rules
from speccomp.compare.differences import Difference
from speccomp.compare.frequency import frequency_change, sample_change
from speccomp.compare.paths import Path
from speccomp.compare.sides import Sides
from speccomp.compare.statements import like_for_like
from speccomp.compare.values import presence, setting_values
from speccomp.findings import Related
from speccomp.model.shared import Setting

_REPLACED = {
    "gauge": "gauge-replaced",
    "method": "technique-replaced",
    "reaction": "reaction-replaced",
    "responsible": "responsible-replaced",
    "record": "record-replaced",
    "special": "special-replaced",
}
_PRESENCE = {"gauge": "gauge", "special": "special"}


def control_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of one field of a control; `path` leads to it."""
    name = _field(found.path)
    item = found.path[: found.path.index("control")]
    rules = (*mark_rules(sides, item), "control-plan")
    if name in ("claim", "plan"):
        yield sides.change("sampling-plan", found, rules)
    elif (inherited := _stated(found)) != "":
        yield sides.change(inherited, found, ("restated",))
    else:
        kind = setting_kind(name, found)
        if kind == "restated":
            yield sides.change(kind, found, ("restated",))
        elif kind == "gauge-replaced":
            _, note = like_for_like(sides, str(found.before), str(found.after))
            yield sides.change(kind, found, rules, note=note)
        elif kind:
            yield from _with_default(sides, sides.change(kind, found, rules), name, found)


def _field(path: Path) -> str:
    return str(path[path.index("control") + 1])


def setting_kind(name: str, found: Difference) -> str:
    """Return the kind of change of a control setting; empty for one that is not known."""
    gone = presence(_PRESENCE.get(name, "setting"), found)
    before, after = setting_values(found)
    if name == "sample":
        return gone or sample_change(before, after)
    if name == "every":
        return gone or frequency_change(before, after)
    return gone or _REPLACED.get(name, "") if name in _REPLACED else ""


def _stated(found: Difference) -> str:
    """Tell whether the same setting is only stated instead of left to the plant, or the reverse."""
    before, after = found.before, found.after
    if not isinstance(before, Setting) or not isinstance(after, Setting):
        return ""
    if before.value != after.value:
        return ""
    return "stated-here" if before.inherited else "left-to-plant"


def _with_default(sides: Sides, change: Change, name: str, found: Difference) -> Iterator[Change]:
    """Say so where the change follows from the plant's default."""
    after = found.after
    plants = [side.process.plant.defaults for side in sides.both]
    moved = getattr(plants[0], name, None) != getattr(plants[1], name, None)
    if moved and isinstance(after, Setting) and after.inherited:
        related = (Related(after.span, "the plant’s default"),)
        change = replace(change, note="follows from the plant’s default", related=related)
    yield change


def setting_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of who is responsible for a step, or of its reaction plan."""
    name = str(found.path[-1])
    stated = _stated(found)
    if stated:
        yield sides.change(stated, found, ("restated",))
        return
    kind = presence("setting", found) or _REPLACED[name]
    yield sides.change(kind, found, ("control-plan",))
