"""The comparison report: counts, verdict, both sides with what differs marked, effects."""

import json
import re
import shutil
from dataclasses import replace
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader

from speccomp.documents.change_bars import Since, mark_control_plan, mark_work_instruction
from speccomp.documents.comparison_views import ComparisonReport, Line
from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.text_marks import mark_lines
from speccomp.documents.views import cells
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.pipeline import Checked, Compared, changes_since, check_file, compare_checked
from speccomp.render.comparison_json import render_comparison_json
from speccomp.render.comparison_text import render_comparison_text
from speccomp.render.html import render_comparison, render_control_plan, render_work_instruction
from speccomp.render.pdf import render_pdf

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)


def checked(name: str) -> Checked:
    result = check_file(DEMO / name, TODAY, DEMO)
    assert result.process is not None
    return result


@pytest.fixture(scope="module")
def pair() -> tuple[Checked, Checked]:
    return (
        checked("revisions/PD-117/B.yaml"),
        checked("definitions/PD-117-cartridge-heater.yaml"),
    )


@pytest.fixture(scope="module")
def compared(pair: tuple[Checked, Checked]) -> Compared:
    return compare_checked(*pair, ("before.yaml", "after.yaml"))


@pytest.fixture(scope="module")
def report(compared: Compared) -> ComparisonReport:
    return compared.report


def texts(line: Line, *without: str) -> str:
    return "".join(piece.text for piece in line if piece.mark not in without)


LINES = st.lists(st.text("ab 1.", max_size=8), max_size=5)


@given(LINES, LINES)
def test_marks_take_nothing_away(before: list[str], after: list[str]) -> None:
    left, right = mark_lines(before, after)
    assert [texts(line) for line in left] == before
    assert [texts(line) for line in right] == after


@given(LINES, LINES)
def test_what_is_not_marked_is_the_same_on_both_sides(before: list[str], after: list[str]) -> None:
    left, right = mark_lines(before, after)
    if not before or not after:
        assert not any(piece.mark for line in (*left, *right) for piece in line)
        return
    kept = ["".join(texts(line, "removed", "inserted") for line in side) for side in (left, right)]
    assert kept[0] == kept[1]
    assert not any(piece.mark == "inserted" for line in left for piece in line)
    assert not any(piece.mark == "removed" for line in right for piece in line)


def test_a_word_is_marked_in_its_sentence() -> None:
    left, right = mark_lines(["Close the guard now."], ["Close the lid now."])
    assert [(p.text, p.mark) for p in left[0]] == [
        ("Close the ", ""),
        ("guard", "removed"),
        (" now.", ""),
    ]
    assert ("lid", "inserted") in [(p.text, p.mark) for p in right[0]]


def test_every_change_is_listed_once_and_counted(
    compared: Compared, report: ComparisonReport
) -> None:
    listed = [change for group in report.groups for change in group.changes]
    assert len(listed) == len(compared.comparison.changes)
    assert [change.number for change in listed] == [str(n + 1) for n in range(len(listed))]
    assert sum(int(row[1]) for row in report.counts.rows) == len(listed)
    for group in report.groups:
        (row,) = [row for row in report.counts.rows if row[0] == group.title.lower()]
        assert row[1] == str(len(group.changes))


def test_the_summary_tells_who_when_and_why(report: ComparisonReport) -> None:
    note = dict(report.note)
    assert note["Who"] == "R. Example"
    assert note["When"] == "2026-11-16"
    assert note["Why"].startswith("Discs of three winter batches")
    assert note["Class"] == "safety"
    assert report.agrees
    assert report.title_block.revision == "B → C"


def test_a_note_that_makes_less_of_it_is_called_out(pair: tuple[Checked, Checked]) -> None:
    before, after = pair
    process = after.process
    assert process is not None
    assert process.change is not None
    note = replace(process.change, change_class="editorial")
    lied = replace(after, process=replace(process, change=note))
    report = compare_checked(before, lied, ("a", "b")).report
    assert not report.agrees
    assert report.verdict.endswith("The note makes less of the change than it is.")
    assert 'class="verdict disagrees"' in render_comparison(report)


