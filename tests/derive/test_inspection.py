"""Gauges, samples, discs and specimens, with values worked out by hand."""

import math
import re
from dataclasses import replace

import pytest

from speccomp.derive import Derived, explain_number
from speccomp.derive.gauges import GaugeFit
from speccomp.derive.sampling import Sample, sample_sentence
from speccomp.quantities import PrintUnits
from tests.derive.project import derived_of, plain, value

SI = PrintUnits.for_system("SI", {})


def measured(limit: str) -> Derived:
    return derived_of(
        "steps:\n  - id: measure\n    operation: inspect\n    do: Measure the seal.\n"
        f"    limits:\n      seal length: {limit}\n"
    )


def fit(limit: str) -> GaugeFit:
    (found,) = measured(limit).gauges
    return found


def sample(limit: str) -> Sample:
    (found,) = measured(limit).sampling
    return found


def test_a_gauge_against_a_band() -> None:
    # Caliper, 0.01 and 0.03 mm: 0.4/0.01 = 40 steps, 0.4/(2 x 0.03) = 6.667.
    found = fit("{value: 80.0 ± 0.2 mm, gauge: caliper}")
    assert found.steps is not None
    assert found.steps.value == pytest.approx(40)
    assert found.uncertainty is not None
    assert found.uncertainty.value == pytest.approx(0.4 / 0.06)
    sides = (found.accept_from, found.accept_to, found.reject_below, found.reject_above)
    numbers = [side.value.m_as("mm") for side in sides if side is not None]
    assert numbers == [79.83, 80.17, 79.77, 80.23]
    assert found.can_accept


def test_a_gauge_against_one_limit_counts_from_zero() -> None:
    # 0.6/0.01 = 60 steps, 0.6/0.03 = 20.
    found = fit("{value: at most 0.6 mm, gauge: caliper}")
    assert found.steps is not None
    assert found.steps.value == pytest.approx(60)
    assert found.uncertainty is not None
    assert found.uncertainty.value == pytest.approx(20)
    assert found.steps.note.startswith("One-sided")
    assert found.accept_from is None
    assert found.accept_to is not None
    assert found.accept_to.value.m_as("mm") == 0.57


def test_a_gauge_wider_than_the_limit_accepts_nothing() -> None:
    assert not fit("{value: 80.00 ± 0.02 mm, gauge: caliper}").can_accept


def test_a_temperature_with_one_limit_has_no_zero_to_count_from() -> None:
    thermometer = (
        "# plant.yaml\nequipment:\n  thermometer: {type: thermometer, name: T, "
        "range: 0 to 100 degC, resolution: 0.1 K, uncertainty: 0.5 K}\n"
    )
    steps = (
        "steps:\n  - id: cool\n    operation: cool\n    do: Leave it.\n    with: [thermometer]\n"
        "    limits: {part temperature: at most 45 degC}\n"
    )
    (found,) = derived_of(steps + thermometer).gauges
    assert found.steps is None
    assert found.uncertainty is None
    assert found.accept_to is not None
    assert found.accept_to.value.m_as("degC") == pytest.approx(44.5)


def test_a_scale_is_taken_at_its_permissible_error() -> None:
    steps = (
        "steps:\n  - id: weigh\n    operation: weigh\n    material: powder\n    do: Weigh it.\n"
        "    with: [bench-scale]\n    limits: {mass: 200 ± 1 g}\n"
    )
    (found,) = derived_of(steps).gauges
    # 2/0.01 and 2/(2 x 0.02).
    assert found.steps is not None
    assert found.steps.value == pytest.approx(200)
    assert found.uncertainty is not None
    assert found.uncertainty.value == pytest.approx(50)


def test_what_a_sample_of_five_finds() -> None:
    # 1 - 0.05^(1/5) = 0.45072.
    found = sample("{value: 80 ± 1 mm, gauge: caliper, sample: 5}")
    assert found.detects is not None
    assert found.detects.value == pytest.approx(0.45072, abs=1e-5)
    said = sample_sentence(found, SI).replace("\u00a0", " ")
    assert said == "n = 5, c = 0 finds a lot that is 45.1 % bad with 95 % confidence"


@pytest.mark.parametrize("confidence", [0.9, 0.95, 0.99, 0.995, 0.999])
def test_a_sample_never_claims_more_than_it_shows(confidence: float) -> None:
    # What the sentence says, put back: 1 − (1 − p)^n is the confidence or more.
    base = sample("{value: 80 ± 1 mm, gauge: caliper, sample: 5}")
    assert base.detects is not None
    for size in (1, 2, 3, 5, 8, 13, 22, 29, 45, 59, 299, 1000):
        number = replace(base.detects, value=1 - (1 - confidence) ** (1 / size))
        said = sample_sentence(replace(base, size=size, detects=number), SI)
        printed = re.search(r"is ([\d.]+)\u00a0% bad", said)
        assert printed is not None
        assert 1 - (1 - float(printed[1]) / 100) ** size >= confidence - 1e-12, said


