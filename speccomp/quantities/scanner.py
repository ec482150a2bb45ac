"""The words and signs of a toleranced value, with their places in the text."""

import re
from dataclasses import dataclass

from speccomp.quantities.errors import QuantityError

LONGEST = 200

# Each alternative is bounded or consumes what it tests, so scanning is linear in the text.
_TOKEN = re.compile(
    r"""
    (?P<number>[0-9]+(?:\.[0-9]+)?(?:[eE][+-]?[0-9]{1,2}(?!\w))?)
  | (?P<plusminus>±|\+/[-−]|\+[-−])
  | (?P<sign>[-+−])
  | (?P<dash>[–—])
  | (?P<at_least>≥|>=|(?i:at\s{1,9}least(?!\w)))
  | (?P<at_most>≤|<=|(?i:at\s{1,9}most(?!\w)))
  | (?P<to>(?i:to)(?![^\W\d_]))
  | (?P<join>[/·⋅∙*×])
  | (?P<word>(?:[^\W\d_]|[°℃℉%"'′″Ω])(?:[\w°℃℉%"'′″Ω.^]|-(?=[^\W\d_]))*)
  | (?P<other>\S)
    """,
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class Token:
    """One word or sign: its sort, its text, and its place in characters from 0."""

    sort: str
    text: str
    start: int
    end: int


class Tokens:
    """The tokens of one text, read from left to right."""

    def __init__(self, text: str) -> None:
        self._tokens = _scan(text)
        self._next = 0
        self._end = len(text)

    def peek(self, ahead: int = 0) -> Token:
        """Return a coming token without taking it; one of sort `end` after the last."""
        place = self._next + ahead
        if place < len(self._tokens):
            return self._tokens[place]
        return Token("end", "", self._end, self._end)

    def take(self, *sorts: str) -> Token | None:
        """Take the next token if it is of one of the sorts."""
        token = self.peek()
        if token.sort not in sorts:
            return None
        self._next += 1
        return token


def _scan(text: str) -> list[Token]:
    if len(text) > LONGEST:
        raise QuantityError(
            f"a value of {len(text)} characters is longer than {LONGEST}", LONGEST, len(text)
        )
    return [
        Token(str(match.lastgroup), match[0], match.start(), match.end())
        for match in _TOKEN.finditer(text)
    ]
