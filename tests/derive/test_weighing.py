"""Windows of readings, the least mass a scale can hold, and what stated masses allow."""

import pytest

from speccomp.derive import Derived
from speccomp.derive.weighing import ComponentWeighing, Window
from tests.derive.project import BATCH, derived_of, plain, value

COARSE = """
# plant.yaml
equipment:
  bench-scale:
    type: scale
    name: Bench scale
    readability: 0.5 g
    permissible_error: 1 g
    capacity: 6 kg
"""
TWO_SCALES = """
# plant.yaml
equipment:
  floor-scale:
    type: scale
    name: Floor scale
    readability: 5 g
    permissible_error: 10 g
    capacity: 60 kg
"""


def weighing(derived: Derived, number: int = 0) -> ComponentWeighing:
    assert derived.making is not None
    return derived.making.weighing[number]


def readings(window: Window | None, unit: str = "g") -> tuple[float | None, ...]:
    assert window is not None
    sides = (window.reference, window.lower, window.target, window.upper)
    return tuple(None if side is None else side.value.m_as(unit) for side in sides)


def test_the_window_is_guard_banded_and_rounded_inward() -> None:
    # 0.25 x 200.02 + 0.02 = 50.025 up to 50.03; 0.27 x 199.98 - 0.02 = 53.9746 down to 53.97.
    at = weighing(derived_of(BATCH)).at[0]
    assert at.label == "instructed"
    assert readings(at.window) == (200.0, 50.03, 52.0, 53.97)
    assert at.exact is not None
    assert at.exact.lower is not None
    assert at.exact.lower.m_as("g") == pytest.approx(50.025)


def test_the_table_goes_over_the_readings_that_the_step_allows() -> None:
    # 200 +- 1 g in round steps; at 199.5 g: 0.25 x 199.52 + 0.02 = 49.90, 0.27 x 199.48 - 0.02.
    rows = weighing(derived_of(BATCH)).at[0].rows
    assert [readings(row)[0] for row in rows] == [199.0, 199.5, 200.0, 200.5, 201.0]
    assert readings(rows[1]) == (199.5, 49.9, 51.87, 53.83)


def test_a_batch_size_aims_at_the_next_reading_up() -> None:
    # 314.712 g x 100/126 = 249.7714 g of powder: 249.78 g on the display.
    at = weighing(derived_of(BATCH)).at[1]
    assert at.label == "th-8.20-parts"
    # 0.25 x 249.80 + 0.02 = 62.47; 0.26 x 249.78 = 64.9428; 0.27 x 249.76 - 0.02 = 67.4152.
    assert readings(at.window) == (249.78, 62.47, 64.94, 67.41)
    assert [readings(row)[0] for row in at.rows] == [248.0, 249.0, 250.0, 251.0, 252.0]


def test_every_mix_of_the_order_has_a_window() -> None:
    labels = [at.label for at in weighing(derived_of(BATCH)).at]
    assert labels == ["instructed", "th-8.20-parts", "th-8.40-parts", "th-8.60-parts"]


def test_the_least_mass_that_holds_the_ratio() -> None:
    # u = u_P = 1 g: (1 + 0.27)/(0.27 - 0.26) = 127 g; with a step of 0.5 g on the display
    # (2 + 0.52 + 0.5)/0.02 = 151 g; x 126/100 = 190.26 g of mix.
    derived = derived_of(BATCH + COARSE)
    assert value(derived, "weighing.liquid.held-from", "g") == pytest.approx(127)
    assert value(derived, "weighing.liquid.smallest-reference", "g") == pytest.approx(151)
    assert value(derived, "weighing.liquid.smallest-mix", "g") == pytest.approx(190.26)
    assert derived.making is not None
    assert derived.making.smallest_mix is not None
    assert derived.making.smallest_mix.name == "weighing.liquid.smallest-mix"


def test_the_error_that_would_do_on_one_scale() -> None:
    # 200 g: min(200 x 0.01/1.25, 200 x 0.01/1.27) = 1.5748 g.
    name = "weighing.liquid.instructed"
    assert value(derived_of(BATCH), f"{name}.largest-error", "g") == pytest.approx(2 / 1.27)


