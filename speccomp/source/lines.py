"""From character offsets in a text to lines and columns of its file."""

import re
from bisect import bisect_right
from dataclasses import dataclass, field

from speccomp.findings import Span


@dataclass(frozen=True)
class Lines:
    """A text with line feeds only, and where each of its lines starts."""

    file: str
    text: str
    starts: tuple[int, ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        starts = (0, *(match.end() for match in re.finditer("\n", self.text)))
        object.__setattr__(self, "starts", starts)

    def number(self, index: int) -> int:
        """Return the line, counted from 1, that the character at `index` stands in."""
        return bisect_right(self.starts, index)

    def start(self, index: int) -> int:
        """Return the offset at which the line of the character at `index` starts."""
        return self.starts[self.number(index) - 1]

    def rest(self, index: int) -> str:
        """Return the text from `index` to the end of its line."""
        end = self.text.find("\n", index)
        return self.text[index:] if end < 0 else self.text[index:end]

    def line(self, number: int) -> str:
        """Return the text of a line counted from 1, without its line feed."""
        return self.rest(self.starts[number - 1])

    def span(self, start: int, end: int) -> Span:
        """Return the place of the characters from `start` up to `end`, which it excludes."""
        first, last = self.number(start), self.number(max(start, end))
        return Span(
            self.file,
            first,
            start - self.starts[first - 1] + 1,
            last,
            max(start, end) - self.starts[last - 1] + 1,
        )
