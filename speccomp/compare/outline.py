"""Values and whole branches of the canonical form as lines of text, leaving nothing out."""

from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.compare.canonical import Branch, Node
from speccomp.compare.change import Change, Comparison
from speccomp.compare.paths import ORDER, Part, part_after, part_before
from speccomp.compare.titles import field_words
from speccomp.compare.words import PLAIN, Words, words_of
from speccomp.model.shared import Setting
from speccomp.quantities import Toleranced
from speccomp.quantities.writing import IN_PRINT, write_toleranced

Lines = tuple[str, ...]

_UNNAMED = frozenset({"control", "source"})
_LISTED = frozenset({"actions", "gear"})
"""Lists of whole sentences or names with commas, which take a line each."""

_SPOKEN = frozenset({"requirement", "name", "product"})
"""What is told from its place in a line and needs no heading."""


class Printed:
    """Prints the two sides of the changes of a comparison, ids as the plant calls them."""

    def __init__(self, comparison: Comparison) -> None:
        """Look up what each revision calls things."""
        self._words = words_of(comparison.before), words_of(comparison.after)

    def sides(self, change: Change) -> tuple[Lines, Lines]:
        """Return what stood there before and what stands there now, one line for each value."""
        return both_sides(change.before, change.after, _field_of(change), self._words)


def _field_of(change: Change) -> str:
    parts = [part_after(part) for part in change.path if part != ORDER]
    return parts[-1] if parts else ""


def both_sides(
    before: Node,
    after: Node,
    field: str = "",
    words: tuple[Words, Words] = (PLAIN, PLAIN),
) -> tuple[Lines, Lines]:
    """
    Return everything that two values of a field hold, one line for each value or item of a list.

    Limits are spelled as in print, with the digits and units of their author; where that does not
    show the difference, they stand as they were typed, and ids as they are.
    """
    printed = (
        _Outline(later=False, words=words[0]).lines(before, field),
        _Outline(later=True, words=words[1]).lines(after, field),
    )
    if printed[0] != printed[1]:
        return printed
    return outline(before, later=False, typed=True), outline(after, later=True, typed=True)


def outline(node: Node, *, later: bool = True, typed: bool = False, words: Words = PLAIN) -> Lines:
    """Return everything that one value holds; limits as in print, or as they were typed."""
    return _Outline(later=later, typed=typed, words=words).lines(node, "")


@dataclass(frozen=True, slots=True)
class _Outline:
    later: bool = True
    typed: bool = False
    words: Words = PLAIN

    def lines(self, node: Node, field: str) -> Lines:
        """Return a value of a field, or the single values of a branch."""
        if isinstance(node, dict):
            return tuple(self._branch(node))
        if isinstance(node, tuple):
            return tuple(self.words.of(field, text) for text in node)
        return () if node is None else (self._text(node, field),)

    def _branch(self, branch: Branch) -> Iterator[str]:
        for part, inner in branch.items():
            name = self._name(part)
            if isinstance(inner, dict) and part in _UNNAMED:
                yield from self._branch(inner)
            elif isinstance(inner, dict) and all(isinstance(one, dict) for one in inner.values()):
                for each, item in inner.items():
                    if isinstance(item, dict):
                        yield f"{name} {self._titled(each, item)}"
            elif isinstance(inner, tuple) and part in _LISTED:
                yield f"{name}:"
                yield from (f"– {line}" for line in inner)
            elif inner is not None and inner != {}:
                yield f"{name}: {self._joined(inner, part)}"

    def _titled(self, part: Part, item: Branch) -> str:
        """Return an item of a list on one line, called by its name."""
        called = self._called(part)
        title = item.get("name")
        head = title if isinstance(title, str) else called
        rest = {key: value for key, value in item.items() if value not in (head, called)}
        return f"{head}: {self._joined(rest, part)}" if rest else head

    def _joined(self, node: Node, part: Part) -> str:
        """Return a value, or a whole branch on one line."""
        if isinstance(node, dict):
            return "; ".join(self._pairs(node))
        if isinstance(node, tuple):
            return ", ".join(self.words.of(self._called(part), text) for text in node)
        return self._text(node, self._called(part)) if node is not None else ""

    def _pairs(self, branch: Branch) -> Iterator[str]:
        for part, inner in branch.items():
            if isinstance(inner, dict) and part in _UNNAMED:
                yield from self._pairs(inner)
            elif isinstance(inner, dict) and inner:
                yield f"{self._name(part)} ({self._joined(inner, part)})"
            elif inner is not None and inner != {}:
                text = self._joined(inner, part)
                yield text if part in _SPOKEN else f"{self._name(part)}: {text}"

    def _text(self, node: Node, field: str) -> str:
        if isinstance(node, Toleranced):
            text = node.text if self.typed else write_toleranced(node, IN_PRINT)
            return " ".join(text.split())
        if isinstance(node, Setting):
            text = self.words.of(field, node.value)
            return f"{text} (plant’s default)" if node.inherited else text
        return self.words.of(field, str(node))

    def _called(self, part: Part) -> str:
        return part_after(part) if self.later else part_before(part)

    def _name(self, part: Part) -> str:
        return field_words(self._called(part))
