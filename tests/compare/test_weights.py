"""What weighs more than its place in the definition suggests."""

from pathlib import Path

import pytest

from speccomp.compare.compare import compare
from speccomp.compare.significance import Significance
from tests.compare.project import DEFINITION, Edit, compared, only

D, P = "definition.yaml", "plant.yaml"
STEPS = DEFINITION[DEFINITION.index("steps:") : DEFINITION.index("cautions:")]


def step(ident: str) -> str:
    start = STEPS.index(f"  - id: {ident}\n")
    end = STEPS.find("\n  - id: ", start + 1)
    return STEPS[start : end + 1] if end > 0 else STEPS[start:]


@pytest.mark.parametrize("gone", [True, False])
def test_a_step_weighs_what_the_limits_in_it_weigh(gone: bool, tmp_path: Path) -> None:
    # A special characteristic is one wherever it stands: IATF 16949:2016, 8.3.3.3 (from memory).
    look = step("look")
    marked = look.replace("accept: Clean,", "accept: Clean, special: safety,")
    edit = (D, marked, "") if gone else (D, marked, marked + marked.replace(": look", ": again"))
    there = compared(tmp_path, edit, before=[(D, look, marked)])
    change = only(there)
    assert change.kind == ("step-removed" if gone else "step-added")
    assert (change.rule, change.significance) == ("safety-characteristic", Significance.SAFETY)


@pytest.mark.parametrize(
    ("edit", "kind"),
    [
        ((D, "mass: {value: 300.0 ± 1.5 g", "mass: {value: 330.0 ± 1.5 g"), "limit-shifted"),
        ((D, "mass: {value: 300.0 ± 1.5 g", "mass: {value: 300.0 ± 2.5 g"), "limit-wider"),
    ],
)
def test_what_is_weighed_of_the_mix_asks_for_requalification(
    edit: Edit, kind: str, tmp_path: Path
) -> None:
    change = only(compared(tmp_path, edit))
    assert (change.kind, change.rule) == (kind, "weighed")
    assert change.significance is Significance.REQUALIFICATION


def test_a_narrower_mass_does_not(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (D, "value: 300.0 ± 1.5 g", "value: 300.0 ± 1.0 g")))
    assert (change.kind, change.rule) == ("limit-narrower", "narrower")


def test_the_climate_of_a_weighing_is_no_mass(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (D, "value: at most 26 degC", "value: at most 28 degC")))
    assert (change.kind, change.rule) == ("limit-wider", "limit")


def test_two_sides_that_let_more_pass_are_no_narrower_limit(tmp_path: Path) -> None:
    window = "time since mixing: at most 30 min"
    wider = compared(tmp_path / "1", (D, window, "time since mixing: 5 to 40 min"))
    inside = compared(tmp_path / "2", (D, window, "time since mixing: 5 to 30 min"))
    assert [only(one).kind for one in (wider, inside)] == ["limit-side-added"] * 2
    assert only(wider).significance is Significance.REQUALIFICATION
    assert only(inside).rule == "narrower"


def test_a_phrase_that_protects_is_not_lost_as_wording(tmp_path: Path) -> None:
    text = "do: Put the parts into the oven."
    change = only(compared(tmp_path, (D, text, "do: Put the parts into the cold oven.")))
    assert (change.kind, change.rule) == ("meaning", "cure")


def test_a_ratio_restated_to_other_parts_has_no_size(tmp_path: Path) -> None:
    there = compared(
        tmp_path, (D, "  powder: 100\n", "  powder: 50\n"), (D, "value: 26 ± 1", "value: 13 ± 0.5")
    )
    assert {(c.kind, c.size) for c in there.changes} == {("restated", None)}


def test_a_default_of_the_plant_is_one_change_with_all_that_follows_it(tmp_path: Path) -> None:
    change = only(compared(tmp_path, (P, "  sample: 1\n", "  sample: 2\n")))
    assert (change.kind, change.subject) == ("plant-default", "plant")
    # Hold 2 is marked as a characteristic that is about safety, and it follows the default.
    assert change.significance is Significance.SAFETY
    assert change.note.startswith("sample larger; 19 places follow it: ")
    assert "Mix: speed" in change.note
    assert "Weigh the powder: mass" not in change.note, "the step states a sample of its own"
    assert len(change.covers) == 20


def test_parts_by_volume_and_by_weight_are_not_measured_against_each_other(tmp_path: Path) -> None:
    there = compared(
        tmp_path, (D, "  by: weight", "  by: volume"), (D, "value: 26 ± 1", "value: 73 ± 3")
    )
    kinds = {change.kind: change.size for change in there.changes}
    assert kinds == {"ratio-basis": None, "limit-replaced": None}


def test_a_material_that_is_only_called_otherwise(tmp_path: Path) -> None:
    there = compared(
        tmp_path,
        (D, "liquid: liquid.yaml", "binder: liquid.yaml"),
        (D, "  liquid: {value: 26 ± 1", "  binder: {value: 26 ± 1"),
        (D, "material: liquid", "material: binder"),
    )
    change = only(there)
    assert (change.kind, change.rule) == ("material-data", "document-data")
    assert (change.before, change.after) == ("liquid", "binder")
    assert only(compare(there.after, there.before)).before == "binder"
    moved = (D, "78.0 ± 1.5 g", "80.0 ± 1.5 g")
    both = compared(
        tmp_path / "2",
        (D, "liquid: liquid.yaml", "binder: liquid.yaml"),
        (D, "  liquid: {value: 26 ± 1", "  binder: {value: 27 ± 1"),
        (D, "material: liquid", "material: binder"),
        moved,
    )
    assert {rule for change in both.changes for rule in change.rules} == {
        *("document-data", "ratio", "weighed", "special-characteristic")
    }


def test_the_way_to_the_eye_wash_is_about_safety(tmp_path: Path) -> None:
    shop = "elevation: 240 m\n"
    far = [(P, shop, f"{shop}emergency: {{eye_rinse: {time}}}\n") for time in ("8 s", "10 s")]
    change = only(compared(tmp_path, (P, "eye_rinse: 8 s", "eye_rinse: 10 s"), before=far[:1]))
    assert change.significance is Significance.SAFETY
