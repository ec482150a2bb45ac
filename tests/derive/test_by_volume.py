"""Ratios by volume: powders by their bulk density, and what measuring vessels read."""

import math

import pytest

from speccomp.derive import Derived, explain_number
from speccomp.derive.weighing import WeighingAt
from speccomp.quantities import PrintUnits
from tests.derive.project import BATCH, derived_of, plain, value

SI = PrintUnits.for_system("SI", {})
BY_VOLUME = "ratio: {by: volume, powder: 100, liquid: 60 ± 3}\n"
# powder.yaml of the base, its partner by volume and without a mixed density.
BULK = """
# powder.yaml
partners: [{material: potassium-silicate, by: volume, parts: 60 ± 5}]
bulk_density: 1.60 ± 0.02 g/cm3
"""
CYLINDER = """
# plant.yaml
equipment:
  cylinder: {type: gauge, name: Cylinder, range: 0 to 250 mL, resolution: 1 mL, uncertainty: 2 mL}
"""
WEIGHED = BATCH.replace("52.0 ± 0.5 g", "105 ± 1 g")
POURED = BATCH.replace(
    """    operation: weigh
    material: liquid
    do: Weigh the liquid into the bowl.
    with: [bench-scale]
    limits: {mass: 52.0 ± 0.5 g}
""",
    """    operation: add
    material: liquid
    do: Pour the liquid into the bowl.
    with: [cylinder, timer]
    limits: {volume: 75 ± 1 mL, time: 1 to 2 min}
""",
)
BOTH_POURED = POURED.replace(
    """    operation: weigh
    material: powder
    do: Weigh the powder into the bowl.
    with: [bench-scale]
    limits: {mass: 200 ± 1 g}
""",
    """    operation: add
    material: powder
    do: Pour the powder into the bowl.
    with: [cylinder, timer]
    limits: {volume: 125 ± 2 mL, time: 1 to 2 min}
""",
)


def at_stated(derived: Derived) -> WeighingAt:
    assert derived.making is not None
    (weighing,) = derived.making.weighing
    assert weighing.at[0].label == "instructed"
    return weighing.at[0]


def exact(at: WeighingAt, unit: str) -> tuple[float, float, float]:
    assert at.exact is not None
    sides = (at.exact.lower, at.exact.target, at.exact.upper)
    low, target, high = (side.m_as(unit) for side in sides if side is not None)
    return low, target, high


def test_a_powder_by_volume_is_weighed_by_its_bulk_density() -> None:
    # Liquid of 1.4 to powder of 1.58 to 1.62 g/cm3, scale ± 0.02 g at 200 g.
    at = at_stated(derived_of(BY_VOLUME + WEIGHED + BULK))
    low, high = 0.57 * 1.4 / 1.58, 0.63 * 1.4 / 1.62
    assert exact(at, "g") == pytest.approx(
        (low * 200.02 + 0.02, 0.6 * 1.4 / 1.6 * 200, high * 199.98 - 0.02)
    )
    assert at.window is not None
    assert at.window.lower is not None
    assert at.window.upper is not None
    assert at.window.lower.value.m_as("g") == pytest.approx(101.05)  # 101.0406 up
    assert at.window.upper.value.m_as("g") == pytest.approx(108.85)  # 108.8585 down


def test_whatever_the_densities_are_a_reading_in_the_window_holds_the_ratio() -> None:
    at = at_stated(derived_of(BY_VOLUME + WEIGHED + BULK))
    low, _, high = exact(at, "g")
    for liquid in (low, high):
        for bulk in (1.58, 1.60, 1.62):
            for off in (-0.02, 0.02):
                ratio = ((liquid + off) / 1.4) / ((200 - off) / bulk)
                assert 0.57 - 1e-12 <= ratio <= 0.63 + 1e-12


