"""
The form of document numbers: regular expressions that are matched without ever going back.

A plant may write any pattern; a matcher that tries one way after the other could take years over
some. This one keeps all places that the text may be at, so its time is bounded by the length of
the pattern times the square of that of the text.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

MOST_SIGNS = 200
"""Longest pattern."""

_MOST_TIMES = 100
_TOKEN = re.compile(
    r"(?P<sign>\\[dDwWsS]|\\[^A-Za-z0-9]|\[\^?\]?(?:\\.|[^\]\\])*\]|[^\\\[\](){}*+?|^$])"
    r"|(?P<times>[*+?]|\{[0-9]+(?:,[0-9]*)?\})|(?P<open>\((?:\?:)?(?!\?))|(?P<close>\))|(?P<or>\|)",
    re.DOTALL,
)

_Step = Callable[[str, int], frozenset[int]]


class PatternError(ValueError):
    """A pattern that is not taken; the message says what is wrong with it."""


@dataclass(frozen=True, slots=True)
class NumberPattern:
    """A pattern that was read."""

    text: str
    step: _Step

    def fits(self, number: str) -> bool:
        """Tell whether a whole number has the form."""
        return len(number) in self.step(number, 0)


def parse_number_pattern(text: str) -> NumberPattern:
    """
    Read a pattern: signs, classes in brackets, groups, alternatives, and how often each comes.

    `^` at the start and `$` at the end change nothing. What goes back or looks around is not taken.
    Errors: PatternError.
    """
    if len(text) > MOST_SIGNS:
        raise PatternError(f"it has {len(text)} signs; the most is {MOST_SIGNS}")
    tokens = list(_tokens(text.removeprefix("^").removesuffix("$")))
    step, end = _choice(tokens, 0)
    if end < len(tokens):
        raise PatternError("a bracket `)` closes nothing")
    return NumberPattern(text, step)


def _tokens(text: str) -> Iterator[tuple[str, str]]:
    at = 0
    while at < len(text):
        found = _TOKEN.match(text, at)
        if found is None:
            raise PatternError(f"`{text[at : at + 3]}` at sign {at + 1} is not taken")
        yield found.lastgroup or "", found.group()
        at = found.end()


def _choice(tokens: list[tuple[str, str]], at: int) -> tuple[_Step, int]:
    """Read alternatives up to a closing bracket or the end."""
    options: list[_Step] = []
    while True:
        parts: list[_Step] = []
        while at < len(tokens) and tokens[at][0] in ("sign", "open"):
            part, at = _part(tokens, at)
            parts.append(part)
        options.append(_in_a_row(parts))
        if at == len(tokens) or tokens[at][0] == "close":
            return _one_of(options), at
        if tokens[at][0] == "times":
            raise PatternError(f"`{tokens[at][1]}` repeats nothing")
        at += 1


def _part(tokens: list[tuple[str, str]], at: int) -> tuple[_Step, int]:
    """Read a sign or a group, and how often it comes."""
    sort, text = tokens[at]
    if sort == "sign":
        step, at = _sign(text), at + 1
    else:
        step, at = _choice(tokens, at + 1)
        if at == len(tokens):
            raise PatternError("a bracket `(` is not closed")
        at += 1
    if at < len(tokens) and tokens[at][0] == "times":
        return _repeated(step, *_times(tokens[at][1])), at + 1
    return step, at


def _times(text: str) -> tuple[int, int]:
    if text in "*+?":
        return {"*": (0, _MOST_TIMES), "+": (1, _MOST_TIMES), "?": (0, 1)}[text]
    low, comma, high = text[1:-1].partition(",")
    least = int(low)
    most = int(high) if high else (_MOST_TIMES if comma else least)
    if not least <= most <= _MOST_TIMES:
        raise PatternError(f"`{text}` is no number of times up to {_MOST_TIMES}")
    return least, most


def _kept(step: _Step) -> _Step:
    """Return the same step; what follows from one place of one text is found once."""
    known: dict[tuple[str, int], frozenset[int]] = {}

    def look(text: str, at: int) -> frozenset[int]:
        if (text, at) not in known:
            known[text, at] = step(text, at)
        return known[text, at]

    return look


def _sign(text: str) -> _Step:
    try:
        one = re.compile(text, re.DOTALL)
    except re.error as error:
        raise PatternError(f"`{text}` is no class of signs: {error.msg}") from error
    return lambda number, at: frozenset({at + 1} if one.fullmatch(number[at : at + 1]) else ())


def _in_a_row(parts: list[_Step]) -> _Step:
    def step(text: str, at: int) -> frozenset[int]:
        places = frozenset({at})
        for part in parts:
            places = frozenset(end for place in places for end in part(text, place))
        return places

    return _kept(step)


def _one_of(options: list[_Step]) -> _Step:
    if len(options) == 1:
        return options[0]
    return _kept(lambda text, at: frozenset().union(*(option(text, at) for option in options)))


def _repeated(part: _Step, least: int, most: int) -> _Step:
    def step(text: str, at: int) -> frozenset[int]:
        places, found = frozenset({at}), frozenset({at} if least == 0 else ())
        for count in range(1, most + 1):
            following = frozenset(end for place in places for end in part(text, place))
            if count >= least:
                found |= following
            if following == places:  # nothing moves any more
                return found | following
            places = following
        return found

    return _kept(step)
