"""No file takes long, goes deep or grows, whatever its author had in mind."""

import time

import pytest
import yaml

from speccomp.source import yaml_tree
from speccomp.source.yaml_tree import MAX_BYTES, MAX_DEPTH, MAX_NODES, parse_tree
from tests.source.places import fault, faults

N = MAX_BYTES - 10_000

HOSTILE = {
    "brackets": "[" * N,
    "braces": "{" * N,
    "both brackets": "[" * (N // 2) + "]" * (N // 2),
    "braces with keys": "{a: " * (N // 4),
    "texts and brackets": '["a",' * (N // 5),
    "keys and brackets": "? [" * (N // 3),
    "dashes": "- " * (N // 2),
    "question marks": "? " * (N // 2),
    "indents": "".join(" " * i + "a:\n" for i in range(1_400)),
    "anchors in a line": "a: &a " * (N // 6),
    "anchored keys": "a: &a\n" * (N // 6),
    "anchors and comments": "&a #\n" * (N // 5),
    "aliases": "- &a x\n" + "- *a\n" * (N // 5 - 2),
    "many anchors": "".join(f"- &a{i} x\n- *a0\n" for i in range(50_000)),
    "one long word": "a" * N,
    "one long line": "a " * (N // 2),
    "open quote": '"' + "a" * (N - 1),
    "open single quote": "'" + "a " * (N // 2 - 1),
    "spaces": " " * N,
    "empty lines": "\n" * N,
    "lines of spaces": (" " * 99_000 + "\n") * 9,
    "comments": "#" * N,
    "comment lines": "#\n" * (N // 2),
    "keys": "".join(f"k{i}: v\n" for i in range(90_000)),
    "equal keys": "a: b\n" * (N // 5),
    "text like comments": "a: b #c\n" * (N // 8),
    "items in brackets": "[" + "a," * (N // 2),
    "pairs in brackets": "[" + "a: b," * (N // 5 - 1),
    "keys in braces": "{" + "a," * (N // 2),
    "unclosed lines": "{\n" + "a\n" * (N // 2 - 1),
    "tags": "- !a x\n" * (N // 7),
    "one tag": "!" * N,
    "one alias": "*" * N,
    "directives": "%a\n" * (N // 3),
    "documents": "---\n" * (N // 4),
    "colons": ":" * N,
    "colons and spaces": ": " * (N // 2),
    "block text": "a: |\n" + " a\n" * (N // 3 - 5),
    "folded text": ">\n" + " a\n\n" * (N // 4 - 1),
    "text over lines": "a\n" * (N // 2),
    "combining marks": "a: " + "\u0301\u0323" * (N // 4 - 2),
    "escaped combining marks": 'a: "' + "\\u0301\\u0323" * (N // 12 - 1) + '"',
    "escapes": 'a: "' + "\\x41" * (N // 4 - 10) + '\\u202e"',
    "backslashes": 'a: "' + "\\\\" * (N // 2 - 4) + "\\",
}

WITHOUT_FAULT = ("block text",)


@pytest.mark.parametrize("name", HOSTILE)
def test_a_large_file_is_read_or_refused_quickly(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(yaml_tree, "PARSER", yaml.CSafeLoader)
    start = time.process_time()
    outcome = parse_tree(HOSTILE[name], "a.yaml")
    assert time.process_time() - start < 2
    assert outcome.findings or name in WITHOUT_FAULT
    assert len(outcome.findings) <= 101


@pytest.mark.parametrize(
    "name", ["brackets", "braces", "both brackets", "dashes", "question marks", "braces with keys"]
)
def test_deep_files_are_refused_quickly_without_the_parser_in_c(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(yaml_tree, "PARSER", yaml.SafeLoader)
    start = time.process_time()
    outcome = parse_tree(HOSTILE[name], "a.yaml")
    assert time.process_time() - start < 2
    assert outcome.value is None


@pytest.mark.usefixtures("parser")
class TestBounds:
    def test_ten_thousand_brackets(self) -> None:
        assert faults("[" * 10_000) == ["too-deep 1:41-42"]
        assert faults("a: " + "{" * 10_000) == ["too-deep 1:43-44"]
        assert faults("a:\n- [ '[', " + "[" * 10_000) == ["too-deep 2:47-48"]
        assert faults("- " * 10_000) == ["too-deep 1:81-82"]

    def test_depth_up_to_the_bound(self) -> None:
        text = "a: " + "[" * (MAX_DEPTH - 1) + "]" * (MAX_DEPTH - 1) + "\n"
        assert faults(text) == []
        assert faults(text.replace("[]", "[[]]")) == ["too-deep 1:43-44"]
        assert f"more than {MAX_DEPTH} deep" in fault("[" * 100).message

    def test_depth_by_aliases(self) -> None:
        chain = "".join(f"a{i}: &a{i} [*a{i - 1}]\n" for i in range(1, 1_000))
        assert faults("a0: &a0 [x]\n" + chain) == ["too-deep 40:12-13"]

    def test_values_up_to_the_bound(self) -> None:
        text = "a: [" + "x," * (MAX_NODES - 2) + "]\n"
        assert faults(text) == []
        assert faults(text.replace("]", "y]")) == [f"too-large 1:{len(text) - 1}-{len(text)}"]

    def test_values_by_aliases(self) -> None:
        ten = ",".join(["x"] * 10)
        chain = "".join(f"a{i}: &a{i} [{','.join([f'*a{i - 1}'] * 10)}]\n" for i in range(1, 30))
        finding = fault(f"a0: &a0 [{ten}]\n{chain}")
        assert finding.rule == "source.alias-bomb"
        assert finding.span.line == 5
        assert finding.message.endswith(f"comes to more than {MAX_NODES} values")

    def test_text_by_aliases(self) -> None:
        finding = fault("a: &a " + "x" * 100_000 + "\nb: [" + "*a," * 20 + "]\n")
        assert finding.rule == "source.alias-bomb"
        assert finding.message.endswith(f"comes to more than {MAX_BYTES} characters")

    def test_an_alias_inside_what_it_repeats(self) -> None:
        assert faults("a: &x {b: [*x]}\n") == ["alias-bomb 1:12-14"]
        assert faults("&x a: *x\n") == [], "the anchor marks the key"

    def test_size_up_to_the_bound(self) -> None:
        text = "a: b\n#" + "x" * (MAX_BYTES - 6)
        assert faults(text) == []
        assert faults(text + "x") == ["too-large 1:1-1"]
        assert faults("a: " + "é" * (MAX_BYTES // 2)) == ["too-large 1:1-1"]

    def test_reading_ends_after_many_findings(self) -> None:
        found = faults("a: b\n" * 1_000)
        assert len(found) == 101
        assert found[-2:] == ["duplicate-key 101:1-2", "unread 101:1-2"]
