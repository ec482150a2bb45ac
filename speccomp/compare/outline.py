"""Values and whole branches of the canonical form as lines of text, leaving nothing out."""

from collections.abc import Iterator

from speccomp.compare.canonical import Node
from speccomp.compare.differences import Difference
from speccomp.compare.paths import Part, part_after, part_before
from speccomp.compare.titles import field_words
from speccomp.model.shared import Setting
from speccomp.quantities import Toleranced


def outline(node: Node, *, later: bool = True) -> tuple[str, ...]:
    """Return everything that a value holds, one line for each single value in it."""
    return tuple(_lines(node, "", later))


def whole(found: Difference) -> tuple[tuple[str, ...] | None, tuple[str, ...] | None]:
    """Return both sides of a difference as lines; None for a side that has nothing."""
    return outline(found.before, later=False) or None, outline(found.after) or None


def _lines(node: Node, head: str, later: bool) -> Iterator[str]:
    if isinstance(node, dict):
        for part, inner in node.items():
            name = _name(part, later)
            yield from _lines(inner, f"{head} / {name}" if head else name, later)
    elif isinstance(node, tuple):
        for line in node:
            yield f"{head}: {line}" if head else line
    elif node is not None:
        yield f"{head}: {value_text(node)}" if head else value_text(node)


def _name(part: Part, later: bool) -> str:
    return field_words(part_after(part) if later else part_before(part))


def value_text(node: Toleranced | Setting | str) -> str:
    """Return a single value as its author wrote it."""
    if isinstance(node, Toleranced):
        return " ".join(node.text.split())
    if isinstance(node, Setting):
        return f"{node.value} (plant’s default)" if node.inherited else node.value
    return node
