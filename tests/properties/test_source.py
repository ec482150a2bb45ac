"""Arbitrary bytes and text are read or refused; referees are the readers of the libraries."""

import json
import unicodedata
from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from speccomp.findings import Finding, Span
from speccomp.source import yaml_tree
from speccomp.source.characters import decode_text, find_refused
from speccomp.source.images import ImageFault, check_image
from speccomp.source.project import load_sources
from speccomp.source.reader import Project, resolve_reference
from speccomp.source.yaml_tree import MAX_DEPTH, Plain, Tree, dump_scalar, parse_tree

PROFILE = settings(
    max_examples=150,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.filter_too_much],
)

PARSERS = st.sampled_from([yaml.CSafeLoader, yaml.SafeLoader])
PIECES = [
    *("a", "b", "key", "°", "e\u0301", "😀", "no", "4:1", "~", "0", "%", "@", "`", "=", "\u00a0"),
    *(": ", ":", "- ", "-", "? ", "?", ", ", ",", "{", "}", "[", "]", '"', "'", "#", " #", "|"),
    *(">", "&a ", "*a", "!x ", "<<", "---", "...", "\\", "\\n", "\\u0041", "\\x4", "\\ud800"),
    *("\n", "\n  ", "\n    ", "\n- ", "\n  - ", "\nkey: ", "\nb: ", "\n  b: ", "  ", "\t", "\r"),
]
YAMLISH = st.lists(st.sampled_from(PIECES), max_size=25).map("".join)
TEXTS = st.one_of(YAMLISH, st.text(max_size=40))
READABLE = st.text(st.characters(exclude_categories=["Cs"]), max_size=30).filter(
    lambda text: find_refused(text) is None
)