def test_a_vessel_has_a_window_in_volume() -> None:
    # 200 ± 0.02 g of powder are 123.46 to 126.58 cm3; the cylinder is read to 2 mL.
    derived = derived_of(BY_VOLUME + POURED + BULK + CYLINDER)
    at = at_stated(derived)
    low, high = 0.57 / 1.58 * 200.02 + 2, 0.63 / 1.62 * 199.98 - 2
    assert exact(at, "mL") == pytest.approx((low, 75, high))
    assert at.window is not None
    assert at.window.lower is not None
    assert at.window.upper is not None
    assert at.window.lower.value.m_as("mL") == pytest.approx(math.ceil(low))
    assert at.window.upper.value.m_as("mL") == pytest.approx(math.floor(high))
    name = "weighing.liquid.instructed.window.lower"
    text = explain_number(derived, name, SI).replace("\u00a0", " ")
    assert text.startswith("least reading of `liquid`: 75.0000 mL")
    assert "uncertainty of `cylinder`: 2 mL (plant.yaml:" in text
    assert "see weighing.liquid.measured-ratio-lower" in text
    assert plain(derived, "weighing.liquid.measured-ratio-lower") == pytest.approx(0.57 / 1.58)
    told = explain_number(derived, "weighing.liquid.measured-ratio-lower", SI)
    assert "bulk density of `powder`: 1.60 ± 0.02 g/cm3 (powder.yaml:" in told


def test_the_least_mass_follows_the_vessel() -> None:
    derived = derived_of(BY_VOLUME + POURED + BULK + CYLINDER)
    low, target, high = 0.57 / 1.58, 0.6 / 1.6, 0.63 / 1.62
    held = max((2 + low * 0.02) / (target - low), (2 + high * 0.02) / (high - target))
    assert value(derived, "weighing.liquid.held-from", "g") == pytest.approx(held)
    readable = (2 * 2 + (low + high) * 0.02 + 1) / (high - low)
    least = max(held, readable)
    assert value(derived, "weighing.liquid.smallest-reference", "g") == pytest.approx(least)
    # The mix holds 100 x 1.6 of powder and 60 x 1.4 of liquid by weight.
    mix = least * (160 + 84) / 160
    assert value(derived, "weighing.liquid.smallest-mix", "g") == pytest.approx(mix)


def test_two_vessels_need_no_density() -> None:
    bare = "# powder.yaml\npartners: [{material: potassium-silicate, by: volume, parts: 60 ± 5}]\n"
    derived = derived_of(BY_VOLUME + BOTH_POURED + bare + CYLINDER)
    at = at_stated(derived)
    assert exact(at, "mL") == pytest.approx((0.57 * 127 + 2, 75, 0.63 * 123 - 2))
    assert derived.making is not None
    assert derived.making.instructed is None
    assert derived.making.unchecked == ()


def test_a_reference_in_a_vessel_gives_the_mass_of_the_mix() -> None:
    # 125 mL of 1.60 g/cm3 are 200 g, with 105 g of liquid.
    derived = derived_of(BY_VOLUME + BOTH_POURED + BULK + CYLINDER)
    assert value(derived, "batches.instructed-mix", "g") == pytest.approx(305)
    # A batch for 20 parts is measured out too: in whole millilitres, up.
    mass = value(derived, "batches.th-8.20-parts.powder", "g")
    poured = value(derived, "weighing.liquid.th-8.20-parts.reference", "mL")
    assert poured == math.ceil(mass / 1.6)
    named = "weighing.powder.th-8.20-parts.volume"
    assert value(derived, named, "mL") == pytest.approx(mass / 1.6)


def test_a_ratio_by_weight_is_measured_by_the_density() -> None:
    # 26 ± 2 parts of 1.4 g/cm3 to 200 g.
    ratio = "ratio: {by: weight, powder: 100, liquid: 26 ± 2}\n"
    derived = derived_of(ratio + POURED.replace("75 ± 1 mL", "37 ± 1 mL") + CYLINDER)
    low, high = 0.24 / 1.4 * 200.02 + 2, 0.28 / 1.4 * 199.98 - 2
    assert exact(at_stated(derived), "mL") == pytest.approx((low, 0.26 / 1.4 * 200, high))


