"""Sentences of a text, their words, and whether they tell somebody to do something."""

import re
from collections.abc import Iterator, Set
from dataclasses import dataclass

from speccomp.rules.words import (
    ABBREVIATIONS,
    CLEAR_VERBS,
    CONDITIONS,
    DETERMINERS,
    FINITE,
    NOUNS,
    ONWARD,
    OPENINGS,
    VERBS,
)

_END = re.compile(r"[.!?][\"”’)]*\s+(?=[\"“(]*[A-Z0-9])")
_WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*")
_LEAD = re.compile(r"(?:[\s\"“(*_•]|-\s|\d+[.)]\s)*")
_ORDINAL = re.compile(r"\s*\d+\.")
_LONGEST_ABBREVIATION = 8
# Longer sentences are looked at up to here: the time taken must not grow with the square.
_LONGEST_SENTENCE = 2000
_MOST_ONWARD = 4
_MARK = re.compile(r"[,;:.]")
_CLAUSE = re.compile(r"[,:]\s+")
_MEASURE = re.compile(
    r"(?<![\d.,])[\d.,]++(?:\s*(?:±|\+/-|to|–)\s*[\d.,]++)?\s*"
    r"(?:°?[CF]\b|deg[CF]\b|[mkµ]?g\b|lb\b|oz\b|[mcµ]?m[23]?\b|in\b|m?L\b|s\b|min\b|h\b|rpm\b|%|"
    r"K\b|[kM]?Pa\b|bar\b|psi\b)"
)
_JOINT = re.compile(
    r"(?P<strong>;\s*(?:and\s+)?(?:then\s+)?|(?:,|(?<![\s,]))\s++(?:and\s++)?then\s++)"
    r"|(?:,|(?<![\s,]))\s++and\s++",
    re.IGNORECASE,
)
_AFTER_JOINT = re.compile(r"(?:[a-z]+ly\s+)?(?P<verb>[A-Za-z][A-Za-z-]*)\s*(?P<next>[\w-]*)")
_TO_DO = re.compile(r"\bto\s+(?P<verb>[a-z-]+)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence and where it starts in its text."""

    text: str
    start: int


def sentences(text: str) -> Iterator[Sentence]:
    """Split a text into sentences; `approx.` does not end one, nor a leading `1.`."""
    start = 0
    for match in _END.finditer(text):
        before = text[max(start, match.start() - _LONGEST_ABBREVIATION) : match.start() + 1]
        numbered = match.start() - start <= _LONGEST_ABBREVIATION and _ORDINAL.fullmatch(before)
        if not numbered and before.split()[-1].lower() not in ABBREVIATIONS:
            yield Sentence(text[start : match.end()].rstrip(), start)
            start = match.end()
    if text[start:].strip():
        yield Sentence(text[start:].rstrip(), start)


def word_count(sentence: str) -> int:
    """Count the words of a sentence; a number with its unit is one word."""
    measures = len(_MEASURE.findall(sentence))
    rest = _MEASURE.sub(" ", sentence)
    return measures + sum(any(c.isalnum() for c in word) for word in rest.split())


def is_verb(word: str, more: Set[str] = frozenset()) -> bool:
    """Tell whether a word can tell somebody to do something; `more` are a plant's own verbs."""
    low = word.lower()
    if low in VERBS or low in more:
        return True
    return any(low.removeprefix(prefix) in VERBS for prefix in ("re-", "pre-", "de-", "re", "pre"))


def first_word(sentence: str) -> tuple[int, int]:
    """Return where the first word of a sentence stands, as start and end."""
    lead = _LEAD.match(sentence)
    start = lead.end() if lead else 0
    word = _WORD.match(sentence, start)
    return (start, word.end()) if word else (start, len(sentence))


def is_imperative(sentence: str, more: Set[str] = frozenset()) -> bool:
    """
    Tell whether a sentence tells somebody to do something.

    It begins with a verb, also after `Never`, `Then` or an adverb, or after a leading condition
    or phrase that a comma ends.
    """
    rest = sentence[:_LONGEST_SENTENCE]
    for _ in range(_MOST_ONWARD):
        start, end = first_word(rest)
        word = rest[start:end].lower()
        rest = rest[end:].lstrip(" ,")
        if is_verb(word, more):
            return _second_word(rest) not in FINITE
        if word not in ONWARD and not word.endswith("ly"):
            break
    if word in CONDITIONS or word in OPENINGS or word.endswith("ing"):
        return any(is_imperative(part, more) for part in _CLAUSE.split(rest)[1:] if part)
    return False


def is_order(sentence: str) -> bool:
    """Tell whether a sentence of a note is an instruction, and not a fact that looks like one."""
    start, end = first_word(sentence)
    word = sentence[start:end].lower()
    second = _second_word(sentence[end:])
    if word == "do":
        return second == "not"
    if word in ("never", "always"):
        return is_verb(second)
    if word in ("note", "see"):
        return False
    if word in CLEAR_VERBS - NOUNS and second not in OPENINGS | FINITE:
        return True
    return is_verb(word) and second in DETERMINERS


def _second_word(rest: str) -> str:
    """Return the first word of what follows the first one, in small letters."""
    found = _WORD.match(rest.lstrip())
    return found[0].lower() if found else ""


def second_action(sentence: str, more: Set[str] = frozenset()) -> tuple[int, int] | None:
    """
    Return where a sentence begins to tell a second thing to do, as start and end of its verb.

    `Clean and dry the part` is taken as one action, and so is what follows `to`: in `tap the
    mould to close pores and let air out` the second verb belongs to the purpose.
    """
    start, end = first_word(sentence)
    if sentence[start:end].lower() in ("do", "never") or not is_imperative(sentence, more):
        return None
    for joint in _JOINT.finditer(sentence, 0, _LONGEST_SENTENCE):
        after = _AFTER_JOINT.match(sentence, joint.end())
        if after is None or not is_verb(after["verb"], more):
            continue
        if joint["strong"] or _begins_action(sentence, joint, after):
            return after.span("verb")
    return None


def _begins_action(sentence: str, joint: re.Match[str], after: re.Match[str]) -> bool:
    """Tell whether the verb after a plain `and` is one, and not the second part of another."""
    before = sentence[: joint.start()]
    clause = [word for word in _MARK.split(before)[-1].split() if not word.endswith("ly")]
    purposes = (is_verb(purpose["verb"]) for purpose in _TO_DO.finditer(before))
    if len(clause) < 2 or any(purposes):
        return False
    return after["next"].lower() in DETERMINERS or after["verb"].lower() in CLEAR_VERBS
