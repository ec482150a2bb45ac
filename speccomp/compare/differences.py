"""Every difference between two canonical forms, by path."""

from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.compare.canonical import Branch, Canonical, Items, Node
from speccomp.compare.paths import ORDER, Part, Path
from speccomp.quantities import Toleranced


@dataclass(frozen=True, slots=True)
class Difference:
    """
    One path at which two revisions differ.

    A value that only one revision has is None in the other; it may be a whole branch. At the path
    of an order, the values are the names of the items that both have, as each revision lists them.
    """

    path: Path
    before: Node
    after: Node


def find_differences(before: Canonical, after: Canonical) -> tuple[Difference, ...]:
    """Return all differences, in the order of the later revision."""
    return tuple(_branch(before.root, after.root, ()))


def _branch(before: Branch, after: Branch, path: Path) -> Iterator[Difference]:
    for part in _parts(before, after):
        yield from _node(before.get(part), after.get(part), (*path, part))
    if isinstance(before, Items) and isinstance(after, Items):
        kept = [tuple(p for p in one if p in other) for one, other in _ways(before, after)]
        if kept[0] != kept[1]:
            texts = [tuple("/".join(p) if isinstance(p, tuple) else p for p in k) for k in kept]
            yield Difference((*path, ORDER), *texts)


def _ways(before: Branch, after: Branch) -> tuple[tuple[Branch, Branch], tuple[Branch, Branch]]:
    return (before, after), (after, before)


def _parts(before: Branch, after: Branch) -> list[Part]:
    """Return the names of both branches: those of the later one, each gone one in its place."""
    parts: list[Part] = list(after)
    last = -1
    for part in before:
        if part in after:
            last = parts.index(part)
        else:
            last += 1
            parts.insert(last, part)
    return parts


def _node(before: Node, after: Node, path: Path) -> Iterator[Difference]:
    before, after = _said(before), _said(after)
    lists = [one for one in (before, after) if isinstance(one, Items)]
    if lists and all(one is None or isinstance(one, Items) for one in (before, after)):
        yield from _branch(_items(before), _items(after), path)
    elif isinstance(before, dict) and isinstance(after, dict):
        yield from _branch(before, after, path)
    elif not same_value(before, after):
        yield Difference(path, before, after)


def _said(node: Node) -> Node:
    """Return a value, or None for a list without items, whatever its items would be."""
    return None if isinstance(node, Items | tuple) and not node else node


def _items(node: Node) -> Items:
    return node if isinstance(node, Items) else Items()


def same_value(before: Node, after: Node) -> bool:
    """Tell whether two values are written alike; the text of a limit counts too."""
    if isinstance(before, Toleranced) and isinstance(after, Toleranced):
        return before == after and before.text.split() == after.text.split()
    return before == after
