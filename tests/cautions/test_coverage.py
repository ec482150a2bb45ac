"""Coverage: what answers a caution that is called for, and what is found where nothing does."""

from pathlib import Path

from speccomp.cautions.coverage import Coverage, Verdict, build_coverage
from speccomp.cautions.hazards import Origin
from speccomp.derive import derive
from speccomp.findings import Finding
from speccomp.pipeline import Checked, check_file
from tests.rules.fragments import TODAY, write_project

CAUTIONS = "caution.missing", "caution.late", "caution.too-weak", "caution.duplicated"


def check(folder: Path, fragment: str) -> Checked:
    return check_file(write_project(folder, fragment), TODAY, folder)


def coverage(checked: Checked) -> Coverage:
    assert checked.process is not None, checked.findings
    return build_coverage(checked.process, derive(checked.process).boiling_point)


def of(checked: Checked, topic: str) -> list[Finding]:
    """Return the findings about cautions of one topic."""
    found = (f for f in checked.findings if f.rule.startswith("caution."))
    return [f for f in found if f.subject.rpartition("/")[2] == topic]


def test_the_base_is_covered(tmp_path: Path) -> None:
    checked = check(tmp_path, "")
    verdicts = {row.verdict for row in coverage(checked).rows}
    assert Verdict.COVERED in verdicts
    assert not verdicts & {Verdict.MISSING, Verdict.LATE, Verdict.TOO_WEAK}
    assert of(checked, "mixer-entangle") == []


def test_a_topic_that_is_nowhere_is_one_finding(tmp_path: Path) -> None:
    (found,) = of(check(tmp_path, "cautions: [{topic: eye-wash}]"), "alkali-splash")
    assert found.rule == "caution.missing"
    assert found.subject == "alkali-splash"
    assert "before `weigh-liquid`, `mix` and `fill`" in found.message
    assert "potassium-silicate" in found.message
    assert found.related[0].span.file == "liquid.yaml"


def test_a_topic_that_lacks_a_step_is_missing_there(tmp_path: Path) -> None:
    text = "cautions:\n  - {topic: alkali-splash, before: [weigh-liquid, fill]}"
    (found,) = of(check(tmp_path, text), "alkali-splash")
    assert (found.rule, found.subject) == ("caution.missing", "mix/alkali-splash")
    assert found.hint == "in the caution `alkali-splash` of line 57, write as `before`:"
    assert found.paste == "    before: [weigh-liquid, mix, fill]"
    assert found.related[0].message == "it stands here"


def test_a_text_of_its_own_is_not_stretched_to_other_steps(tmp_path: Path) -> None:
    text = (
        "cautions:\n  - topic: alkali-splash\n    avoid: Wear the face shield of the pump.\n"
        "    before: [weigh-liquid]"
    )
    (found,) = of(check(tmp_path, text), "alkali-splash")
    assert found.subject == "mix,fill/alkali-splash"
    assert found.hint == "add to `cautions`:"
    assert found.paste == "  - topic: alkali-splash\n    before: [mix, fill]"


def test_each_word_that_is_asked_for_gets_its_entry(tmp_path: Path) -> None:
    text = (
        "cautions:\n  - topic: eye-wash\n"
        "# definition.yaml\nsteps:\n"
        "  - {id: mix, operation: mix, do: Mix it., with: [mixer]}\n"
        "  - id: warm\n    operation: cure\n    method: oven\n    do: Start.\n    with: [oven]\n"
        "    profile: [{hold: {at: 80 ± 4 degC, for: 2 to 3 h}}]\n"
        "  - id: hot\n    operation: cure\n    method: oven\n    do: Start.\n    with: [oven]\n"
        "    profile: [{hold: {at: 150 ± 5 degC, for: 2 to 3 h}}]\n"
    )
    (found,) = of(check(tmp_path, text), "oven-hot-surface")
    assert found.subject == "oven-hot-surface"
    assert found.paste == (
        "  - topic: oven-hot-surface\n    before: [hot]\n"
        "  - topic: oven-hot-surface\n    signal: caution\n    before: [warm]"
    )


def test_a_late_caution_moves_to_the_step_it_protects(tmp_path: Path) -> None:
    text = "cautions:\n  - {topic: mixer-entangle, signal: caution, before: [fill]}"
    (found,) = of(check(tmp_path, text), "mixer-entangle")
    assert found.rule == "caution.late"
    assert (
        found.hint == "in the caution `mixer-entangle` of line 57, write as `signal` and `before`:"
    )
    assert found.paste == "    signal: warning\n    before: [mix]"


def test_a_general_caution_does_not_stand_before_the_step(tmp_path: Path) -> None:
    (found, *_) = of(check(tmp_path, "cautions:\n  - topic: mixer-entangle"), "mixer-entangle")
    assert (found.rule, found.subject) == ("caution.missing", "mix/mixer-entangle")


def test_a_step_caution_does_not_stand_up_front(tmp_path: Path) -> None:
    text = "cautions:\n  - {topic: eye-wash, before: [mix]}"
    (found,) = of(check(tmp_path, text), "eye-wash")
    assert found.rule == "caution.late"
    assert "not up front" in found.message


def test_before_the_first_step_may_be_earlier(tmp_path: Path) -> None:
    text = "cautions:\n  - {topic: no-boil, before: [fill]}"
    assert of(check(tmp_path, text), "no-boil") == []


