"""Safety in the work instruction, and the caution coverage as a document."""

from pathlib import Path

import pytest

from speccomp.cautions.hazard_data import hazard_data, statements
from speccomp.documents.caution_views import CautionCoverage
from speccomp.documents.views import WorkInstruction
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.model.resolve_packs import built_in_topics
from speccomp.pipeline import Format, caution_coverage_of, check_file, compile_documents
from tests.rules.fragments import TODAY, check_fragment, paste_cautions, write_project

SHEET = "hazards: {{statements: [{}], signal: {}, sheet_date: 2025-05-12}}\n"


def instruction(folder: Path, fragment: str = "") -> WorkInstruction:
    path = write_project(folder, fragment)
    checked = check_file(path, TODAY, folder)
    if paste_cautions(path, checked):
        checked = check_file(path, TODAY, folder)
    assert checked.process is not None, checked.findings
    return build_work_instruction(checked.process, checked.findings)


def coverage(folder: Path, fragment: str = "") -> CautionCoverage:
    return caution_coverage_of(check_fragment(folder, fragment))


def liquid(*codes: str, signal: str = "danger") -> str:
    return "# liquid.yaml\n" + SHEET.format(", ".join(codes), signal)


def test_general_cautions_stand_up_front_the_strongest_first(tmp_path: Path) -> None:
    view = instruction(tmp_path)
    assert [caution.topic for caution in view.cautions] == ["eye-wash", "hygiene-hands"]
    assert [caution.word for caution in view.cautions] == ["WARNING", "CAUTION"]


def test_gear_is_worn_step_by_step_and_collected_up_front(tmp_path: Path) -> None:
    view = instruction(tmp_path)
    mix = next(step for step in view.steps if step.id == "mix")
    assert "Close-fitting sleeves" in mix.gear
    assert set(mix.gear) <= set(view.gear)
    assert all(caution.gear == () for caution in mix.cautions)


def test_the_meaning_of_the_sign_is_given_in_words(tmp_path: Path) -> None:
    view = instruction(tmp_path)
    mix = next(step for step in view.steps if step.id == "mix")
    signs = {caution.topic: caution.sign for caution in mix.cautions}
    assert signs["mixer-entangle"] == "Crushing of hands"
    page = compile_documents(check_fragment(tmp_path / "again"), [Format.HTML])
    assert '<p class="sign">Crushing of hands</p>' in page["work-instruction.html"].decode()


def test_signal_words_are_explained_as_far_as_they_are_used(tmp_path: Path) -> None:
    words = [row[0] for row in instruction(tmp_path).signal_words.rows]
    assert words == ["WARNING", "CAUTION", "NOTICE"]


def test_without_statements_there_is_no_first_aid(tmp_path: Path) -> None:
    view = instruction(tmp_path)
    assert view.hazards.rows == view.first_aid.rows == view.spills.rows == ()


def test_first_aid_for_a_corrosive_liquid(tmp_path: Path) -> None:
    view = instruction(tmp_path, liquid("H314"))
    lines = {row[0]: row for row in view.first_aid.rows}
    assert list(lines) == ["Eyes", "Skin", "Breathed in", "Swallowed"]
    assert "at least 15 min" in lines["Eyes"][1]
    assert "do not make the person vomit" in lines["Swallowed"][1]
    assert lines["Eyes"][2] == "Potassium silicate solution (invented) (H314)"
    assert [row[0] for row in view.spills.rows] == ["Spill"]


def test_first_aid_for_an_irritant_is_milder(tmp_path: Path) -> None:
    view = instruction(tmp_path, liquid("H319", signal="warning"))
    lines = {row[0]: row[1] for row in view.first_aid.rows}
    assert list(lines) == ["Eyes"]
    assert "emergency" not in lines["Eyes"]


def test_a_flammable_liquid_brings_a_line_for_fire(tmp_path: Path) -> None:
    view = instruction(tmp_path, liquid("H225"))
    assert [row[0] for row in view.spills.rows] == ["Spill", "Fire"]


