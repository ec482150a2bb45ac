"""What a release adds to a definition: who approved it, and from when on it holds."""

import json
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any
from urllib.parse import quote, unquote

_DIGITS = frozenset("0123456789abcdef")
_FEWEST_DIGITS = 12


@dataclass(frozen=True, slots=True)
class Approved:
    """
    An approval as a document shows it.

    `role` is a role id, `time` in UTC with seconds, `meaning` what the approval says in words.
    """

    role: str
    name: str
    time: str
    meaning: str
    signed: bool


@dataclass(frozen=True, slots=True)
class Changed:
    """What bears a change bar since a revision: ids of steps and rows, names of sections."""

    since: str
    steps: tuple[str, ...]
    rows: tuple[str, ...]
    sections: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Issue:
    """
    The issue of a revision; days are those at the site.

    `checked_on` is the day on which waivers had to hold; `register` the address of the register,
    empty where the plant gives none. `changed` is None for a first release.
    """

    released_on: date
    effective_from: date
    content_sha512: str
    approvals: tuple[Approved, ...]
    checked_on: date
    register: str
    changed: Changed | None = None

    def text(self) -> bytes:
        """Return the issue as JSON text, the same bytes for the same issue."""
        plain = asdict(self)
        for name in ("released_on", "effective_from", "checked_on"):
            plain[name] = plain[name].isoformat()
        return (json.dumps(plain, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()


def parse_issue(data: bytes) -> Issue:
    """Read an issue from JSON text. Errors: ValueError with what is wrong."""
    try:
        plain: dict[str, Any] = json.loads(data)
        return Issue(
            date.fromisoformat(plain["released_on"]),
            date.fromisoformat(plain["effective_from"]),
            str(plain["content_sha512"]),
            tuple(Approved(**approval) for approval in plain["approvals"]),
            date.fromisoformat(plain["checked_on"]),
            str(plain["register"]),
            _changed(plain["changed"]),
        )
    except (AttributeError, KeyError, TypeError, RecursionError) as error:
        raise ValueError(f"it is no issue of a document: {error}") from error


def _changed(plain: dict[str, Any] | None) -> Changed | None:
    if plain is None:
        return None
    lists = (tuple(map(str, plain[name])) for name in ("steps", "rows", "sections"))
    return Changed(str(plain["since"]), *lists)


@dataclass(frozen=True, slots=True)
class SheetCode:
    """What the square code on a sheet says; `digest` may be the beginning of the content's."""

    number: str
    revision: str
    digest: str

    def text(self, register: str = "") -> str:
        """Return the text of the code, behind the register's address where there is one."""
        code = "/".join((quote(self.number, safe=""), quote(self.revision, safe=""), self.digest))
        return f"{register}#{code}" if register else code


def parse_sheet_code(text: str) -> SheetCode:
    """
    Read what was scanned, or number, revision and digest typed with blanks between.

    Errors: ValueError with what is wrong.
    """
    code = text.strip().rpartition("#")[2]
    parts = code.split("/") if "/" in code else code.split()
    if len(parts) != 3 or not all(parts):
        raise ValueError(
            "a code holds number, revision and digest, such as `PD-117 B 1f40fc92da24`"
        )
    number, revision, digest = (unquote(part) for part in parts)
    digest = digest.lower()
    if not set(digest) <= _DIGITS:
        raise ValueError("the digest has signs other than 0 to 9 and a to f")
    if len(digest) < _FEWEST_DIGITS:
        raise ValueError(f"type at least the first {_FEWEST_DIGITS} digits of the digest")
    return SheetCode(number, revision, digest)
