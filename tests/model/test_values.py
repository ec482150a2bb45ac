"""Values, kinds and dates of a definition: what is wrong is said at the column."""

from datetime import date
from pathlib import Path

import pytest

from speccomp.quantities import Kind, Toleranced
from tests.model.reading import clean, limit, only, read, step, underlined

MIX = "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste.\n"


def mixing(text: str) -> str:
    return MIX + f"    limits: {{mixing time: {text}}}\n"


# value, what is underlined, message, hint
VALUES = {
    "kind": (
        "3 to 5 kg",
        "kg",
        "`3 to 5 kg` is a mass; a time is wanted",
        "write a time, for example `18 to 24 h`",
    ),
    "upside down": ("5 to 3 min", "5 to 3", "`5 to 3 min` is upside down", "write `3 to 5 min`"),
    "unknown unit": (
        "26 ± 1 parsecs",
        "parsecs",
        "`parsecs` is not a known unit",
        "write a time, for example `18 to 24 h`",
    ),
    "one-sided": (
        "26 + 1 min",
        "26 + 1 min",
        "`26 + 1 min` has a tolerance on one side only",
        "write `+1/-0`",
    ),
    "in quotes": (
        '"3 to 5 kg"',
        "kg",
        "`3 to 5 kg` is a mass; a time is wanted",
        "write a time, for example `18 to 24 h`",
    ),
}


@pytest.mark.parametrize("case", VALUES)
def test_a_wrong_value_is_underlined_where_it_is_wrong(case: str, tmp_path: Path) -> None:
    text, what, message, hint = VALUES[case]
    finding = only(tmp_path, mixing(text))
    assert finding.rule == "value.malformed"
    assert underlined(tmp_path, finding.span) == what
    assert finding.message == message
    assert finding.hint == hint


def test_a_wrong_value_does_not_hide_the_others(tmp_path: Path) -> None:
    process, findings = read(tmp_path, mixing("{value: 3 to 5 kg}, speed: 60 ± 10 rpm"))
    assert [finding.rule for finding in findings] == ["value.malformed"]
    assert [item.name for item in step(process, "mix").characteristics] == ["speed"]


def test_a_target_without_tolerance_is_no_limit(tmp_path: Path) -> None:
    finding = only(tmp_path, mixing("{value: 26 min, gauge: timer}"))
    assert finding.rule == "value.no-tolerance"
    assert finding.subject == "mix/mixing-time"
    assert underlined(tmp_path, finding.span) == "26 min"
    assert finding.message.startswith("`26 min` is a target without tolerance")


@pytest.mark.parametrize(
    ("name", "text", "kind"),
    [
        ("mixing time", "3 to 5 min", Kind.TIME),
        ("Speed", "60 ± 10 rpm", Kind.ROTATION_SPEED),
        ("bond strength", "at least 2 MPa", Kind.STRESS),
        ("absolute pressure", "2 to 3 kPa", Kind.PRESSURE),
        ("part temperature", "at most 40 degC", Kind.TEMPERATURE),
        ("coats", "2 to 3", Kind.COUNT),
        ("my own measure", "2 to 3 mm", Kind.LENGTH),
    ],
)
def test_the_name_of_a_limit_tells_its_kind(
    name: str, text: str, kind: Kind, tmp_path: Path
) -> None:
    process = clean(tmp_path, MIX + f"    limits: {{{name}: {text}}}\n")
    value = step(process, "mix").characteristics[0].requirement
    assert isinstance(value, Toleranced)
    assert value.kind is kind


def test_a_kind_may_be_said(tmp_path: Path) -> None:
    text = "    limits: {grip: {value: at least 2 MPa, kind: stress}}\n"
    value = limit(clean(tmp_path, MIX + text), "mix/grip").requirement
    assert isinstance(value, Toleranced)
    assert value.kind is Kind.STRESS


