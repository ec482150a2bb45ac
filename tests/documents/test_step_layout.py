"""What a step of the instruction says to the person at the bench, and where."""

import dataclasses

import pytest

from speccomp.derive import derive
from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.views import StepView, WorkInstruction
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.model.process import Process
from speccomp.render.html import render_work_instruction
from tests.derive.project import BATCH, read_process
from tests.documents.pages import Page, flat

CURE = """
steps:
  - id: bake
    operation: cure
    method: oven
    do: Start the program.
    with: [oven]
    profile:
      - ramp: {to: 80 ± 4 degC, at: 0.5 to 1 K/min}
      - hold: {at: 80 ± 4 degC, for: 3 to 4 h}
"""


def instruction(fragment: str) -> tuple[Process, WorkInstruction]:
    process = read_process(fragment)
    return process, build_work_instruction(process, (), derived=derive(process))


def step(view: WorkInstruction, ident: str) -> StepView:
    return next(step for step in view.steps if step.id == ident)


def leads(view: StepView) -> str:
    return flat(" ".join(sentence for figure in view.figures for sentence in figure.lead))


def test_the_first_weighing_says_how_many_mixes_are_made() -> None:
    # 200 g and 52 g are the masses of the steps.
    _, view = instruction(BATCH)
    text = leads(step(view, "weigh-powder"))
    assert text.startswith("Make 2 mixes of 60 parts for an order of 120 × TH-8.")
    assert "one mix is 252 g." in text


def test_a_shot_that_checks_a_dispenser_is_no_mix() -> None:
    shot = BATCH.replace("200 ± 1 g", "2.00 ± 0.01 g").replace("52.0 ± 0.5 g", "0.52 ± 0.01 g")
    _, view = instruction(shot.replace("cycle_time: 20 s, transfer_time: 3 min, ", ""))
    text = leads(step(view, "mix"))
    assert "Make " not in text
    assert "Use a mix within " not in text
    assert "An order of 120 × TH-8 takes " in text


def test_the_time_to_use_a_mix_counts_from_contact_and_keeps_to_the_limit_of_the_step() -> None:
    _, view = instruction(BATCH)
    text = leads(step(view, "mix"))
    # 5 min of mixing and 30 min after it are more than the pot life in the hot shop allows.
    assert "of the moment liquid and powder meet. Discard what is left at " in text
    met = "time since liquid met powder: at most 9 min"
    _, short = instruction(BATCH.replace("time since mixing: at most 30 min", met))
    assert leads(step(short, "mix")).startswith("Use a mix within 9 min of the moment ")


def test_a_share_of_the_mix_is_calculated_from_readings() -> None:
    _, view = instruction(BATCH)
    (share,) = (
        item
        for item in step(view, "weigh-liquid").characteristics
        if flat(item.requirement) == "26 ± 1"
    )
    assert share.technique.endswith("; calculated: 100 × liquid ÷ powder")
    masses = [i for s in view.steps for i in s.characteristics if i.name == "mass"]
    assert all("calculated" not in item.technique for item in masses)


def test_limits_of_a_profile_are_named_by_the_segment_of_the_controller() -> None:
    process, view = instruction(CURE)
    names = [item.name for item in step(view, "bake").characteristics]
    assert names == [
        "segment 1, ramp to",
        "segment 1, ramp rate",
        "segment 2, hold at",
        "segment 2, hold time",
    ]
    plan = build_control_plan(process, ())
    assert [row.characteristic.name for row in plan.rows if row.step_id == "bake"] == names


@pytest.mark.parametrize(
    ("operation", "method", "words"),
    [
        ("dispense", "squeeze-bottle", "Dispense by squeeze bottle"),
        ("cure", "ambient", "Cure at shop temperature"),
        ("test", "pull along the axis", "Test: pull along the axis"),
    ],
)
def test_a_method_is_printed_in_words(operation: str, method: str, words: str) -> None:
    process, _ = instruction(BATCH)
    (fill,) = (one for one in process.steps if one.id == "fill")
    done = dataclasses.replace(
        fill,
        operation=dataclasses.replace(
            fill.operation, name=operation, title=words.split(maxsplit=1)[0].strip(":")
        ),
        method=method,
    )
    view = build_work_instruction(dataclasses.replace(process, steps=(done,)), ())
    assert view.steps[0].operation == words
    assert view.steps[0].facts == ()


def test_what_is_used_names_the_gauge_of_every_limit_once() -> None:
    fragment = BATCH.replace("with: [timer]\n    limits", "limits").replace(
        "time since mixing: at most 30 min",
        "time since mixing: {value: at most 30 min, gauge: timer}",
    )
    process, view = instruction(fragment)
    timer = process.plant.equipment["timer"].name
    assert list(step(view, "fill").equipment) == [timer]
    assert [row[0] for row in view.equipment.rows].count(timer) == 1


def test_limits_and_times_stand_before_the_actions_and_numbers_behind_them() -> None:
    _, view = instruction(BATCH)
    text = Page(render_work_instruction(view)).sections["step-mix"].text
    order = [
        text.index(words)
        for words in ("Limits", "Use a mix within", "Mix the paste at slow speed", "Pot-life clock")
    ]
    assert order == sorted(order)


def test_words_to_accept_by_lose_their_markdown_in_the_acceptance() -> None:
    fragment = """
steps:
  - id: look
    operation: inspect
    do: Look at the seal.
    look_for: [{what: seal, accept: "Closed, **no** crack"}]
"""
    process, view = instruction(fragment)
    assert process.steps[-1].id == "look"
    section = Page(render_work_instruction(view)).sections["acceptance"].text
    assert "Closed, no crack" in section
    assert "**" not in section
