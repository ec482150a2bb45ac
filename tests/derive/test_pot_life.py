"""Pot life in the shop, and the times of one mix."""

import pytest

from tests.derive.project import BATCH, derived_of, value


def test_the_rate_doubles_per_ten_kelvin_unless_the_card_says_otherwise() -> None:
    # 60 min at 23 degC; the shop has 18 to 26 degC.
    derived = derived_of(BATCH)
    assert value(derived, "pot-life.card", "min") == 60
    assert value(derived, "pot-life.shop-low", "min") == pytest.approx(60 * 2**0.5)
    assert value(derived, "pot-life.shop-middle", "min") == pytest.approx(60 * 2**0.1)
    assert value(derived, "pot-life.shop-high", "min") == pytest.approx(60 * 2**-0.3)
    texts = [(item.name, item.text) for item in derived.numbers["pot-life.shop-high"].inputs]
    assert texts == [
        ("pot life", "60 min"),
        ("at", "23 degC"),
        ("Q10", "2, assumed"),
        ("shop temperature", "18 to 26 degC"),
    ]


def test_the_card_may_give_another_factor() -> None:
    card = "# powder.yaml\npot_life: {time: 60 min, at: 23 degC, q10: 3}\n"
    assert value(derived_of(BATCH + card), "pot-life.shop-high", "min") == pytest.approx(
        60 * 3**-0.3
    )


def test_the_card_may_give_an_activation_energy() -> None:
    # exp(50000/8.314463 x (1/299.15 - 1/296.15)) = exp(-0.203642) = 0.81575.
    card = "# powder.yaml\npot_life: {time: 60 min, at: 23 degC, activation_energy: 50 kJ/mol}\n"
    derived = derived_of(BATCH + card)
    assert value(derived, "pot-life.shop-high", "min") == pytest.approx(60 * 0.81575, rel=1e-4)
    assert derived.numbers["pot-life.shop-high"].formula.source == "Arrhenius equation"


def test_ten_per_cent_are_kept_back_unless_the_plant_says_otherwise() -> None:
    assert value(derived_of(BATCH), "pot-life.card.usable", "min") == pytest.approx(54)
    plant = "# plant.yaml\nmargins: {pot_life: 25 %}\n"
    assert value(derived_of(BATCH + plant), "pot-life.card.usable", "min") == pytest.approx(45)


def test_the_shortest_pot_life_of_a_range_counts() -> None:
    card = "# powder.yaml\npot_life: {time: 40 to 60 min, at: 23 degC}\n"
    assert value(derived_of(BATCH + card), "pot-life.card", "min") == 40


def test_a_whole_margin_is_impossible() -> None:
    derived = derived_of(BATCH + "# plant.yaml\nmargins: {pot_life: 100 %}\n")
    assert derived.making is not None
    assert derived.making.pot_life is None
    (gap,) = (gap for gap in derived.gaps if gap.fault)
    assert "margin of the pot life" in gap.reason


def test_a_mixture_without_pot_life_is_said() -> None:
    derived = derived_of("ratio: {by: weight, liquid: 100, cleaner: 5 ± 1}\n" + BATCH)
    assert derived.making is not None
    assert derived.making.pot_life is None
    reasons = [gap.reason for gap in derived.gaps if gap.name == "pot-life"]
    assert reasons == ["no card of the mixture gives a pot life"]


def test_the_worst_life_is_never_longer_than_the_cards() -> None:
    making = derived_of(BATCH + "# plant.yaml\nshop: {temperature: 5 to 15 degC}\n").making
    assert making is not None
    assert making.pot_life is not None
    assert making.pot_life.worst is making.pot_life.on_card


def test_mixing_and_waiting_count_at_their_longest() -> None:
    steps = BATCH.replace(
        "  - id: fill\n",
        "  - id: stir\n    operation: mix\n    do: Stir.\n    with: [mixer, timer]\n"
        "    limits: {mixing time: 60 to 90 s}\n"
        "  - id: rest\n    operation: rest\n    do: Wait.\n    with: [timer]\n"
        "    covered: true\n    limits: {rest time: 4.0 ± 0.5 min}\n"
        "  - id: fill\n",
    ).replace("transfer_time: 3 min, ", "")
    derived = derived_of(steps)
    assert value(derived, "work.mixing-time", "min") == pytest.approx(6.5)
    assert value(derived, "work.waiting-time", "min") == pytest.approx(4.5)
    # Without a transfer time of its own the batch waits as long as the steps do.
    assert derived.making is not None
    assert derived.making.work.transfer is derived.making.work.waiting
    # 30 min after the end of 6.5 min of mixing.
    assert value(derived, "work.fill.greatest-age", "min") == pytest.approx(36.5)


@pytest.mark.parametrize(
    ("name", "minutes"),
    [
        ("time since mixing", 25.0),
        ("time after mixing", 25.0),
        ("time since the start of mixing", 20.0),
        ("age of the mix", 20.0),
        ("application time", 25.0),
    ],
)
def test_a_limit_counts_from_the_start_or_the_end_of_mixing(name: str, minutes: float) -> None:
    derived = derived_of(BATCH.replace("time since mixing: at most 30", f"{name}: at most 20"))
    assert value(derived, "work.fill.greatest-age", "min") == pytest.approx(minutes)


def test_a_least_time_does_not_end_the_use_of_a_mix() -> None:
    making = derived_of(BATCH.replace("at most 30 min", "at least 2 min")).making
    assert making is not None
    assert making.work.last_uses == ()


def test_an_air_setting_paste_has_no_pot_life() -> None:
    making = derived_of(
        "materials: {paste: liquid.yaml, cleaner: cleaner.yaml}\n"
        "steps:\n  - id: coat\n    operation: apply\n    method: brush\n    material: paste\n"
        "    do: Brush it on.\n    look_for: [{what: coat, accept: Closed}]\n",
        drop="ratio",
    ).making
    assert making is not None
    assert making.pot_life is None
