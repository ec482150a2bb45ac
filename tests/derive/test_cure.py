"""Cure profiles, thermal histories, drying and steam, with values worked out by hand."""

import math

import pytest

from speccomp.derive import Derived
from speccomp.derive.histories import History
from tests.derive.project import derived_of, plain, value

AMBIENT = """  - id: set
    operation: cure
    method: ambient
    do: Leave the parts on the rack.
    with: [thermometer, timer]
    profile:
      - hold: {at: 22 ± 4 degC, for: 18 to 24 h}
"""
OVEN = """  - id: bake
    operation: cure
    method: oven
    do: Put the parts into the oven.
    with: [oven]
    profile:
      - ramp: {to: 82 ± 5 degC, at: 0.5 to 1 K/min}
      - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
      - ramp: {to: 150 ± 5 degC, at: 0.5 to 1 K/min}
      - hold: {at: 150 ± 5 degC, for: 2 to 2.5 h}
"""
FILL = """  - id: fill
    operation: dispense
    method: syringe
    do: Fill the sheath.
    look_for: [{what: fill level, accept: Level with the rim}]
"""
STEPS = "steps:\n" + FILL + AMBIENT + OVEN


def history(derived: Derived, number: int = 0) -> History:
    return derived.cures[number]


def test_durations_go_from_the_ends_of_the_bands() -> None:
    # From 26 up to 77 degC at 1 K/min 51 min, from 87 to 145 degC 58 min, holds of 4 and 2 h.
    derived = derived_of(STEPS)
    assert value(derived, "curing.bake.shortest", "min") == pytest.approx(51 + 240 + 58 + 120)
    # Nominal: 60 K and 68 K at 0.75 K/min, holds of 4.5 and 2.25 h.
    assert value(derived, "curing.bake.nominal", "min") == pytest.approx(
        60 / 0.75 + 270 + 68 / 0.75 + 135
    )
    # From 18 to 87 degC and from 77 to 155 degC at 0.5 K/min, holds of 5 and 2.5 h.
    assert value(derived, "curing.bake.longest", "min") == pytest.approx(138 + 300 + 156 + 150)
    assert value(derived, "curing.set.nominal", "h") == pytest.approx(21)


def test_the_oven_adds_its_errors_to_the_setpoint() -> None:
    # 1 + 2 + 0.5 K; 87 + 3.5 and 155 + 3.5 degC.
    derived = derived_of(STEPS)
    assert value(derived, "curing.bake.oven-error", "K") == 3.5
    assert value(derived, "curing.bake.hold-2.highest", "degC") == pytest.approx(90.5)
    assert value(derived, "curing.bake.ramp-3.highest", "degC") == pytest.approx(158.5)
    # At ambient the limits hold for the part itself.
    assert value(derived, "curing.set.oven-error", "K") == 0
    assert value(derived, "curing.set.hold-1.highest", "degC") == pytest.approx(26)


def test_ambient_and_oven_are_one_history() -> None:
    derived = derived_of(STEPS)
    (only,) = derived.cures
    assert [step.step.id for step in only.steps] == ["set", "bake"]
    assert only.last
    assert len(only.places) == 5
    # The oven starts where the ambient hold ended.
    first = only.steps[1].segments[0].leg.start
    assert (first.lower, first.upper) == pytest.approx((273.15 + 18, 273.15 + 26))
    # The chart has two points for each segment, one after the other.
    assert len(only.chart) == 10
    times = [point.elapsed.m_as("h") for point in only.chart]
    assert times == sorted(times)
    assert times[2] == pytest.approx(21)


def test_a_step_in_between_lets_the_part_cool_to_the_shop() -> None:
    look = "  - id: look\n    operation: inspect\n    do: Look.\n"
    look += "    look_for: [{what: seal, accept: No crack}]\n"
    again = OVEN.replace("id: bake", "id: again")
    (only,) = derived_of(STEPS + look + again).cures
    # The shop has 18 to 26 degC.
    start = only.steps[2].segments[0].leg.start
    assert (start.lower, start.upper) == pytest.approx((273.15 + 18, 273.15 + 26))


def test_a_further_coat_begins_a_new_history() -> None:
    derived = derived_of(STEPS + FILL.replace("id: fill", "id: more") + OVEN.replace("bake", "top"))
    assert [item.label for item in derived.cures] == ["curing", "curing-2"]
    assert [item.last for item in derived.cures] == [False, True]


def test_a_part_as_thick_as_the_card_needs_the_cards_time() -> None:
    parts = "parts: [{number: A, name: A, drawing: D rev 1, thickest_section: 9 mm}]\n"
    derived = derived_of(parts + STEPS)
    assert plain(derived, "curing.factor") == pytest.approx(1)
    assert value(derived, "curing.required", "h") == pytest.approx(4)


