"""Changes of a step: there or not, what it is called, what is done, with what."""

from collections.abc import Iterator
from dataclasses import replace

from speccomp.compare.change import Change
from speccomp.compare.decide import marks_within, process_rules, works_material
from speccomp.compare.differences import Difference
from speccomp.compare.sides import Sides
from speccomp.compare.statements import like_for_like
from speccomp.compare.values import (
    list_changes,
    period_changes,
    presence,
    text_changes,
    value_changes,
)

_EQUIPMENT_RULES = ("equipment-of-special-process",)


def step_present(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a step that only one revision has, with all it holds."""
    base = process_rules(sides, found.path)
    if not base and works_material(sides, found.path):
        base = ("order-of-work",)
    rules = (*marks_within(sides, found.path), *(base or ("work",)))
    yield sides.change(presence("step", found), found, rules)


def step_renamed(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a step that is called otherwise."""
    yield sides.change("step-renamed", found, ("document-data",))


def step_text(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a title, a reason or a note, which ask for nothing by themselves."""
    yield from text_changes(sides, found, ("explanation",))


def step_actions(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of what is done."""
    yield from text_changes(sides, found, process_rules(sides, found.path[:2]), strict=True)


def step_setting(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of operation, material, method, cover and the like."""
    name = str(found.path[2])
    step = found.path[:2]
    kinds = {"operation": "operation-replaced", "material": "step-material"}
    kind = kinds.get(name, "method-replaced" if name == "method" else "step-setting")
    rules = process_rules(sides, step)
    if name == "material":
        rules = ("material", *rules)
    elif name == "operation" and works_material(sides, step):
        rules = rules or ("order-of-work",)
    yield sides.change(kind, found, rules or ("work",))


def step_containers(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of what tells what is in a container."""
    yield sides.change("step-setting", found, ("caution",))


def step_keep(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of the time for which a sample or a stock is kept."""
    yield from period_changes(sides, found, ("control-plan",))


def step_specimen(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a test specimen."""
    if isinstance(found.before, dict) or isinstance(found.after, dict):
        yield sides.change(presence("value", found), found, ("control-plan",))
    else:
        yield from value_changes(sides, found, ())


def step_block(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a step that comes from another block, or from one instead of the definition."""
    yield sides.change("block-replaced", found, ("document-data",))


def step_records(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield records that are now written in a step, or no longer."""
    yield from list_changes(sides, found, "record", ("control-plan",))


def gear_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield protective gear that was added or removed."""
    yield from list_changes(sides, found, "gear", ("caution",))


def step_equipment(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield equipment that was added, removed, or replaced by one of the same type."""
    special = process_rules(sides, found.path[:2])
    rules = _EQUIPMENT_RULES if special else ("work",)
    changes = list(list_changes(sides, found, "equipment", rules))
    gone = [change for change in changes if change.kind == "equipment-removed"]
    new = [change for change in changes if change.kind == "equipment-added"]
    for one in gone:
        other = next((c for c in new if _type(sides, c.after) == _type(sides, one.before)), None)
        if other is not None:
            new.remove(other)
            changes.remove(other)
            alike, note = like_for_like(sides, str(one.before), str(other.after))
            changes[changes.index(one)] = replace(
                one,
                kind="equipment-replaced",
                after=other.after,
                after_span=other.after_span,
                rules=("like-for-like",) if alike else one.rules,
                note=note,
            )
    yield from changes


def _type(sides: Sides, ident: object) -> str:
    """Return the type of a piece of equipment."""
    return sides.text(("plant", "equipment", str(ident), "type"))


def images_present(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a picture that only one revision has."""
    yield sides.change(presence("picture", found), found, ("work",))


def image_content(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a picture that shows something else."""
    yield sides.change("picture-replaced", found, ("work",))