def test_statements_are_printed_in_full_without_redundant_ones(tmp_path: Path) -> None:
    (row,) = instruction(tmp_path, liquid("H314", "H318")).hazards.rows
    assert row[1] == "danger"
    assert row[2] == "H314 Causes severe skin burns and eye damage."
    assert row[3] == "the maker’s safety data sheet of 2025-05-12"


def test_what_is_inferred_is_never_the_sheets(tmp_path: Path) -> None:
    path = write_project(
        tmp_path, "# liquid.yaml\ncomposition: [{substance: phosphoric-acid, fraction: 30 %}]\n"
    )
    card = tmp_path / "liquid.yaml"
    lines = card.read_text(encoding="utf-8").splitlines()
    kept = [line for line in lines if not line.startswith("hazards:")]
    card.write_text("\n".join(kept) + "\n", encoding="utf-8")
    paste_cautions(path, check_file(path, TODAY, tmp_path))
    checked = check_file(path, TODAY, tmp_path)
    assert checked.process is not None
    (row,) = build_work_instruction(checked.process, checked.findings).hazards.rows
    assert row[3] == "INFERRED FROM THE COMPOSITION"
    shown = caution_coverage_of(checked)
    (material,) = [row for row in shown.materials.rows if "H314" in row[1]]
    assert material[4].startswith("INFERRED FROM THE COMPOSITION: H314: 30 % phosphoric acid")
    assert any("pH" in note for note in shown.assumptions) is False  # burns are inferred already


CODES = [code for code, found in statements().items() if found.signal and code.startswith("H3")]


@pytest.mark.parametrize("code", CODES)
def test_every_statement_on_health_has_a_first_aid_line(code: str) -> None:
    lines = [line for entry in hazard_data()["first_aid"] for line in entry["lines"]]
    assert any(code.startswith(tuple(line["for"])) for line in lines)


def test_the_coverage_follows_the_work(tmp_path: Path) -> None:
    view = coverage(tmp_path)
    places = [group.place for group in view.groups]
    assert places[0] == ""
    order = ["weigh-powder", "weigh-liquid", "mix", "fill", "cure", "look"]
    assert [place for place in order if place in places] == [p for p in places if p in order]
    for group in view.groups:
        assert group.heading
        for row in group.rows:
            assert row.good
            assert row.facts
            assert row.answer
            assert row.verdict


def test_each_fact_and_answer_has_its_place(tmp_path: Path) -> None:
    for group in coverage(tmp_path).groups:
        for row in group.rows:
            assert all(".yaml:" in fact for fact in row.facts)


def test_an_open_row_is_told_by_a_word(tmp_path: Path) -> None:
    view = coverage(tmp_path, "cautions:\n  - topic: eye-wash\n")
    rows = {row.topic: row for group in view.groups for row in group.rows if not row.good}
    assert rows["mixer-entangle"].verdict == "missing"
    assert dict(view.counts.rows)["missing"] == str(
        sum(1 for g in view.groups for r in g.rows if not r.good)
    )


def test_orphans_and_advice_are_listed(tmp_path: Path) -> None:
    fragment = "cautions:\n  - {topic: robot-motion, before: [mix]}\n  - topic: eye-wash\n"
    view = coverage(tmp_path, fragment)
    assert [row[0] for row in view.orphans.rows] == ["robot-motion"]
    assert "Reblend before weighing" in [row[0] for row in view.advice.rows]


def test_sources_are_given_for_every_topic(tmp_path: Path) -> None:
    view = coverage(tmp_path)
    shown = {row.topic for group in view.groups for row in group.rows}
    assert shown <= {row[1] for row in view.sources.rows}
    assert all(row[3] for row in view.sources.rows)


def test_the_coverage_is_compiled_with_the_documents(tmp_path: Path) -> None:
    page = compile_documents(check_fragment(tmp_path), [Format.HTML])["caution-coverage.html"]
    text = page.decode()
    for words in ("Caution coverage", "mixer-entangle", "licensed practice", "liquid.yaml:"):
        assert words in text