@pytest.fixture(autouse=True)
def _parser_restored(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let a test choose the parser; the one in use before comes back."""
    monkeypatch.setattr(yaml_tree, "PARSER", yaml_tree.PARSER)


def check_findings(findings: tuple[Finding, ...], text: str) -> None:
    """All findings stand inside the text and say something."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    for finding in findings:
        span = finding.span
        assert finding.message
        assert (1, 1) <= (span.line, span.column) <= (span.end_line, span.end_column)
        assert span.end_line <= len(lines)
        assert span.end_column <= len(lines[span.end_line - 1]) + 2


def check_plain(data: Plain, depth: int = 0) -> None:
    """Only texts without refused characters, lists and mappings, within the bound of depth."""
    assert depth <= MAX_DEPTH
    match data:
        case str():
            assert find_refused(data) is None
            assert unicodedata.is_normalized("NFC", data)
        case list():
            for item in data:
                check_plain(item, depth + 1)
        case dict():
            for key, value in data.items():
                check_plain(key, depth)
                check_plain(value, depth + 1)


def slice_of(text: str, span: Span) -> str:
    lines = text.split("\n")
    assert span.line == span.end_line
    return lines[span.line - 1][span.column - 1 : span.end_column - 1]


def at(data: Plain, path: yaml_tree.Path) -> Plain:
    for key in path:
        data = data[key]  # type: ignore[index, call-overload]
    return data


def check_places(tree: Tree) -> None:
    """Every path leads to data, and a text that stands in the file as it is stands there."""
    for path, node in tree.nodes.items():
        value = at(tree.data, path)
        if path and node.key is not None:
            assert isinstance(path[-1], str)
        if node.text_start is not None:
            assert isinstance(value, str)
            inside = tree.span_inside(path, 0, len(value))
            assert slice_of(tree.text, inside) == value
            assert node.plain == (inside == node.value and node.text_start == 0)


@PROFILE
@given(text=TEXTS, parser=PARSERS)
@example(text='a: "\\U00110000"', parser=yaml.SafeLoader)
@example(text='a: "\\Uffffffff"', parser=yaml.SafeLoader)
@example(text="&a [*a]", parser=yaml.CSafeLoader)
def test_any_text_is_read_or_refused(text: str, parser: type) -> None:
    yaml_tree.PARSER = parser
    outcome = parse_tree(text, "a.yaml")
    check_findings(outcome.findings, text)
    if outcome.value is None:
        assert outcome.findings
    else:
        check_plain(outcome.value.data)
        check_places(outcome.value)


@PROFILE
@given(text=YAMLISH.filter(lambda text: "?" not in text))
@example(text="a: {b: , c: }\n")
@example(text="a: >#b\n")
def test_both_parsers_accept_the_same_and_read_the_same(text: str) -> None:
    """The parser in Python refuses a `?` between brackets; nothing else may differ."""
    yaml_tree.PARSER = yaml.CSafeLoader
    first = parse_tree(text, "a.yaml")
    yaml_tree.PARSER = yaml.SafeLoader
    second = parse_tree(text, "a.yaml")
    assert (first.findings == ()) == (second.findings == ())
    if first.findings == ():
        assert first == second


@PROFILE
@given(text=YAMLISH, parser=PARSERS)
def test_what_is_accepted_is_what_the_library_reads_as_texts(text: str, parser: type) -> None:
    yaml_tree.PARSER = parser
    outcome = parse_tree(text, "a.yaml")
    if outcome.findings == () and outcome.value is not None:
        expected = yaml.load(text, yaml.BaseLoader)
        assert normalised(expected) == outcome.value.data


def normalised(data: Plain) -> Plain:
    match data:
        case str():
            return unicodedata.normalize("NFC", data)
        case list():
            return [normalised(item) for item in data]
        case dict():
            return {unicodedata.normalize("NFC", k): normalised(v) for k, v in data.items()}


@PROFILE
@given(
    data=st.dictionaries(
        READABLE,
        st.recursive(
            READABLE,
            lambda inner: (
                st.lists(inner, max_size=4) | st.dictionaries(READABLE, inner, max_size=4)
            ),
            max_leaves=12,
        ),
        max_size=5,
    ),
    parser=PARSERS,
)
def test_json_is_read_as_json(data: dict[str, Plain], parser: type) -> None:
    """YAML 1.2.2 section 1.2: every JSON text of objects, arrays and strings is YAML."""
    yaml_tree.PARSER = parser
    expected = normalised(data)
    text = json.dumps(expected, ensure_ascii=False)
    outcome = parse_tree(text, "a.json")
    assert outcome.findings == ()
    assert outcome.value is not None
    assert outcome.value.data == json.loads(text) == expected


@PROFILE
@given(text=st.one_of(READABLE, YAMLISH).filter(lambda t: find_refused(t) is None), parser=PARSERS)
@example(text="at: 5", parser=yaml.SafeLoader)
@example(text="-5 ± 1", parser=yaml.SafeLoader)
def test_a_written_scalar_is_read_back(text: str, parser: type) -> None:
    yaml_tree.PARSER = parser
    written = dump_scalar(text)
    assert "\n" not in written
    for frame in ("k: {}\n", "k: {{a: {}, b: c}}\n", "k: [{}]\n", "- {}\n"):
        tree = parse_tree("r:\n  " + frame.format(written), "a.yaml")
        assert tree.findings == ()
        assert tree.value is not None
        found = {
            "k: {}\n": ("r", "k"),
            "k: {{a: {}, b: c}}\n": ("r", "k", "a"),
            "k: [{}]\n": ("r", "k", 0),
            "- {}\n": ("r", 0),
        }[frame]
        assert at(tree.value.data, found) == unicodedata.normalize("NFC", text)


@PROFILE
@given(data=st.one_of(st.binary(max_size=60), TEXTS.map(lambda t: t.encode("utf-8", "replace"))))
def test_any_bytes_are_a_file_or_refused(
    data: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    root = tmp_path_factory.mktemp("project", numbered=True)
    (root / "a.yaml").write_bytes(data)
    outcome = load_sources(Project(root.resolve()), "a.yaml")
    assert (outcome.value is None) <= bool(outcome.findings)
    decoded = decode_text(data, "a.yaml")
    if decoded.value is not None:
        assert "\r" not in decoded.value
        assert decoded.value.encode() == data.removeprefix(b"\xef\xbb\xbf").replace(
            b"\r\n", b"\n"
        ).replace(b"\r", b"\n")


@PROFILE
@given(
    reference=st.one_of(
        st.text(max_size=20),
        st.lists(
            st.sampled_from(["..", ".", "", "a", "~", "C:", "\\", "\0", "http:", " "]), max_size=6
        ).map("/".join),
    )
)
def test_no_reference_leads_out_of_the_project(
    reference: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    root = Path(tmp_path_factory.getbasetemp()).resolve() / "root"
    outcome = resolve_reference(Project(root), "parts/a.yaml", reference, Span("parts/a.yaml"))
    if outcome.value is None:
        assert outcome.findings
    else:
        assert (root / outcome.value).resolve().is_relative_to(root)
        assert ".." not in outcome.value.split("/")


@PROFILE
@given(
    data=st.one_of(
        st.binary(max_size=60),
        st.binary(max_size=40).map(lambda rest: b"\x89PNG\r\n\x1a\n" + rest),
        st.binary(max_size=40).map(lambda rest: b"\xff\xd8\xff" + rest),
        st.text(max_size=40).map(lambda rest: f"<svg {rest}".encode("utf-8", "replace")),
    )
)
def test_any_bytes_are_a_picture_or_refused(data: bytes) -> None:
    try:
        assert check_image(data) in ("image/png", "image/jpeg", "image/svg+xml")
    except ImageFault as fault:
        assert fault.reason
