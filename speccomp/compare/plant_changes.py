"""Changes of the plant: its site and climate, its equipment, its rules and texts."""

from collections.abc import Iterator, Sequence

from speccomp.compare.change import Change
from speccomp.compare.decide import process_rules
from speccomp.compare.differences import Difference
from speccomp.compare.outline import both_sides
from speccomp.compare.paths import ORDER, Path
from speccomp.compare.sides import Sides
from speccomp.compare.statements import like_for_like
from speccomp.compare.values import presence, value_changes
from speccomp.quantities import Toleranced

_CLIMATE = frozenset({"elevation", "air_pressure", "shop_temperature", "shop_humidity"})
_POLICY = frozenset(
    {
        *("approvals", "waiver_policy", "margins", "gauge_fit", "required_declarations"),
        *("special_processes", "local_codes", "release"),
    }
)
_DATA = frozenset(
    {
        *("name", "owner", "units", "paper", "roles", "special", "wording", "document_pattern"),
        *("revision_scheme", "uncontrolled_note"),
    }
)
_NOT_USED = ("not-used-here",)


def plant_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of one field of the plant file."""
    name = str(found.path[1])
    if found.path[-1] == ORDER:
        yield sides.change("listed-otherwise", found, ("document-data",))
    elif name == "id":
        yield sides.change("plant-replaced", found, ("site",))
    elif name in _CLIMATE:
        yield from value_changes(sides, found, ("climate",))
    elif name == "emergency":
        yield from value_changes(sides, found, ("caution",))
    elif name == "defaults":
        yield sides.change("plant-default", found, _NOT_USED)
    elif name in ("reactions", "records"):
        yield sides.change("plant-data", found, _NOT_USED)
    elif name in _POLICY:
        yield sides.change("plant-data", found, ("plant-policy",))
    elif name in _DATA:
        yield sides.change("plant-data", found, ("document-data",))


def equipment_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a piece of equipment in the plant file."""
    ident = str(found.path[2])
    rules = _equipment_rules(sides, ident)
    field = str(found.path[3]) if len(found.path) > 3 else ""
    if not field:
        kind = presence("equipment", found)
        yield sides.change(kind, found, rules)
    elif field in ("name", "calibration_due"):
        rules = ("document-data",) if rules != _NOT_USED else rules
        yield sides.change("equipment-data", found, rules)
    elif field in ("tag", "type"):
        alike, note = like_for_like(sides, ident, ident)
        rules = ("like-for-like",) if alike and rules != _NOT_USED else rules
        yield sides.change("equipment-replaced", found, rules, note=note)
    elif rules == _NOT_USED or not isinstance(found.before, Toleranced):
        yield sides.change("equipment-data", found, rules)
    else:
        yield from value_changes(sides, found, rules)


def _equipment_rules(sides: Sides, ident: str) -> tuple[str, ...]:
    """Return the rules for equipment: of a special process, of another step or gauge, or idle."""
    used = False
    for side in sides.both:
        for part in side.form.branch(("steps",)):
            step: Path = ("steps", part)
            gauges = _gauges(side.form.branch((*step, "characteristics")))
            gauges |= _gauges(side.form.branch((*step, "profile")))
            names = side.form.get((*step, "equipment"))
            if isinstance(names, tuple) and ident in names and process_rules(sides, step):
                return ("equipment-of-special-process",)
            used = used or ident in gauges or (isinstance(names, tuple) and ident in names)
        used = used or ident in _gauges(side.form.branch(("ratio", "parts")))
    return ("control-plan",) if used else _NOT_USED


def _gauges(items: object) -> set[str]:
    """Return the gauges of limits."""
    found: set[str] = set()
    for item in items.values() if isinstance(items, dict) else ():
        control = item.get("control") if isinstance(item, dict) else None
        gauge = control.get("gauge") if isinstance(control, dict) else None
        if isinstance(gauge, str):
            found.add(gauge)
    return found


def library_changes(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """
    Yield the change of a caution that the plant or a pack offers.

    What the definition shows of it is reported at its own caution; whether one is called for may
    have changed wherever the definition has a caution of the topic.
    """
    topic = str(differences[0].path[2])
    triggers = any(
        found.path[1] == "topics" and (len(found.path) == 3 or found.path[3] != "title")
        for found in differences
    )
    warned = any(caution.topic == topic for side in sides.both for caution in side.process.cautions)
    rules = ("caution",) if triggers and warned else _NOT_USED
    before = tuple(line for found in differences for line in _side(found, 0))
    after = tuple(line for found in differences for line in _side(found, 1))
    yield sides.change(
        "caution-library", differences, rules, values=(before or None, after or None)
    )


def _side(found: Difference, side: int) -> tuple[str, ...]:
    lines = both_sides(found.before, found.after)[side]
    head = " / ".join(str(part) for part in found.path[3:])
    return tuple(f"{head}: {line}" if head else line for line in lines)
