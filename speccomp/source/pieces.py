"""One piece of a file as a parser reports it, and what can be wrong with it by itself."""

import re
from dataclasses import dataclass

from speccomp.findings import Finding
from speccomp.source.characters import find_refused
from speccomp.source.lines import Lines
from speccomp.source.refusal import refuse
from speccomp.source.scalars import dump_scalar

_PROPERTIES = re.compile(r"(?:[&!]\S*\s*(?:#[^\n]*\s*)*)+")
_TAG = re.compile(r"(?:&\S*\s+)?(!<[^>\s]*>|![^\s,\]}]*)")
_LAYOUT = re.compile(r"[|>][-+]?(?:[1-9]|[-+0-9]*#)")
_COLON = re.compile(r"\s*:")
_TOUCHING_COLON = re.compile(r" *:(?=[,\[\]{}])")
_COMMENT_LIKE_TEXT = re.compile(r" +(#[^\s#].*)")
_ESCAPE = re.compile(r"\\(?:x([0-9A-Fa-f]{2})|u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|[^xuU])", re.S)
_NAMED_ESCAPES = {"0": "\0", "a": "\a", "b": "\b", "v": "\v", "f": "\f", "r": "\r", "e": "\x1b"} | {
    "N": "\x85",
    "L": "\u2028",
    "P": "\u2029",
}


@dataclass(frozen=True, slots=True)
class Piece:
    """
    One event of a parser: the offsets it spans, its anchor, whether it carries a tag, its style.

    `style` is the opening character of quoted and block texts, `{` for lists and mappings in
    brackets, and empty for the rest.
    """

    start: int
    end: int
    anchor: str | None = None
    tagged: bool = False
    style: str = ""


def trim(lines: Lines, piece: Piece) -> Piece:
    """Return the piece without the anchor and tag in front and the blank lines behind it."""
    start, end = piece.start, piece.end
    if piece.anchor is not None or piece.tagged:
        match = _PROPERTIES.match(lines.text, start)
        start = min(match.end(), end) if match else start
    if piece.style in ("|", ">"):
        end = start + len(lines.text[start:end].rstrip())
    return Piece(start, end, piece.anchor, piece.tagged, piece.style)


def text_offset(lines: Lines, piece: Piece, text: str) -> int | None:
    """Return where in the piece a text starts that stands there as it is, or None."""
    raw = lines.text[piece.start : piece.end]
    if "\n" in raw:
        return None
    if piece.style == "":
        return 0 if raw == text else None
    return 1 if piece.style in ("'", '"') and raw[1:-1] == text else None


def check_tag(lines: Lines, piece: Piece) -> Finding | None:
    """Refuse a tag in front of an untrimmed piece."""
    if not piece.tagged or (tag := _TAG.match(lines.text, piece.start)) is None:
        return None
    message = f"the tag `{cut(tag[1])}` is refused: what a value means is not said by tags"
    hint = "delete the tag, or put text that starts with `!` in quotes"
    return refuse("tag", lines.span(tag.start(1), tag.end(1)), message, hint)


def check_text(lines: Lines, piece: Piece, value: str) -> Finding | None:
    """Refuse text that is not what it looks like: escapes, `>5` as layout, `#3` as a comment."""
    if piece.style == '"':
        return _check_escapes(lines, piece, value)
    if piece.style in ("|", ">") and _LAYOUT.match(lines.text, piece.start):
        return sign_at_start(lines, piece.start)
    if piece.style == "" and (match := _COMMENT_LIKE_TEXT.match(lines.text, piece.end)):
        message = f"`{cut(match[1])}` is read as a comment and is not part of the text"
        hint = "put the text in quotes, or write a space after `#` where a comment is meant"
        return refuse("comment-in-text", lines.span(match.start(1), match.end(1)), message, hint)
    return None


def check_key(lines: Lines, key: Piece) -> Finding | None:
    """Refuse a key between brackets whose colon touches a sign: readers differ about those."""
    if key.style == "" and (match := _TOUCHING_COLON.match(lines.text, key.end)):
        return touching_colon(lines, match.end() - 1)
    return None


def touching_colon(lines: Lines, colon: int) -> Finding:
    """Refuse a colon between brackets that no space follows."""
    message = "a colon stands here without a space after it"
    return refuse("syntax", lines.span(colon, colon + 1), message, "write a space after the colon")


def check_colon(lines: Lines, key: Piece, value: Piece) -> Finding | None:
    """Refuse a key between braces without a colon: a comma in a text, or no space after it."""
    name = lines.text[key.start : key.end]
    if not name or value.end > value.start or _COLON.match(lines.text, key.end):
        return None
    before, colon, after = name.partition(":")
    if colon and after and not key.style:
        return no_space_after_colon(lines, key.start + len(before), name)
    message = f"`{cut(name)}` stands between braces without a colon, as a key without a value"
    hint = "put a text that holds a comma in quotes"
    return refuse("syntax", lines.span(key.start, key.end), message, hint)


def empty_value(lines: Lines, key: Piece, value: Piece) -> Piece:
    """Return where an empty value stands: after the colon, whatever the parser says."""
    if value.end > value.start or value.anchor is not None or value.tagged:
        return value
    match = _COLON.match(lines.text, key.end)
    end = match.end() if match else key.end
    return Piece(end, end)


def no_space_after_colon(lines: Lines, colon: int, entry: str) -> Finding:
    """Refuse `key:value`, which is one text and no key with a value."""
    message = f"there is no space after the colon in `{cut(entry)}`, so it is no key"
    hint = f"write `{cut(entry.replace(':', ': ', 1))}`"
    return refuse("syntax", lines.span(colon, colon + 1), message, hint)


def sign_at_start(lines: Lines, start: int) -> Finding:
    """Refuse text without quotes whose first character, at `start`, means something else."""
    text = lines.rest(start).rstrip()
    message = f"text without quotes cannot start with `{text[:1]}`"
    hint = "put the text in quotes" + (f": {dump_scalar(text)}" if len(text) <= 60 else "")
    return refuse("syntax", lines.span(start, start + 1), message, hint)


def cut(text: str) -> str:
    """Return the first line of a text, short enough for a sentence."""
    text = text.strip().partition("\n")[0]
    return text if len(text) <= 40 else f"{text[:37]}..."


def _check_escapes(lines: Lines, piece: Piece, value: str) -> Finding | None:
    """Refuse an escape of a double-quoted text that gives a character no file may hold."""
    if "\\" not in lines.text[piece.start : piece.end] or (fault := find_refused(value)) is None:
        return None
    span = lines.span(piece.start, piece.end)
    for match in _ESCAPE.finditer(lines.text, piece.start, piece.end):
        if find_refused(_character(match)) is not None:
            span = lines.span(match.start(), match.end())
            break
    message = f"the text holds {fault.name}, which {fault.reason}"
    return refuse("encoding", span, message, "delete the escape that gives it")


def _character(escape: re.Match[str]) -> str:
    """Return the character that an escape gives, or nothing for one that is always allowed."""
    digits = escape[1] or escape[2] or escape[3]
    if digits is None:
        return _NAMED_ESCAPES.get(escape[0][1:], "")
    code = int(digits, 16)
    return chr(code) if code <= 0x10FFFF else ""