def test_sizes_are_given_in_the_unit_and_in_per_cent(report: ComparisonReport) -> None:
    sizes = {change.title: change.size for group in report.groups for change in group.changes}
    assert sizes["Dry and cure: hold 2, time"] == (
        "middle of the limits +1\u00a0h, 100\u00a0% of the band"
    )
    assert sizes["Mixing ratio, liquid"].startswith("middle of the limits +1, 50")


def test_effects_name_numbers_rows_documents_and_other_definitions(
    report: ComparisonReport,
) -> None:
    assert any(row[4] == "curing.dry-and-cure.nominal" for row in report.numbers.rows)
    rows = {(row[1], row[2]) for row in report.rows.rows}
    assert ("Dry and cure", "segment 2, hold time") in rows
    assert [row[0] for row in report.documents.rows] == [
        "Work instruction",
        "Control plan",
        "Caution coverage",
    ]
    assert all(not row[1].startswith("PD-117") for row in report.shared.rows)


def test_revisions_in_between_are_listed(pair: tuple[Checked, Checked]) -> None:
    first = checked("revisions/PD-117/A.yaml")
    report = compare_checked(first, pair[1], ("a", "c")).report
    assert [row[0] for row in report.between.rows] == ["B"]


def test_the_same_revision_twice_is_said_to_be_the_same(pair: tuple[Checked, Checked]) -> None:
    report = compare_checked(pair[1], pair[1], ("a", "a")).report
    assert report.verdict == "Nothing changed."
    assert report.groups == ()
    assert "The two revisions are the same." in render_comparison(report)


def test_the_page_marks_by_more_than_colour(report: ComparisonReport) -> None:
    page = render_comparison(report)
    assert "<del>" in page
    assert "<ins>" in page
    assert "text-decoration: line-through" in page
    assert 'del::before { content: "["; }' in page
    assert page.count('<article class="change') == sum(len(g.changes) for g in report.groups)


def test_text_and_json_hold_every_change(compared: Compared) -> None:
    text = " ".join(render_comparison_text(compared.report).split())
    for change in compared.comparison.changes:
        assert f"{change.title}: {change.words}" in text
    effects = compared.effects
    data = render_comparison_json(compared.comparison, effects.numbers, effects.shared)
    assert data.count('"kind":') == len(compared.comparison.changes)


def documented(heading: str, text: str) -> set[str]:
    """Return the keys that a table of the README lists in its first column."""
    table = text[text.index(f"| {heading} |") :].split("\n\n", maxsplit=1)[0]
    return {
        key for row in table.splitlines()[2:] for key in re.findall(r"`(\w+)`", row.split("|")[1])
    }


def test_the_keys_of_the_json_are_those_that_the_readme_lists(compared: Compared) -> None:
    effects = compared.effects
    data = json.loads(render_comparison_json(compared.comparison, effects.numbers, effects.shared))
    readme = (DEMO.parent / "README.md").read_text(encoding="utf-8")
    section = readme[readme.index("### JSON of a comparison") :]
    assert set(data) == documented("key", section)
    for change in data["changes"]:
        assert set(change) == documented("key of a change", section)


def test_the_json_says_what_is_wrong_with_the_note(pair: tuple[Checked, Checked]) -> None:
    before, after = pair
    assert after.process
    assert after.process.change
    note = replace(after.process.change, change_class="editorial")
    lied = replace(after, process=replace(after.process, change=note))
    found = compare_checked(before, lied, ("a", "b"))
    data = json.loads(render_comparison_json(found.comparison, (), {}))
    assert [one["rule"] for one in data["note"]] == ["revision.class-contradicts"]
    assert data["note"][0]["place"]["file"] == "definitions/PD-117-cartridge-heater.yaml"


def test_text_fits_a_terminal_and_names_what_is_unchanged(report: ComparisonReport) -> None:
    lines = render_comparison_text(report).splitlines()
    assert max(map(len, lines)) <= 100
    assert "Step: Pack" in " ".join(lines).split("== Unchanged")[1]