def test_the_strongest_of_two_counts(tmp_path: Path) -> None:
    text = (
        "cautions:\n  - {topic: mixer-entangle, signal: caution, before: [mix]}\n"
        "  - {topic: mixer-entangle, before: [mix]}"
    )
    assert [f.rule for f in of(check(tmp_path, text), "mixer-entangle")] == ["caution.duplicated"]


def test_the_plants_own_word_is_asked_for(tmp_path: Path) -> None:
    text = (
        "cautions:\n  - {topic: mixer-entangle, signal: warning, before: [mix]}\n"
        "# plant.yaml\ncautions:\n  - {topic: mixer-entangle, signal: danger}\n"
    )
    (found,) = of(check(tmp_path, text), "mixer-entangle")
    assert found.rule == "caution.too-weak"
    assert "danger is asked for by the plant's own text" in found.message


def test_a_caution_before_a_block_stands_before_its_first_step(tmp_path: Path) -> None:
    text = (
        "steps:\n  - {id: turn, use: roll.yaml, set: {material: powder}}\n"
        "cautions:\n  - {topic: lift-23kg, before: [turn]}\n"
        "# powder.yaml\npacks: [{name: pail, holds: 50 lb}]\n"
    )
    assert of(check(tmp_path, text), "lift-23kg") == []


def test_a_step_of_a_block_is_found_where_the_block_is_used(tmp_path: Path) -> None:
    text = (
        "steps:\n  - {id: turn, use: roll.yaml, set: {material: powder}}\n"
        "# powder.yaml\npacks: [{name: pail, holds: 50 lb}]\n"
    )
    (found,) = of(check(tmp_path, text), "lift-23kg")
    assert found.span.file == "definition.yaml"
    assert found.paste == "cautions:\n  - topic: lift-23kg\n    before: [turn.roll]"


def test_the_word_is_pasted_where_the_text_has_another(tmp_path: Path) -> None:
    (found,) = of(check(tmp_path, "cautions: [{topic: eye-wash}]"), "oven-hot-surface")
    assert "signal: caution" in found.paste


def test_lines_for_a_list_between_brackets(tmp_path: Path) -> None:
    (found,) = of(check(tmp_path, "cautions: [{topic: eye-wash}]"), "mixer-entangle")
    assert found.paste == "{topic: mixer-entangle, before: [mix]}"


def test_lines_take_the_indentation_that_is_there(tmp_path: Path) -> None:
    (found,) = of(check(tmp_path, "cautions:\n- topic: eye-wash"), "mixer-entangle")
    assert found.paste == "- topic: mixer-entangle\n  before: [mix]"


def test_an_orphan_is_a_note(tmp_path: Path) -> None:
    text = "cautions:\n  - {topic: robot-motion, before: [mix]}"
    (found,) = of(check(tmp_path, text), "robot-motion")
    assert (found.rule, found.severity.value) == ("caution.orphaned", "note")


def test_a_limit_answers_a_caution_about_the_product(tmp_path: Path) -> None:
    rows = coverage(check(tmp_path, "")).of_topic("mix-time-speed")
    assert [row.verdict for row in rows] == [Verdict.ANSWERED]
    assert rows[0].answer is not None
    assert rows[0].answer.text == "limit mixing time"


def test_what_is_only_advice_is_listed(tmp_path: Path) -> None:
    rows = coverage(check(tmp_path, "")).of_topic("reblend-powder")
    assert [row.verdict for row in rows] == [Verdict.LISTED]


def test_each_fact_has_its_place(tmp_path: Path) -> None:
    for row in coverage(check(tmp_path, "")).rows:
        for fact in row.facts:
            assert fact.span.file in ("definition.yaml", "plant.yaml", "powder.yaml", "liquid.yaml")


INFERRED = "# liquid.yaml\ncomposition: [{substance: phosphoric-acid, fraction: 30 %}]\n"


def without_sheet(folder: Path, name: str) -> None:
    lines = (folder / name).read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("hazards:")]
    (folder / name).write_text("\n".join(kept) + "\n", encoding="utf-8")


def test_what_is_inferred_says_so(tmp_path: Path) -> None:
    path = write_project(tmp_path, INFERRED)
    without_sheet(tmp_path, "liquid.yaml")
    found = coverage(check_file(path, TODAY, tmp_path))
    (liquid,) = [m for m in found.materials if m.material.key == "liquid"]
    assert liquid.origin is Origin.INFERRED
    assert liquid.codes == ("H314",)
    assert liquid.label.signal == "danger"
    rows = found.of_topic("acid-splash")
    assert rows
    assert "inferred" in next(f.text for f in rows[0].facts if "H314" in f.text)


def test_the_sheet_wins_over_the_composition(tmp_path: Path) -> None:
    text = INFERRED + "hazards: {statements: [H319], sheet_date: 2025-05-12}\n"
    found = coverage(check(tmp_path, text))
    (liquid,) = [m for m in found.materials if m.material.key == "liquid"]
    assert (liquid.origin, liquid.codes) == (Origin.SHEET, ("H319",))


def test_what_nobody_knows_counts_as_the_worst(tmp_path: Path) -> None:
    path = write_project(tmp_path)
    without_sheet(tmp_path, "powder.yaml")
    checked = check_file(path, TODAY, tmp_path)
    (powder,) = [m for m in coverage(checked).materials if m.material.key == "powder"]
    assert (powder.origin, powder.codes) == (Origin.ASSUMED, ("H372",))
    assert "hazard.nothing-known" in {f.rule for f in checked.findings}
    assert of(checked, "silica-dust")
