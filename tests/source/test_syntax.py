"""What an author slipped on, said at the place and in words that help."""

import pytest

from tests.source.places import fault, faults, place

pytestmark = pytest.mark.usefixtures("parser")

SLIPS = [
    ("a:\n\tb: c\n", "2:1-2", "a tab character indents the line"),
    ("a:\n  -\tb\n", "2:4-5", "a tab character stands here"),
    ("a:\n  b: c\n\u00a0\u00a0d: e\n", "3:1-2", "U+00A0 (no-break space) indents the line"),
    ("a: b\nc:d\ne: f\n", "2:2-3", "there is no space after the colon in `c:d`, so it is no key"),
    ("c:d\ne: f\n", "1:2-3", "there is no space after the colon in `c:d`, so it is no key"),
    ("- a: b\n  c:d\n", "2:4-5", "there is no space after the colon in `c:d`, so it is no key"),
    ("a: {b:c}\n", "1:6-7", "there is no space after the colon in `b:c`, so it is no key"),
    (
        "do: Mix: until smooth\n",
        "1:8-9",
        "the text of `do` holds a second colon with a space after it",
    ),
    (
        "- do: Mix\n  on: x: y\n",
        "2:8-9",
        "the text of `on` holds a second colon with a space after it",
    ),
    (
        "a: b\n  c: d\n",
        "2:3-5",
        "`c:` is read as more of the text in line 1, and such text holds no colon",
    ),
    (
        "a: b\nc\nd: e\n",
        "2:1-2",
        "`c` stands alone: it is neither a key with a colon nor a list item",
    ),
    (
        "k" * 1100 + ": b\n",
        "1:1-1101",
        "the key has 1100 characters; at most 1024 are possible",
    ),
    ("a: {b:}\n", "1:6-7", "a colon stands here without a space after it"),
    ("a: {b:[c]}\n", "1:6-7", "a colon stands here without a space after it"),
    ("a: {b: c\nd: e\n", "1:4-5", "the bracket `{` is not closed before line 2"),
    ("a: [b, c\nd: e\n", "1:4-5", "the bracket `[` is not closed before line 2"),
    ("a: [b,\n", "1:4-5", "the bracket `[` is not closed before the end of the file"),
    ("a: {b: [c, d", "1:8-9", "the bracket `[` is not closed before the end of the file"),
    ("a: [b]]\n", "1:7-8", "`]` follows after a closing bracket"),
    ("}\n", "1:1-2", "the closing bracket `}` has no opening one"),
    ("a: {b} text\n", "1:8-9", "`text` follows after a closing bracket"),
    (
        "a: {b: c d: e}\n",
        "1:11-12",
        "a colon stands between brackets where a comma or the closing bracket is expected",
    ),
    (
        'a: ["b" "c"]\n',
        "1:9-10",
        '`"c"]` stands between brackets where a comma or the closing bracket is expected',
    ),
    (
        "a: {b: smooth, no lumps}\n",
        "1:16-24",
        "`no lumps` stands between braces without a colon, as a key without a value",
    ),
    ("a: [b,,c]\n", "1:7-8", "a comma stands where a value is expected"),
    ("a: , b\n", "1:4-5", "a comma stands where a value is expected"),
    ("a: [\n- b\n]\n", "2:1-2", "a list with dashes stands between brackets"),
    ('a: "b\nc: d\n', "1:4-5", 'the quoted text that " opens here has no closing "'),
    ("a: 'b\nc: d\n", "1:4-5", "the quoted text that ' opens here has no closing '"),
    (
        'a: "b\nc: "d"\n',
        "1:4-5",
        'the quoted text that " opens here ends only in line 2, and more text follows there',
    ),
    ("a: 'don't'\n", "1:9-10", "`t'` follows after the closing '"),
    ('a: "b" c\n', "1:8-9", '`c` follows after the closing "'),
    ("a: %5\n", "1:4-5", "text without quotes cannot start with `%`"),
    ("a: @x\n", "1:4-5", "text without quotes cannot start with `@`"),
    ("a: `x`\n", "1:4-5", "text without quotes cannot start with ```"),
    ("a: **x**\n", "1:4-5", "text without quotes cannot start with `*`"),
    ("a: *x y\n", "1:4-5", "text without quotes cannot start with `*`"),
    ("a: [*x y]\n", "1:5-6", "text without quotes cannot start with `*`"),
    ("a: & b\n", "1:4-5", "text without quotes cannot start with `&`"),
    ("a: > 5 min\n", "1:4-5", "text without quotes cannot start with `>`"),
    ("a: >= 5 min\n", "1:4-5", "text without quotes cannot start with `>`"),
    ("a: >5\n", "1:4-5", "text without quotes cannot start with `>`"),
    ("a: |#5\n", "1:4-5", "text without quotes cannot start with `|`"),
    ("a: ? b\n", "1:4-5", "text without quotes cannot start with `?`"),
    ("a: - b\n", "1:4-5", "a list item starts in the same line as its key"),
    ("a: b\n- c\n", "2:1-2", "a list item starts here among keys"),
    (
        "a:\n    b: c\n  d: e\n",
        "3:3-4",
        "`d: e` starts in column 3, where no entry above it starts",
    ),
    (
        "steps:\n  - id: a\n  do: b\n",
        "3:3-4",
        "`do: b` starts in column 3, where no entry above it starts",
    ),
    ('a: "C:\\x"\n', "1:7-9", "`\\x` in double quotes stands for no character"),
    ('a: "50 \\% "\n', "1:8-10", "`\\%` in double quotes stands for no character"),
    ('a: "\\U00110000"\n', "1:5-7", "`\\U` in double quotes stands for no character"),
    ('a: "\\Uffffffff"\n', "1:5-7", "`\\U` in double quotes stands for no character"),
    ("a: &x &y b\n", "1:7-8", "`&y b` is not expected here"),
    (
        "# x\n%YAML 1.1\n---\na: b\n",
        "2:1-10",
        "`%YAML 1.1` is an instruction to the reader of the file, not an entry",
    ),
    (
        "%TAG ! x\n---\na: b\n",
        "1:1-9",
        "`%TAG ! x` is an instruction to the reader of the file, not an entry",
    ),
]


