"""Data and places of sound files, and the faults of single entries."""

import json

import pytest
import yaml

from speccomp.source.yaml_tree import dump_scalar, parse_tree
from tests.source.places import fault, faults, place, tree_of

pytestmark = pytest.mark.usefixtures("parser")

SAMPLE = """\
# a comment
process: PD-117
title: "Seal the cold end"
change: {from: B, why: 'Discs gapped', to: }
steps:
  - id: weigh
    do: >
      Weigh the powder
      into the bowl.

  - id: mix
    with: [bench-scale, "mixer"]
last: ü 4:1
"""


def test_all_scalars_stay_text() -> None:
    written = ["4:1", "1:30", "no", "012", "2026-11-25", "~", "null", "1e3", "0x1F", ".5", "yes"]
    tree = tree_of("".join(f"k{i}: {text}\n" for i, text in enumerate(written)))
    assert list(tree.data.values()) == written


def test_data_are_those_of_the_library_with_texts_only() -> None:
    assert tree_of(SAMPLE).data == yaml.load(SAMPLE, yaml.BaseLoader)


def test_places_of_values() -> None:
    tree = tree_of(SAMPLE)
    expected = {
        ("process",): "2:10-16",
        ("title",): "3:8-27",
        ("change",): "4:9-45",
        ("change", "from"): "4:16-17",
        ("change", "to"): "4:43-43",
        ("steps",): "6:3-12:33",
        ("steps", 0): "6:5-9:21",
        ("steps", 0, "do"): "7:9-9:21",
        ("steps", 1, "with", 1): "12:25-32",
        ("last",): "13:7-12",
        (): "2:1-13:12",
    }
    assert {path: place(tree.span(path)) for path in expected} == expected


def test_places_of_keys() -> None:
    tree = tree_of(SAMPLE)
    assert place(tree.key_span(("steps", 0, "do"))) == "7:5-7"
    assert place(tree.key_span(("change", "why"))) == "4:19-22"
    assert place(tree.key_span(("steps", 0))) == "6:5-9:21", "an item has no key"


def test_a_missing_entry_has_the_place_of_the_nearest_parent() -> None:
    tree = tree_of(SAMPLE)
    assert tree.span(("steps", 1, "limits", "speed")) == tree.span(("steps", 1))
    assert tree.span(("nothing",)) == tree.span(())
    assert tree.key_span(("change", "from", "x")) == tree.key_span(("change", "from"))
    assert tree.span_inside(("change", "no"), 0, 1) == tree.span(("change",))


def test_places_inside_a_text() -> None:
    tree = tree_of(
        'plain: 60 ± 10 rpm\nquoted: "a b"\nsingle: \'a b\'\nescaped: "a\\x20b"\n'
        "doubled: 'a''b'\nlong: a\n  b\nanchored: &x 5 mm\nmarks: e\u0301x\n"
    )
    assert place(tree.span_inside(("plain",), 5, 7)) == "1:13-15"
    assert place(tree.span_inside(("quoted",), 2, 3)) == "2:12-13"
    assert place(tree.span_inside(("single",), 2, 3)) == "3:12-13"
    assert place(tree.span_inside(("anchored",), 2, 4)) == "8:16-18"
    for whole in ("escaped", "doubled", "long", "marks"):
        assert tree.span_inside((whole,), 0, 1) == tree.span((whole,))


def test_which_texts_stand_in_the_file_as_they_are() -> None:
    tree = tree_of("a: x y\nb: 'x'\nc: x\n  y\nd: [x]\ne: &p x\nf: *p\ng:\n")
    starts = {key: tree.nodes[(key,)].text_start for key in "abcdefg"}
    assert starts == {"a": 0, "b": 1, "c": None, "d": None, "e": 0, "f": None, "g": 0}
    assert [key for key in "abcdefg" if tree.nodes[(key,)].plain] == ["a", "e", "g"]


def test_columns_count_characters_not_bytes() -> None:
    tree = tree_of("é😀°: {ß: 😀x}\n")
    assert place(tree.key_span(("é😀°",))) == "1:1-4"
    assert place(tree.span(("é😀°", "ß"))) == "1:10-12"


def test_texts_and_keys_are_normalised_and_places_are_not() -> None:
    tree = tree_of("cafe\u0301: e\u0301\nb: x\n")
    assert tree.data == {"caf\u00e9": "\u00e9", "b": "x"}
    assert place(tree.span(("caf\u00e9",))) == "1:8-10"
    assert faults("é: 1\ne\u0301: 2\n") == ["duplicate-key 2:1-3"]


