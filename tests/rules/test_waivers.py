"""Waivers: what they cover, until when, and who may write them."""

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from speccomp.findings import Finding, Severity, Span, has_errors
from speccomp.model.process import Process, Waiver
from speccomp.rules.waivers import apply_waivers
from tests.rules.fragments import TODAY, check_fragment, findings_of

VAGUE = """
steps:
  - id: look
    operation: inspect
    do: [Look at the seal carefully., Turn the part properly.]
    look_for: [{what: seal, accept: No crack}]
"""


def waiver(**changes: object) -> Waiver:
    plain = Waiver(
        "wording.vague", "look", "Agreed with the floor.", "R. Example", "", date(2027, 3, 31)
    )
    return replace(plain, **changes)


def finding(rule: str = "wording.vague", subject: str = "look") -> Finding:
    return Finding(Severity.ERROR, rule, Span("definition.yaml", 3), "a fault", subject=subject)


def base(folder: Path, plant: str = "") -> Process:
    process = check_fragment(folder, plant).process
    assert process is not None
    return process


def applied(process: Process, *waivers: Waiver, found: Finding | None = None) -> list[Finding]:
    return list(apply_waivers([found or finding()], replace(process, waivers=waivers), TODAY))


def test_a_waiver_covers_all_findings_of_its_rule_at_its_place(tmp_path: Path) -> None:
    text = VAGUE + "waivers:\n  - {finding: wording.vague, at: look, why: Agreed., by: R. Example, "
    found = findings_of(tmp_path, text + "until: 2027-03-31}\n")
    covered = [f for f in found if f.rule == "wording.vague"]
    assert len(covered) == 2
    assert not [f for f in found if f.rule.startswith("waiver.")]
    assert {f.waiver for f in covered} == {"Agreed. (R. Example, until 2027-03-31)"}


def test_the_role_of_the_person_is_said_by_its_title(tmp_path: Path) -> None:
    process = base(tmp_path)
    (known,) = applied(process, replace(waiver(), role="quality-engineer"))
    assert known.waiver is not None
    assert ", Quality engineer, until " in known.waiver


def test_a_waived_error_does_not_stop(tmp_path: Path) -> None:
    results = applied(base(tmp_path), waiver())
    assert [f.waived for f in results] == [True]
    assert not has_errors(results)


def test_the_last_day_counts(tmp_path: Path) -> None:
    process = base(tmp_path)
    assert [f.rule for f in applied(process, waiver(until=TODAY))] == ["wording.vague"]
    late = applied(process, waiver(until=date(2026, 11, 24)))
    assert [(f.rule, f.severity, f.waived) for f in late] == [
        ("wording.vague", Severity.ERROR, False),
        ("waiver.expired", Severity.ERROR, False),
    ]
    assert "1 day ago" in late[1].message


def test_a_waiver_without_an_end_does_not_hold(tmp_path: Path) -> None:
    assert [f.waived for f in applied(base(tmp_path), waiver(until=None))] == [False]


def test_another_place_is_not_covered_and_named(tmp_path: Path) -> None:
    results = applied(base(tmp_path), waiver(at="mix"))
    assert [(f.rule, f.severity, f.waived) for f in results] == [
        ("wording.vague", Severity.ERROR, False),
        ("waiver.pointless", Severity.WARNING, False),
    ]
    assert "look" in results[1].hint


def test_an_expired_waiver_that_covers_nothing_is_pointless_only(tmp_path: Path) -> None:
    results = applied(base(tmp_path), waiver(at="mix", until=date(2020, 1, 1)))
    assert [f.rule for f in results] == ["wording.vague", "waiver.pointless"]


def test_an_unknown_rule_gets_a_suggestion(tmp_path: Path) -> None:
    results = applied(base(tmp_path), waiver(finding="wording.vauge"))
    assert [f.rule for f in results] == ["wording.vague", "waiver.unknown-rule"]
    assert "wording.vague" in results[1].hint


def test_errors_of_reading_cannot_be_waived(tmp_path: Path) -> None:
    process = base(tmp_path)
    for rule in (
        "source.syntax",
        "schema.unknown-key",
        "value.malformed",
        "reference.unknown-step",
    ):
        results = applied(process, waiver(finding=rule), found=finding(rule))
        assert [(f.rule, f.waived) for f in results] == [
            (rule, False),
            ("waiver.not-allowed", False),
        ]


