"""Hints that know the trade: what a word of the shop means, what an operation's step may say."""

import json

import pytest

from speccomp.findings import Finding
from speccomp.resources import resource_folder
from speccomp.schema import FileKind, check_schema
from speccomp.schema.advice import _DONE, _OPERATIONS, example_of_do, operations_meant_by
from speccomp.source.yaml_tree import parse_tree
from tests.schema.test_findings import PROCESS, changed, only

COMMON = json.loads((resource_folder("schemas") / "common.schema.json").read_text(encoding="utf-8"))
OPERATIONS = COMMON["$defs"]["step"]["properties"]["operation"]["enum"]


def findings_of(text: str) -> tuple[Finding, ...]:
    tree = parse_tree(text, "definition.yaml").value
    assert tree is not None
    return check_schema(tree, FileKind.PROCESS)


def test_every_operation_has_an_example_of_what_is_done() -> None:
    assert list(_DONE) == OPERATIONS


def test_words_of_the_shop_mean_operations_and_are_none() -> None:
    assert {name for meant in _OPERATIONS.values() for name in meant.split()} <= set(OPERATIONS)
    assert not set(_OPERATIONS) & set(OPERATIONS)


@pytest.mark.parametrize(
    ("word", "hint"),
    [
        ("coat", "did you mean `apply` or `dip` or `spray`?"),
        ("Bake", "did you mean `cure`?"),
        ("glue", "did you mean `apply` or `assemble`?"),
        ("wiegh", "did you mean `weigh`?"),
    ],
)
def test_a_word_that_is_no_operation(word: str, hint: str) -> None:
    finding = only(changed("operation: mix", f"operation: {word}"))
    assert (finding.rule, finding.hint) == ("schema.not-one-of", hint)


def test_a_word_that_means_nothing_lists_all() -> None:
    finding = only(changed("operation: mix", "operation: frobnicate"))
    assert finding.hint == f"write one of: {', '.join(OPERATIONS)}"
    assert operations_meant_by("frobnicate") == ()


def test_a_missing_method_lists_those_of_the_operation_and_no_others() -> None:
    finding = only(changed("    method: syringe\n", ""))
    assert (
        finding.hint == "add `method`, one of: syringe, squeeze-bottle, metered, air-powered, pour"
    )


def test_a_missing_method_of_a_test_is_no_brush() -> None:
    finding = only(changed("operation: dispense\n    method: syringe\n", "operation: test\n"))
    assert finding.hint == (
        "add `method: EN 196-1` (The test by its standard or by the name it has in the plant.)"
    )


def test_a_missing_do_is_shown_as_one_of_the_operation() -> None:
    finding = only(changed("    do: Fill the sheath.\n", ""))
    assert finding.hint.startswith("add `do: Fill the sheath up to the rim.`")
    assert example_of_do("dispense") == "Fill the sheath up to the rim."


RATIO = "`ratio: {by: weight, powder: 4, liquid: 1 ± …}`"


@pytest.mark.parametrize(
    ("ratio", "place", "example"),
    [
        ("{paste: 4:1}", (16, 19), RATIO),
        ("4:1", (8, 11), RATIO),
        ("{by: volume, paste: 4:1}", (28, 31), RATIO.replace("weight", "volume")),
        (
            "{by: weight, a: 4, b: 10:2.5:1}",
            (30, 38),
            "`ratio: {by: weight, powder: 10, liquid: 2.5 ± …, filler: 1 ± …}`",
        ),
    ],
)
def test_a_ratio_in_one_text(ratio: str, place: tuple[int, int], example: str) -> None:
    finding = only(f"{PROCESS}ratio: {ratio}\n")
    assert (finding.span.column, finding.span.end_column) == place
    assert finding.message.endswith("holds the parts of several materials in one value")
    assert finding.hint.endswith(example)


def test_a_ratio_takes_the_names_of_the_materials() -> None:
    finding = only(f"{PROCESS}materials: {{resin: a.yaml, hardener: b.yaml}}\nratio: 100:26\n")
    assert finding.hint.endswith("`ratio: {by: weight, resin: 100, hardener: 26 ± …}`")


def test_another_fault_of_the_ratio_is_found_beside_it() -> None:
    rules = [f.rule for f in findings_of(f"{PROCESS}ratio: {{by: wieght, a: 1:1, b: 2}}\n")]
    assert sorted(rules) == ["schema.malformed", "schema.not-one-of"]


def test_what_lacks_a_key_is_not_too_short_as_well() -> None:
    assert only(f"{PROCESS}ratio: {{paste: 4}}\n").rule == "schema.missing-key"


def test_a_word_list_is_bounded() -> None:
    # 300 words of 60 signs against texts of a million signs are looked for in about a second.
    words = ", ".join(f"w{n}" for n in range(301))
    tree = parse_tree(f"plant: p\nwording: {{vague: [{words}, {'x' * 61}]}}\n", "plant.yaml").value
    assert tree is not None
    said = sorted(f.message for f in check_schema(tree, FileKind.PLANT) if "the most" in f.message)
    assert said == [
        "`vague` has 302 entries; the most is 300",
        "item 302 of `vague` has 61 characters; the most is 60",
    ]


def test_what_the_use_of_a_block_lacks_is_not_asked_for_by_an_operation() -> None:
    text = changed("  - id: mix\n", "  - {use: roll.yaml, operation: mix}\n  - id: mix\n")
    (lacking,) = [f for f in findings_of(text) if f.rule == "schema.missing-key"]
    assert lacking.message == "item 1 of `steps` lacks `id`"