def test_a_confidence_is_told_as_it_was_written() -> None:
    # Two digits would make 99.73 % a certainty.
    claim = "claim: {bad: 10 %, confidence: 99.73 %}"
    said = sample_sentence(sample(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 57, {claim}}}"), SI)
    assert said.endswith("with 99.73 % confidence")


def test_a_claim_sets_the_confidence_and_the_size() -> None:
    # ln(0.1)/ln(0.9) = 21.85: 22; 1 - 0.9^10 = 0.6513; 1 - 0.1^(1/10) = 0.2057.
    limit = "{value: 80 ± 1 mm, gauge: caliper, sample: 10, claim: {bad: 10 %, confidence: 90 %}}"
    found = sample(limit)
    assert found.claim is not None
    assert found.claim.needed.value == 22
    assert found.claim.reached.value == pytest.approx(0.651322, abs=1e-6)
    assert found.detects is not None
    assert found.detects.value == pytest.approx(0.205672, abs=1e-6)


def test_a_small_lot_is_counted_out() -> None:
    # Lot of 40, four bad: comb(36, n)/comb(40, n); n = 20 gives 0.05302, n = 21 0.04241.
    claim = "claim: {bad: 10 %, confidence: 95 %, lot: 40}"
    found = sample(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 20, {claim}}}")
    assert found.claim is not None
    assert found.claim.needed.value == 21
    chance = 1 - math.comb(36, 20) / math.comb(40, 20)
    assert found.claim.reached.value == pytest.approx(chance)


def test_every_piece_shows_all() -> None:
    claim = "claim: {bad: 10 %, confidence: 95 %}"
    found = sample(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 100 %, {claim}}}")
    assert found.size is None
    assert found.detects is None
    assert found.claim is not None
    assert found.claim.reached.value == 1
    assert sample_sentence(found, SI) == "every piece is looked at"


def test_a_plan_gives_letter_size_and_points() -> None:
    # MIL-STD-105E, Table I: 120 pieces at level II, letter F, n = 20, Ac = 0 at AQL 0.65.
    plan = "plan: {lot: 120, level: II, aql: 0.65}"
    found = sample(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 20, {plan}}}")
    assert found.plan is not None
    assert found.plan.letter == "F"
    assert (found.plan.size.value, found.plan.accept.value, found.plan.reject.value) == (20, 0, 1)
    # (1 - p)^20 = 0.95 and 0.10.
    points = [point.value for point in found.plan.points]
    assert points == pytest.approx([1 - 0.95 ** (1 / 20), 1 - 0.1 ** (1 / 20)])


def test_an_aql_without_a_table_is_a_gap() -> None:
    plan = "plan: {lot: 120, level: II, aql: 3.0}"
    derived = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 20, {plan}}}")
    (gap,) = (gap for gap in derived.gaps if gap.fault)
    assert "AQL of 3" in gap.reason
    assert derived.sampling == ()


def test_a_process_limit_without_claim_has_no_sample_statement() -> None:
    limit = "{value: 80 ± 1 mm, gauge: caliper, sample: 5, characteristic: process}"
    assert measured(limit).sampling == ()


DISCS = """
steps:
  - id: cast
    operation: cast-discs
    do: Fill the disc mould.
    with: [disc-mould, caliper]
    limits: {discs: 3 to 5, disc diameter: 50 ± 1 mm, disc thickness: 6 ± 1 mm}
  - id: judge
    operation: check-discs
    do: Look at the edge.
    limits:
      edge gap: {value: at most 0.10 mm, gauge: caliper}
      shrinkage: {value: at most 0.5 %, gauge: caliper}
"""


def test_discs_take_their_volume() -> None:
    # pi x 25^2 = 1963.495 mm2; x 6 mm = 11.780972 cm3; five of them.
    derived = derived_of(DISCS)
    assert value(derived, "discs.cast.area", "mm2") == pytest.approx(1963.4954)
    assert value(derived, "discs.cast.total", "cm3") == pytest.approx(58.90486)


def test_an_edge_gap_is_a_shrinkage() -> None:
    # 2 x 0.10/50 = 0.4 %: 49.8 mm. 0.5 %: 49.75 mm.
    by_name = {limit.characteristic.id: limit for limit in derived_of(DISCS).disc_limits}
    gap, shrinkage = by_name["judge/edge-gap"], by_name["judge/shrinkage"]
    assert gap.shrinkage.value == pytest.approx(0.004)
    assert gap.smallest.value.m_as("mm") == pytest.approx(49.8)
    assert gap.accept_from is None
    assert gap.can_accept
    assert shrinkage.shrinkage.value == pytest.approx(0.005)
    assert shrinkage.can_accept