def test_a_warning_about_references_can_be_waived(tmp_path: Path) -> None:
    rule = "reference.unused-material"
    results = applied(base(tmp_path), waiver(finding=rule), found=finding(rule))
    assert [f.waived for f in results] == [True]


def test_findings_about_waivers_and_about_the_program_cannot_be_waived(tmp_path: Path) -> None:
    process = base(tmp_path)
    for rule in ("waiver.expired", "internal.rule-crashed"):
        results = applied(process, waiver(finding=rule), found=finding(rule))
        assert [f.rule for f in results if f.waived] == []
        assert results[-1].rule == "waiver.not-allowed"


def test_a_plant_forbids_a_rule_or_a_family(tmp_path: Path) -> None:
    for number, never in enumerate(("wording", "wording.vague")):
        plant = f"# plant.yaml\nwaiver_policy: {{never: [{never}]}}\n"
        results = applied(base(tmp_path / str(number), plant), waiver())
        assert [f.rule for f in results] == ["wording.vague", "waiver.not-allowed"]
    plant = "# plant.yaml\nwaiver_policy: {never: [wording.should, word]}\n"
    assert [f.waived for f in applied(base(tmp_path / "other", plant), waiver())] == [True]


def test_a_plant_asks_for_a_role(tmp_path: Path) -> None:
    process = base(tmp_path, "# plant.yaml\nwaiver_policy: {roles: [quality-engineer]}\n")
    for role in ("", "operator"):
        results = applied(process, waiver(role=role))
        assert [f.rule for f in results] == ["wording.vague", "waiver.not-authorised"]
        assert not results[0].waived
    assert [f.waived for f in applied(process, waiver(role="quality-engineer"))] == [True]


def test_a_long_waiver_holds_and_is_reported(tmp_path: Path) -> None:
    # The base is of 2026-03-02; two years later is the last day.
    process = base(tmp_path)
    assert len(applied(process, waiver(until=date(2028, 3, 2)))) == 1
    results = applied(process, waiver(until=date(2028, 3, 3)))
    assert [(f.rule, f.waived) for f in results] == [
        ("wording.vague", True),
        ("waiver.too-long", False),
    ]
    assert "2028-03-02" in results[1].hint


def test_two_years_after_a_leap_day(tmp_path: Path) -> None:
    process = replace(base(tmp_path), date=date(2024, 2, 29))
    results = applied(process, waiver(until=date(2027, 1, 1)))
    assert "2026-02-28" in results[1].hint


def test_two_waivers_of_one_finding_both_count(tmp_path: Path) -> None:
    process = base(tmp_path)
    results = applied(process, waiver(until=date(2020, 1, 1)), waiver())
    assert [(f.rule, f.waived) for f in results] == [
        ("wording.vague", True),
        ("waiver.expired", False),
    ]


SAFETY = [
    ("caution.missing", "mixer-entangle"),
    ("caution.too-weak", "mix/mixer-entangle"),
    ("hazard.nothing-known", "cleaner"),
    ("cure.steam", "cure"),
]


@pytest.mark.parametrize(("rule", "subject"), SAFETY)
def test_a_finding_about_safety_needs_a_role_that_the_plant_names(
    rule: str, subject: str, tmp_path: Path
) -> None:
    asked = waiver(finding=rule, at=subject, role="quality-engineer")
    found = finding(rule, subject)
    plant = "# plant.yaml\nwaiver_policy: {roles: [quality-engineer]}\n"
    results = applied(base(tmp_path / "silent", plant), asked, found=found)
    assert [f.rule for f in results] == [rule, "waiver.not-allowed"]
    assert "safety_roles" in results[1].message
    plant = "# plant.yaml\nwaiver_policy: {roles: [quality-engineer], safety_roles: [shift-lead]}\n"
    process = base(tmp_path / "named", plant)
    results = applied(process, asked, found=found)
    assert [f.rule for f in results] == [rule, "waiver.not-authorised"]
    assert not results[0].waived
    results = applied(process, replace(asked, role="shift-lead"), found=found)
    assert [f.waived for f in results] == [True]


def test_a_safety_role_must_be_one_of_the_plant(tmp_path: Path) -> None:
    plant = "# plant.yaml\nwaiver_policy: {safety_roles: [nurse]}\n"
    assert [f.rule for f in findings_of(tmp_path, plant)] == ["reference.unknown-role"]
