"""What the documents are made of, on a small definition."""

from pathlib import Path

import pytest

from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.views import COLUMNS, ControlPlan, StepView, WorkInstruction, cells
from speccomp.documents.words import INHERITED_LEGEND, frequency
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.findings import Finding, Severity, Span
from tests.documents.pages import flat
from tests.model.reading import clean
from tests.rules.fragments import check_fragment

MIX = "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste.\n"


def instruction(folder: Path, fragment: str = "") -> WorkInstruction:
    return build_work_instruction(clean(folder, fragment), ())


def plan(folder: Path, fragment: str = "") -> ControlPlan:
    return build_control_plan(clean(folder, fragment), ())


def step(view: WorkInstruction, ident: str) -> StepView:
    return next(item for item in view.steps if item.id == ident)


def test_steps_and_characteristics_are_numbered(tmp_path: Path) -> None:
    fragment = MIX + (
        "    limits: {mixing time: 3 to 5 min, speed: 60 ± 10 rpm}\n"
        "    look_for: [{what: paste, accept: Smooth}]\n"
        "  - {id: pack, operation: pack, do: Pack.}\n"
        "  - id: cure\n    operation: cure\n    method: oven\n    do: Cure.\n"
        "    profile: [{hold: {at: 82 ± 5 degC, for: 4 to 5 h}}]\n"
    )
    view = instruction(tmp_path, fragment)
    assert [(item.number, item.id) for item in view.steps] == [
        ("1", "mix"),
        ("2", "pack"),
        ("3", "cure"),
    ]
    numbers = [(c.number, c.name) for item in view.steps for c in item.characteristics]
    assert numbers == [
        ("1.1", "mixing time"),
        ("1.2", "speed"),
        ("1.3", "paste"),
        ("3.1", "segment 1, hold at"),
        ("3.2", "segment 1, hold time"),
    ]
    rows = plan(tmp_path / "plan", fragment).rows
    assert [(row.step_number, row.characteristic.number) for row in rows] == [
        (number.partition(".")[0], number) for number, _ in numbers
    ]


def test_what_comes_from_the_plant_is_marked_and_explained(tmp_path: Path) -> None:
    fragment = MIX + (
        "    limits:\n      mixing time: {value: 3 to 5 min, sample: 5, every: 2 h}\n"
        "      speed: {value: 60 ± 10 rpm, sample: 1, every: shift, reaction: hold-and-call, "
        "responsible: operator, record: batch-record}\n"
    )
    view = plan(tmp_path, fragment)
    time, speed = (row.characteristic for row in view.rows)
    assert time.inherited == {"reaction", "responsible", "record"}
    assert speed.inherited == frozenset()
    row = dict(zip(COLUMNS, cells(view.rows[0]), strict=True))
    assert row["Sample"] == "5"
    assert row["Frequency"] == "every 2 h"
    assert row["Responsible"] == "Operator *"
    assert row["Control method, record"] == "Batch record *"
    assert row["Reaction plan"] == "Hold and call *"
    assert "*" not in "".join(cells(view.rows[1]))
    assert view.legend == INHERITED_LEGEND


def test_without_marks_there_is_no_legend(tmp_path: Path) -> None:
    fragment = MIX + (
        "    limits: {speed: {value: 60 ± 10 rpm, sample: 1, every: shift, reaction: "
        "hold-and-call, responsible: operator, record: batch-record}}\n"
    )
    assert plan(tmp_path, fragment).legend == ""


def test_special_characteristics_are_marked_and_explained(tmp_path: Path) -> None:
    fragment = MIX + "    limits: {mixing time: {value: 3 to 5 min, special: safety}}\n"
    process = clean(tmp_path, fragment)
    view = build_control_plan(process, ())
    assert view.rows[0].characteristic.special == "S"
    assert view.legend == f"S = Safety; {INHERITED_LEGEND}"
    assert build_work_instruction(process, ()).legend == view.legend
    row = dict(zip(COLUMNS, cells(view.rows[0]), strict=True))
    assert row["Special"] == "S"


@pytest.mark.parametrize(
    ("every", "read"),
    [
        ("batch", "each batch"),
        ("2 h", "every 2 h"),
        ("50 parts", "every 50 parts"),
        ("start of shift", "at start of shift"),
        ("end of batch", "at end of batch"),
        ("first part", "first part"),
        ("before each use", "before each use"),
        ("", ""),
    ],
)
def test_a_frequency_is_read_aloud(every: str, read: str) -> None:
    assert frequency(every) == read


def test_acceptance_lists_the_limits_of_the_product(tmp_path: Path) -> None:
    look = "  - {id: look, operation: inspect, do: Look., look_for: [{what: seal, accept: Dry}]}\n"
    view = instruction(tmp_path, MIX + "    limits: {mixing time: 3 to 5 min}\n" + look)
    assert view.acceptance.columns[:4] == ("No.", "Characteristic", "Special", "Accept")
    assert view.acceptance.rows == (("2.1", "seal", "", "Dry", "Look", "1", "each batch"),)


