"""Whether what is worn is what a topic of the packs asks for, by the kind of gear."""

import re
from collections.abc import Iterable

_AGAINST = ("heat", "cut")
"""What gloves are for, where it is not the liquid."""


def kind_of_gear(item: str) -> frozenset[str]:
    """
    Return the words that tell one kind of gear from another.

    It is the last word before the comma and the measures: `Goggles, EN 166 mark 3` are goggles,
    `Nitrile gloves 0.4 mm, EN ISO 374-1` are gloves; heat gloves are gloves against heat.
    """
    words = re.findall(r"[a-z]+", re.sub(r"[\d.]+ ?[a-z]+", "", item.partition(",")[0].lower()))
    return frozenset([*words[-1:], *(word for word in _AGAINST if word in words)])


def left_out(asked: Iterable[str], worn: Iterable[str]) -> tuple[str, ...]:
    """Return the pieces asked for of whose kind nothing is worn."""
    texts = [frozenset(re.findall(r"[a-z]+", item.lower())) for item in worn]
    return tuple(item for item in asked if not any(kind_of_gear(item) <= text for text in texts))
