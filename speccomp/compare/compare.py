"""
Compare two revisions of a definition.

All differences of the canonical forms are found first, without knowledge of what they mean. The
table then makes changes of them, and each change says which differences it covers. What no change
covers is reported as a raw difference, so nothing is ever dropped.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from speccomp.compare.change import Change, Comparison
from speccomp.compare.differences import Difference, find_differences
from speccomp.compare.files import file_changes
from speccomp.compare.paths import Path, part_after
from speccomp.compare.renamed import find_renamed
from speccomp.compare.sides import Sides, put_side_by_side
from speccomp.compare.statements import reasons_for
from speccomp.compare.table import DETECTORS, FIELDS, GROUPS, Pattern
from speccomp.model.process import Process
from speccomp.source.project import Sources

_GROUPS = tuple((Pattern.of(text), handle) for text, handle in GROUPS)
_FIELDS = tuple((Pattern.of(text), handle) for text, handle in FIELDS)


def compare(
    before: Process, after: Process, sources: tuple[Sources, Sources] | None = None
) -> Comparison:
    """
    Return what changed from one revision of a definition to a later one.

    With the sources of both, changes are placed at the very field, and what the files say beside
    the model is compared too. Every difference of the canonical forms is covered
    by a change; comparing a definition with itself gives none.
    """
    sides = put_side_by_side(before, after, sources)
    differences = find_differences(sides.before.form, sides.after.form)
    changes = list(_changes(sides, differences))
    changes += (_raw(sides, found) for found in uncovered(differences, changes))
    order = {found.path: place for place, found in enumerate(differences)}
    changes = [_with_reason(after, change) for change in changes]
    changes.sort(key=lambda change: order.get(change.path, len(order)))
    changes += file_changes(sides)
    unchanged = tuple(_unchanged(sides, changes))
    return Comparison(before, after, tuple(changes), unchanged, find_renamed(sides, changes))


def uncovered(
    differences: Sequence[Difference], changes: Sequence[Change]
) -> tuple[Difference, ...]:
    """Return the differences that no change covers."""
    covered = {path for change in changes for path in change.covers}
    return tuple(found for found in differences if found.path not in covered)


def _changes(sides: Sides, differences: Sequence[Difference]) -> Iterator[Change]:
    left = tuple(differences)
    for detect in DETECTORS:
        found = list(detect(sides, left))
        yield from found
        left = uncovered(left, found)
    for pattern, handle_all in _GROUPS:
        groups: dict[Path, list[Difference]] = {}
        for difference in left:
            group = pattern.group_of(difference.path)
            if group is not None:
                groups.setdefault(group, []).append(difference)
        for together in groups.values():
            yield from handle_all(sides, together)
    grouped = [pattern for pattern, _ in _GROUPS]
    for difference in left:
        if all(pattern.group_of(difference.path) is None for pattern in grouped):
            for pattern, handle in _FIELDS:
                if pattern.matches(difference.path):
                    yield from handle(sides, difference)
                    break


def _with_reason(after: Process, change: Change) -> Change:
    """Add the reasons that the change note gives for a change."""
    reasons = [f"reason given: {reason.why}" for reason in reasons_for(after.change, change)]
    return replace(change, note="; ".join([change.note] * bool(change.note) + reasons))


def _raw(sides: Sides, found: Difference) -> Change:
    """Return a difference that no rule knows, with all it holds."""
    return sides.change("raw", found, ("unknown",))


def _unchanged(sides: Sides, changes: Sequence[Change]) -> Iterator[str]:
    """Yield the names of the parts of the definition in which nothing changed."""
    touched = {path[:length] for change in changes for path in change.covers for length in (1, 2)}
    for section, words in _SECTIONS.items():
        branch = sides.after.form.branch((section,))
        if (section,) not in touched:
            if sides.after.form.get((section,)):
                yield words
        elif section in _LISTS:
            for part in branch:
                if (section, part) not in touched:
                    yield _named(sides, (section, part))


_SECTIONS = {
    "purpose": "Purpose",
    "scope": "Scope",
    "parts": "Parts",
    "materials": "Materials and their cards",
    "ratio": "Mixing ratio",
    "batch": "Batch",
    "protective_gear": "Protective gear",
    "reactions": "Reaction plans",
    "records": "Records",
    "references": "References",
    "steps": "Steps",
    "cautions": "Cautions",
    "waivers": "Waivers",
    "plant": "Plant file",
}
_LISTS = {
    "parts": "Part",
    "materials": "Material",
    "reactions": "Reaction plan",
    "records": "Record",
    "references": "Reference",
    "steps": "Step",
    "cautions": "Caution",
    "waivers": "Waiver",
}


def _named(sides: Sides, path: Path) -> str:
    """Return the name of an item that did not change."""
    if path[0] == "cautions":
        return sides.title(path)
    name = sides.text((*path, "title")) or sides.text((*path, "name")) or part_after(path[1])
    return f"{_LISTS[str(path[0])]}: {name}"
