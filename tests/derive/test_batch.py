"""Masses of parts, mixes and orders; the split of an order into mixes; its clock."""

import pytest

from speccomp.derive.mixes import MOST_MIXES
from tests.derive.project import BATCH, derived_of, plain, value

DISCS = """
  - id: cast
    operation: cast-discs
    do: Fill the disc mould level with its rim.
    with: [disc-mould, caliper]
    limits: {discs: 3 to 5, disc diameter: 50 ± 1 mm, disc thickness: 6 ± 1 mm}
  - id: keep
    operation: retain-sample
    do: Fill a cup.
    with: [bench-scale]
    keep: 2 years
    limits: {amount: at least 47 g}
"""


def test_a_part_takes_its_fill_and_its_share_of_the_loss() -> None:
    # 6.2 cm3 x 2.35 g/cm3 x 1.08 = 15.7356 g.
    assert value(derived_of(BATCH), "batches.th-8.per-part", "g") == pytest.approx(15.7356)


def test_a_mix_for_20_parts_has_the_limits_of_the_fill() -> None:
    # (6.2 -+ 0.4) cm3 x 20 x 1.08 x 2.35 g/cm3 = 294.408, 314.712, 335.016 g.
    derived = derived_of(BATCH)
    name = "batches.th-8.20-parts"
    assert value(derived, f"{name}.volume", "cm3") == pytest.approx(133.92)
    assert value(derived, f"{name}.lowest", "g") == pytest.approx(294.408)
    assert value(derived, f"{name}.mass", "g") == pytest.approx(314.712)
    assert value(derived, f"{name}.highest", "g") == pytest.approx(335.016)
    # 100 and 26 of 126 parts.
    assert value(derived, f"{name}.powder", "g") == pytest.approx(314.712 * 100 / 126)
    assert value(derived, f"{name}.liquid", "g") == pytest.approx(314.712 * 26 / 126)


def test_discs_and_sample_are_taken_from_every_mix() -> None:
    # Five discs of pi/4 x 5.0^2 x 0.6 = 11.7810 cm3, and 47 g / 2.35 g/cm3 = 20 cm3.
    derived = derived_of(BATCH + DISCS)
    assert plain(derived, "discs.cast.count") == 5
    assert value(derived, "discs.cast.volume", "cm3") == pytest.approx(11.780972)
    assert value(derived, "batches.extra-volume", "cm3") == pytest.approx(5 * 11.780972 + 20)
    extra = (5 * 11.780972 + 20) * 2.35
    assert value(derived, "batches.th-8.per-mix", "g") == pytest.approx(extra)
    assert value(derived, "batches.th-8.20-parts.mass", "g") == pytest.approx(314.712 + extra)
    # 120 parts in two mixes of 60.
    total = 120 * 15.7356 + 2 * extra
    assert value(derived, "batches.th-8.order.mass", "g") == pytest.approx(total)


def test_a_sample_by_volume_needs_no_density() -> None:
    steps = DISCS.replace("amount: at least 47 g", "volume: at least 30 cm3")
    derived = derived_of(BATCH + steps)
    assert value(derived, "retained.keep.amount", "cm3") == 30
    assert value(derived, "batches.extra-volume", "cm3") == pytest.approx(5 * 11.780972 + 30)


def test_an_order_draws_whole_containers() -> None:
    # 1888.272 g of mix are 1498.629 g of powder and 389.643 g of liquid, 278.3 cm3 at 1.4 g/cm3.
    cards = (
        "# powder.yaml\npacks: [{name: can, holds: 1 kg}, {name: jar, holds: 1 qt}]\n"
        "# liquid.yaml\npacks: [{name: bottle, holds: 100 mL}, {name: flask, holds: 0.2 kg}]\n"
    )
    derived = derived_of(BATCH + cards)
    name = "batches.th-8.order"
    assert plain(derived, f"{name}.powder.can") == 2
    assert plain(derived, f"{name}.liquid.bottle") == 3
    assert plain(derived, f"{name}.liquid.flask") == 2
    # A jar of powder by volume would need the bulk density, which no card has.
    assert f"{name}.powder.jar" not in derived.numbers


def test_the_instructed_mix_fills_so_many_parts_for_certain() -> None:
    # 200 g + 52 g = 252 g, 107.234 cm3; at 6.6 x 1.08 = 7.128 cm3 a part 15 are certain.
    derived = derived_of(BATCH)
    assert value(derived, "batches.instructed-mix", "g") == pytest.approx(252)
    assert plain(derived, "batches.th-8.instructed-parts") == 15


def plan(fragment: str) -> tuple[tuple[int, ...], str, tuple[int, ...]]:
    making = derived_of(fragment).making
    assert making is not None
    (found,) = making.plans
    return (
        tuple(mix.value for mix in found.mixes),
        found.binding,
        tuple(sized.size.parts for sized in found.sizes),
    )


def test_the_pot_life_of_the_hottest_day_sets_the_mixes() -> None:
    # 48.735 min x 0.9 = 43.862 min, less 5 and 3 min, at 20 s a part: 107 parts; 120 in two mixes.
    assert plan(BATCH) == ((60, 60), "pot life", (20, 40, 60))
    derived = derived_of(BATCH)
    assert plain(derived, "batches.th-8.in-time-when-hot") == 107
    # At the card's 23 degC: 54 min, less 8, are 138 parts.
    assert plain(derived, "batches.th-8.in-time") == 138


def test_the_mixer_sets_the_mixes() -> None:
    # 500 g / 15.7356 g = 31.8 parts; 120 in four mixes of 30.
    mixer = "# plant.yaml\nequipment:\n  mixer: {type: mixer, name: M, range: 0.1 to 0.5 kg}\n"
    assert plan(BATCH + mixer)[:2] == ((30, 30, 30, 30), "mixer maximum")


