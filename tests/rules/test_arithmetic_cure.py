"""Rules on cures: one finding for one fault, with kelvin and hours, at the segment."""

from pathlib import Path

import pytest

from speccomp.findings import Severity
from tests.derive.test_cure import AMBIENT, FILL, OVEN, STEPS
from tests.rules.arithmetic import found, only, text_at

CURE_RULES = (
    "cure.steam",
    "cure.drying-too-short",
    "cure.not-dried",
    "cure.steam-unknown",
    "cure.no-drying-data",
)


def rules(folder: Path, fragment: str) -> list[str]:
    return [rule for rule in CURE_RULES for _ in found(folder, rule, fragment)]


def section(thickness: str, more: str = "") -> str:
    return (
        "parts: [{number: TH-8, name: Heater, drawing: D rev 1, "
        f"thickest_section: {thickness}{more}}}]\n"
    )


def test_a_good_cure_has_no_finding(tmp_path: Path) -> None:
    assert rules(tmp_path, STEPS) == []


def test_steam_at_a_high_plant(tmp_path: Path) -> None:
    # 1600 m: 94.7 - 5 = 89.7 degC; 82 + 5 + 3.5 = 90.5 degC.
    fragment = STEPS + "# plant.yaml\nelevation: 1600 m\n"
    assert rules(tmp_path, fragment) == ["cure.steam"]
    finding = only(tmp_path, "cure.steam", fragment)
    assert finding.severity is Severity.ERROR
    assert finding.message.startswith(
        "hold 2 of `bake` can bring a part to 90.5 °C (82 ± 5 degC and 3.50 K of `oven`: 1 K "
        "control, 2 K non-uniformity, 0.5 K sensor) before it is dry; water boils at 94.7 °C here, "
        "and with the margin of 5 K (assumed) below that it is 0.8"
    )
    assert finding.hint.startswith("dry first at a setpoint of at most 81.1 °C")
    assert text_at(tmp_path, finding.span).startswith("hold: {at: 82")
    assert finding.subject == "bake"
    assert [related.span.file for related in finding.related] == [
        "plant.yaml",
        "plant.yaml",
        "powder.yaml",
    ]


def test_steam_is_said_in_the_unit_of_the_author(tmp_path: Path) -> None:
    steps = STEPS.replace("82 ± 5 degC", "180 ± 9 degF")
    finding = only(tmp_path, "cure.steam", steps + "# plant.yaml\nelevation: 5300 ft\n")
    # 180 + 9 + 6.3 degF.
    assert "can bring a part to 195 °F (180 ± 9 degF and 3.50 K of `oven`: " in finding.message


def test_a_plant_with_a_wider_margin(tmp_path: Path) -> None:
    finding = only(tmp_path, "cure.steam", STEPS + "# plant.yaml\nmargins: {boiling: 10 K}\n")
    # 99.18 - 10 - 90.5 K.
    assert "with the margin of 10 K (plant file) below that it is 1.32 K too hot" in finding.message


def test_the_oven_counts_and_not_the_setpoint_alone(tmp_path: Path) -> None:
    oven = (
        "# plant.yaml\nequipment:\n  oven:\n    type: oven\n    name: Air oven\n"
        "    range: 40 to 300 degC\n    non_uniformity: {0} K\n    control_tolerance: 1 K\n"
        "    sensor_error: 0.5 K\n"
    )
    # 87 + 1.5 + u against 94.177 degC.
    assert rules(tmp_path, STEPS + oven.format(5.6)) == []
    assert rules(tmp_path, STEPS + oven.format(5.7)) == ["cure.steam"]


def test_a_drying_hold_that_is_too_short_is_one_finding(tmp_path: Path) -> None:
    fragment = STEPS.replace("for: 4 to 5 h", "for: 3 to 4 h")
    assert rules(tmp_path, fragment) == ["cure.drying-too-short"]
    finding = only(tmp_path, "cure.drying-too-short", fragment)
    # (8/9)^2 x 4 h = 3.16 h.
    assert finding.message == (
        "the drying holds last 3.00 h at the shortest, and TH-8 with 8 mm needs 3.16 h, against "
        "4 h for 9 mm on the card; then hold 4 of `bake` can bring a part to 158 °C (150 ± 5 degC "
        "and 3.50 K of `oven`), and water boils at 99.2 °C"
    )
    assert finding.hint == "hold 9.63 min longer at the drying temperature"
    assert text_at(tmp_path, finding.span).startswith("hold: {at: 82")


def test_a_hold_long_enough_for_a_thin_section_only(tmp_path: Path) -> None:
    assert rules(tmp_path, section("9 mm") + STEPS) == []
    assert rules(tmp_path, section("9.1 mm") + STEPS) == ["cure.drying-too-short"]
    assert rules(tmp_path, section("18 mm", ", open_faces: 2") + STEPS) == []