def test_ids_are_printed_as_the_plant_calls_them(pair: tuple[Checked, Checked]) -> None:
    first = checked("revisions/PD-117/A.yaml")
    before = checked("revisions/PD-117/B.yaml")
    changes = [
        change
        for group in compare_checked(first, before, ("a", "b")).report.groups
        for change in group.changes
    ]
    said = {
        change.title: tuple(texts(line) for line in (*change.before, *change.after))
        for change in changes
    }
    assert said["Level the bead: fill level, gauge"] == (
        "Caliper, 150 mm (LG-02)",
        "Dial depth gauge, 25 mm (LG-07)",
    )
    assert said["Level the bead: fill level, frequency"] == ("each part", "each batch")
    assert said["Fill the cold end, operation"] == ("apply", "dispense")
    step = said["Let the mix settle"]
    assert "– Leave the holder standing." in step
    (limit,) = [line for line in step if line.startswith("limit rest time: 1 to 2 min; ")]
    assert "gauge: Bench timer (TI-03)" in limit
    picture = said["Fill the cold end, images/fill-level.svg"]
    assert any(re.fullmatch("SHA-512: [0-9a-f]{16}…", line) for line in picture)


def test_a_removed_segment_shifts_no_row_and_no_number() -> None:
    # Ramp 3 and hold 4 of revision A are gone; its ramp 5 and hold 6 are ramp 3 and hold 4 of B.
    first, second = (checked(f"revisions/PD-117/{name}.yaml") for name in "AB")
    report = compare_checked(first, second, ("a", "b")).report
    gone = [(row[2], " ".join(row[3].split())) for row in report.rows.rows if row[0] == "gone"]
    assert ("segment 4, hold at", "110 ± 5 °C") in gone
    assert not any("150 ± 5" in requirement for _, requirement in gone)
    assert not any("highest possible" in row[0] for row in report.numbers.rows)
    gauges = [row for row in report.numbers.rows if row[4] == "gauges.level.fill-level.uncertainty"]
    assert gauges, "level was level-bead: the two are compared with each other"


def test_a_moved_or_renamed_limit_is_not_gone() -> None:
    first, second = (checked(f"revisions/PD-120/{name}.yaml") for name in ("initial", "A"))
    report = compare_checked(first, second, ("a", "b")).report
    gone = {row[2] for row in report.rows.rows if row[0] == "gone"}
    assert "table time" not in gone
    assert "parts per mix" not in gone
    assert "last wipe" in gone


def test_the_limits_of_a_divided_step_are_not_gone() -> None:
    pair = checked("revisions/PD-120/A.yaml"), checked("definitions/PD-120-braking-resistor.yaml")
    report = compare_checked(*pair, ("a", "b")).report
    assert any(change.kind == "step-split" for group in report.groups for change in group.changes)
    assert [row for row in report.rows.rows if row[0] == "gone"] == []
    assert not any(row[4].startswith("gauges.test") for row in report.numbers.rows)


def test_a_weighing_table_is_one_line(report: ComparisonReport) -> None:
    rows = [row for row in report.numbers.rows if "readings in the weighing table" in row[0]]
    assert [row[0].split(", ")[1] for row in rows] == [
        "first of 21 readings in the weighing table",
        "first of 20 readings in the weighing table",
        "first of 20 readings in the weighing table",
    ]
    assert all(" to " in row[3] for row in rows)
    assert not any("`" in cell for row in report.numbers.rows for cell in row)


def test_a_number_is_marked_as_a_whole() -> None:
    left, right = mark_lines(["75.0 ± 1.5 g"], ["78.0 ± 1.5 g"])
    assert [(p.text, p.mark) for p in left[0]] == [("75.0", "removed"), (" ± 1.5 g", "")]
    assert [(p.text, p.mark) for p in right[0]] == [("78.0", "inserted"), (" ± 1.5 g", "")]
    left, _ = mark_lines(["at most 26 °C and more"], ["no less 26 °C and more"])
    assert left[0][0].text == "at most"