def test_the_ratios_of_the_stated_amounts_are_in_parts() -> None:
    # 75 mL to 200 g of 1.60 g/cm3 is 0.6; the worst are 73 … 77 mL, 1.58 … 1.62 g/cm3.
    derived = derived_of(BY_VOLUME + POURED + BULK + CYLINDER)
    name = "weighing.liquid.stated"
    assert plain(derived, f"{name}-nominal") == pytest.approx(0.6)
    lowest = (74 - 2) / (201.02 / 1.58)
    assert plain(derived, f"{name}-lowest") == pytest.approx(lowest)
    assert plain(derived, f"{name}-highest") == pytest.approx((76 + 2) / (198.98 / 1.62))
    relative = ((2 / 75) ** 2 + (0.02 / 200) ** 2 + _half_width() ** 2) / 3
    expected = 2 * 0.6 * math.sqrt(relative)
    found = plain(derived, "weighing.liquid.instructed.uncertainty")
    assert found == pytest.approx(expected, rel=1e-9)


def _half_width() -> float:
    return (1 / 1.58 - 1 / 1.62) / 2 * 1.60


def test_a_bulk_density_gives_the_density_of_the_mix() -> None:
    # 160 g of 3.4 and 84 g of 1.4 g/cm3: 47.0588 + 60 cm3.
    derived = derived_of(BY_VOLUME + WEIGHED + BULK)
    assert value(derived, "mixture.density", "g/cm3") == pytest.approx(244 / (160 / 3.4 + 60))
    assert "ρ_bulk" in explain_number(derived, "mixture.density", SI)
    assert "bulk density of `powder`" in explain_number(derived, "mixture.density", SI)


def test_without_a_bulk_density_it_is_said_what_is_needed() -> None:
    bare = "# powder.yaml\npartners: [{material: potassium-silicate, by: volume, parts: 60 ± 5}]\n"
    derived = derived_of(BY_VOLUME + WEIGHED + bare)
    assert derived.making is not None
    assert derived.making.weighing == ()
    (unchecked,) = derived.making.unchecked
    assert unchecked.own.component.key == "liquid"
    assert unchecked.lacking.component.key == "powder"
    hints = {gap.name: gap.hint for gap in derived.gaps}
    assert hints["mixture.weights"] == (
        "add `bulk_density` to the card, or write the ratio by weight"
    )
    assert hints["mixture.density"] == (
        "add `mixed_density` under partners, or `bulk_density`, to the card"
    )


def test_a_density_known_too_badly_is_told_with_numbers() -> None:
    wide = BULK.replace("1.60 ± 0.02", "1.60 ± 0.10")
    derived = derived_of(BY_VOLUME + WEIGHED + wide)
    (fault,) = [gap for gap in derived.gaps if gap.fault]
    assert fault.name == "weighing.liquid"
    assert fault.reason == (
        "The densities are known to ±6.27 %, and the ratio 0.57 to 0.6 to 0.63 leaves no room for "
        "that."
    )


def test_a_vessel_without_an_uncertainty_cannot_be_checked() -> None:
    bare = CYLINDER.replace(", uncertainty: 2 mL", "")
    derived = derived_of(BY_VOLUME + POURED + BULK + bare)
    reasons = [gap.reason for gap in derived.gaps if gap.name == "weighing.liquid"]
    assert reasons == [
        "`weigh-liquid` names no scale whose readability and permissible error are known, and no "
        "measuring vessel whose resolution and uncertainty are"
    ]
    assert derived.making is not None
    assert derived.making.weighing == ()


def test_a_component_by_mass_and_by_volume_is_not_checked() -> None:
    twice = BATCH.replace(
        "  - id: mix\n",
        "  - id: weigh-more\n    operation: weigh\n    material: liquid\n"
        "    do: Measure the rest of the liquid.\n    with: [cylinder]\n"
        "    limits: {volume: 1 to 2 mL}\n  - id: mix\n",
    )
    reasons = [gap.reason for gap in derived_of(twice + CYLINDER).gaps]
    assert "`liquid` is measured out by mass and by volume" in reasons