def test_line_ends_of_other_systems() -> None:
    tree = tree_of("a: x\r\nb: y\rc: z\r\n")
    assert tree.data == {"a": "x", "b": "y", "c": "z"}
    assert place(tree.span(("c",))) == "3:4-5"


def test_an_empty_value_is_an_empty_text_after_its_colon() -> None:
    tree = tree_of("a:\nb: {c: , d: }\ne: ''\nf: &x\ng:\n  # later\n")
    assert tree.data == {"a": "", "b": {"c": "", "d": ""}, "e": "", "f": "", "g": ""}
    assert place(tree.span(("a",))) == "1:3-3"
    assert place(tree.span(("f",))) == "4:6-6"
    assert place(tree.span(("g",))) == "5:3-3"


def test_block_texts_end_with_their_last_line() -> None:
    tree = tree_of("a: |\n  x\n  y\n\n\nb: >-\n  z\n\n# end\n")
    assert tree.data == {"a": "x\ny\n", "b": "z"}
    assert place(tree.span(("a",))) == "1:4-3:4"
    assert place(tree.span(("b",))) == "6:4-7:4"


def test_aliases_repeat_data_and_stand_where_they_are_used() -> None:
    tree = tree_of("a: &x {b: [1, 2]}\nc: *x\nd: [*x]\n")
    assert tree.data == {"a": {"b": ["1", "2"]}, "c": {"b": ["1", "2"]}, "d": [{"b": ["1", "2"]}]}
    assert place(tree.span(("a",))) == "1:7-18", "without the anchor"
    assert place(tree.span(("c",))) == "2:4-6"
    assert tree.span(("c", "b", 1)) == tree.span(("c",))
    assert place(tree.key_span(("c", "b"))) == "2:1-2"
    assert place(tree.span(("d", 0, "b"))) == "3:5-7"


def test_an_anchor_in_a_line_of_its_own() -> None:
    tree = tree_of("a: &x # why\n  b: c\nd: *x\n")
    assert place(tree.span(("a",))) == "2:3-7"


def test_a_later_anchor_of_the_same_name_counts() -> None:
    assert tree_of("a: &x 1\nb: &x 2\nc: *x\n").data == {"a": "1", "b": "2", "c": "2"}


def test_json_is_read_as_it_is() -> None:
    data = {"a": ["x: y", "#", "- b", {"c": "\n\t\"'\\/é"}], "": [], "{": {}}
    assert tree_of(json.dumps(data)).data == data
    assert tree_of(json.dumps(data, ensure_ascii=False, indent=2)).data == data


def test_a_key_given_twice() -> None:
    outcome = parse_tree("a: 1\nb: {c: 2, c: 3}\na: {d: 4}\n'a': 5\n", "a.yaml")
    first, second, third = outcome.findings
    assert [f.rule for f in outcome.findings] == ["source.duplicate-key"] * 3
    assert [place(f.span) for f in outcome.findings] == ["2:11-12", "3:1-2", "4:1-4"]
    assert [place(f.related[0].span) for f in outcome.findings] == ["2:5-6", "1:1-2", "1:1-2"]
    assert first.message == "the key `c` is given twice"
    assert second.related == third.related
    assert outcome.value is not None
    assert outcome.value.data == {"a": "1", "b": {"c": "2"}}, "the first one is kept"
    assert ("a", "d") not in outcome.value.nodes


def test_the_same_key_in_two_mappings_is_no_fault() -> None:
    assert faults("a: {c: 1}\nb: {c: 2}\nc: 3\n") == []


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a: !!python/object:os.system x\n", ["tag 1:4-29"]),
        ("a: !!int 5\n", ["tag 1:4-9"]),
        ("a: !foo\n  b: c\n", ["tag 1:4-8"]),
        ("a: &x !foo [b]\n", ["tag 1:7-11"]),
        ("a: ! b\n", ["tag 1:4-5"]),
        ("a: !!set {b, c: }\n", ["tag 1:4-9", "syntax 1:11-12"]),
        ("!!map\na: b\n", ["tag 1:1-6"]),
        ("!x a: b\n", ["tag 1:1-3"]),
        ("a: !<tag:yaml.org,2002:str> b\n", ["tag 1:4-28"]),
        ("a: !x!y z\n", ["tag 1:4-8"]),
        ("a: !<x y\n", ["tag 1:4-7"]),
    ],
)
def test_tags(text: str, expected: list[str]) -> None:
    assert faults(text) == expected