def test_two_runs_give_the_same_bytes(pair: tuple[Checked, Checked]) -> None:
    pages = {
        render_comparison(compare_checked(*pair, ("before.yaml", "after.yaml")).report)
        for _ in range(2)
    }
    assert len(pages) == 1


@pytest.fixture(scope="module")
def since(pair: tuple[Checked, Checked]) -> Since:
    return changes_since(*pair)


def test_rows_that_print_otherwise_have_a_bar(pair: tuple[Checked, Checked], since: Since) -> None:
    before, after = (build_control_plan(one.process, ()) for one in pair if one.process)
    then = {row.characteristic.id: row for row in before.rows}
    marked = mark_control_plan(after, since)
    for row in marked.rows:
        old = then.get(row.characteristic.id)
        # Numbers of steps and rows move along when a step is put in before them.
        same = old is not None and _without_numbers(cells(old)) == _without_numbers(cells(row))
        assert row.characteristic.changed or same, row.characteristic.id
    assert any(row.characteristic.changed for row in marked.rows)
    assert not all(row.characteristic.changed for row in marked.rows)


def _without_numbers(texts: tuple[str, ...]) -> tuple[str, ...]:
    return (*texts[1:3], *texts[4:])


def test_a_step_has_a_bar_exactly_where_it_prints_otherwise_or_was_changed(
    pair: tuple[Checked, Checked], since: Since
) -> None:
    before, after = (
        build_work_instruction(one.process, (), None, one.derived) for one in pair if one.process
    )
    then = {step.id: step for step in before.steps}
    marked = mark_work_instruction(after, since)
    for step in marked.steps:
        old = then.get(step.id)
        if not step.changed:
            assert old is not None
            assert (old.actions, old.title, old.gear) == (step.actions, step.title, step.gear)
            assert (old.cautions, old.figures) == (step.cautions, step.figures)
    assert {step.changed for step in marked.steps} == {True, False}
    assert marked.legend.endswith("marks what changed since revision B")


def test_a_number_that_moved_because_a_card_did_has_a_bar(tmp_path: Path) -> None:
    folder = tmp_path / "project"
    shutil.copytree(DEMO, folder)
    path = folder / "definitions/PD-120-braking-resistor.yaml"
    before = check_file(path, TODAY, folder)
    card = folder / "materials/hydraulic-powder.yaml"
    text = card.read_text("utf-8")
    card.write_text(text.replace("mixed_density: 2.38", "mixed_density: 2.44"), encoding="utf-8")
    after = check_file(path, TODAY, folder)
    since = changes_since(before, after)
    assert "materials" in since.marks.sections
    assert "batch" in since.marks.sections


def test_bars_are_printed_and_spoken(pair: tuple[Checked, Checked], since: Since) -> None:
    process = pair[1].process
    assert process is not None
    page = render_work_instruction(
        mark_work_instruction(build_work_instruction(process, ()), since)
    )
    plan = render_control_plan(mark_control_plan(build_control_plan(process, ()), since))
    assert re.search(r'<section class="step revised" id="step-dry-and-cure"', page)
    assert "(changed)" in page
    assert re.search(r'<tr role="row" class="[^"]*revised', plan)


def test_without_an_earlier_revision_nothing_is_marked(pair: tuple[Checked, Checked]) -> None:
    process = pair[1].process
    assert process is not None
    page = render_work_instruction(build_work_instruction(process, ()))
    assert "revised" not in page.split("</head>")[1]


def test_the_summary_fills_one_page() -> None:
    first, second = (checked(f"revisions/PD-124/{name}.yaml") for name in ("initial", "A"))
    report = compare_checked(first, second, ("a", "b")).report
    pages = PdfReader(BytesIO(render_pdf(render_comparison(report), report.title_block))).pages
    head = [page.extract_text() for page in pages[:2]]
    assert "Summary" in head[0]
    assert "The two revisions" in head[0]
    assert "Changes\n" not in head[0].split("The two revisions")[1]
    assert "Removed text is struck through" in head[1]
