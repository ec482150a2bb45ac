"""Steps that are added, removed, moved, split, merged or called otherwise."""

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from speccomp.compare.alignment import align_sequence, dice, moved_items
from speccomp.compare.change import Change
from speccomp.compare.outline import both_sides
from speccomp.compare.significance import Significance
from tests.compare.project import DEFINITION, Edit, compared, only

D = "definition.yaml"
SWEEP = DEFINITION[DEFINITION.index("  - id: sweep") : DEFINITION.index("  - id: label")]
LABEL = DEFINITION[DEFINITION.index("  - id: label") : DEFINITION.index("  - id: reblend")]
MIX = DEFINITION[DEFINITION.index("  - id: mix") : DEFINITION.index("  - id: fill")]
FILL = DEFINITION[DEFINITION.index("  - id: fill") : DEFINITION.index("  - id: cure")]
LOOK = DEFINITION[DEFINITION.index("  - id: look") : DEFINITION.index("cautions:")]

SPLIT = """\
  - id: set-needle
    operation: dispense
    method: syringe
    title: Set the needle
    covered: false
    do: Set the needle on the bottom.
    with: [timer]
    limits:
      time since mixing: at most 30 min
  - id: fill
    operation: dispense
    method: syringe
    title: Fill the sheath
    covered: false
    do: [Fill the sheath up to the rim., Wipe the rim.]
    with: [timer]
    limits:
      fill level: {value: 0.5 ± 0.3 mm, gauge: caliper, reaction: refill, record: fill-log}
      parts per mix: at most 60 parts
    images:
      - {file: seal.svg, alt: A seal, caption: Fill level}
"""


def kinds(changes: tuple[Change, ...]) -> list[tuple[str, str]]:
    return [(change.kind, change.subject) for change in changes]


def swap(one: str, other: str) -> list[Edit]:
    return [(D, one + other, other + one)]


def test_two_plain_steps_changed_places(tmp_path: Path) -> None:
    change = only(compared(tmp_path, *swap(SWEEP, LABEL)))
    assert (change.kind, change.rule) == ("step-moved", "work")
    assert {change.before, change.after} == {"first", "after Clean the bench"} or {
        change.before,
        change.after,
    } == {"first", "after Clean the labels"}


def test_a_step_that_passes_work_on_the_material_changes_its_route(tmp_path: Path) -> None:
    change = only(compared(tmp_path, *swap(MIX, FILL)))
    assert (change.kind, change.significance) == ("step-moved", Significance.REQUALIFICATION)
    assert change.rule == "order-of-work"


def test_a_step_far_up_is_one_move(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (D, LOOK, ""), (D, SWEEP, LOOK + SWEEP)))
    assert (change.kind, change.subject) == ("step-moved", "look")
    assert (change.before, change.after) == ("after Keep a sample", "first")


def test_a_step_may_move_and_change(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, SWEEP + LABEL, LABEL + SWEEP.replace("Wipe", "Brush")))
    assert sorted(kind for kind, _ in kinds(there.changes)) == ["meaning", "step-moved"]


def test_a_step_added_shows_all_it_holds(tmp_path: Path) -> None:
    rest = "  - {id: wait, operation: rest, do: Wait., limits: {rest time: 5 to 6 min}}\n"
    change = only(compared(tmp_path, (D, FILL, rest + FILL)))
    assert (change.kind, change.rule, change.before) == ("step-added", "order-of-work", None)
    text = "\n".join(both_sides(change.before, change.after)[1])
    assert "5 to 6 min" in text
    assert "Wait." in text


def test_a_step_removed(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (D, LABEL, "")))
    assert (change.kind, change.rule, change.after) == ("step-removed", "work", None)
    assert change.after_span is None


def test_a_step_added_that_mixes_asks_for_qualification(tmp_path: Path) -> None:
    again = MIX.replace("id: mix", "id: mix-again").replace("60 ± 10 rpm", "20 ± 5 rpm")
    there = compared(tmp_path, (D, FILL, again.replace("Stir", "Fold") + FILL))
    assert kinds(there.changes) == [("step-added", "mix-again")]
    assert there.changes[0].rule == "mix"


def test_the_same_content_under_another_name_is_a_renamed_step(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (D, "- id: label", "- id: labels")))
    assert (change.kind, change.before, change.after) == ("step-renamed", "label", "labels")


def test_a_renamed_step_keeps_what_changed_in_it_apart(tmp_path: Path) -> None:
    edits = [(D, "- id: fill", "- id: fill-up"), (D, "at most 60 parts", "at most 50 parts")]
    there = compared(tmp_path, *edits)
    assert kinds(there.changes) == [
        ("step-renamed", "fill-up"),
        ("limit-narrower", "fill-up/parts-per-mix"),
    ]


def test_another_content_under_another_name_is_removed_and_added(tmp_path: Path) -> None:
    new = LABEL.replace("- id: label", "- id: hoods").replace("labels", "hoods")
    there = compared(tmp_path, (D, LABEL, new.replace("Text can be read", "No dust")))
    assert {kind for kind, _ in kinds(there.changes)} == {"step-removed", "step-added"}


def test_a_step_split_in_two(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, FILL, SPLIT))
    change = only(there)
    assert (change.kind, change.title) == ("step-split", "Fill the sheath")
    assert change.rule == "special-process"
    assert isinstance(change.after, tuple)
    assert "Set the needle:" in change.after


def test_two_steps_merged(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (D, SPLIT, FILL), before=[(D, FILL, SPLIT)]))
    assert change.kind == "steps-merged"


def test_a_split_that_also_changes_something_is_not_called_a_split(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, FILL, SPLIT.replace("on the bottom", "at the top")))
    found = {kind for kind, _ in kinds(there.changes)}
    assert "step-split" not in found
    assert "step-added" in found


PLACES = st.permutations(range(7)).map(lambda order: list(enumerate(order)))


@given(PLACES)
def test_what_stays_keeps_its_order_and_is_the_most_that_can(pairs: list[tuple[int, int]]) -> None:
    moved = moved_items(pairs, [str(index) for index in range(len(pairs))])
    left = [pair for index, pair in enumerate(pairs) if index not in moved]
    assert [new for _, new in left] == sorted(new for _, new in left)
    assert len(left) == longest_increasing([new for _, new in pairs])


@given(PLACES)
def test_moves_are_the_same_from_the_other_end(pairs: list[tuple[int, int]]) -> None:
    names = [str(index) for index in range(len(pairs))]
    back = [(new, old) for old, new in pairs]
    assert moved_items(pairs, names) == moved_items(back, names)


def longest_increasing(values: list[int]) -> int:
    """Return the length of a longest increasing subsequence, the slow and plain way."""
    best = [1] * len(values)
    for place, value in enumerate(values):
        best[place] = 1 + max((best[n] for n in range(place) if values[n] < value), default=0)
    return max(best)


def alike(one: str, other: str) -> float:
    return dice(one, other)


@given(
    st.lists(st.text("abc", max_size=3), max_size=5),
    st.lists(st.text("abc", max_size=3), max_size=5),
)
def test_an_alignment_keeps_the_order_and_mirrors(one: list[str], other: list[str]) -> None:
    pairs = align_sequence(one, other, alike)
    assert pairs == sorted(pairs)
    assert len({i for i, _ in pairs}) == len({j for _, j in pairs}) == len(pairs)
    assert [(j, i) for i, j in pairs] == align_sequence(other, one, alike)
