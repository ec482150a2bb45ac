"""Names stand for something; one that stands for nothing is said with the nearest one."""

from pathlib import Path

import pytest

from speccomp.findings import Related, Span
from tests.model.reading import clean, only, read, step, underlined

MIX = "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste.\n"

# fragment, rule, what is underlined, message, hint
NAMES = {
    "equipment": (
        MIX + "    with: [mixer, tmier]\n",
        "reference.unknown-equipment",
        "tmier",
        "the plant file has no equipment `tmier`",
        "did you mean `timer`?",
    ),
    "gauge": (
        MIX + "    limits: {mixing time: {value: 3 to 5 min, gauge: tmier}}\n",
        "reference.unknown-equipment",
        "tmier",
        "the plant file has no equipment `tmier`",
        "did you mean `timer`?",
    ),
    "material": (
        MIX + "    material: powdr\n",
        "reference.unknown-material",
        "powdr",
        "the definition has no material `powdr`",
        "did you mean `powder`?",
    ),
    "role of a step": (
        MIX + "    responsible: opertor\n",
        "reference.unknown-role",
        "opertor",
        "the plant file has no role `opertor`",
        "did you mean `operator`?",
    ),
    "role of the author": (
        "author: {name: R. Example, role: engineer}\n",
        "reference.unknown-role",
        "engineer",
        "the plant file has no role `engineer`",
        "did you mean `quality-engineer`?",
    ),
    "reaction": (
        MIX + "    reaction: hold\n",
        "reference.unknown-reaction",
        "hold",
        "the definition with its plant file has no reaction `hold`",
        "known: hold-and-call",
    ),
    "record": (
        MIX + "    record: [batch-recrd]\n",
        "reference.unknown-record",
        "batch-recrd",
        "the definition with its plant file has no record `batch-recrd`",
        "did you mean `batch-record`?",
    ),
    "special characteristic": (
        MIX + "    limits: {mixing time: {value: 3 to 5 min, special: safty}}\n",
        "reference.unknown-special-characteristic",
        "safty",
        "the definition with its plant file has no special characteristic `safty`",
        "did you mean `safety`?",
    ),
    "material of the ratio": (
        "ratio: {by: weight, powder: 100, liqid: 26 ± 1}\n",
        "reference.unknown-material",
        "liqid",
        "the definition has no material `liqid`",
        "did you mean `liquid`?",
    ),
    "step of a caution": (
        "cautions:\n  - {topic: dust, signal: warning, hazard: Dust., consequence: It harms., "
        "avoid: Wear a mask., before: [mixx]}\n",
        "reference.unknown-step",
        "mixx",
        "the definition has no step `mixx`",
        "did you mean `mix`?",
    ),
    "role of a reaction": (
        "reactions: {stop: {title: Stop, do: Stop., responsible: shift-led}}\n",
        "reference.unknown-role",
        "shift-led",
        "the plant file has no role `shift-led`",
        "did you mean `shift-lead`?",
    ),
    "role that approves": (
        "# plant.yaml\napprovals: [quality-enginer]\n",
        "reference.unknown-role",
        "quality-enginer",
        "the plant file has no role `quality-enginer`",
        "did you mean `quality-engineer`?",
    ),
}


@pytest.mark.parametrize("case", NAMES)
def test_an_unknown_name(case: str, tmp_path: Path) -> None:
    fragment, rule, what, message, hint = NAMES[case]
    finding = only(tmp_path, fragment)
    assert finding.rule == rule
    assert underlined(tmp_path, finding.span) == what
    assert finding.message == message
    assert finding.hint == hint


def test_two_steps_of_one_name(tmp_path: Path) -> None:
    finding = only(tmp_path, MIX + "  - id: mix\n    operation: clean\n    do: Wipe.\n")
    assert finding.rule == "reference.duplicate-id"
    assert finding.message == "two steps are called `mix`"
    assert underlined(tmp_path, finding.span) == "mix"
    (first,) = finding.related
    assert first.span.line == finding.span.line - 3
    assert underlined(tmp_path, first.span) == "mix"


def test_two_limits_of_one_name(tmp_path: Path) -> None:
    looks = (
        "    look_for:\n      - {what: Bead, accept: No gap}\n      - {what: bead, accept: Dry}\n"
    )
    finding = only(tmp_path, MIX + looks)
    assert finding.rule == "reference.duplicate-id"
    assert finding.subject == "mix/bead"
    assert finding.related[0].span.line == finding.span.line - 1


BLOCK = """\
# roll.yaml
block: roll
title: Roll a container
parameters:
  material: {description: Material in the container}
  time: {description: How long, default: 3 to 5 min}
steps:
  - id: roll
    operation: reblend
    material: $(material)
    do: Roll the $(material) for $(time).
    with: [timer]
    limits: {rolling time: $(time)}
  - id: look
    operation: inspect
    do: Look at the container.
    look_for: [{what: lid, accept: Closed}]
"""


def using(values: str) -> str:
    return f"steps:\n  - id: r\n    use: roll.yaml\n    set: {{{values}}}\n{BLOCK}"


