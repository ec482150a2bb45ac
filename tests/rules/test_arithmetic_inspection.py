"""Rules on gauges, testing machines and samples: where each begins."""

from pathlib import Path

import pytest

from speccomp.findings import Severity
from tests.rules.arithmetic import found, only, text_at
from tests.rules.fragments import findings_of

FIT = ("gauge.too-coarse", "gauge.coarse", "gauge.too-uncertain", "gauge.cannot-accept")


def measured(limit: str) -> str:
    return (
        "steps:\n  - id: measure\n    operation: inspect\n    do: Measure the seal.\n"
        f"    limits:\n      seal length: {limit}\n"
    )


def gauge(resolution: str, uncertainty: str = "0.0001 mm") -> str:
    return (
        "# plant.yaml\nequipment:\n  rule: {type: gauge, name: Rule, range: 0 to 300 mm, "
        f"resolution: {resolution}, uncertainty: {uncertainty}}}\n"
    )


def rules(folder: Path, fragment: str) -> list[str]:
    return [rule for rule in FIT for _ in found(folder, rule, fragment)]


@pytest.mark.parametrize(
    ("resolution", "expected"),
    [
        # The band is 2 mm.
        ("0.2 mm", []),
        ("0.21 mm", ["gauge.coarse"]),
        ("0.4 mm", ["gauge.coarse"]),
        ("0.41 mm", ["gauge.too-coarse"]),
    ],
)
def test_ten_steps_are_wanted_and_five_are_needed(
    tmp_path: Path, resolution: str, expected: list[str]
) -> None:
    assert (
        rules(tmp_path, measured("{value: 80 ± 1 mm, gauge: rule}") + gauge(resolution)) == expected
    )


@pytest.mark.parametrize(
    ("uncertainty", "expected"),
    [
        # Half the band is 1 mm.
        ("0.25 mm", []),
        ("0.26 mm", ["gauge.too-uncertain"]),
        ("1 mm", ["gauge.too-uncertain"]),
        ("1.1 mm", ["gauge.cannot-accept"]),
    ],
)
def test_a_ratio_of_four_is_wanted(tmp_path: Path, uncertainty: str, expected: list[str]) -> None:
    fragment = measured("{value: 80 ± 1 mm, gauge: rule}") + gauge("0.01 mm", uncertainty)
    assert rules(tmp_path, fragment) == expected


def test_the_plant_may_ask_for_more(tmp_path: Path) -> None:
    fragment = measured("{value: 80 ± 1 mm, gauge: rule}") + gauge("0.11 mm", "0.2 mm")
    assert rules(tmp_path, fragment) == []
    strict = fragment + "gauge_fit: {resolution: 20, uncertainty: 8}\n"
    assert rules(tmp_path, strict) == ["gauge.coarse", "gauge.too-uncertain"]
    finding = only(tmp_path, "gauge.coarse", strict)
    assert finding.message == (
        "seal length, 80 ± 1 mm, is 18 steps of `rule` wide (0.11 mm); the plant wants 20"
    )


def test_what_an_uncertain_gauge_proves(tmp_path: Path) -> None:
    fragment = measured("{value: 80 ± 1 mm, gauge: rule}") + gauge("0.01 mm", "0.5 mm")
    finding = only(tmp_path, "gauge.too-uncertain", fragment)
    assert finding.severity is Severity.WARNING
    assert finding.message == (
        "seal length, 80 ± 1 mm, is measured with `rule` to 0.5 mm, a ratio of 2; the plant wants 4"
    )
    assert finding.hint.endswith("this one proves readings from 79.50 mm to 80.50 mm")
    assert text_at(tmp_path, finding.span) == "seal length"
    assert text_at(tmp_path, finding.related[0].span) == "rule"


def test_one_limit_is_counted_from_zero(tmp_path: Path) -> None:
    fragment = measured("{value: at most 0.5 mm, gauge: rule}") + gauge("0.1 mm")
    finding = only(tmp_path, "gauge.coarse", fragment)
    assert finding.message == (
        "seal length, at most 0.5 mm, is 5 steps of `rule` wide (0.1 mm), counted from zero; "
        "the plant wants 10"
    )


def test_a_gauge_of_another_kind_is_left_to_other_rules(tmp_path: Path) -> None:
    assert rules(tmp_path, measured("{value: 80 ± 1 mm, gauge: timer}")) == []


