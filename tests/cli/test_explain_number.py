"""`speccomp explain FILE NAME`: where a printed number comes from."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from speccomp.cli.main import main
from tests.rules.fragments import write_project

ROOT = Path(__file__).resolve().parents[2]
DEFINITION = str(ROOT / "specs_demo" / "definitions" / "PD-117-cartridge-heater.yaml")


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, ["explain", *arguments])


def test_a_number_says_value_formula_inputs_and_source(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    result = run(DEFINITION, "weighing.liquid.instructed.window.lower")
    assert result.exit_code == 0
    assert result.stderr == ""
    lines = result.stdout.splitlines()
    assert lines[0] == "least reading of `liquid`: 75.3000\u00a0g"
    assert lines[1] == "  name     weighing.liquid.instructed.window.lower"
    assert lines[2].startswith("  formula  L from r_lo (P + u_P) + u")
    assert "see weighing.liquid.instructed.reference" in lines[3]
    assert any(line.startswith("  source   ") for line in lines)


def test_an_input_names_the_place_where_it_is_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    result = run(DEFINITION, "weighing.liquid.held-from")
    place = "specs_demo/definitions/PD-117-cartridge-heater.yaml"
    text = (ROOT / place).read_text(encoding="utf-8").splitlines()
    ratio = text.index("ratio:")
    number = text.index("  liquid:", ratio) + 1
    assert f"parts of `liquid`: 26 ± 1 ({place}:{number}:3)" in result.stdout
    assert "permissible error of `bench-scale`: 0.2 g (specs_demo/plant.yaml:" in result.stdout


def test_a_place_is_shown_as_seen_from_the_working_folder(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(ROOT / "specs_demo" / "blocks")
    result = run(DEFINITION, "weighing.liquid.held-from")
    assert "(../definitions/PD-117-cartridge-heater.yaml:" in result.stdout
    assert "(../plant.yaml:" in result.stdout


def test_the_beginning_of_names_lists_all_below_it() -> None:
    result = run(DEFINITION, "pot-life.shop-high")
    assert result.exit_code == 0
    assert result.stdout.startswith("pot life at the shop's highest temperature: ")
    listed = run(DEFINITION, "water").stdout.splitlines()
    assert [line.partition(":")[0] for line in listed] == [
        "water.air-pressure",
        "water.boiling-point",
    ]


def test_an_unknown_name_is_told_with_the_nearest() -> None:
    result = run(DEFINITION, "water.boling-point")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "water.boiling-point" in result.stderr


def test_a_file_alone_says_how_the_names_begin() -> None:
    result = run(DEFINITION)
    assert result.exit_code == 2
    assert "water" in result.stderr
    assert "weighing" in result.stderr


def test_a_card_has_no_numbers() -> None:
    result = run(str(ROOT / "specs_demo" / "plant.yaml"), "water.boiling-point")
    assert result.exit_code == 2
    assert "no process definition" in result.stderr


def test_a_definition_with_errors_of_the_model_shows_them(tmp_path: Path) -> None:
    write_project(tmp_path, "steps:\n  - {id: mix, operation: mix, do: Mix., with: [nowhere]}\n")
    result = run(str(tmp_path / "definition.yaml"), "water.boiling-point")
    assert result.exit_code == 1
    assert "reference.unknown-equipment" in result.stdout


def test_a_gap_says_why_a_number_is_missing() -> None:
    path = ROOT / "specs_demo" / "definitions" / "PD-146-sensor-seal.yaml"
    result = run(str(path), "weighing.base")
    assert result.exit_code == 0
    assert result.stdout == "weighing.base: not calculated, no step weighs `base`\n"


def test_a_rule_is_explained_as_before() -> None:
    result = run("cure.steam")
    assert result.exit_code == 0
    assert result.stdout.startswith("cure.steam\n\n")