def test_a_mixer_by_volume_counts_by_the_density_of_the_mix() -> None:
    # 0.2 L x 2.35 g/cm3 = 470 g: 29.9 parts; 120 in five mixes of 24.
    mixer = "# plant.yaml\nequipment:\n  mixer: {type: mixer, name: M, range: 0.05 to 0.2 L}\n"
    derived = derived_of(BATCH + mixer)
    assert value(derived, "mixer.mixer.most", "g") == pytest.approx(470)
    assert plan(BATCH + mixer)[:2] == ((24,) * 5, "mixer maximum")


def test_a_limit_on_parts_per_mix_sets_the_mixes() -> None:
    limits = "limits: {time since mixing: at most 30 min, parts per mix: at most 50 parts}"
    fragment = BATCH.replace("limits: {time since mixing: at most 30 min}", limits)
    assert plan(fragment) == ((40, 40, 40), "parts per mix", (20, 40, 50))


def test_a_small_order_is_one_mix() -> None:
    assert plan(BATCH.replace("parts: 120", "parts: 7"))[:2] == ((7,), "order")


def test_sizes_are_chosen_where_none_are_listed() -> None:
    # The mixes of the order, the most parts, and half of them.
    assert plan(BATCH.replace(", sizes: [20, 40]", ""))[2] == (53, 60, 107)


def test_a_half_mix_that_the_mixer_does_not_reach_is_not_chosen() -> None:
    # 53 parts are 834 g, less than 0.9 kg.
    mixer = "# plant.yaml\nequipment:\n  mixer: {type: mixer, name: M, range: 0.9 to 6 kg}\n"
    assert plan(BATCH.replace(", sizes: [20, 40]", "") + mixer)[2] == (60, 107)


def test_stations_fill_at_the_same_time() -> None:
    # Two stations: 35.862 min at 20 s are 107 rounds of two parts: one mix of 120.
    fragment = BATCH.replace("sizes: [20, 40]", "stations: 2, sizes: [21]")
    assert plan(fragment)[0] == (120,)
    # 21 parts are 11 rounds: 5 + 3 + 11/3 min.
    time = value(derived_of(fragment), "batches.th-8.21-parts.time", "min")
    assert time == pytest.approx(8 + 11 / 3)


def test_the_clock_of_the_second_mix_starts_when_the_first_is_filled() -> None:
    derived = derived_of(BATCH)
    name = "batches.th-8.mix-2"
    # 5 + 3 + 60 x 20 s = 28 min; the life at 26 degC is 60 x 2^-0.3 = 48.7351 min.
    assert value(derived, f"{name}.start", "min") == pytest.approx(28)
    assert value(derived, f"{name}.mix-end", "min") == pytest.approx(33)
    assert value(derived, f"{name}.ready", "min") == pytest.approx(36)
    assert value(derived, f"{name}.filled", "min") == pytest.approx(56)
    assert value(derived, f"{name}.use-by", "min") == pytest.approx(28 + 0.9 * 60 * 2**-0.3)
    assert value(derived, f"{name}.discard-at", "min") == pytest.approx(28 + 60 * 2**-0.3)


def test_without_a_cycle_time_the_mixer_alone_sets_the_mixes() -> None:
    fragment = BATCH.replace("cycle_time: 20 s, ", "")
    making = derived_of(fragment).making
    assert making is not None
    (found,) = making.plans
    assert found.clock == ()
    assert found.in_time is None
    assert [mix.value for mix in found.mixes] == [120]
    assert [limit.name for limit in found.constraints] == [
        "mixer maximum",
        "mixer minimum",
        "weighing minimum",
    ]


def test_an_order_too_small_for_the_mixer_breaks_its_minimum() -> None:
    making = derived_of(BATCH.replace("parts: 120", "parts: 3")).making
    assert making is not None
    (found,) = making.plans
    # 47.2 g against 100 g.
    assert [limit.name for limit in found.broken] == ["mixer minimum"]
    assert found.broken[0].margin.m_as("g") == pytest.approx(3 * 15.7356 - 100)


def test_an_order_of_endless_mixes_is_a_gap() -> None:
    derived = derived_of(BATCH.replace("parts: 120", "parts: 1000000000"))
    assert derived.making is not None
    assert derived.making.plans == ()
    (gap,) = (gap for gap in derived.gaps if gap.fault)
    assert f"more than {MOST_MIXES} mixes" in gap.reason


def test_what_is_missing_is_said() -> None:
    reasons = {gap.name: gap.reason for gap in derived_of().gaps}
    assert reasons == {
        "batch": "the definition has no `batch`, so masses for a number of parts are not known"
    }
    parts = "parts: [{number: TH-8, name: Tubular heater, drawing: D rev 1}]\n"
    reasons = {gap.name: gap.reason for gap in derived_of(BATCH + parts).gaps}
    assert reasons == {"batch": "no part has a fill volume"}


def test_two_parts_have_a_plan_each() -> None:
    parts = (
        "parts:\n"
        "  - {number: A 1, name: A, drawing: D rev 1, fill_volume: 1 cm3}\n"
        "  - {number: B 2, name: B, drawing: D rev 1, fill_volume: 2 cm3}\n"
    )
    derived = derived_of(BATCH + parts)
    assert value(derived, "batches.a-1.per-part", "g") == pytest.approx(1.08 * 2.35)
    assert value(derived, "batches.b-2.per-part", "g") == pytest.approx(2 * 1.08 * 2.35)
    # A fill volume without limits has one mass only.
    assert value(derived, "batches.a-1.20-parts.lowest", "g") == pytest.approx(20 * 1.08 * 2.35)