def press(limits: str) -> str:
    return (
        "steps:\n  - id: press\n    operation: test\n    method: EN 196-1\n    do: Press it.\n"
        "    with: [frame]\n    specimen: {load: compression, width: 40 mm, depth: 40 mm}\n"
        f"    limits:\n      compressive strength: {limits}\n"
        "# plant.yaml\nequipment:\n"
        "  frame: {type: gauge, name: Load frame, range: 10 to 50 kN, resolution: 0.01 kN}\n"
    )


@pytest.mark.parametrize(
    ("strength", "count"),
    # x 1600 mm2: 9.6, 10, 50 and 51.2 kN.
    [("6 MPa", 1), ("6.25 MPa", 0), ("31.25 MPa", 0), ("32 MPa", 1)],
)
def test_the_force_at_the_limit_is_one_that_the_frame_reads(
    tmp_path: Path, strength: str, count: int
) -> None:
    fragment = press(f"{{value: at least {strength}, gauge: frame}}")
    assert len(found(tmp_path, "gauge.force-out-of-range", fragment)) == count


def test_a_force_out_of_range_is_said_in_newtons_of_the_frame(tmp_path: Path) -> None:
    finding = only(
        tmp_path, "gauge.force-out-of-range", press("{value: at least 40 MPa, gauge: frame}")
    )
    assert finding.message == (
        "compressive strength, at least 40 MPa, of this specimen means 64.0 kN, and `frame` reads "
        "10 to 50 kN"
    )


CLAIM = "claim: {bad: 10 %, confidence: 95 %"


def test_a_claim_that_the_sample_does_not_show(tmp_path: Path) -> None:
    # ln 0.05/ln 0.9 = 28.4: 29; 1 - 0.9^28 = 0.9477.
    short = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 28, {CLAIM}}}}}")
    finding = only(tmp_path, "sampling.cannot-show-claim", short)
    assert finding.message == (
        "a sample of 28 finds a lot that is 10 % bad with 94.7 % confidence, not 95 %"
    )
    assert finding.hint.startswith("write `sample: 29`")
    enough = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 29, {CLAIM}}}}}")
    assert found(tmp_path, "sampling.cannot-show-claim", enough) == []
    every = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 100 %, {CLAIM}}}}}")
    assert found(tmp_path, "sampling.cannot-show-claim", every) == []


def test_a_small_lot_needs_fewer(tmp_path: Path) -> None:
    # Hypergeometric, four bad of 40: 21 pieces.
    lot = CLAIM + ", lot: 40}"
    enough = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 21, {lot}}}")
    assert found(tmp_path, "sampling.cannot-show-claim", enough) == []
    short = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 20, {lot}}}")
    assert "a lot of 40 that is" in only(tmp_path, "sampling.cannot-show-claim", short).message
    more = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 41, {lot}}}")
    finding = only(tmp_path, "sampling.larger-than-lot", more)
    assert finding.message == "the sample is 41 pieces, and the lot has 40"


def test_a_plan_and_its_sample(tmp_path: Path) -> None:
    # MIL-STD-105E: lot of 120, level II: letter F, at AQL 2.5 n = 20, Ac = 1.
    plan = "plan: {lot: 120, level: II, aql: 2.5}"
    right = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 20, {plan}}}")
    assert found(tmp_path, "sampling.plan-mismatch", right) == []
    wrong = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 13, {plan}}}")
    finding = only(tmp_path, "sampling.plan-mismatch", wrong)
    assert finding.message.endswith("is letter F: n = 20, Ac = 1, Re = 2")
    assert text_at(tmp_path, finding.span) == "13"


def test_a_plan_as_large_as_the_lot_takes_every_piece(tmp_path: Path) -> None:
    # Lot of 5 at AQL 1.0: the arrow leads to letter E, n = 13, so all five are inspected.
    plan = "plan: {lot: 5, level: II, aql: 1.0}"
    every = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 100 %, {plan}}}")
    assert found(tmp_path, "sampling.plan-mismatch", every) == []
    some = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 2, {plan}}}")
    assert only(tmp_path, "sampling.plan-mismatch", some).hint.startswith("write `sample: 100 %`")


DISCS = """steps:
  - id: cast
    operation: cast-discs
    do: Fill the disc mould.
    with: [disc-mould, caliper]
    limits: {discs: 3, disc diameter: 50 ± 1 mm, disc thickness: 6 ± 1 mm}
  - id: judge
    operation: check-discs
    do: Measure the discs.
    limits:
      {limit}
"""


