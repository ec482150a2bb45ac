"""What the change note states about single changes: reasons, and replacements like for like."""

from collections.abc import Iterator
from dataclasses import fields

from speccomp.compare.change import Change
from speccomp.compare.sides import Sides
from speccomp.compare.titles import field_words
from speccomp.model.plant import Equipment
from speccomp.model.process import Change as Note
from speccomp.model.process import Reason, Replacement

_OF_THE_PIECE = frozenset({"id", "name", "tag", "calibration_due"})
"""What may differ between two pieces of equipment that are alike."""


def like_for_like(sides: Sides, old: str, new: str) -> tuple[bool, str]:
    """
    Tell whether one piece of equipment replaces another like for like, and what to say of it.

    The change note of the later revision states it, and the plant data of the two have to agree.
    """
    note = sides.after.process.change
    stated = next(iter(_stated(note, old, new)), None)
    if stated is None:
        return False, ""
    pieces = (
        sides.before.process.plant.equipment.get(old),
        sides.after.process.plant.equipment.get(new),
    )
    unlike = ", ".join(_unlike(*pieces))
    if unlike:
        return False, f"the change note calls it like for like, but these differ: {unlike}"
    return True, f"like for like: {stated.why}"


def _stated(note: Note | None, old: str, new: str) -> Iterator[Replacement]:
    for one in note.like_for_like if note else ():
        if (one.replaces, one.equipment) == (old, new):
            yield one


def _unlike(old: Equipment | None, new: Equipment | None) -> Iterator[str]:
    """Yield the data in which two pieces of equipment differ."""
    for entry in fields(Equipment):
        if entry.compare and entry.name not in _OF_THE_PIECE:
            ours, theirs = (getattr(piece, entry.name, None) for piece in (old, new))
            if ours != theirs:
                yield field_words(entry.name)


def reasons_for(note: Note | None, change: Change) -> Iterator[Reason]:
    """Yield the reasons that a change note gives for a change, or for the step it is in."""
    for reason in note.reasons if note else ():
        if reason.at in (change.subject, change.subject.partition("/")[0]):
            yield reason