def test_gear_is_collected_once_in_order(tmp_path: Path) -> None:
    fragment = (
        "protective_gear: [Goggles, Gloves]\n"
        + MIX
        + "    gear: [Apron, Goggles]\n"
        + "cautions:\n  - {topic: dust, signal: warning, hazard: Dust., consequence: It harms., "
        + "avoid: Wear a mask., gear: [Mask, Gloves]}\n"
    )
    view = instruction(tmp_path, fragment)
    assert view.gear == ("Goggles", "Gloves", "Apron", "Mask")
    assert step(view, "mix").gear == ("Apron", "Goggles")


def caution(topic: str, signal: str, before: str = "") -> str:
    stands = f", before: [{before}]" if before else ""
    words = "hazard: Dust., consequence: It harms., avoid: Wear a mask."
    return f"  - {{topic: {topic}, signal: {signal}, {words}{stands}}}\n"


CAUTIONS = "cautions:\n" + "".join(
    (
        caution("tidy", "notice"),
        caution("slow", "notice", "r, mix"),
        caution("dust", "danger", "r"),
        caution("lid", "caution", "r.look"),
    )
)
BLOCKS = """\
steps:
  - {id: mix, operation: mix, do: Mix.}
  - {id: r, use: roll.yaml}
  - {id: q, use: roll.yaml}
# roll.yaml
block: roll
title: Roll
parameters: {}
steps:
  - {id: roll, operation: clean, do: Wipe.}
  - {id: look, operation: inspect, do: Look., look_for: [{what: lid, accept: Closed}]}
"""


def test_cautions_stand_before_their_steps(tmp_path: Path) -> None:
    view = instruction(tmp_path, CAUTIONS + BLOCKS)
    before = {item.id: [caution.topic for caution in item.cautions] for item in view.steps}
    assert before == {
        "mix": ["slow"],
        # What is before a whole block stands before its first step only, the gravest first.
        "r.roll": ["dust", "slow"],
        "r.look": ["lid"],
        "q.roll": [],
        "q.look": [],
    }
    assert [caution.topic for caution in view.cautions] == ["tidy"]
    assert [caution.word for caution in step(view, "r.roll").cautions] == ["DANGER", "NOTICE"]


def test_a_caution_before_a_use_with_a_dot_in_its_id(tmp_path: Path) -> None:
    fragment = (CAUTIONS + BLOCKS).replace("id: r,", "id: a.r,")
    fragment = fragment.replace("[r, mix]", "[a.r, mix]").replace("[r]", "[a.r]")
    view = instruction(tmp_path, fragment.replace("[r.look]", "[a.r.look]"))
    assert [caution.topic for caution in step(view, "a.r.roll").cautions] == ["dust", "slow"]


def test_the_history_begins_with_the_newest(tmp_path: Path) -> None:
    fragment = (
        "revision: C\ndate: 2026-05-06\n"
        "change: {from: B, why: Parts gapped, summary: Longer hold}\n"
        "history:\n  - {revision: A, date: 2026-01-02, summary: First issue}\n"
        "  - {revision: B, date: 2026-03-04, summary: New oven}\n"
    )
    expected = (
        ("C", "2026-05-06", "Longer hold", "Parts gapped"),
        ("B", "2026-03-04", "New oven", ""),
        ("A", "2026-01-02", "First issue", ""),
    )
    process = clean(tmp_path, fragment)
    assert build_work_instruction(process, ()).history.rows == expected
    assert build_control_plan(process, ()).history.rows == expected


def test_a_first_issue_is_called_so(tmp_path: Path) -> None:
    assert plan(tmp_path).history.rows == (("A", "2026-03-02", "First issue", ""),)


def test_only_waived_findings_are_shown(tmp_path: Path) -> None:
    process = clean(tmp_path)
    place = Span("definition.yaml")
    findings = (
        Finding(Severity.WARNING, "wording.vague", place, "seen", "", (), "mix", "Agreed. (R.)"),
        Finding(Severity.WARNING, "wording.vague", place, "open", "", (), "fill"),
    )
    expected = (("wording.vague", "mix", "seen", "Agreed. (R.)"),)
    assert build_work_instruction(process, findings).waived.rows == expected
    assert build_control_plan(process, findings).waived.rows == expected


