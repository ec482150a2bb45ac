"""The work instruction and the control plan print each limit of a definition alike."""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.views import CharacteristicView, ControlPlan, WorkInstruction
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.model.process import Process
from speccomp.pipeline import Format, check_file, compile_documents
from speccomp.quantities import Toleranced, print_toleranced
from speccomp.render.markdown import render_plain
from tests.documents.pages import Page, flat

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)


@dataclass(frozen=True)
class Documents:
    process: Process
    instruction: WorkInstruction
    plan: ControlPlan
    instruction_page: Page
    plan_page: Page
    rows: list[list[str]]


@pytest.fixture(
    scope="module",
    params=sorted((DEMO / "definitions").glob("*.yaml")),
    ids=lambda path: path.stem[:6],
)
def documents(request: pytest.FixtureRequest) -> Documents:
    checked = check_file(request.param, TODAY, DEMO)
    process = checked.process
    assert process is not None
    files = compile_documents(checked, [Format.HTML, Format.CSV])
    return Documents(
        process,
        build_work_instruction(process, checked.findings),
        build_control_plan(process, checked.findings),
        Page(files["work-instruction.html"].decode()),
        Page(files["control-plan.html"].decode()),
        list(csv.reader(io.StringIO(files["control-plan.csv"].decode("utf-8-sig")))),
    )


def in_steps(view: WorkInstruction) -> Iterator[CharacteristicView]:
    return (item for step in view.steps for item in step.characteristics)


def shown(item: CharacteristicView) -> str:
    text = render_plain(item.requirement) if item.judged else item.requirement
    return flat(text)


def test_every_limit_of_the_definition_is_in_both(documents: Documents) -> None:
    wanted = [item.id for _, item in documents.process.characteristics()]
    assert len(wanted) > 20
    assert [item.id for item in in_steps(documents.instruction)] == wanted
    assert [row.characteristic.id for row in documents.plan.rows] == wanted


def test_every_limit_that_is_written_is_a_characteristic(documents: Documents) -> None:
    # Counted in the source, not in the model: nothing that an author limits may get lost.
    process = documents.process
    written = process.ratio.parts[1:] if process.ratio else ()
    placed = [item for _, item in process.characteristics() if "/ratio" in item.id]
    assert {item.span for item in placed} == {part.span for part in written}
    segments = [segment for step in process.steps for segment in step.profile]
    from_profile = [
        item
        for step in process.steps
        for item in step.characteristics
        if step.profile and item.name.split()[0] in ("hold", "ramp")
    ]
    assert len(from_profile) == 2 * len(segments)


def test_both_show_the_same_text(documents: Documents) -> None:
    plan = {row.characteristic.id: row.characteristic for row in documents.plan.rows}
    for item in in_steps(documents.instruction):
        assert item == plan[item.id]


def test_the_text_is_the_value_in_the_units_of_the_plant(documents: Documents) -> None:
    views = {item.id: item for item in in_steps(documents.instruction)}
    for _, item in documents.process.characteristics():
        if isinstance(item.requirement, Toleranced):
            units = documents.process.plant.units
            assert views[item.id].requirement == print_toleranced(item.requirement, units)
        else:
            assert views[item.id].requirement == item.requirement


def test_the_page_of_the_instruction_shows_every_limit_at_its_step(documents: Documents) -> None:
    for step in documents.instruction.steps:
        section = documents.instruction_page.sections[f"step-{step.id}"]
        for item in step.characteristics:
            rows = [row.text for row in section.rows if row.text.startswith(item.number + " ")]
            assert len(rows) == 1, f"{item.id}: {rows}"
            assert flat(item.name) in rows[0]
            assert shown(item) in rows[0]


def test_the_page_of_the_plan_shows_every_limit_in_a_row(documents: Documents) -> None:
    rows = [row.text for row in documents.plan_page.body.rows]
    for entry in documents.plan.rows:
        item = entry.characteristic
        wanted = f"{item.number} {flat(item.name)} "
        found = [row for row in rows if wanted in row and shown(item) in row]
        assert len(found) == 1, item.id


def test_the_sheet_has_a_row_for_every_limit(documents: Documents) -> None:
    heading, *rows = documents.rows
    number, name = heading.index("No."), heading.index("Characteristic")
    requirement = heading.index("Specification, tolerance")
    assert [(row[number], row[name], flat(row[requirement].removeprefix("'"))) for row in rows] == [
        (entry.characteristic.number, entry.characteristic.name, shown(entry.characteristic))
        for entry in documents.plan.rows
    ]


def test_the_acceptance_repeats_what_the_steps_say(documents: Documents) -> None:
    wanted = [
        (item.number, item.name, item.requirement)
        for item in in_steps(documents.instruction)
        if item.product
    ]
    assert wanted
    table = documents.instruction.acceptance
    assert [(row[0], row[1], row[3]) for row in table.rows] == wanted
    page = documents.instruction_page.body
    for number, name, _ in wanted:
        assert sum(row.text.startswith(f"{number} {flat(name)}") for row in page.rows) >= 2


def test_steps_without_a_limit_are_named_in_the_plan(documents: Documents) -> None:
    numbered = {f"{step.number} {step.title}" for step in documents.instruction.steps}
    controlled = {f"{row.step_number} {row.operation}" for row in documents.plan.rows}
    assert set(documents.plan.steps_without_control) == numbered - controlled


def test_every_reaction_that_a_limit_names_is_spelled_out(documents: Documents) -> None:
    titles = {reaction.title for reaction in documents.plan.reactions}
    assert {row.characteristic.reaction for row in documents.plan.rows} == titles
    at_steps = [reaction for step in documents.instruction.steps for reaction in step.if_not]
    assert documents.plan.reactions == tuple(dict.fromkeys(at_steps))
    for reaction in documents.plan.reactions:
        assert reaction.actions
        for action in reaction.actions:
            assert flat(render_plain(action)) in documents.plan_page.body.text


def test_every_step_shows_what_is_done(documents: Documents) -> None:
    for step in documents.instruction.steps:
        text = documents.instruction_page.sections[f"step-{step.id}"].text
        for action in step.actions:
            assert flat(render_plain(action)) in text


def test_a_draft_says_so_on_both(documents: Documents) -> None:
    for block in (documents.instruction.title_block, documents.plan.title_block):
        assert block.draft
        assert block.status == "Draft"
        assert (block.number, block.revision) == (
            documents.process.number,
            documents.process.revision,
        )
