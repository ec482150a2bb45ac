"""The arithmetic of revision indexes: what is one, what follows which, what is newer."""

import re
from dataclasses import dataclass
from enum import StrEnum

ALPHABET = "ABCDEFGHJKLMNPRTUVWY"
"""Letters of ASME Y14.35, which leaves out I, O, Q, S, X and Z (from memory)."""

INITIAL = "-"
"""Mark of the first release by ASME Y14.35 (from memory); many plants start at A instead."""

_NUMBER = re.compile(r"([0-9]{1,6})(?:\.([0-9]{1,6}))?")


class Scheme(StrEnum):
    """How a plant numbers its revisions."""

    LETTERS = "letters"
    NUMBERS = "numbers"


class RevisionError(ValueError):
    """A text that is no revision of the scheme, or a revision that nothing can follow."""


@dataclass(frozen=True, slots=True)
class Revision:
    """
    A revision index.

    `position` orders the revisions of one scheme: one number for letters, major and minor for
    numbers; `text` is as written.
    """

    scheme: Scheme
    position: tuple[int, ...]
    text: str

    def __lt__(self, other: "Revision") -> bool:
        return self.position < other.position


def parse_revision(text: str, scheme: Scheme) -> Revision:
    """
    Read a revision index.

    Letters: `-`, `A` to `Y`, then `AA` to `YY`. Numbers: `3`, `03` or `3.1`. Raises RevisionError
    with what is wrong.
    """
    if scheme is Scheme.LETTERS:
        return Revision(scheme, (_letter_position(text),), text)
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise RevisionError("a revision is a number such as 3, or two such as 3.1")
    return Revision(scheme, tuple(int(part) for part in match.groups() if part), text)


def _letter_position(text: str) -> int:
    if text == INITIAL:
        return 0
    if not text or len(text) > 2:
        raise RevisionError("a revision is one letter or two")
    wrong = next((letter for letter in text if letter not in ALPHABET), "")
    if wrong and wrong.upper() in ALPHABET:
        raise RevisionError("a revision is written in capital letters")
    if wrong:
        raise RevisionError(f"`{wrong}` is none of the letters {ALPHABET}")
    places = [ALPHABET.index(letter) + 1 for letter in text]
    return places[0] if len(places) == 1 else places[0] * len(ALPHABET) + places[1]


def next_revision(text: str | None, scheme: Scheme) -> str:
    """
    Return the revision that follows another, or the first one where there is none.

    Of numbers with a minor part the minor one is raised. Raises RevisionError for a text outside
    the scheme and after YY.
    """
    if text is None:
        return INITIAL if scheme is Scheme.LETTERS else "1"
    return following(parse_revision(text, scheme))[0]


def following(revision: Revision) -> tuple[str, ...]:
    """
    Return the indexes that may follow a revision, the usual one first.

    Raises RevisionError after YY, the last one of two letters.
    """
    if revision.scheme is Scheme.LETTERS:
        return (_letters(revision.position[0] + 1),)
    written = revision.text.split(".")
    raised = [
        str(number + 1).zfill(len(part))
        for number, part in zip(revision.position, written, strict=True)
    ]
    if len(written) == 1:
        return (raised[0],)
    return (f"{written[0]}.{raised[1]}", f"{raised[0]}.0")


def _letters(position: int) -> str:
    size = len(ALPHABET)
    if position > size * (size + 1):
        raise RevisionError("no revision of two letters follows YY")
    first, second = divmod(position - 1, size)
    return (ALPHABET[first - 1] if first else "") + ALPHABET[second]


def follows(earlier: Revision, later: Revision) -> bool:
    """Tell whether a revision is next after another; leading zeros do not count."""
    try:
        expected = [parse_revision(text, later.scheme) for text in following(earlier)]
    except RevisionError:
        return False
    return later.position in [revision.position for revision in expected]


def may_be_first(revision: Revision) -> bool:
    """Tell whether a document may begin with the revision: `-` or A, 0 or 1, 0.1 or 1.0."""
    if revision.scheme is Scheme.LETTERS:
        return revision.position[0] <= 1
    return revision.position in ((0,), (1,), (0, 0), (0, 1), (1, 0))


def must_be_first(revision: Revision) -> bool:
    """Tell whether nothing can come before the revision: `-`, 0 and 0.0."""
    return not any(revision.position)