def test_drying_time_grows_with_the_square_of_the_section() -> None:
    # (8/9)^2 x 4 h = 3.1605 h; the holds at 82 and 150 degC count, 4 and 2 h.
    derived = derived_of(STEPS)
    assert plain(derived, "curing.factor") == pytest.approx(64 / 81)
    assert value(derived, "curing.required", "h") == pytest.approx(4 * 64 / 81)
    assert value(derived, "curing.credited", "h") == pytest.approx(6)
    assert value(derived, "curing.missing", "h") == 0
    drying = history(derived).drying
    assert drying is not None
    assert drying.met_in is not None
    assert drying.met_in[1].name == "hold 2"
    assert [place[1].name for place in drying.holds] == ["hold 2"]


def test_two_open_faces_halve_the_way_of_the_water() -> None:
    parts = (
        "parts: [{number: A, name: A, drawing: D rev 1, thickest_section: 12 mm, open_faces: 2}]\n"
    )
    derived = derived_of(parts + STEPS)
    assert value(derived, "curing.path", "mm") == 6
    assert value(derived, "curing.required", "h") == pytest.approx(4 * 36 / 81)


def test_a_card_that_dried_from_both_faces_counts_half_its_section() -> None:
    card = (
        "# powder.yaml\ncure: [{name: oven, section: 9 mm, open_faces: 2, "
        "dry: {at: 82 degC, for: 4 h}}]\n"
    )
    derived = derived_of(STEPS + card)
    assert value(derived, "curing.card-path", "mm") == 4.5
    assert value(derived, "curing.required", "h") == pytest.approx(4 * (8 / 4.5) ** 2)


def test_the_thickest_way_of_all_parts_counts() -> None:
    parts = (
        "parts:\n"
        "  - {number: A, name: A, drawing: D rev 1, thickest_section: 10 mm, open_faces: 2}\n"
        "  - {number: B, name: B, drawing: D rev 1, thickest_section: 6 to 7 mm}\n"
    )
    drying = history(derived_of(parts + STEPS)).drying
    assert drying is not None
    assert drying.need.part.number == "B"
    assert drying.need.path.value.m_as("mm") == 7


def test_a_colder_hold_does_not_count() -> None:
    steps = STEPS.replace("82 ± 5 degC", "75 ± 5 degC")
    derived = derived_of(steps)
    # Only the 2 h at 150 degC are as hot as the card's 82 degC; 1.16 h are missing.
    assert value(derived, "curing.credited", "h") == pytest.approx(2)
    assert value(derived, "curing.missing", "h") == pytest.approx(4 * 64 / 81 - 2)
    drying = history(derived).drying
    assert drying is not None
    assert drying.met_in is None


def test_the_steam_check_stands_until_the_part_is_dry() -> None:
    # 240 m: 99.177 - 5 = 94.177 degC; ambient, ramp and hold of 82 degC are wet.
    derived = derived_of(STEPS)
    checks = history(derived).steam
    assert [check.place[1].name for check in checks] == ["hold 1", "ramp 1", "hold 2"]
    assert value(derived, "curing.allowed", "degC") == pytest.approx(94.177, abs=1e-3)
    assert checks[2].spare.value.m_as("K") == pytest.approx(94.177 - 90.5, abs=1e-3)
    assert history(derived).too_hot is None
    # 94.177 - 3.5 - 5 K.
    setpoint = checks[2].highest_setpoint.value.m_as("degC")
    assert setpoint == pytest.approx(85.677, abs=1e-3)


def test_at_a_high_plant_the_same_oven_is_too_hot() -> None:
    # 1600 m: water boils at 94.7 degC (steam tables, 83.5 kPa); 94.7 - 5 = 89.7 is below 90.5.
    derived = derived_of(STEPS + "# plant.yaml\nelevation: 1600 m\n")
    hot = history(derived).too_hot
    assert hot is not None
    assert hot.place[1].name == "hold 2"
    assert value(derived, "water.boiling-point", "degC") == pytest.approx(94.7, abs=0.1)
    assert hot.spare.value.m_as("K") == pytest.approx(-0.8, abs=0.1)
    assert value(derived, "curing.dried-before", "s") == 0


def test_the_plant_may_keep_another_distance_from_boiling() -> None:
    derived = derived_of(STEPS + "# plant.yaml\nmargins: {boiling: 2 K}\n")
    assert value(derived, "curing.allowed", "degC") == pytest.approx(97.177, abs=1e-3)


def test_too_short_a_hold_leaves_the_part_wet_in_the_next_ramp() -> None:
    derived = derived_of(STEPS.replace("for: 4 to 5 h", "for: 1 to 2 h"))
    hot = history(derived).too_hot
    assert hot is not None
    # Of the ramp to 150 degC and the hold at its end, the hold is named.
    assert hot.place[1].name == "hold 4"
    assert value(derived, "curing.dried-before", "h") == pytest.approx(1)