def test_a_mistyped_kind(tmp_path: Path) -> None:
    finding = only(tmp_path, MIX + "    limits: {grip: {value: 2 to 3 MPa, kind: strss}}\n")
    assert finding.rule == "value.unknown-kind"
    assert finding.message == "there is no kind `strss`"
    assert finding.hint == "did you mean `stress`?"
    assert underlined(tmp_path, finding.span) == "strss"


def test_a_date_is_a_day_of_the_calendar(tmp_path: Path) -> None:
    assert clean(tmp_path, "date: 2028-02-29").date == date(2028, 2, 29)


@pytest.mark.parametrize("day", ["2026-02-30", "2026-13-01", "2027-02-29", "0000-01-01"])
def test_no_such_day(day: str, tmp_path: Path) -> None:
    finding = only(tmp_path, f"date: {day}")
    assert finding.rule == "value.no-such-date"
    assert finding.message == f"the calendar has no {day}"
    assert underlined(tmp_path, finding.span) == day


def test_the_values_of_cards_and_plant_have_kinds_too(tmp_path: Path) -> None:
    fragment = "# powder.yaml\ndensity: 3 kg\n# plant.yaml\nelevation: 240 s\n"
    _, findings = read(tmp_path, fragment)
    assert {(f.span.file, f.message, underlined(tmp_path, f.span)) for f in findings} == {
        ("powder.yaml", "`3 kg` is a mass; a density is wanted", "kg"),
        ("plant.yaml", "`240 s` is a time; a length is wanted", "s"),
    }


def test_a_print_unit_of_another_kind(tmp_path: Path) -> None:
    fragment = "# plant.yaml\nprint: {system: SI, paper: A4, units: {mass: mm}}\n"
    finding = only(tmp_path, fragment)
    assert finding.message == "`mm` is not a unit of mass"
    assert underlined(tmp_path, finding.span) == "mm"


def test_batch_specimen_claim_and_plan_are_read(tmp_path: Path) -> None:
    process = clean(
        tmp_path,
        "batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [10, 20]}\n"
        "steps:\n"
        "  - id: press\n"
        "    operation: test\n"
        "    method: EN 196-1\n"
        "    do: Press the prism.\n"
        "    specimen: {load: three-point, width: 40 mm, depth: 40 mm, span: 100 mm}\n"
        "    limits:\n"
        "      flexural strength:\n"
        "        value: at least 6 MPa\n"
        "        claim: {bad: 45 %, confidence: 95 %, lot: 120}\n"
        "        plan: {lot: 120, level: II, aql: 1.5, inspection: tightened}\n"
        "        special: safety\n",
    )
    batch = process.batch
    assert batch is not None
    assert (batch.parts, batch.stations, batch.sizes) == (120, 1, (10, 20))
    assert batch.loss is not None
    assert batch.loss.text == "8 %"
    assert batch.cycle_time is not None
    assert batch.cycle_time.kind is Kind.TIME
    assert batch.transfer_time is None
    specimen = step(process, "press").specimen
    assert specimen is not None
    assert specimen.load == "three-point"
    assert specimen.span_length is not None
    assert specimen.span_length.text == "100 mm"
    assert specimen.diameter is None
    control = limit(process, "press/flexural-strength").control
    assert control.special == "safety"
    assert control.claim is not None
    assert control.claim.lot == 120
    assert control.claim.bad is not None
    assert control.claim.bad.kind is Kind.FRACTION
    assert control.plan is not None
    assert (control.plan.lot, control.plan.level, control.plan.aql) == (120, "II", 1.5)
    assert control.plan.inspection == "tightened"


def test_the_values_of_a_batch_have_kinds(tmp_path: Path) -> None:
    _, findings = read(tmp_path, "batch: {parts: 20, loss: 8 g, cycle_time: 5 mm}")
    assert [(f.message, underlined(tmp_path, f.span)) for f in findings] == [
        ("`8 g` is a mass; a fraction is wanted", "g"),
        ("`5 mm` is a length; a time is wanted", "mm"),
    ]
