"""Values and whole branches of the canonical form as lines of text, leaving nothing out."""

from collections.abc import Iterator

from speccomp.compare.canonical import Node
from speccomp.compare.differences import Difference
from speccomp.compare.paths import Part, part_after, part_before
from speccomp.compare.titles import field_words
from speccomp.model.shared import Setting
from speccomp.quantities import Toleranced
from speccomp.quantities.writing import IN_PRINT, write_toleranced

Lines = tuple[str, ...]

_UNNAMED = frozenset({"control", "source"})


def both_sides(before: Node, after: Node) -> tuple[Lines, Lines]:
    """
    Return everything that two values hold, one line for each single value.

    Limits are spelled as in print, with the digits and units of their author; where that does not
    show the difference, they stand as they were typed.
    """
    printed = outline(before, later=False), outline(after, later=True)
    if printed[0] != printed[1]:
        return printed
    return outline(before, later=False, typed=True), outline(after, later=True, typed=True)


def whole(found: Difference) -> tuple[Lines | None, Lines | None]:
    """Return both sides of a difference as lines; None for a side that has nothing."""
    before, after = both_sides(found.before, found.after)
    return before or None, after or None


def outline(node: Node, *, later: bool = True, typed: bool = False) -> Lines:
    """Return everything that one value holds; limits as in print, or as they were typed."""
    return tuple(_lines(node, "", later, typed))


def _lines(node: Node, head: str, later: bool, typed: bool) -> Iterator[str]:
    if isinstance(node, dict):
        for part, inner in node.items():
            name = "" if part in _UNNAMED else _name(part, later)
            yield from _lines(inner, " / ".join(t for t in (head, name) if t), later, typed)
    elif isinstance(node, tuple):
        for line in node:
            yield f"{head}: {line}" if head else line
    elif node is not None:
        text = value_text(node, typed=typed)
        yield f"{head}: {text}" if head else text


def _name(part: Part, later: bool) -> str:
    return field_words(part_after(part) if later else part_before(part))


def value_text(node: Toleranced | Setting | str, *, typed: bool = False) -> str:
    """Return a single value as text."""
    if isinstance(node, Toleranced):
        text = node.text if typed else write_toleranced(node, IN_PRINT)
        return " ".join(text.split())
    if isinstance(node, Setting):
        return f"{node.value} (plant’s default)" if node.inherited else node.value
    return node