def test_the_free_water_left_is_told_where_the_card_knows_the_diffusivity() -> None:
    # Fo = 3e-9 x 14400/0.008^2 = 0.675 and 3e-9 x 14400/0.009^2 = 0.53333 with one open face.
    derived = derived_of(STEPS + "# powder.yaml\ndiffusivity: 3e-9 m2/s\n")

    def left(fourier: float) -> float:
        odd = [(2 * n + 1) * math.pi for n in range(20)]
        return sum(8 / k**2 * math.exp(-(k**2) * fourier / 4) for k in odd)

    assert plain(derived, "curing.water-left") == pytest.approx(left(0.675))
    assert plain(derived, "curing.water-left-on-card") == pytest.approx(left(0.53333333))


def test_time_at_ambient_and_final_hold_are_set_against_the_card() -> None:
    card = (
        "# powder.yaml\n"
        "cure:\n"
        "  - name: oven\n"
        "    section: 9 mm\n"
        "    ambient: at least 18 h\n"
        "    dry: {at: 82 degC, for: 4 h}\n"
        "    final: {at: 150 degC, for: 2 h}\n"
    )
    found = history(derived_of(STEPS + card))
    assert found.ambient is not None
    assert found.ambient.required.value.m_as("h") == 18
    assert found.ambient.credited.value.m_as("h") == pytest.approx(18)
    assert found.final is not None
    assert found.final.credited.value.m_as("h") == pytest.approx(2)
    # Without the ambient step nothing is credited.
    bare = history(derived_of("steps:\n" + FILL + OVEN + card))
    assert bare.ambient is not None
    assert bare.ambient.credited.value.m_as("h") == 0


def test_the_equivalent_age_stands_beside_that_of_the_card() -> None:
    # Nurse-Saul, datum 0 degC, at 23 degC: 21 h at 22, 80 min from 22 to 82, 4.5 h at 82,
    # 68/0.75 min from 82 to 150, 2.25 h at 150 degC. The card: 4 h at 82 degC.
    derived = derived_of(STEPS)
    degree_hours = 21 * 22 + 80 / 60 * 52 + 4.5 * 82 + 68 / 0.75 / 60 * 116 + 2.25 * 150
    assert value(derived, "curing.age", "h") == pytest.approx(degree_hours / 23)
    card = (82 - 23) / 1 / 60 * (23 + 82) / 2 + 4 * 82
    assert value(derived, "curing.age-on-card", "h") == pytest.approx(card / 23)


def test_no_cure_on_any_card_is_told() -> None:
    ratio = "ratio: {by: weight, liquid: 100, cleaner: 5 ± 1}\n"
    cards = "materials: {liquid: liquid.yaml, cleaner: cleaner.yaml}\n"
    found = history(derived_of(ratio + cards + STEPS))
    assert found.drying is None
    assert found.why_unknown == "no card has a qualified cure"
    # Nothing shows that it dries, so all five segments are checked.
    assert len(found.steam) == 5
    assert found.too_hot is not None


def test_an_organic_material_holds_no_water() -> None:
    card = "# powder.yaml\nfamily: organic\ncure: [{name: oven, section: 9 mm}]\n"
    found = history(derived_of(STEPS + card))
    assert found.drying is None
    assert found.why_unknown == ""
    assert found.steam == ()


@pytest.mark.parametrize(
    ("fragment", "why"),
    [
        (
            STEPS + "# powder.yaml\ncure: [{name: oven, section: 9 mm}]\n",
            "the cure `oven` on the card of `powder` has no drying hold",
        ),
        (
            STEPS + "parts: [{number: A, name: A, drawing: D rev 1}]\n",
            "no part gives its thickest section",
        ),
    ],
)
def test_why_the_drying_need_is_not_known(fragment: str, why: str) -> None:
    assert history(derived_of(fragment)).why_unknown == why


def test_of_several_cures_the_one_named_as_the_method_counts() -> None:
    card = (
        "# powder.yaml\n"
        "cure:\n"
        "  - {name: slow, section: 30 mm, dry: {at: 60 degC, for: 48 h}}\n"
        "  - {name: oven, section: 9 mm, dry: {at: 82 degC, for: 4 h}}\n"
    )
    found = history(derived_of(STEPS + card))
    assert found.cure is not None
    assert found.cure.name == "oven"
    other = history(derived_of(STEPS + card.replace("name: oven", "name: fast")))
    assert other.cure is not None
    # None is called `oven`: the thinnest that covers 8 mm.
    assert other.cure.name == "fast"


def test_a_temperature_with_one_side_is_a_gap() -> None:
    derived = derived_of(STEPS.replace("{at: 150 ± 5 degC,", "{at: at least 150 degC,"))
    (gap,) = (gap for gap in derived.gaps if gap.fault)
    assert gap.name == "curing.bake"
    assert "a limit on one side only" in gap.reason


def test_a_ramp_without_a_fastest_rate_has_none() -> None:
    derived = derived_of(STEPS.replace("0.5 to 1 K/min", "at least 0.5 K/min"))
    segment = history(derived).steps[1].segments[0]
    assert segment.rate is None
    assert segment.heats