def test_what_is_written_on_a_container_is_printed(tmp_path: Path) -> None:
    text = (
        "steps:\n  - id: decant\n    operation: weigh\n    material: liquid\n"
        "    do: Pour the liquid into the bottle.\n    with: [bench-scale, spatula]\n"
        "    containers:\n"
        "      - {name: bottle, label: Silicate liquid. Burns skin and eyes.}\n"
        "      - {name: vat, label: Silicate. Burns skin and eyes., ticket: batch-record}\n"
        "      - {name: cup, same_person: true}\n"
        "# plant.yaml\nequipment:\n  spatula: {type: tool, name: Vat, features: [tank]}\n"
    )
    (step,) = instruction(tmp_path, text).steps
    assert step.facts == (
        "Label on bottle: “Silicate liquid. Burns skin and eyes.”",
        "Batch record on vat, all shift: “Silicate. Burns skin and eyes.”",
        "Use up what is in cup yourself in this shift.",
    )


def test_the_coverage_says_that_nothing_is_open_and_explains_its_words(tmp_path: Path) -> None:
    view = coverage(tmp_path)
    counts = dict(view.counts.rows)
    assert [counts[word] for word in ("missing", "too late", "too weak")] == ["0", "0", "0"]
    explained = {row[0] for row in view.signal_words.rows}
    assert {row.word for group in view.groups for row in group.rows} <= explained


def test_what_is_inferred_is_marked_wherever_it_stands(tmp_path: Path) -> None:
    text = "# liquid.yaml\ncomposition: [{substance: phosphoric-acid, fraction: 30 %}]\n"
    path = write_project(tmp_path, text)
    card = tmp_path / "liquid.yaml"
    kept = [s for s in card.read_text(encoding="utf-8").splitlines() if not s.startswith("hazards")]
    card.write_text("\n".join(kept) + "\n", encoding="utf-8")
    checked = check_file(path, TODAY, tmp_path)
    assert paste_cautions(path, checked)
    checked = check_file(path, TODAY, tmp_path)
    assert checked.process is not None
    view = build_work_instruction(checked.process, checked.findings)
    shown = caution_coverage_of(checked)
    rows = [
        *(row for table in (view.hazards, view.first_aid, view.spills) for row in table.rows),
        *shown.materials.rows,
        *(row.facts for group in shown.groups for row in group.rows),
    ]
    about = [" ".join(row) for row in rows if "H314" in " ".join(row)]
    assert len(about) > 5
    assert [text for text in about if "inferred" not in text.lower()] == []


def test_what_stands_twice_is_in_the_coverage(tmp_path: Path) -> None:
    text = (
        "cautions:\n  - topic: eye-wash\n  - topic: eye-wash\n"
        "  - {topic: mixer-entangle, before: [mix]}\n  - {topic: mixer-entangle, before: [mix]}\n"
    )
    path = write_project(tmp_path, text)
    checked = check_file(path, TODAY, tmp_path)
    assert paste_cautions(path, checked)
    checked = check_file(path, TODAY, tmp_path)
    rows = [row[:2] for row in caution_coverage_of(checked).doubled.rows]
    assert rows == [("eye-wash", "up front"), ("mixer-entangle", "Mix")]
    page = compile_documents(checked, [Format.HTML])["caution-coverage.html"].decode()
    assert "Cautions that stand twice" in page


def test_words_that_replace_those_of_the_packs_stand_beside_them(tmp_path: Path) -> None:
    text = (
        "cautions:\n  - topic: mixer-entangle\n    signal: warning\n    hazard: It turns.\n"
        "    consequence: It breaks fingers.\n    avoid: Wait.\n    before: [mix]\n"
    )
    shown = coverage(tmp_path, text)
    (row,) = shown.own_words.rows
    pack = built_in_topics()["mixer-entangle"].caution
    assert row[1] == f"{pack.hazard} {pack.consequence} {pack.avoid}"
    assert row[2].startswith("It turns. It breaks fingers. Wait. (definition.yaml:")