def test_a_cure_that_stays_cool_but_ends_too_early(tmp_path: Path) -> None:
    cool = "steps:\n" + FILL + AMBIENT + OVEN.partition("      - ramp: {to: 150")[0]
    assert rules(tmp_path, cool) == []
    short = cool.replace("for: 4 to 5 h", "for: 1 to 2 h")
    assert rules(tmp_path, short) == ["cure.not-dried"]
    finding = only(tmp_path, "cure.not-dried", short)
    assert finding.severity is Severity.WARNING
    # 3.1605 - 1 h.
    assert finding.hint == "add 130 min at 82 degC"


def test_straight_to_the_last_hold_is_steam(tmp_path: Path) -> None:
    steps = OVEN.replace("      - ramp: {to: 82 ± 5 degC, at: 0.5 to 1 K/min}\n", "")
    steps = steps.replace("      - hold: {at: 82 ± 5 degC, for: 4 to 5 h}\n", "")
    fragment = "steps:\n" + FILL + AMBIENT + steps
    assert rules(tmp_path, fragment) == ["cure.steam"]
    assert only(tmp_path, "cure.steam", fragment).message.startswith("hold 2 of `bake`")


def test_the_first_coat_may_dry_with_the_second(tmp_path: Path) -> None:
    fragment = "steps:\n" + FILL + AMBIENT + FILL.replace("id: fill", "id: coat") + OVEN
    assert rules(tmp_path, fragment) == []


@pytest.mark.parametrize(
    ("thickness", "rule"),
    [
        ("9 mm", None),
        ("9.5 mm", "cure.section-beyond-qualified"),
        # 18 mm is four times the time.
        ("18 mm", "cure.section-beyond-qualified"),
        ("18.1 mm", "cure.section-far-beyond-qualified"),
    ],
)
def test_sections_beyond_the_qualified_one(
    tmp_path: Path, thickness: str, rule: str | None
) -> None:
    for name in ("cure.section-beyond-qualified", "cure.section-far-beyond-qualified"):
        findings = found(tmp_path, name, section(thickness) + STEPS)
        assert len(findings) == (1 if name == rule else 0)


def test_a_thick_section_is_said_with_its_factor(tmp_path: Path) -> None:
    finding = only(tmp_path, "cure.section-far-beyond-qualified", section("1 in") + STEPS)
    # (25.4/9)^2 = 7.96.
    assert finding.message == (
        "the water in TH-8 has 1.00 in to go, and the cure `oven` is qualified for 9.00 mm: "
        "drying takes 8 times as long"
    )


def test_ramps_against_the_card_and_the_oven(tmp_path: Path) -> None:
    fast = STEPS.replace("at: 0.5 to 1 K/min", "at: 1 to 2 K/min")
    findings = found(tmp_path, "cure.ramp-too-fast", fast)
    assert [finding.message for finding in findings] == [
        "the rate of ramp 1 in `bake` is 1 to 2 K/min, and the card of `powder` allows at most "
        "1 K/min",
        "the rate of ramp 3 in `bake` is 1 to 2 K/min, and the card of `powder` allows at most "
        "1 K/min",
    ]
    assert findings[0].hint == "write `at most 1 K/min` or less"
    card = "# powder.yaml\ncure: [{name: oven, section: 9 mm, dry: {at: 82 degC, for: 4 h}}]\n"
    # Without a limit on the card the oven's 3 K/min count: a rate that must be faster.
    slow_oven = STEPS.replace("at: 0.5 to 1 K/min", "at: 4 to 5 K/min") + card
    first = found(tmp_path, "cure.ramp-too-fast", slow_oven)[0]
    assert first.message == (
        "the rate of ramp 1 in `bake` is 4 to 5 K/min, and `oven` does at most 3 K/min"
    )
    # One that may be as fast as it likes is bounded by the oven itself.
    free = STEPS.replace("at: 0.5 to 1 K/min", "at: at most 5 K/min") + card
    assert found(tmp_path, "cure.ramp-too-fast", free) == []


def test_a_fall_may_be_faster_than_the_card_lets_it_rise(tmp_path: Path) -> None:
    down = STEPS + "      - ramp: {to: 60 ± 10 degC, at: 1 to 2 K/min}\n"
    assert found(tmp_path, "cure.ramp-too-fast", down) == []


def test_a_rate_in_another_unit(tmp_path: Path) -> None:
    # 3 degF/min are 1.67 K/min.
    fast = STEPS.replace("at: 0.5 to 1 K/min", "at: 1 to 3 degF/min")
    assert len(found(tmp_path, "cure.ramp-too-fast", fast)) == 2
    # 1.8 degF/min are 1 K/min.
    same = STEPS.replace("at: 0.5 to 1 K/min", "at: 1 to 1.8 degF/min")
    assert found(tmp_path, "cure.ramp-too-fast", same) == []


