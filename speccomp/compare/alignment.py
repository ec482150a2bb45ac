"""Which items of two lists belong together, and which of them have changed places."""

from collections.abc import Callable, Sequence
from typing import TypeVar

T = TypeVar("T")

Pairs = list[tuple[int, int]]


def moved_items(pairs: Sequence[tuple[int, int]], names: Sequence[str]) -> list[int]:
    """
    Return the indexes of the pairs that have moved: the fewest that explain the new order.

    `pairs` are the places of each item in the two lists. What stays is a longest increasing
    subsequence; among several, names decide, so that exchanging the lists gives the same answer.
    """
    by_name = sorted(range(len(pairs)), key=lambda index: names[index])
    weight = [0] * len(pairs)
    for rank, index in enumerate(by_name):
        # One item more always outweighs any choice between names.
        weight[index] = (1 << (2 * len(pairs))) + (1 << (len(pairs) - rank))
    order = sorted(range(len(pairs)), key=lambda index: pairs[index])
    best: dict[int, tuple[int, int | None]] = {}
    for position, index in enumerate(order):
        before = [other for other in order[:position] if pairs[other][1] < pairs[index][1]]
        last = max(before, key=lambda other: best[other][0], default=None)
        best[index] = (weight[index] + (best[last][0] if last is not None else 0), last)
    stays: set[int] = set()
    end = max(order, key=lambda index: best[index][0], default=None)
    while end is not None:
        stays.add(end)
        end = best[end][1]
    return [index for index in range(len(pairs)) if index not in stays]


def match_equal(
    before: Sequence[T], after: Sequence[T], key: Callable[[T], object], known: Pairs
) -> Pairs:
    """Return the known pairs, and those of the items left that have the same key, in order."""
    taken_before, taken_after = {i for i, _ in known}, {j for _, j in known}
    waiting: dict[object, list[int]] = {}
    for j, item in enumerate(after):
        if j not in taken_after:
            waiting.setdefault(key(item), []).append(j)
    found = list(known)
    for i, item in enumerate(before):
        others = waiting.get(key(item)) if i not in taken_before else None
        if others:
            found.append((i, others.pop(0)))
    return found


def match_similar(
    before: Sequence[T],
    after: Sequence[T],
    likeness: Callable[[T, T], float],
    least: float,
    known: Pairs,
) -> Pairs:
    """
    Return the known pairs, and those of the items left that are most like each other.

    `likeness` is symmetrical, from 0 to 1; pairs below `least` are left apart.
    """
    taken_before, taken_after = {i for i, _ in known}, {j for _, j in known}
    offers = [
        (-alike, i + j, abs(i - j), i, j)
        for i, one in enumerate(before)
        if i not in taken_before
        for j, other in enumerate(after)
        if j not in taken_after and (alike := likeness(one, other)) >= least
    ]
    found = list(known)
    for _, _, _, i, j in sorted(offers):
        if i not in taken_before and j not in taken_after:
            found.append((i, j))
            taken_before.add(i)
            taken_after.add(j)
    return found


def align_sequence(
    before: Sequence[T], after: Sequence[T], likeness: Callable[[T, T], float]
) -> Pairs:
    """
    Return the pairs of two sequences that keep their order and are most like each other.

    Two items with a likeness of 0 are never paired; exchanging the sequences gives the same
    pairs. Dynamic programme after Needleman and Wunsch (1970) with no cost for a gap.
    """
    if repr(after) < repr(before):
        return [(i, j) for j, i in align_sequence(after, before, likeness)]
    rows, columns = len(before), len(after)
    score = [[0.0] * (columns + 1) for _ in range(rows + 1)]
    alike = [[likeness(one, other) for other in after] for one in before]
    for i in range(rows - 1, -1, -1):
        for j in range(columns - 1, -1, -1):
            together = score[i + 1][j + 1] + alike[i][j]
            score[i][j] = max(together, score[i + 1][j], score[i][j + 1])
    pairs, i, j = [], 0, 0
    while i < rows and j < columns:
        if alike[i][j] > 0 and score[i][j] == score[i + 1][j + 1] + alike[i][j]:
            pairs.append((i, j))
            i, j = i + 1, j + 1
        elif score[i + 1][j] >= score[i][j + 1]:
            i += 1
        else:
            j += 1
    return pairs


def dice(one: Sequence[object], other: Sequence[object]) -> float:
    """Return how much two bags of things have in common: 1 for the same (Dice 1945)."""
    if not one and not other:
        return 1.0
    left = list(other)
    common = 0
    for thing in one:
        if thing in left:
            left.remove(thing)
            common += 1
    return 2 * common / (len(one) + len(other))