@pytest.mark.parametrize(("text", "where", "message"), SLIPS, ids=[repr(s[0][:20]) for s in SLIPS])
def test_slip(text: str, where: str, message: str) -> None:
    finding = fault(text)
    assert finding.rule == "source.syntax"
    assert place(finding.span) == where
    assert finding.message == message
    assert finding.hint


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("do: Mix: until\n", 'put the text in quotes: do: "Mix: until"'),
        ("c:d\ne: f\n", "write `c: d`"),
        ("a: > 5 min\n", 'put the text in quotes: "> 5 min"'),
        ("a: @x\n", 'put the text in quotes: "@x"'),
        ('a: "b\n', 'close it with "'),
        ("a: [b\n", "close it with `]`, or put the text in quotes if the bracket belongs to one"),
    ],
)
def test_hint_shows_what_to_write(text: str, hint: str) -> None:
    assert fault(text).hint == hint


def test_a_quote_that_ends_too_late_names_its_end() -> None:
    (related,) = fault('a: "b\nc: "d"\n').related
    assert place(related.span) == "2:4-5"


def test_faults_before_the_stop_are_kept() -> None:
    assert faults("a: 1\na: 2\nb: [\n") == ["duplicate-key 2:1-2", "syntax 3:4-5"]


def test_one_slip_is_one_finding() -> None:
    assert faults("a: {b} text\n") == ["syntax 1:8-9"]
    assert faults("a: *x y\n") == ["syntax 1:4-5"]


def test_long_lines_are_shown_in_part() -> None:
    finding = fault("a: 'b' " + "x" * 1000 + "\n")
    assert len(finding.message) < 100
