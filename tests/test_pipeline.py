"""The stages in their order: each says all it sees, and an error ends the reading."""

from datetime import date
from pathlib import Path

import pytest

from speccomp.findings import Severity
from speccomp.pipeline import Format, check_file, compile_documents
from tests.rules.fragments import TODAY, check_fragment, write_project

MIX = "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste thoroughly.\n"
LOOK = (
    "  - {id: look, operation: inspect, do: Look at the seal., "
    "look_for: [{what: seal, accept: No crack}]}\n"
)


def test_a_definition_that_passes_has_a_model(tmp_path: Path) -> None:
    checked = check_fragment(tmp_path)
    assert checked.passed
    assert checked.process is not None
    assert checked.process.number == "PD-100"
    assert set(checked.texts) >= {"definition.yaml", "plant.yaml", "powder.yaml", "liquid.yaml"}


def test_faults_of_reading_are_all_said_and_end_it(tmp_path: Path) -> None:
    checked = check_fragment(
        tmp_path, "title: One\ntitle: Two\nmaterials: {powder: none.yaml}\nscoop: x\n"
    )
    assert [finding.rule for finding in checked.findings] == [
        "source.duplicate-key",
        "source.not-found",
    ]
    assert checked.process is None
    assert not checked.passed


def test_faults_of_form_are_all_said_and_end_it(tmp_path: Path) -> None:
    checked = check_fragment(
        tmp_path, "titel: One\n" + MIX + "    with: [tmier]\n# powder.yaml\nfamily: sand\n"
    )
    assert {finding.rule for finding in checked.findings} == {
        "schema.unknown-key",
        "schema.not-one-of",
    }
    assert checked.process is None


def test_faults_of_values_and_names_are_all_said_and_end_it(tmp_path: Path) -> None:
    fragment = MIX + "    with: [tmier]\n    limits: {mixing time: 3 to 5 kg}\n" + LOOK
    checked = check_fragment(tmp_path, "date: 2026-02-30\n" + fragment)
    assert {finding.rule for finding in checked.findings} == {
        "reference.unknown-equipment",
        "value.malformed",
        "value.no-such-date",
    }
    assert checked.process is None


def test_rules_see_a_model_without_errors(tmp_path: Path) -> None:
    fragment = MIX + "    with: [mixer, timer]\n    limits: {mixing time: 3 to 5 min}\n" + LOOK
    checked = check_fragment(tmp_path, fragment)
    assert "wording.vague" in [finding.rule for finding in checked.findings]
    assert checked.process is not None
    assert checked.passed


def test_findings_come_in_reading_order(tmp_path: Path) -> None:
    checked = check_fragment(tmp_path, "titel: x\nscoop: y\n# plant.yaml\nnane: z\n")
    places = [finding.span for finding in checked.findings]
    assert places == sorted(places)
    assert {place.file for place in places} == {"definition.yaml", "plant.yaml"}


def test_the_same_files_give_the_same_findings(tmp_path: Path) -> None:
    one = check_fragment(tmp_path / "a", MIX + LOOK)
    other = check_fragment(tmp_path / "b", MIX + LOOK)
    assert one.findings == other.findings
    assert one.process == other.process


@pytest.mark.parametrize(
    ("name", "fragment", "rule"),
    [
        ("powder.yaml", "# powder.yaml\ndensity: 3 kg\n", "value.malformed"),
        ("plant.yaml", "# plant.yaml\napprovals: [nobody]\n", "reference.unknown-role"),
        (
            "roll.yaml",
            "# roll.yaml\nparameters: {matter: {description: x}}\n",
            "reference.unknown-parameter",
        ),
    ],
)
def test_a_part_of_a_project_is_checked_alone(
    name: str, fragment: str, rule: str, tmp_path: Path
) -> None:
    write_project(tmp_path, fragment)
    checked = check_file(tmp_path / name, TODAY, tmp_path)
    assert [finding.rule for finding in checked.findings] == [rule]
    assert checked.findings[0].span.file == name
    assert checked.process is None
    assert not checked.passed