def test_a_temperature_that_the_oven_does_not_reach(tmp_path: Path) -> None:
    finding = only(
        tmp_path, "cure.oven-out-of-range", STEPS.replace("150 ± 5 degC", "297 ± 5 degC")
    )
    # The ramp to it and the hold at it are one fault.
    assert (
        finding.message == "ramp 3 of `bake` is at 297 ± 5 degC, and `oven` works at 40 to 300 degC"
    )
    assert text_at(tmp_path, finding.span) == "297 ± 5 degC"
    assert finding.hint == "name another oven, or correct the temperature"


def test_a_hold_at_ambient_is_no_part_of_an_oven_profile(tmp_path: Path) -> None:
    steps = STEPS.replace(
        "ramp: {to: 82", "hold: {at: 18 to 26 degC, for: 2 to 3 h}\n      - ramp: {to: 82"
    )
    finding = only(tmp_path, "cure.oven-out-of-range", steps)
    assert finding.hint == (
        "make it a step of its own before this one, with `method: ambient` and no oven"
    )


CARD = (
    "# powder.yaml\ncure:\n  - name: oven\n    section: 9 mm\n    ambient: at least 18 h\n"
    "    dry: {at: 82 degC, for: 4 h}\n    final: {at: 150 degC, for: 2 h}\n"
)


def test_time_at_ambient(tmp_path: Path) -> None:
    assert found(tmp_path, "cure.ambient-too-short", STEPS + CARD) == []
    short = STEPS.replace("for: 18 to 24 h", "for: 12 to 24 h") + CARD
    finding = only(tmp_path, "cure.ambient-too-short", short)
    assert finding.message == (
        "`bake` heats the part after 12.0 h at ambient, and its card asks for 18.0 h"
    )
    assert text_at(tmp_path, finding.span) == "bake"


def test_the_final_hold(tmp_path: Path) -> None:
    assert found(tmp_path, "cure.final-too-short", STEPS + CARD) == []
    short = STEPS.replace("for: 2 to 2.5 h", "for: 1 to 2.5 h") + CARD
    finding = only(tmp_path, "cure.final-too-short", short)
    assert finding.message == (
        "the card asks for 2 h at 150 degC, and the cure holds that or more for 1.00 h at the "
        "shortest"
    )
    cold = STEPS.replace("150 ± 5 degC", "140 ± 5 degC") + CARD
    assert "for 0 h at the shortest" in only(tmp_path, "cure.final-too-short", cold).message


def test_without_drying_data_nothing_passes_unseen(tmp_path: Path) -> None:
    card = "# powder.yaml\ncure: [{name: oven, section: 9 mm}]\n"
    assert rules(tmp_path, STEPS + card) == ["cure.steam-unknown"]
    cool = "steps:\n" + FILL + AMBIENT + OVEN.partition("      - ramp: {to: 150")[0]
    assert rules(tmp_path, cool + card) == ["cure.no-drying-data"]
    no_section = "parts: [{number: TH-8, name: Heater, drawing: D rev 1}]\n"
    assert rules(tmp_path, no_section + STEPS) == ["cure.steam-unknown"]
    organic = "# powder.yaml\nfamily: organic\ncure: [{name: oven, section: 9 mm}]\n"
    assert rules(tmp_path, STEPS + organic) == []


def test_a_pressure_reduced_to_sea_level(tmp_path: Path) -> None:
    rule, plant = "cure.pressure-off-elevation", "# plant.yaml\nelevation: 1600 m\nair_pressure: "
    # Standard atmosphere at 1600 m: 83.5 kPa; 5 % are 4.2 kPa.
    assert len(found(tmp_path, rule, plant + "101.3 kPa\n")) == 1
    assert found(tmp_path, rule, plant + "80 kPa\n") == []
    assert found(tmp_path, rule, plant + "87 kPa\n") == []
    assert "less" in only(tmp_path, rule, plant + "75 kPa\n").message


def test_an_electrical_test_waits_until_the_part_is_dry(tmp_path: Path) -> None:
    tester = (
        "# plant.yaml\nequipment:\n  tester: {type: gauge, name: Tester, "
        "range: 0.1 to 9999 Mohm, resolution: 0.1 Mohm}\n"
    )
    test = (
        "  - id: test\n    operation: test\n    method: Terminals to sheath\n    do: Press start.\n"
        "    with: [tester]\n"
        "    limits: {insulation resistance: {value: at least 100 Mohm, gauge: tester}}\n"
    )
    rule = "test.electrical-before-dry"
    assert found(tmp_path, rule, STEPS + test + tester) == []
    early = "steps:\n" + FILL + AMBIENT + test + OVEN + tester
    finding = only(tmp_path, rule, early)
    assert finding.message == "`test` tests electrically before `bake`, in which the part gets dry"
