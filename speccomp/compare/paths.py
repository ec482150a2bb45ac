"""Where a value stands in the canonical form of a definition."""

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias


class Pair(NamedTuple):
    """A part of a path that is called differently in the two revisions."""

    before: str
    after: str


Part: TypeAlias = str | Pair
Path: TypeAlias = tuple[Part, ...]

ORDER = "#order"
"""Last part of the path of the order of a list; `#` stands in no id."""


def part_before(part: Part) -> str:
    """Return a part of a path as the earlier revision calls it."""
    return part.before if isinstance(part, Pair) else part


def part_after(part: Part) -> str:
    """Return a part of a path as the later revision calls it."""
    return part.after if isinstance(part, Pair) else part


def path_before(path: Sequence[Part]) -> tuple[str, ...]:
    """Return a path as the earlier revision has it."""
    return tuple(part_before(part) for part in path)


def path_after(path: Sequence[Part]) -> tuple[str, ...]:
    """Return a path as the later revision has it."""
    return tuple(part_after(part) for part in path)


def swapped(path: Sequence[Part]) -> Path:
    """Return a path with the two revisions exchanged."""
    return tuple(Pair(p.after, p.before) if isinstance(p, Pair) else p for p in path)