@pytest.mark.parametrize(
    ("limit", "message"),
    [
        # One disc of 50 mm has shrunk by 0.025 mm; the caliper leaves 0.03 x sqrt(2) mm open.
        (
            "shrinkage: {value: at most 0.05 %, gauge: caliper}",
            "shrinkage, at most 0.05 %, is measured with `caliper` to 0.03 mm, so that no reading "
            "lies inside for certain",
        ),
        # 11.78 cm3 of 2.35 g/cm3 weigh 27.7 g; the scale leaves 0.02 x sqrt(2) g open.
        (
            "mass loss: {value: at most 0.10 %, gauge: bench-scale}",
            "mass loss, at most 0.10 %, is measured with `bench-scale` to 0.02 g, so that no "
            "reading lies inside for certain",
        ),
    ],
)
def test_a_disc_that_no_reading_accepts(tmp_path: Path, limit: str, message: str) -> None:
    finding = only(tmp_path, "gauge.cannot-accept", DISCS.replace("{limit}", limit))
    assert finding.message == message
    wider = DISCS.replace("{limit}", limit.replace("0.05 %", "0.1 %").replace("0.10 %", "0.11 %"))
    assert found(tmp_path, "gauge.cannot-accept", wider) == []


def test_reduced_inspection_is_refused_where_it_is_asked_for(tmp_path: Path) -> None:
    # Only what can be looked up is offered; asked for, it is an error and never read as normal.
    plan = "plan: {lot: 120, level: II, aql: 1.0, inspection: reduced}"
    fragment = measured(f"{{value: 80 ± 1 mm, gauge: caliper, sample: 13, {plan}}}")
    findings = [f for f in findings_of(tmp_path, fragment) if f.severity is Severity.ERROR]
    assert [text_at(tmp_path, finding.span) for finding in findings] == ["reduced"]


def bend(method: str, load: str, sizes: str) -> str:
    return (
        "# plant.yaml\nequipment:\n  frame: {type: gauge, name: Load frame, range: 0.01 to 100 kN, "
        "resolution: 0.001 kN}\n# definition.yaml\nsteps:\n  - id: bend\n    operation: test\n"
        f"    method: {method}\n    do: Load it until it breaks.\n    with: [frame]\n"
        f"    specimen: {{load: {load}, {sizes}}}\n    limits:\n"
        "      flexural strength: {value: at least 5 MPa, gauge: frame}\n"
    )


@pytest.mark.parametrize(
    ("method", "load", "sizes", "said"),
    [
        # The spans and depths of the methods, from memory; a 2 % longer span still is the method's.
        ("ASTM C78", "third-point", "width: 150 mm, depth: 150 mm, span: 450 mm", None),
        ("ASTM C78", "third-point", "width: 150 mm, depth: 150 mm, span: 459 mm", None),
        ("ASTM C78", "third-point", "width: 150 mm, depth: 150 mm, span: 460 mm", "3.07, and"),
        ("ASTM C78", "third-point", "width: 150 mm, depth: 150 mm, span: 440 mm", "2.93, and"),
        ("ASTM C580", "three-point", "width: 1 in, depth: 1 in, span: 9 in", None),
        ("ASTM C1161", "quarter-point", "width: 4 mm, depth: 3 mm, span: 40 mm", None),
        ("ASTM C1161", "quarter-point", "width: 4 mm, depth: 3 mm, span: 20 mm", "6.67, and"),
        ("EN 196-1", "three-point", "width: 40 mm, depth: 40 mm, span: 120 mm", "3, and"),
        ("ASTM D3967", "splitting", "diameter: 50 mm, length: 25 mm", None),
        ("ASTM D3967", "splitting", "diameter: 50 mm, length: 50 mm", "1, and"),
        ("In-house 7", "three-point", "width: 40 mm, depth: 40 mm, span: 120 mm", None),
    ],
)
def test_the_shape_of_a_method(
    tmp_path: Path, method: str, load: str, sizes: str, said: str | None
) -> None:
    findings = found(tmp_path, "test.specimen-off-method", bend(method, load, sizes))
    assert [said in finding.message for finding in findings if said] == (
        [] if said is None else [True]
    )
    assert len(findings) == (said is not None)
    for finding in findings:
        assert f"{method} asks for " in finding.message
