"""Plain data of one file, and where in the file each piece of it stands."""

from dataclasses import dataclass
from typing import TypeAlias

from speccomp.findings import Span

PathKey: TypeAlias = str | int
Path: TypeAlias = tuple[PathKey, ...]
Plain: TypeAlias = "str | list[Plain] | dict[str, Plain]"


@dataclass(frozen=True, slots=True)
class NodeSpan:
    """
    Where a value and its key stand; an item of a list has no key.

    `text_start` is the number of characters from the start of `value` to the text itself (1 for
    quoted text) when the text stands in the file as it is, on one line; None when it does not:
    mappings, lists, aliases, text over several lines, with escapes, or changed by normalisation.
    `plain` tells that there are no quotes either.
    """

    value: Span
    key: Span | None
    text_start: int | None
    plain: bool


@dataclass(frozen=True)
class Tree:
    """
    The data of one file as text, lists and mappings, with a table from path to place.

    All scalars are text as written, normalised to NFC; an empty value is an empty text. What an
    alias stands for is shared, not copied, and has no entries of its own in `nodes`.
    """

    file: str
    text: str
    data: Plain
    nodes: dict[Path, NodeSpan]

    def span(self, path: Path) -> Span:
        """Return the place of the value at `path`, or of the nearest parent that exists."""
        return self._nearest(path).value

    def key_span(self, path: Path) -> Span:
        """Return the place of the key at `path`, or of the value where there is no key."""
        node = self._nearest(path)
        return node.value if node.key is None else node.key

    def span_inside(self, path: Path, start: int, end: int) -> Span:
        """
        Return the place of the characters from `start` to `end` of the text at `path`.

        It is the place of the whole text where the two do not correspond one to one.
        """
        node = self._nearest(path)
        if node.text_start is None or path not in self.nodes:
            return node.value
        return node.value.within(node.text_start + max(0, start), node.text_start + max(0, end))

    def _nearest(self, path: Path) -> NodeSpan:
        """Return the entry at `path`, or at the longest part of it that has one."""
        while path and path not in self.nodes:
            path = path[:-1]
        return self.nodes.get(path, NodeSpan(Span(self.file), None, None, False))
