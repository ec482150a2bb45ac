"""Mark what was removed from a text and what was inserted, line by line and word by word."""

import re
from collections.abc import Sequence
from difflib import SequenceMatcher

from speccomp.documents.comparison_views import Line, Piece

_ALIKE = 0.65
_WORDS = re.compile(r"\s+|[0-9]+(?:[.,][0-9]+)*|[^\s\w]|\w+")

_Code = tuple[str, int, int, int, int]
Sides = tuple[tuple[Line, ...], tuple[Line, ...]]


def mark_lines(before: Sequence[str], after: Sequence[str]) -> Sides:
    """
    Return both texts as lines of pieces; what only one of them has is marked in it.

    Where one side is empty nothing is marked: all of the other was removed or inserted.
    """
    if not before or not after:
        return tuple((Piece(text),) for text in before), tuple((Piece(text),) for text in after)
    left: list[Line] = []
    right: list[Line] = []
    matcher = SequenceMatcher(None, before, after, autojunk=False)
    for what, i, i_end, j, j_end in matcher.get_opcodes():
        if what == "equal":
            left += [(Piece(text),) for text in before[i:i_end]]
            right += [(Piece(text),) for text in after[j:j_end]]
            continue
        olds, news = list(before[i:i_end]), list(after[j:j_end])
        paired = min(len(olds), len(news))
        for old, new in zip(olds, news, strict=False):
            one, other = _mark_words(old, new)
            left.append(one)
            right.append(other)
        left += [(Piece(text, "removed"),) for text in olds[paired:]]
        right += [(Piece(text, "inserted"),) for text in news[paired:]]
    return tuple(left), tuple(right)


def _mark_words(old: str, new: str) -> tuple[Line, Line]:
    """Mark the words of two lines; lines with little in common are marked as a whole."""
    ours, theirs = _WORDS.findall(old), _WORDS.findall(new)
    matcher = SequenceMatcher(None, ours, theirs, autojunk=False)
    if matcher.ratio() < _ALIKE:
        return (Piece(old, "removed"),), (Piece(new, "inserted"),)
    left: list[Piece] = []
    right: list[Piece] = []
    for changed, i, i_end, j, j_end in _joined(matcher.get_opcodes(), ours):
        left += _piece("".join(ours[i:i_end]), "removed" if changed else "")
        right += _piece("".join(theirs[j:j_end]), "inserted" if changed else "")
    return tuple(left), tuple(right)


def _joined(codes: Sequence[_Code], words: Sequence[str]) -> list[tuple[bool, int, int, int, int]]:
    """Return what is the same and what is not; a space between two replaced words is not."""
    found: list[tuple[bool, int, int, int, int]] = []
    for place, (what, i, i_end, j, j_end) in enumerate(codes):
        around = [code[0] for code in codes[max(0, place - 1) : place + 2]]
        space = not "".join(words[i:i_end]).strip()
        between = what == "equal" and space and around == ["replace", "equal", "replace"]
        changed = what != "equal" or between
        if found and changed and found[-1][0]:
            _, first, _, second, _ = found.pop()
            found.append((True, first, i_end, second, j_end))
        else:
            found.append((changed, i, i_end, j, j_end))
    return found


def _piece(text: str, mark: str) -> list[Piece]:
    return [Piece(text, mark)] if text else []
