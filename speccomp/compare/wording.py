"""Whether a text says the same in other words: the tokens that carry its meaning."""

import re
from collections.abc import Collection, Sequence

from speccomp.compare.alignment import dice
from speccomp.quantities.units import all_spellings

_LEAST_ALIKE = 0.6
_LONG = 4
"""Shorter words have no ending and no misspelling that could be told from another word."""

_NEGATIONS = "no not never none nothing nobody neither nor without cannot except unless only"
_MODALS = "shall must may can could should will would need needs have has"
_COMPARISONS = (
    "more less than over under above below least most maximum minimum max min up to within "
    "between exceed exceeds exactly about approximately until till before after during while "
    "first last again every each all any some both either half twice once when if"
)
_OPPOSITES = (
    "on off open close closed opened left right top bottom up down upper lower inside outside in "
    "out hot cold warm cool wet dry full empty high low fast slow slowly quickly start stop "
    "stopped push pull add remove wear take keep discard with covered uncovered clockwise "
    "anticlockwise counterclockwise tighten loosen lock unlock increase decrease raise lift clean "
    "dirty"
)
_EMPTY = (
    "a an the this that these those it its they them their which who is are was were be been "
    "being also please"
)
_FILLERS = frozenset(_EMPTY.split())
_NUMBERS = (
    "zero one two three four five six seven eight nine ten eleven twelve second third fourth fifth "
    "sixth seventh eighth ninth tenth quarter double triple thrice dozen"
)
_WORDS = frozenset(f"{_NEGATIONS} {_MODALS} {_COMPARISONS} {_OPPOSITES} {_NUMBERS}".split())
_TOKEN = re.compile(
    r"[-−+]?\d+(?:[.,]\d+)*(?:e[-+]?\d+)?|[A-Za-zµÀ-ɏ°Ω%’']+(?:[-.][A-Za-z0-9]+)*[²³0-9]*"
    r"|[±≤≥<>=/×]"
)
_SIGNS = frozenset("±≤≥<>=/×%")


def guard_tokens(text: str, names: Collection[str] = ()) -> tuple[str, ...]:
    """
    Return the tokens of a text that carry its meaning, in order.

    They are numbers, also in words, units, negations, modal verbs, comparisons, words that have an
    opposite, and `names`: the ids of materials, equipment, records and steps. `don't` counts as
    `not`.
    """
    found = []
    for token in _TOKEN.findall(text):
        word = token.lower().replace("’", "'")
        if token[0].isdigit() or token[0] in "-−+" or token in _SIGNS or token in all_spellings():
            found.append(token.replace("−", "-"))
        elif word.endswith("n't"):
            found.append("not")
        elif word in _WORDS or token in names:
            found.append(word)
    return tuple(found)


def text_change(
    before: Sequence[str],
    after: Sequence[str],
    names: Collection[str] = (),
    *,
    strict: bool = False,
) -> str:
    """
    Return the name of the kind of change between two texts, each given by its lines.

    A change is one of wording only if the tokens that carry the meaning are the same in the same
    order and most of the words are. Where a text asks for something it is read strictly: nothing
    but articles, endings, spelling and punctuation may differ.
    """
    ours, theirs = (
        [" ".join(line.split()) for line in before],
        [" ".join(line.split()) for line in after],
    )
    if sorted(ours) == sorted(theirs):
        return "wording" if ours == theirs else "actions-reordered"
    one, other = "\n".join(ours), "\n".join(theirs)
    if guard_tokens(one, names) != guard_tokens(other, names):
        return "meaning"
    if dice(_words(one), _words(other)) < _LEAST_ALIKE:
        return "rewritten"
    return "wording" if not strict or _same_words(one, other) else "meaning"


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", text.lower())


def _same_words(one: str, other: str) -> bool:
    """Tell whether two texts have the same words but for articles, endings and spelling."""
    ours, theirs = (
        [word for word in _words(text.replace("-", "")) if word not in _FILLERS]
        for text in (one, other)
    )
    return len(ours) == len(theirs) and all(map(_same_word, ours, theirs))


def _same_word(one: str, other: str) -> bool:
    """Tell whether two words are one with another ending, or with two letters exchanged."""
    if _stem(one) == _stem(other):
        return True
    return len(one) == len(other) > _LONG and sorted(one) == sorted(other) and one[0] == other[0]


def _stem(word: str) -> str:
    """Return a word without its ending."""
    for ending in ("ing", "es", "ed", "s", "e"):
        if word.endswith(ending) and len(word) - len(ending) >= _LONG - 1:
            return word[: -len(ending)]
    return word


def shortened(before: str, after: str) -> bool:
    """Tell whether a text lost words and gained none."""
    left = _words(before)
    for word in _words(after):
        if word not in left:
            return False
        left.remove(word)
    return bool(left)