def test_worst_case_and_gum_uncertainty() -> None:
    # (52 -+ 1)/(200 +- 1) = 51/201 and 53/199.
    derived = derived_of(BATCH + COARSE)
    name = "weighing.liquid.instructed"
    assert plain(derived, f"{name}.worst-low") == pytest.approx(51 / 201)
    assert plain(derived, f"{name}.worst-high") == pytest.approx(53 / 199)
    # 2 x 0.26 x sqrt(((1/52)^2 + (1/200)^2)/3) = 0.0059656.
    assert plain(derived, f"{name}.uncertainty") == pytest.approx(0.0059656, rel=1e-4)


def test_no_window_below_the_least_mass() -> None:
    # 100 g: 0.25 x 101 + 1 = 26.25 is above 0.27 x 99 - 1 = 25.73.
    fragment = BATCH.replace("200 ± 1 g", "100 ± 1 g").replace("52.0 ± 0.5 g", "26.0 ± 0.5 g")
    at = weighing(derived_of(fragment + COARSE)).at[0]
    assert at.exact is None
    assert at.window is None
    assert at.worst is not None
    # (26 - 1)/(100 + 1), (26 + 1)/(100 - 1).
    assert at.worst[0].value == pytest.approx(25 / 101)
    assert at.worst[1].value == pytest.approx(27 / 99)
    # The scale that would do has 100 x 0.01/1.27 g.
    assert at.largest_error is not None
    assert at.largest_error.value.m_as("g") == pytest.approx(1 / 1.27)


def test_a_window_between_two_steps_of_the_display() -> None:
    # Step 2 g, error 0.5 g, 104 g: 0.25 x 104.5 + 0.5 = 26.625, 0.27 x 103.5 - 0.5 = 27.445.
    scale = COARSE.replace("0.5 g", "2 g").replace("error: 1 g", "error: 0.5 g")
    fragment = BATCH.replace("200 ± 1 g", "104 ± 1 g")
    at = weighing(derived_of(fragment + scale)).at[0]
    assert at.exact is not None
    assert at.window is None


def test_two_scales_have_their_own_errors() -> None:
    # Powder on +-10 g, liquid on +-0.02 g, 4000 g: 0.25 x 4010 + 0.02, 0.27 x 3990 - 0.02.
    fragment = BATCH.replace("200 ± 1 g", "4000 ± 20 g").replace("52.0 ± 0.5 g", "1040 ± 10 g")
    fragment = fragment.replace("with: [bench-scale]", "with: [floor-scale]", 1)
    found = weighing(derived_of(fragment + TWO_SCALES))
    assert not found.balance.same_scale
    assert readings(found.at[0].window) == (4000.0, 1002.52, 1040.0, 1077.28)
    # For the liquid's scale alone: min(4000 x 0.01 - 2.5, 4000 x 0.01 - 2.7) = 37.3 g.
    assert found.at[0].largest_error is not None
    assert found.at[0].largest_error.value.m_as("g") == pytest.approx(37.3)


def test_the_stated_masses_allow_a_range_of_ratios() -> None:
    # (51.5 - 0.02)/(201 + 0.02) to (52.5 + 0.02)/(199 - 0.02).
    derived = derived_of(BATCH)
    assert plain(derived, "weighing.liquid.stated-lowest") == pytest.approx(51.48 / 201.02)
    assert plain(derived, "weighing.liquid.stated-highest") == pytest.approx(52.52 / 198.98)


def test_a_one_sided_mass_bounds_one_side_of_the_ratio() -> None:
    derived = derived_of(BATCH.replace("52.0 ± 0.5 g", "at most 52.5 g"))
    stated = weighing(derived).stated
    assert stated is not None
    assert stated.lowest is None
    assert stated.highest is not None


def test_a_range_without_target_aims_at_its_middle() -> None:
    derived = derived_of("ratio: {by: weight, powder: 100, liquid: 25 to 27}\n" + BATCH)
    assert readings(weighing(derived).at[0].window) == (200.0, 50.03, 52.0, 53.97)
    # (2 x 0.02 + 0.52 x 0.02)/0.02 = 2.52 g.
    assert value(derived, "weighing.liquid.held-from", "g") == pytest.approx(2.52)


