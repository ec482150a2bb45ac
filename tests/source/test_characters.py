"""Which bytes are text, and which characters show what they are."""

import unicodedata

import pytest

from speccomp.source.characters import MAX_COMBINING, decode_text, find_refused
from speccomp.source.yaml_tree import parse_tree
from tests.source.places import faults, listed, place


def decoded(data: bytes) -> str:
    outcome = decode_text(data, "a.yaml")
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value


def refused(data: bytes) -> tuple[str, str, str]:
    outcome = decode_text(data, "a.yaml")
    assert outcome.value is None
    (finding,) = outcome.findings
    assert finding.rule == "source.encoding"
    return place(finding.span), finding.message, finding.hint


def test_a_byte_order_mark_is_left_out_and_line_ends_become_one() -> None:
    assert decoded(b"\xef\xbb\xbfa: \xc2\xb0\r\nb:\rc:\n") == "a: °\nb:\nc:\n"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-32"])
def test_other_encodings_are_named(encoding: str) -> None:
    where, message, hint = refused("a: b\n".encode(encoding))
    assert where == "1:1-1"
    assert message.startswith(f"the file is {encoding.upper()}: it starts with the bytes FF FE")
    assert hint == "save the file as UTF-8"


def test_a_file_without_mark_in_two_byte_characters() -> None:
    where, message, hint = refused("a: b\n".encode("utf-16-le"))
    assert (where, message) == ("1:2-3", "U+0000 is a control character")
    assert hint == "save the file as UTF-8, and not as UTF-16"


def test_a_byte_of_another_encoding() -> None:
    where, message, hint = refused("a: é\r\nb: ".encode() + "82 °C".encode("cp1252"))
    assert where == "2:7-8"
    assert message == (
        "the byte 0xB0 at offset 13 (line 2) is not UTF-8, the encoding every file must have"
    )
    assert hint == "0xB0 is `°` in Windows-1252; save the file as UTF-8"


@pytest.mark.parametrize(
    ("data", "where"),
    [(b"\xff", "1:1-2"), (b"a\xc3", "1:2-3"), (b"\xed\xa0\x80", "1:1-2"), (b"\xc0\x80", "1:1-2")],
)
def test_bytes_that_are_no_text(data: bytes, where: str) -> None:
    assert refused(data)[0] == where


@pytest.mark.parametrize(
    ("character", "message"),
    [
        ("\0", "U+0000 is a control character"),
        ("\x1b", "U+001B is a control character"),
        ("\x7f", "U+007F is a control character"),
        ("\x85", "U+0085 is a control character"),
        ("\f", "U+000C is a control character"),
        ("\u200b", "U+200B (zero width space) does not show, so that two texts can look the same"),
        ("\u2028", "U+2028 (line separator) does not show"),
        ("\u202e", "U+202E (right-to-left override) changes the direction of the text"),
        ("\u2066", "U+2066 (left-to-right isolate) changes the direction of the text"),
        ("\ufeff", "U+FEFF (zero width no-break space) does not show"),
        ("\U000e0041", "U+E0041 (tag latin capital letter a) does not show"),
    ],
)
def test_characters_that_do_not_show_what_they_are(character: str, message: str) -> None:
    where, said, hint = refused(f"a: é\nb{character}: c\n".encode())
    assert where == "2:2-3"
    assert said.startswith(message)
    assert hint


def test_all_bidirectional_embeddings_overrides_and_isolates_are_refused() -> None:
    """Unicode Bidirectional Algorithm, UAX #9, table 4: explicit formatting but the marks."""
    explicit = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}
    found = [chr(c) for c in range(0x110000) if unicodedata.bidirectional(chr(c)) in explicit]
    assert len(found) == 9
    assert all(find_refused(character) is not None for character in found)


def test_all_control_characters_but_tab_and_line_feed_are_refused() -> None:
    controls = [chr(c) for c in range(0x110000) if unicodedata.category(chr(c)) == "Cc"]
    assert [c for c in controls if find_refused(c) is None] == ["\t", "\n"]


def test_writing_of_many_scripts_is_accepted() -> None:
    for text in (
        "Größe ≤ 5 µm",
        "温度 82 °C",
        "درجة الحرارة",
        "θερμοκρασία",
        "नमी",
        "😀",
        "a\u00a0b",
    ):
        assert find_refused(text) is None


def test_a_run_of_combining_marks() -> None:
    """Unicode Normalization Forms, UAX #15: stream-safe text has at most 30 marks in a row."""
    assert MAX_COMBINING == 30
    assert find_refused("a" + "\u0301" * 30) is None
    assert find_refused("a" + ("\u0301" * 30 + "b") * 100) is None
    fault = find_refused("a" + "\u0301" * 31)
    assert fault is not None
    assert fault.index == 31


def test_the_first_refused_character_is_named() -> None:
    fault = find_refused("a\u202e" + "\u0301" * 40)
    assert fault is not None
    assert fault.index == 1
    later = find_refused("a" + "\u0301" * 40 + "\u202e")
    assert later is not None
    assert later.index == 31


def test_a_tree_holds_none_of_them_either() -> None:
    assert faults("a: b\u202ec\n") == ["encoding 1:5-6"]
    assert faults("a: b\ud800c\n") == ["encoding 1:5-6"]


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ('a: "x\\0"\n', "1:6-8"),
        ('a: "é \\u202e"\n', "1:7-13"),
        ('a: "\\U0000202E"\n', "1:5-15"),
        ('a: "\\x41\\x7f"\n', "1:9-13"),
        ('a: "\\\\L \\L"\n', "1:9-11"),
        ('a: "\\ud800"\n', "1:5-11"),
        ('"\\e": b\n', "1:2-4"),
    ],
)
def test_escapes_that_give_them(text: str, expected: str) -> None:
    outcome = parse_tree(text, "a.yaml")
    assert listed(outcome.findings) == [f"encoding {expected}"]
    assert outcome.value is None


@pytest.mark.usefixtures("parser")
def test_a_run_of_combining_marks_by_escapes() -> None:
    assert faults('a: "' + "\\u0301" * 31 + '"\n') == ["encoding 1:4-192"]


def test_two_bytes_for_each_character_without_a_mark_are_told() -> None:
    (finding,) = decode_text("title: 5 ± 1 mm\n".encode("utf-16-le"), "a.yaml").findings
    assert finding.hint == "the file looks like UTF-16; save the file as UTF-8"
