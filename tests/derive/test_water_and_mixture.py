"""Boiling at the plant and the density of the mixture, against published and hand-made values."""

import pytest

from tests.derive.project import derived_of, value


def test_water_boils_at_sea_level_as_iapws_says() -> None:
    # IAPWS-IF97: 99.974 degC at 101.325 kPa.
    derived = derived_of("# plant.yaml\nelevation: 0 m\n")
    assert value(derived, "water.air-pressure", "kPa") == pytest.approx(101.325)
    assert value(derived, "water.boiling-point", "degC") == pytest.approx(99.974, abs=1e-3)


def test_the_pressure_of_an_elevation_is_that_of_the_standard_atmosphere() -> None:
    # U.S. Standard Atmosphere 1976, table for 1000 m: 89 876 Pa.
    derived = derived_of("# plant.yaml\nelevation: 1000 m\n")
    assert value(derived, "water.air-pressure", "Pa") == pytest.approx(89_876, abs=3)


def test_a_measured_pressure_counts_before_the_elevation_at_its_lowest() -> None:
    derived = derived_of("# plant.yaml\nelevation: 1000 m\nair_pressure: 90 to 94 kPa\n")
    assert value(derived, "water.air-pressure", "kPa") == 90.0
    assert derived.water is not None
    assert derived.water.standard_pressure is not None
    assert derived.numbers["water.air-pressure"].inputs[0].text == "90 to 94 kPa"


def test_an_elevation_with_limits_counts_at_its_highest() -> None:
    derived = derived_of("# plant.yaml\nelevation: 0 to 1000 m\n")
    assert value(derived, "water.air-pressure", "Pa") == pytest.approx(89_876, abs=3)


def test_an_impossible_elevation_is_a_gap() -> None:
    derived = derived_of("# plant.yaml\nelevation: 20000 m\n")
    assert derived.water is None
    (gap,) = (gap for gap in derived.gaps if gap.fault)
    assert gap.name == "water"
    assert "20000 m" in gap.reason
    assert derived.cures[0].allowed is None


def test_the_card_gives_the_density_of_the_mixture() -> None:
    derived = derived_of()
    assert value(derived, "mixture.density", "g/cm3") == 2.35
    assert derived.making is not None
    assert derived.making.mixture.density_from_card


POWDER = "# powder.yaml\npartners: [{material: potassium-silicate, by: weight, parts: 26 ± 2}]\n"


def test_without_it_the_components_give_it() -> None:
    # 126 g in 100/3.4 + 26/1.4 = 29.4118 + 18.5714 = 47.9832 cm3.
    derived = derived_of(POWDER)
    assert value(derived, "mixture.density", "g/cm3") == pytest.approx(126 / 47.98319, rel=1e-6)
    assert derived.making is not None
    assert not derived.making.mixture.density_from_card
    number = derived.numbers["mixture.density"]
    assert number.note.startswith("Ideal mixing")
    assert [item.text for item in number.inputs] == ["3.4 g/cm3", "100", "1.4 g/cm3", "26 ± 1"]


def test_three_components_mix_by_their_own_densities() -> None:
    # 100/3.4 + 26/1.4 + 10/1.4 = 29.4118 + 18.5714 + 7.1429 = 55.1261 cm3 for 136 g.
    ratio = "ratio: {by: weight, powder: 100, liquid: 26 ± 1, thinner: 10 ± 1}\n"
    cards = "materials: {powder: powder.yaml, liquid: liquid.yaml, thinner: liquid.yaml}\n"
    derived = derived_of(ratio + cards)
    assert value(derived, "mixture.density", "g/cm3") == pytest.approx(136 / 55.12605, rel=1e-6)
    assert derived.making is not None
    assert [c.key for c in derived.making.mixture.others] == ["liquid", "thinner"]
    assert derived.making.mixture.weights == (100.0, 26.0, 10.0)


def test_a_powder_by_volume_has_no_ratio_by_weight() -> None:
    derived = derived_of("ratio: {by: volume, powder: 100, liquid: 60 ± 2}\n")
    assert derived.making is not None
    assert derived.making.mixture.weights is None
    assert derived.making.balances == ()
    reasons = [gap.reason for gap in derived.gaps if gap.name == "mixture.weights"]
    assert reasons == [
        "the ratio is by volume, and the card of `powder` does not say at what bulk density it is "
        "measured out"
    ]


def test_liquids_by_volume_have_a_ratio_by_weight() -> None:
    # 40 cm3 of 1.4 g/cm3 to 100 cm3 of 0.9 g/cm3: 56 g to 90 g.
    cleaner = (
        "# cleaner.yaml\nmaterial: base\nname: Base\nfamily: organic\nform: liquid\n"
        "density: 0.9 g/cm3\n"
    )
    derived = derived_of("ratio: {by: volume, cleaner: 100, liquid: 40 ± 1}\n" + cleaner)
    assert derived.making is not None
    assert derived.making.mixture.weights == pytest.approx((100.0, 40 * 1.4 / 0.9))


def test_per_cent_are_of_the_reference() -> None:
    derived = derived_of("ratio: {by: weight, powder: 50, liquid: 26 % ± 1 %}\n")
    assert derived.making is not None
    (component,) = derived.making.mixture.others
    assert component.parts == 13.0
    assert component.ratio is not None
    assert component.ratio.lower == pytest.approx(0.25)


def test_the_card_of_the_liquid_may_name_the_powder() -> None:
    powder = "# powder.yaml\npartners: [{material: other, by: weight, parts: 1 to 2}]\n"
    liquid = "# liquid.yaml\npartners: [{material: zircon-powder, by: weight, parts: 400 ± 100}]\n"
    derived = derived_of(powder + liquid)
    assert derived.making is not None
    known = derived.making.mixture.others[0].on_card
    assert known is not None
    # 300 to 500 parts of powder to 100 of liquid are 0.2 to 0.333 of liquid to powder.
    assert known.parts.lower == pytest.approx(0.2)
    assert known.parts.target == pytest.approx(0.25)
    assert known.parts.upper == pytest.approx(1 / 3)


PASTE = """
materials: {paste: powder.yaml, cleaner: cleaner.yaml}
batch: {parts: 10, loss: 0 %}
steps:
  - id: fill
    operation: apply
    method: spatula
    material: paste
    do: Spread the paste.
    look_for: [{what: coat, accept: Closed}]
"""


def test_a_paste_as_supplied_is_its_own_mixture() -> None:
    # 10 parts of 6.2 cm3 at 3.4 g/cm3 are 210.8 g.
    derived = derived_of(PASTE, drop="ratio")
    assert derived.making is not None
    assert derived.making.mixture.others == ()
    assert value(derived, "batches.th-8.order.mass", "g") == pytest.approx(210.8)
    assert value(derived, "batches.th-8.order.paste", "g") == pytest.approx(210.8)


def test_nothing_applied_has_no_mixture() -> None:
    steps = (
        "steps: [{id: look, operation: inspect, do: Look at it., "
        "look_for: [{what: seal, accept: No crack}]}]\n"
    )
    derived = derived_of("materials: {cleaner: cleaner.yaml}\n" + steps, drop="ratio")
    assert derived.making is None
    assert "mixture.density" not in derived.numbers