def test_a_tag_makes_nothing(tmp_path) -> None:
    mark = tmp_path / "made"
    text = f"a: !!python/object/apply:os.mkdir ['{mark}']\n"
    assert faults(text) == ["tag 1:4-34"]
    assert not mark.exists()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", ["empty 1:1-1"]),
        ("# only a comment\n", ["empty 1:17-17"]),
        ("---\n", ["empty 1:4-4"]),
        ("- a\n- b\n", ["not-a-mapping 1:1-2:4"]),
        ("text\n", ["not-a-mapping 1:1-5"]),
        ("~\n", ["not-a-mapping 1:1-2"]),
        ("a: b\n---\nc: d\n", ["multiple-documents 2:1-4"]),
        ("---\na: b\n...\n---\n", ["multiple-documents 4:1-4"]),
        ("? [a, b]\n: c\nd: e\n", ["complex-key 1:3-4"]),
        ("{a: b}: c\n", ["complex-key 1:1-2"]),
        ("a: &x b\n*x : c\n", ["complex-key 2:1-3"]),
        ("a: {[b]: c}\n", ["complex-key 1:5-6"]),
        ("a: &x {b: c}\nd: {<<: *x, e: f}\n", ["merge-key 2:5-7"]),
        ("<<: {a: b}\n", ["merge-key 1:1-3"]),
        ("a: *x\n", ["undefined-alias 1:4-6"]),
        ("a: [*x, *y]\nb: &x c\n", ["undefined-alias 1:5-7", "undefined-alias 1:9-11"]),
        ("a: Fill to mark #3 on the gauge\n", ["comment-in-text 1:17-32"]),
        ("a: #5\n", ["comment-in-text 1:4-6"]),
        ("- a #b\n", ["comment-in-text 1:5-7", "not-a-mapping 1:1-4"]),
    ],
)
def test_faults_of_single_entries(text: str, expected: list[str]) -> None:
    assert faults(text) == expected


def test_what_is_no_fault() -> None:
    assert faults("---\na: b # comment\n...\n") == []
    assert faults("a: b# c\nd: 'e' #f\ng: # h\n  i: j\n#k\n'<<': l\nm: <<\n") == []
    assert faults("? a\n: b\n") == []


def test_refused_entries_are_left_out_and_the_rest_is_kept() -> None:
    outcome = parse_tree("a: 1\n? [b]\n: {c: &x 2}\n<<: 3\nd: *x\ne: *y\n", "a.yaml")
    assert outcome.value is not None
    assert outcome.value.data == {"a": "1", "d": "2", "e": ""}
    assert set(outcome.value.nodes) == {(), ("a",), ("d",), ("e",)}
    assert len(outcome.findings) == 3


def test_several_faults_are_told_together() -> None:
    assert faults("a: !x 1\na: *y\nb: {c: 2, c: 3}\n<<: 4\n") == [
        "tag 1:4-6",
        "duplicate-key 2:1-2",
        "undefined-alias 2:4-6",
        "duplicate-key 3:11-12",
        "merge-key 4:1-3",
    ]


def test_no_tree_where_the_file_is_refused_as_a_whole() -> None:
    for text in ("a: [", "", "- a", "a: b\n---\n", "a: &x [*x]\n", "a: b\tc\n", 'a: "\\0"'):
        assert parse_tree(text, "a.yaml").value is None


def test_findings_speak_of_the_file() -> None:
    assert parse_tree("a: [", "b/c.yaml").findings[0].span.file == "b/c.yaml"
    assert fault("a: *x\n").message == "nothing before the alias *x is marked with &x"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("26 ± 1", "26 ± 1"),
        ("4:1", "4:1"),
        ("2026-11-25", "2026-11-25"),
        ("at most 1 K/min", "at most 1 K/min"),
        ("<= 5 mm", "<= 5 mm"),
        ("Mix: until smooth", '"Mix: until smooth"'),
        ("a, b", '"a, b"'),
        ("#3", '"#3"'),
        ("mark #3", '"mark #3"'),
        ("> 5 min", '"> 5 min"'),
        ("- a", '"- a"'),
        ("---", '"---"'),
        ("is it dry?", '"is it dry?"'),
        ("", '""'),
        (" a", '" a"'),
        ("a ", '"a "'),
        ("a:", '"a:"'),
        ('say "x"', 'say "x"'),
        ('"x"', '"\\"x\\""'),
        ("a\nb", '"a\\nb"'),
        ("a\x7fb\u2028", '"a\\u007fb\\u2028"'),
    ],
)
def test_a_text_as_yaml(text: str, expected: str) -> None:
    assert dump_scalar(text) == expected