def test_the_steps_of_a_block_carry_the_name_of_its_use(tmp_path: Path) -> None:
    process = clean(tmp_path, using("material: powder"))
    assert [item.id for item in process.steps] == ["r.roll", "r.look"]
    assert {item.block for item in process.steps} == {"roll"}
    roll = step(process, "r.roll")
    assert roll.material is process.materials["powder"]
    assert roll.actions == ("Roll the powder for 3 to 5 min.",)
    assert [item.id for item in roll.characteristics] == ["r.roll/rolling-time"]


def test_a_value_that_is_set_comes_before_the_default(tmp_path: Path) -> None:
    process = clean(tmp_path, using("material: liquid, time: 8 to 9 min"))
    assert step(process, "r.roll").actions == ("Roll the liquid for 8 to 9 min.",)


def test_a_parameter_without_value_is_one_finding(tmp_path: Path) -> None:
    finding = only(tmp_path, using(""))
    assert finding.rule == "reference.missing-parameter"
    assert finding.message == "the block `roll` needs a value for `material`"
    assert finding.hint == "add under set: `material: …` (Material in the container)"
    assert underlined(tmp_path, finding.span) == "roll.yaml"


def test_a_value_for_no_parameter(tmp_path: Path) -> None:
    finding = only(tmp_path, using("material: powder, tme: 5 min"))
    assert finding.rule == "reference.unknown-parameter"
    assert finding.message == "the block `roll` has no parameter `tme`"
    assert finding.hint == "did you mean `time`?"
    assert underlined(tmp_path, finding.span) == "tme"


def test_a_parameter_that_the_block_does_not_have(tmp_path: Path) -> None:
    finding = only(tmp_path, using("material: powder").replace("Roll the $(", "Roll the $(old-"))
    assert finding.rule == "reference.unknown-parameter"
    assert finding.span.file == "roll.yaml"
    assert finding.message == "the block `roll` has no parameter `old-material`"
    assert finding.hint == "did you mean `material`?"
    assert underlined(tmp_path, finding.span) == "Roll the $(old-material) for $(time)."


def test_a_wrong_value_is_shown_in_the_block_and_where_it_was_set(tmp_path: Path) -> None:
    finding = only(tmp_path, using("material: powder, time: 5 kg"))
    assert finding.rule == "value.malformed"
    assert finding.span.file == "roll.yaml"
    assert underlined(tmp_path, finding.span) == "$(time)"
    (set_at,) = finding.related
    assert set_at.message == "`time` is set here"
    assert set_at.span.file == "definition.yaml"
    assert underlined(tmp_path, set_at.span) == "5 kg"


def test_a_wrong_default_is_shown_in_the_block(tmp_path: Path) -> None:
    finding = only(tmp_path, using("material: powder").replace("default: 3 to", "default: 9 to"))
    (set_at,) = finding.related
    assert set_at.span.file == "roll.yaml"
    assert underlined(tmp_path, set_at.span) == "9 to 5 min"


def test_a_caution_may_name_a_whole_block(tmp_path: Path) -> None:
    caution = (
        "cautions:\n  - {topic: dust, signal: warning, hazard: Dust., consequence: It harms., "
        "avoid: Wear a mask., before: [r]}\n"
    )
    process = clean(tmp_path, caution + using("material: powder"))
    assert process.cautions[0].before == ("r",)


def test_a_block_used_twice_has_its_own_steps_each_time(tmp_path: Path) -> None:
    fragment = using("material: powder").replace(
        "  - id: r\n", "  - {id: a, use: roll.yaml, set: {material: liquid}}\n  - id: r\n"
    )
    process = clean(tmp_path, fragment)
    assert [item.id for item in process.steps] == ["a.roll", "a.look", "r.roll", "r.look"]
    assert step(process, "a.roll").material is process.materials["liquid"]


def test_parameters_stay_in_the_block(tmp_path: Path) -> None:
    _, findings = read(tmp_path, MIX + "    material: $(material)\n")
    assert [finding.message for finding in findings] == [
        "the definition has no material `$(material)`"
    ]
    assert Related(Span("x"), "") not in findings[0].related


def test_the_use_of_a_block_may_have_a_dot_in_its_id(tmp_path: Path) -> None:
    caution = (
        "cautions:\n  - {topic: dust, signal: warning, hazard: Dust., consequence: It harms., "
        "avoid: Wear a mask., before: [a.b]}\n"
    )
    process = clean(tmp_path, caution + using("material: powder").replace("id: r\n", "id: a.b\n"))
    assert [(item.id, item.use) for item in process.steps] == [
        ("a.b.roll", "a.b"),
        ("a.b.look", "a.b"),
    ]


def test_a_wrong_name_is_shown_in_the_block_and_where_it_was_set(tmp_path: Path) -> None:
    finding = only(tmp_path, using("material: powdr"))
    assert finding.rule == "reference.unknown-material"
    assert underlined(tmp_path, finding.span) == "$(material)"
    (set_at,) = finding.related
    assert set_at.message == "`material` is set here"
    assert underlined(tmp_path, set_at.span) == "powdr"
