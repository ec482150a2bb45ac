"""Find phrases in the words of an instruction."""

import re
from functools import cache

_NEGATIONS = re.compile(r"\b(no|not|never|without|nor|avoid|instead of)\b|n['’]t\b", re.IGNORECASE)


@cache
def _pattern(phrase: str) -> re.Pattern[str]:
    stem = phrase.removesuffix("*")
    words = r"[\s-]+".join(re.escape(word) for word in re.split(r"[\s-]+", stem) if word)
    end = r"\w*" if phrase.endswith("*") else ""
    return re.compile(rf"(?<!\w){words}{end}(?!\w)", re.IGNORECASE)


@cache
def _first_word(phrase: str) -> str:
    return re.split(r"[\s-]+", phrase.removesuffix("*").lower())[0]


def may_hold(phrase: str, lowered: str) -> bool:
    """Tell quickly whether a text in lower case may hold a phrase."""
    return _first_word(phrase) in lowered


def find_phrase(phrase: str, text: str) -> tuple[int, int] | None:
    """
    Return where a phrase stands in a text as whole words, or nothing.

    Case does not count, a hyphen is a space; a star at its end stands for any ending.
    """
    match = _pattern(phrase).search(text)
    return match.span() if match else None


def find_order(phrase: str, text: str) -> tuple[int, int] | None:
    """Return where a text orders what the phrase says; a sentence that says not to is passed."""
    start = 0
    for sentence in re.split(r"(?<=[.;!?])\s+", text):
        place = find_phrase(phrase, sentence)
        offset = text.index(sentence, start)
        if place is not None and not _NEGATIONS.search(sentence[: place[0]]):
            return offset + place[0], offset + place[1]
        start = offset + len(sentence)
    return None