@pytest.mark.parametrize("name", ["powder.yaml", "liquid.yaml", "plant.yaml", "roll.yaml"])
def test_a_clean_part_of_a_project(name: str, tmp_path: Path) -> None:
    write_project(tmp_path)
    assert check_file(tmp_path / name, TODAY, tmp_path).findings == ()


@pytest.mark.parametrize(
    ("fragment", "message"),
    [
        (
            "plant: powder.yaml\n",
            "`powder.yaml` is a material card; a plant file is wanted here",
        ),
        (
            "plant: definition.yaml\n",
            "`definition.yaml` is a process definition; a plant file is wanted here",
        ),
        (
            "materials: {powder: plant.yaml, liquid: liquid.yaml}\n",
            "`plant.yaml` is a plant file; a material card is wanted here",
        ),
        (
            "steps:\n  - {id: r, use: powder.yaml}\n",
            "`powder.yaml` is a material card; a step block is wanted here",
        ),
    ],
)
def test_a_file_of_another_kind_is_refused_where_it_is_named(
    fragment: str, message: str, tmp_path: Path
) -> None:
    (finding,) = check_fragment(tmp_path, fragment).findings
    assert finding.rule == "schema.unknown-kind"
    assert finding.message == message
    assert finding.span.file == "definition.yaml"
    assert finding.related


def test_a_file_that_has_to_be_two_kinds_is_checked_as_both(tmp_path: Path) -> None:
    findings = check_fragment(
        tmp_path, "plant: powder.yaml\nmaterials: {powder: powder.yaml, liquid: liquid.yaml}\n"
    ).findings
    assert [finding.rule for finding in findings] == ["schema.unknown-kind"]


def test_the_text_of_a_file_that_is_no_yaml_can_be_shown(tmp_path: Path) -> None:
    path = write_project(tmp_path)
    path.write_text("process: PD-1\n  title: [a\n", encoding="utf-8")
    checked = check_file(path, TODAY, tmp_path)
    assert checked.findings[0].span.file == "definition.yaml"
    assert checked.texts["definition.yaml"].startswith("process: PD-1")


def test_the_project_is_found_from_the_file_upwards(tmp_path: Path) -> None:
    path = write_project(tmp_path / "deep" / "deeper", "plant: ../../plant.yaml\n")
    (path.parent / "plant.yaml").rename(tmp_path / "plant.yaml")
    (tmp_path / ".speccomp").touch()
    checked = check_file(path, TODAY)
    assert checked.findings == ()
    assert checked.project.root == tmp_path.resolve()


def test_the_day_decides_about_waivers(tmp_path: Path) -> None:
    fragment = (
        MIX
        + "    with: [mixer, timer]\n    limits: {mixing time: 3 to 5 min}\n"
        + LOOK
        + "waivers:\n  - {finding: wording.vague, at: mix, why: Agreed., by: R. Example, "
        + "until: 2027-03-31}\n"
    )
    on_time = check_fragment(tmp_path / "a", fragment, date(2027, 3, 31))
    assert [f.waived for f in on_time.findings if f.rule == "wording.vague"] == [True]
    too_late = check_fragment(tmp_path / "b", fragment, date(2027, 4, 1))
    assert not too_late.passed
    errors = [f.rule for f in too_late.findings if f.severity is Severity.ERROR]
    assert errors == ["waiver.expired"]


def test_a_format_is_made_when_it_is_asked_for(tmp_path: Path) -> None:
    checked = check_fragment(tmp_path)
    assert compile_documents(checked, []) == {}
    assert set(compile_documents(checked, [Format.CSV])) == {"control-plan.csv"}
    pages = {"work-instruction.html", "control-plan.html", "caution-coverage.html"}
    assert set(compile_documents(checked, [Format.HTML])) == pages


def test_what_did_not_pass_cannot_be_compiled(tmp_path: Path) -> None:
    checked = check_fragment(tmp_path, "titel: x\n")
    with pytest.raises(ValueError, match="passed its checks"):
        compile_documents(checked, [Format.CSV])
