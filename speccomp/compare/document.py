"""Changes of the document itself: its data, parts, batch, plans, records, references."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from speccomp.compare.change import Change
from speccomp.compare.differences import Difference
from speccomp.compare.paths import part_after
from speccomp.compare.sides import Side, Sides
from speccomp.compare.values import (
    lines_of,
    list_changes,
    period_changes,
    presence,
    text_changes,
    value_changes,
)
from speccomp.compare.wording import text_change
from speccomp.quantities import Toleranced


def document_data(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a field of the title block."""
    yield sides.change("document-data", found, ("document-data",))


def document_language(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of the language in which the document is written."""
    yield sides.change("document-data", found, ("language",))


def document_phase(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of the phase that the control plan is for."""
    yield sides.change("document-data", found, ("control-plan",))


def document_text(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of purpose or scope; the scope says what the work may be used for."""
    scope = found.path == ("scope",)
    yield from text_changes(sides, found, () if scope else ("explanation",), strict=scope)


def change_note(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    """Yield the change of the change note, which is another one in every revision."""
    before, after = sides.nodes(("change",))
    change = sides.change("change-note", differences, ("document-data",), values=(before, after))
    yield replace(change, title="Change note")


def history(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of the revision history."""
    yield sides.change("history", found, ("document-data",))


def listed(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield another order of a list whose order asks for nothing."""
    yield sides.change("listed-otherwise", found, ("document-data",))


def batch_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of how much is made at a time."""
    if isinstance(found.before, Toleranced) and isinstance(found.after, Toleranced):
        yield from value_changes(sides, found, ())
    else:
        kind = presence("value", found) or "value-changed"
        yield sides.change(kind, found, ("work",))


def part_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a part that is made."""
    if len(found.path) == 2:
        kind = presence("part", found)
        rules = ("part",) if kind == "part-added" else ("document-data",)
        yield sides.change(kind, found, rules)
        return
    name = str(found.path[2])
    if name in ("thickest_section", "fill_volume"):
        yield from value_changes(sides, found, ("part",) if name == "thickest_section" else ())
    elif name == "open_faces":
        yield sides.change("part-data", found, ("part",))
    elif name in ("name", "drawing", "number"):
        rules = ("reference",) if name == "drawing" else ("document-data",)
        yield sides.change("part-data", found, rules)


def reaction_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a reaction plan that limits name."""
    used = _used(sides, "reaction", part_after(found.path[1]))
    rules = ("control-plan",) if used else ("not-used-here",)
    if len(found.path) == 2:
        kind = presence("reaction", found)
        yield sides.change(kind, found, rules)
        return
    kind = text_change(lines_of(found.before), lines_of(found.after), sides.names, strict=True)
    wording = kind == "wording" and found.path[2] != "responsible"
    yield sides.change(
        "wording" if wording else "reaction-content", found, ("wording",) if wording else rules
    )


def record_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a record that steps and limits name."""
    used = _used(sides, "record", part_after(found.path[1]))
    rules = ("control-plan",) if used else ("not-used-here",)
    if len(found.path) == 2:
        yield sides.change(presence("record", found), found, rules)
    elif found.path[2] == "keep":
        yield from period_changes(sides, found, rules)
    else:
        document = found.path[2] == "title" and used
        yield sides.change("record-content", found, ("document-data",) if document else rules)


def _used(sides: Sides, name: str, ident: str) -> bool:
    """Tell whether a limit or a step of either revision names a reaction plan or a record."""
    return any(_uses(side, name, ident) for side in sides.both)


def _uses(side: Side, name: str, ident: str) -> bool:
    settings = (getattr(item.control, name) for _, item in side.process.characteristics())
    named = {setting.value for setting in settings if setting is not None}
    for step in side.process.steps:
        named |= {*step.records} if name == "record" else {step.reaction}
    return ident in named


def reference_changes(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of another document that applies."""
    if len(found.path) == 2:
        kind = presence("reference", found)
        yield sides.change(kind, found, ("reference",))
    elif found.path[2] == "edition":
        yield sides.change("reference-edition", found, ("reference",))
    else:
        yield sides.change("document-data", found, ("document-data",))


def gear_of_document(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield protective gear that is worn for all of the work."""
    yield from list_changes(sides, found, "gear", ("caution",))