def test_a_one_sided_ratio_has_a_one_sided_window() -> None:
    derived = derived_of("ratio: {by: weight, powder: 100, liquid: at most 27}\n" + BATCH)
    window = weighing(derived).at[0].window
    # The reading to aim at is the greatest one.
    assert readings(window) == (200.0, None, 53.97, 53.97)
    assert value(derived, "weighing.liquid.held-from", "g") == 0
    assert weighing(derived).at[0].largest_error is None


def test_three_components_are_each_set_against_the_reference() -> None:
    steps = BATCH.replace(
        "  - id: mix\n",
        "  - id: weigh-thinner\n    operation: weigh\n    material: thinner\n"
        "    do: Weigh the thinner.\n    with: [bench-scale]\n"
        "    limits: {mass: 20.0 ± 0.2 g}\n  - id: mix\n",
    )
    derived = derived_of(
        "materials: {powder: powder.yaml, liquid: liquid.yaml, thinner: liquid.yaml}\n"
        "ratio: {by: weight, powder: 100, liquid: 26 ± 1, thinner: 10 ± 0.5}\n" + steps
    )
    # 0.095 x 200.02 + 0.02 = 19.0219, 0.105 x 199.98 - 0.02 = 20.9779.
    assert readings(weighing(derived, 1).at[0].window) == (200.0, 19.03, 20.0, 20.97)
    # 136/100 of the powder.
    assert value(derived, "batches.instructed-mix", "g") == pytest.approx(272)


def test_a_reference_in_two_portions_adds_their_errors() -> None:
    steps = BATCH.replace("mass: 200 ± 1 g", "mass: 100.0 ± 0.5 g").replace(
        "  - id: weigh-liquid\n",
        "  - id: weigh-more\n    operation: weigh\n    material: powder\n"
        "    do: Weigh more powder.\n    with: [bench-scale]\n"
        "    limits: {mass: 100.0 ± 0.5 g}\n  - id: weigh-liquid\n",
    )
    at = weighing(derived_of(steps)).at[0]
    # 0.25 x 200.04 + 0.02 = 50.03, 0.27 x 199.96 - 0.02 = 53.9692.
    assert readings(at.window) == (200.0, 50.03, 52.0, 53.96)


def test_liquids_by_volume_are_weighed_by_their_densities() -> None:
    # 40 +- 2 cm3 of 1.4 to 100 cm3 of 0.9 g/cm3: r = 0.591, 0.622, 0.653; 90 g of base.
    base = "# cleaner.yaml\nmaterial: base\nname: Base\nfamily: organic\nform: liquid\n"
    base += "density: 0.9 g/cm3\nstorage: {temperature: 10 to 30 degC}\n"
    steps = BATCH.replace("material: powder", "material: cleaner").replace("200 ± 1 g", "90 ± 1 g")
    ratio = "ratio: {by: volume, cleaner: 100, liquid: 40 ± 2}\n"
    at = weighing(derived_of(ratio + steps.replace("52.0 ± 0.5", "56.0 ± 0.5") + base)).at[0]
    low, high = 38 * 1.4 / 90, 42 * 1.4 / 90
    assert at.exact is not None
    assert at.exact.lower is not None
    assert at.exact.upper is not None
    assert at.exact.lower.m_as("g") == pytest.approx(low * 90.02 + 0.02)
    assert at.exact.upper.m_as("g") == pytest.approx(high * 89.98 - 0.02)


def test_a_scale_that_reads_in_kilograms() -> None:
    scale = COARSE.replace("0.5 g", "0.001 kg").replace("error: 1 g", "error: 0.002 kg")
    fragment = BATCH.replace("200 ± 1 g", "4.00 ± 0.02 kg")
    fragment = fragment.replace("52.0 ± 0.5 g", "1.04 ± 0.01 kg")
    at = weighing(derived_of(fragment + scale)).at[0]
    # 0.25 x 4.002 + 0.002 = 1.0025 kg up, 0.27 x 3.998 - 0.002 = 1.07746 kg down.
    assert readings(at.window, "kg") == (4.0, 1.003, 1.04, 1.077)
    assert at.window is not None
    assert str(at.window.target.value.units) == "kilogram"


def test_what_is_not_weighed_is_said() -> None:
    steps = BATCH.replace("    material: liquid\n", "    material: cleaner\n")
    derived = derived_of(steps)
    assert [gap.reason for gap in derived.gaps] == ["no step weighs `liquid`"]
    assert derived.making is not None
    assert derived.making.weighing == ()
