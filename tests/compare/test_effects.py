"""What follows from a change: derived numbers, files in common, and what to mark."""

from pathlib import Path

from speccomp.compare.change import Comparison
from speccomp.compare.effects import changed_files, derived_changes
from speccomp.compare.marks import Marks, build_marks
from speccomp.derive import derive
from tests.compare.project import DEFINITION, Edit, compared, resolved

D, P, C = "definition.yaml", "plant.yaml", "powder.yaml"
FILL_VOLUME = (D, "thickest_section: 8 mm}", "thickest_section: 8 mm, fill_volume: 6.2 ± 0.4 cm3}")


def numbers(there: Comparison) -> dict[str, tuple[str, str]]:
    units = there.after.plant.units
    found = derived_changes(derive(there.before), derive(there.after), units, there.renamed)
    return {change.name: (change.before, change.after) for change in found}


def test_nothing_follows_from_nothing(tmp_path: Path) -> None:
    assert numbers(compared(tmp_path, before=[FILL_VOLUME])) == {}


def test_the_boiling_point_follows_from_the_elevation(tmp_path: Path) -> None:
    # 99.2 and 92.7 °C: IAPWS-IF97 at the pressures of the U.S. Standard Atmosphere 1976.
    found = numbers(compared(tmp_path, (P, "240 m", "2200 m")))
    before, after = found["water.boiling-point"]
    assert before.startswith("99.1")
    assert after.startswith("92.6")


def test_the_cure_duration_follows_from_the_hold(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, "for: 2 to 3 h}", "for: 3 to 4 h}"))
    units = there.after.plant.units
    found = derived_changes(derive(there.before), derive(there.after), units, there.renamed)
    nominal = next(change for change in found if change.name == "curing.cure.nominal")
    assert (nominal.before, nominal.after) == ("8.000\u00a0h", "9.000\u00a0h")
    assert str(nominal.per_cent) == "12.5"


def test_masses_follow_from_the_density_on_the_card(tmp_path: Path) -> None:
    edit = (C, "mixed_density: 2.35 g/cm3", "mixed_density: 2.45 g/cm3")
    there = compared(tmp_path, edit, before=[FILL_VOLUME])
    assert numbers(there)["mixture.density"] == ("2.350\u00a0g/cm³", "2.450\u00a0g/cm³")
    assert any("mass" in name for name in numbers(there))


def test_a_number_that_only_one_revision_has_stands_alone(tmp_path: Path) -> None:
    found = numbers(compared(tmp_path, FILL_VOLUME))
    assert any(before == "" and after for before, after in found.values())


def test_files_that_say_something_else(tmp_path: Path) -> None:
    edits: list[Edit] = [(C, "density: 3.4", "density: 3.5"), ("roll.yaml", "3 to 5", "3 to 6")]
    compared(tmp_path, *edits)
    sources = [resolved(tmp_path / side)[1] for side in ("before", "after")]
    assert set(changed_files(*sources)) == {C, "roll.yaml"}


def test_another_file_in_the_same_role_counts_if_it_says_something_else(tmp_path: Path) -> None:
    compared(tmp_path, (D, "liquid: liquid.yaml", "liquid: other-liquid.yaml"))
    sources = [resolved(tmp_path / side)[1] for side in ("before", "after")]
    assert changed_files(*sources) == ("other-liquid.yaml",)


def marks(folder: Path, *edits: Edit) -> Marks:
    return build_marks(compared(folder, *edits))


def test_a_limit_marks_its_row_and_its_step(tmp_path: Path) -> None:
    assert marks(tmp_path, (D, "speed: 60 ± 10 rpm", "speed: 66 ± 10 rpm")) == Marks(
        frozenset({"mix"}), frozenset({"mix/speed"})
    )


def test_a_limit_of_a_segment_marks_its_row(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "at: 150 ± 5 degC", "at: 155 ± 5 degC"))
    assert found.rows == {"cure/3-temperature"}


def test_the_control_of_a_segment_marks_both_its_rows(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "for: 2 to 3 h}", "for: 2 to 3 h, every: cure run}"))
    assert found.rows == {"cure/3-temperature", "cure/3-time"}


def test_the_ratio_marks_the_row_of_the_step_that_weighs(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "26 ± 1", "27 ± 1"))
    assert found == Marks(
        frozenset({"weigh-liquid"}), frozenset({"weigh-liquid/ratio"}), frozenset({"ratio"})
    )


def test_a_title_marks_all_rows_of_its_step(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "title: Clean the bench", "title: Clean the benches"))
    assert (found.steps, found.rows) == ({"sweep"}, {"sweep/bench"})


def test_what_stands_behind_a_removed_step_is_marked(tmp_path: Path) -> None:
    label = DEFINITION[DEFINITION.index("  - id: label") : DEFINITION.index("  - id: reblend")]
    assert marks(tmp_path, (D, label, "")).steps == {"reblend.roll"}


def test_a_caution_marks_the_steps_it_left_and_reached(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "topic: hot, before: [cure]", "topic: hot, before: [look]"))
    assert found == Marks(frozenset({"cure", "look"}))


def test_a_general_caution_marks_the_front(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "  - {topic: eye-rinse}\n", ""))
    assert found == Marks(sections=frozenset({"cautions"}))


def test_the_number_on_a_machine_marks_where_it_is_printed(tmp_path: Path) -> None:
    found = marks(tmp_path, (P, "tag: OV-1", "tag: OV-9"))
    assert found.steps == {"cure"}
    assert found.sections == {"equipment"}
    assert {row.split("/")[0] for row in found.rows} == {"cure"}


def test_a_reaction_plan_marks_the_steps_that_show_it(tmp_path: Path) -> None:
    found = marks(tmp_path, (D, "title: Refill", "title: Top up"))
    assert found == Marks(
        frozenset({"fill"}), frozenset({"fill/fill-level"}), frozenset({"reactions"})
    )


def test_document_data_marks_nothing(tmp_path: Path) -> None:
    assert marks(tmp_path, (D, "contact: Process engineering", "contact: Nobody")) == Marks()
