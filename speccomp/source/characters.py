"""Which characters a file may hold: those that show what they are."""

import re
import unicodedata
from dataclasses import dataclass

from speccomp.findings import Finding, Outcome
from speccomp.source.lines import Lines
from speccomp.source.refusal import refuse

MAX_COMBINING = 30
"""Longest run of combining marks: the limit of the stream-safe text format, Unicode UAX #15."""

# Control characters but tab and line feed; the line separators that editors count differently;
# what has no width; what changes the direction of the text around it; halves of surrogate pairs.
_REFUSED = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b\u2028-\u202e\u2060-\u2064\u2066-\u2069"
    "\ufeff\ufff9-\ufffb\ufffe\uffff\ud800-\udfff\U000e0000-\U000e007f]"
)
_MARKS = re.compile(f"[^\x00-\u02ff]{{{MAX_COMBINING + 1},}}")
_BYTE_ORDER_MARKS = (
    (b"\xff\xfe\x00\x00", "UTF-32"),
    (b"\x00\x00\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16"),
    (b"\xfe\xff", "UTF-16"),
)
_SAVE_AS = "save the file as UTF-8"


@dataclass(frozen=True, slots=True)
class CharacterFault:
    """A character that is refused: its offset, how to name it, and what is wrong with it."""

    index: int
    name: str
    reason: str


def find_refused(text: str) -> CharacterFault | None:
    """Return the first character of a text that no file may hold, if there is one."""
    match = _REFUSED.search(text)
    marks = _long_run_of_marks(text)
    if match is not None and (marks is None or match.start() < marks):
        return CharacterFault(match.start(), name_character(match.group()), _reason(match.group()))
    if marks is not None:
        reason = f"is one of more than {MAX_COMBINING} combining marks in a row"
        return CharacterFault(marks, name_character(text[marks]), reason)
    return None


def check_characters(lines: Lines) -> Finding | None:
    """Return a finding about the first refused character of a file's text."""
    fault = find_refused(lines.text)
    if fault is None:
        return None
    hint = "delete it; it may be there without showing"
    if fault.name == "U+0000":
        hint = f"{_SAVE_AS}, and not as UTF-16"
    span = lines.span(fault.index, fault.index + 1)
    return refuse("encoding", span, f"{fault.name} {fault.reason}", hint)


def name_character(character: str) -> str:
    """Return the code point with its Unicode name where it has one."""
    name = unicodedata.name(character, "")
    return f"U+{ord(character):04X}" + (f" ({name.lower()})" if name else "")


def decode_text(data: bytes, file: str) -> Outcome[str]:
    """
    Return the text of a file with line feeds only and without a leading byte order mark.

    Findings: `source.encoding` for another encoding, an invalid byte or a refused character.
    """
    for mark, encoding in _BYTE_ORDER_MARKS:
        if data.startswith(mark):
            message = f"the file is {encoding}: it starts with the bytes {mark.hex(' ').upper()}"
            return Outcome(
                None, (refuse("encoding", Lines(file, "").span(0, 0), message, _SAVE_AS),)
            )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return Outcome(None, (_invalid_byte(data, error.start, file),))
    text = with_line_feeds(text.removeprefix("\ufeff"))
    finding = check_characters(Lines(file, text))
    return Outcome(text) if finding is None else Outcome(None, (finding,))


def with_line_feeds(text: str) -> str:
    """Return the text with every line end written as one line feed."""
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


def _invalid_byte(data: bytes, offset: int, file: str) -> Finding:
    """Say which byte is not UTF-8, and what it would be in the encoding it likely comes from."""
    before = with_line_feeds(data[:offset].decode("utf-8").removeprefix("\ufeff"))
    lines = Lines(file, f"{before}?")
    span = lines.span(len(before), len(before) + 1)
    byte = data[offset]
    message = (
        f"the byte 0x{byte:02X} at offset {offset} (line {span.line}) is not UTF-8, "
        "the encoding every file must have"
    )
    meant = bytes([byte]).decode("cp1252", errors="ignore")
    if data.count(0) * 3 > len(data):
        return refuse("encoding", span, message, f"the file looks like UTF-16; {_SAVE_AS}")
    known = f"0x{byte:02X} is `{meant}` in Windows-1252; " if meant.isprintable() and meant else ""
    return refuse("encoding", span, message, f"{known}{_SAVE_AS}")


def _long_run_of_marks(text: str) -> int | None:
    """Return where a run of combining marks gets too long; sorting them takes quadratic time."""
    for match in _MARKS.finditer(text):
        length = 0
        for index in range(match.start(), match.end()):
            length = length + 1 if unicodedata.combining(text[index]) else 0
            if length > MAX_COMBINING:
                return index
    return None


def _reason(character: str) -> str:
    """Say why a character is refused."""
    if "\ud800" <= character <= "\udfff":
        return "is half of a surrogate pair and no character"
    if character in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069":
        return "changes the direction of the text, so that it shows otherwise than it reads"
    if unicodedata.category(character) == "Cc":
        return "is a control character"
    return "does not show, so that two texts can look the same and differ"