def test_a_waiver_reaches_the_documents(tmp_path: Path) -> None:
    checked = check_fragment(
        tmp_path,
        MIX.replace("Mix the paste.", "Mix the paste thoroughly.")
        + "    with: [mixer, timer]\n    limits: {mixing time: 3 to 5 min}\n"
        + "waivers:\n  - {finding: wording.vague, at: mix, why: Agreed with the floor., "
        + "by: R. Example, until: 2027-03-31}\n",
    )
    assert checked.process is not None
    (row,) = build_control_plan(checked.process, checked.findings).waived.rows
    assert row[:2] == ("wording.vague", "mix")
    assert "Agreed with the floor." in row[3]
    assert "R. Example" in row[3]
    assert "2027-03-31" in row[3]


def test_equipment_is_listed_once_gauges_included(tmp_path: Path) -> None:
    fragment = MIX + (
        "    with: [mixer, timer]\n"
        "    limits: {mixing time: {value: 3 to 5 min, gauge: timer}, "
        "bead: {value: 2 to 3 mm, gauge: caliper}}\n"
    )
    view = instruction(tmp_path, fragment)
    assert [row[0] for row in view.equipment.rows] == ["Planetary mixer", "Timer", "Caliper"]
    assert flat(view.equipment.rows[2][1]) == (
        "range 0 to 150 mm, resolution 0.01 mm, uncertainty ± 0.03 mm"
    )


def test_records_are_listed_once(tmp_path: Path) -> None:
    view = instruction(tmp_path)
    assert view.records.rows == (("Batch record", "10 years", "Quality office"),)


def test_the_header_of_the_plan(tmp_path: Path) -> None:
    header = dict(plan(tmp_path, "customer: Someone\nphase: prototype").header)
    assert header == {
        "Phase": "prototype",
        "Part numbers": "TH-8",
        "Part names": "Tubular heater",
        "Drawing, change level": "D-4410 rev 3",
        "Customer": "Someone",
    }


def test_the_title_block_has_the_fields_of_iso_7200(tmp_path: Path) -> None:
    # Mandatory fields of ISO 7200:2004 (from memory): legal owner, identification number, date
    # of issue, title, approval person, creator, document type.
    block = instruction(tmp_path).title_block
    assert block.owner == "Test Heating Elements (invented)"
    assert block.number == "PD-100"
    assert block.date == "2026-03-02"
    assert block.title == "Seal the end of a tubular heater"
    assert [approval.role for approval in block.approvals] == ["Quality engineer"]
    assert (block.creator, block.creator_role) == ("R. Example", "Manufacturing engineer")
    assert block.document_type == "Work instruction"
    assert plan(tmp_path / "plan").title_block.document_type == "Control plan"
    assert block.footer_note


US = "# plant.yaml\nprint: {system: US customary, paper: Letter}\n"

# Limit as written, printed in SI, printed in US customary. 1 in = 25.4 mm and
# t/°F = 1.8 t/°C + 32 exactly (NIST SP 811, B.8, from memory); ends are rounded inwards.
PRINTED = [
    # 77 °C is 170.6 °F, 82 °C is 179.6 °F, 87 °C is 188.6 °F.
    ("part temperature: 82 ± 5 degC", "82 ± 5 °C", "179.6 °F, 170.6 to 188.6 °F [82 ± 5 °C]"),
    # 170 °F is 76.67 °C, 180 °F is 82.22 °C, 190 °F is 87.78 °C.
    (
        "part temperature: 180 ± 10 degF",
        "82.2 °C, 76.7 to 87.7 °C [180 ± 10 °F]",
        "180 ± 10 °F",
    ),
    # 2 mm is 0.07874 in, 3 mm is 0.11811 in.
    ("bond gap: 2 to 3 mm", "2 to 3 mm", "0.079 to 0.118 in [2 to 3 mm]"),
    # 0.08 in is 2.032 mm, 0.1 in is 2.54 mm, 0.12 in is 3.048 mm.
    ("bond gap: 0.10 ± 0.02 in", "2.54 mm, 2.04 to 3.04 mm [0.10 ± 0.02 in]", "0.10 ± 0.02 in"),
    ("mixing time: 3 to 5 min", "3 to 5 min", "3 to 5 min"),
]


@pytest.mark.parametrize(("limit", "si", "us"), PRINTED)
def test_the_plant_decides_the_units_in_print(limit: str, si: str, us: str, tmp_path: Path) -> None:
    fragment = MIX + f"    limits: {{{limit}}}\n"
    metric = plan(tmp_path / "si", fragment).rows[0].characteristic.requirement
    customary = plan(tmp_path / "us", fragment + US).rows[0].characteristic.requirement
    assert flat(metric) == si
    assert flat(customary) == us


def test_a_waived_finding_is_printed_without_marks_of_the_terminal(tmp_path: Path) -> None:
    process = check_fragment(tmp_path).process
    assert process is not None
    found = Finding(
        Severity.WARNING, "r.one", Span("a.yaml"), "`a` and `b c` clash", subject="mix", waiver="w"
    )
    assert build_control_plan(process, [found]).waived.rows == (
        ("r.one", "mix", "“a” and “b c” clash", "w"),
    )