def test_the_diameters_that_decide_are_named_numbers() -> None:
    # The caliper measures mould and disc: 0.03 x sqrt(1 + 0.995^2) = 0.042320 mm off 49.75 mm.
    derived = derived_of(DISCS)
    both = 0.03 * math.hypot(1, 0.995)
    for name, expected in {
        "discs.judge.shrinkage.uncertainty": both,
        "discs.judge.shrinkage.accept-from": 49.75 + both,
        "discs.judge.shrinkage.reject-below": 49.75 - both,
    }.items():
        assert value(derived, name, "mm") == pytest.approx(expected)
    text = explain_number(derived, "discs.judge.shrinkage.accept-from", SI)
    assert "accept from lower + U" in text
    assert "see discs.judge.shrinkage.uncertainty" in text
    assert "JCGM 106:2012" in text


def test_a_gauge_too_coarse_for_a_shrinkage_accepts_no_disc() -> None:
    # 0.05 % of 50 mm is 0.025 mm, less than the 0.042 mm that the caliper leaves open.
    derived = derived_of(DISCS.replace("at most 0.5 %", "at most 0.05 %"))
    limit = next(one for one in derived.disc_limits if one.accept_from is not None)
    assert not limit.can_accept


MASS_LOSS = DISCS.replace(
    "      shrinkage: {value: at most 0.5 %, gauge: caliper}",
    "      mass loss: {value: at most 2.0 %, gauge: bench-scale}",
)


def test_the_mass_losses_that_decide_are_named_numbers() -> None:
    # 11.780972 cm3 x 2.35 g/cm3 = 27.685 g; 0.02 g x sqrt(1 + 0.98^2)/27.685 g = 0.101 %.
    derived = derived_of(MASS_LOSS)
    mass = math.pi * 2.5**2 * 0.6 * 2.35
    both = 0.02 * math.hypot(1, 0.98) / mass
    assert value(derived, "discs.judge.mass-loss.mass", "g") == pytest.approx(mass)
    assert plain(derived, "discs.judge.mass-loss.uncertainty") == pytest.approx(both)
    assert plain(derived, "discs.judge.mass-loss.accept-to") == pytest.approx(0.02 - both)
    assert plain(derived, "discs.judge.mass-loss.reject-above") == pytest.approx(0.02 + both)
    assert derived.mass_losses[0].can_accept
    narrow = derived_of(MASS_LOSS.replace("at most 2.0 %", "at most 0.1 %"))
    assert not narrow.mass_losses[0].can_accept


def test_a_mass_loss_that_is_judged_otherwise_has_no_readings_that_decide() -> None:
    assert (
        derived_of(
            MASS_LOSS.replace(", gauge: bench-scale", ", method: Drying balance")
        ).mass_losses
        == ()
    )


def press(specimen: str, limit: str = "flexural strength: at least 10 MPa") -> Derived:
    return derived_of(
        "steps:\n  - id: press\n    operation: test\n    method: In the frame\n"
        f"    do: Press it.\n    specimen: {specimen}\n    limits:\n      {limit}\n"
    )


@pytest.mark.parametrize(
    ("specimen", "newtons", "shape"),
    [
        # F = s A, 10 MPa x 40 x 40 mm2.
        ("{load: compression, width: 40 mm, depth: 40 mm}", 16_000, None),
        # pi/4 x 50^2 = 1963.495 mm2; 100/50.
        ("{load: compression, diameter: 50 mm, length: 100 mm}", 19_634.954, 2),
        # EN 196-1 prism: 2 s b d^2/(3 L) = 2 x 10 x 40^3/(3 x 100).
        ("{load: three-point, width: 40 mm, depth: 40 mm, span: 100 mm}", 4266.6667, 2.5),
        # s b d^2/L and 4 s b d^2/(3 L).
        ("{load: third-point, width: 100 mm, depth: 100 mm, span: 300 mm}", 33_333.333, 3),
        ("{load: quarter-point, width: 4 mm, depth: 3 mm, span: 40 mm}", 12, 40 / 3),
        # pi L D s/2.
        ("{load: splitting, diameter: 50 mm, length: 25 mm}", 19_634.954, 0.5),
        ("{load: briquet, width: 1 in, depth: 1 in}", 6451.6, None),
    ],
)
def test_the_force_at_a_strength_limit(specimen: str, newtons: float, shape: float | None) -> None:
    derived = press(specimen)
    name = "specimen.press.flexural-strength.force"
    assert value(derived, name, "N") == pytest.approx(newtons, rel=1e-6)
    (found,) = derived.specimens
    assert (found.shape.value if found.shape else None) == (
        None if shape is None else pytest.approx(shape)
    )


def test_a_specimen_without_its_span_is_a_gap() -> None:
    derived = press("{load: three-point, width: 40 mm, depth: 40 mm}")
    (gap,) = (gap for gap in derived.gaps if gap.fault)
    assert gap.reason == "The specimen has no span; the load `three-point` needs it."


def test_a_limit_that_is_no_strength_has_no_force() -> None:
    derived = press("{load: compression, width: 1 mm, depth: 1 mm}", "torque: at least 1 N·m")
    (found,) = derived.specimens
    assert found.forces == ()
