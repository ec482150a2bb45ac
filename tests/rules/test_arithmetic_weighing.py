"""Rules on scales and sizes of mixes: the numbers they say, where they stand, where they stop."""

from pathlib import Path

import pytest

from speccomp.findings import Severity
from speccomp.pipeline import check_file
from tests.derive.project import BATCH
from tests.derive.test_by_volume import BULK, BY_VOLUME, CYLINDER, POURED, WEIGHED
from tests.rules.arithmetic import found, only, text_at
from tests.rules.fragments import BASE, TODAY

COARSE = """
# plant.yaml
equipment:
  bench-scale:
    type: scale
    name: Bench scale
    readability: {step}
    permissible_error: {error}
    capacity: 6 kg
"""


def steps(powder: str, liquid: str) -> str:
    return BATCH.replace("200 ± 1 g", powder).replace("52.0 ± 0.5 g", liquid)


def scale(step: str, error: str) -> str:
    return COARSE.format(step=step, error=error)


def test_an_empty_window_says_what_would_do(tmp_path: Path) -> None:
    fragment = steps("100 ± 1 g", "26.0 ± 0.5 g") + scale("0.1 g", "1 g")
    finding = only(tmp_path, "weigh.window-empty", fragment)
    # (26 - 1)/101 and (26 + 1)/99; (2 + 0.52 + 0.1)/0.02 = 131 g; 100 x 0.01/1.27 g.
    assert finding.message == (
        "100 g of `powder` and the matching `liquid` can be mixed at anything from 24.75 to 27.27 "
        "with `bench-scale` (±1 g); the ratio allows 26 ± 1"
    )
    assert finding.hint == (
        "weigh at least 131 g of `powder` on these scales, or use a scale with an error of "
        "±0.787 g or less"
    )
    assert finding.subject == "weigh-liquid"
    assert text_at(tmp_path, finding.span) == "weigh-liquid"
    assert [text_at(tmp_path, related.span) for related in finding.related] == [
        "bench-scale",
        "liquid",
    ]


@pytest.mark.parametrize(("powder", "count"), [("125 ± 1 g", 1), ("127 ± 1 g", 0)])
def test_the_window_opens_at_the_least_mass(tmp_path: Path, powder: str, count: int) -> None:
    # (2 x 1 + 0.52 x 1)/0.02 = 126 g.
    fragment = steps(powder, "33.0 ± 0.5 g") + scale("0.01 g", "1 g")
    assert len(found(tmp_path, "weigh.window-empty", fragment)) == count


def test_a_window_below_the_step_of_the_display(tmp_path: Path) -> None:
    fragment = steps("104 ± 1 g", "27.0 ± 0.1 g") + scale("2 g", "0.5 g")
    finding = only(tmp_path, "weigh.window-below-readability", fragment)
    # (1 + 0.26 + 2)/0.02 = 163 g.
    assert "shows steps of 2.00 g, none of them in between" in finding.message
    assert finding.hint.startswith("weigh at least 163 g of `powder`")
    assert found(tmp_path, "weigh.window-empty", fragment) == []


def test_an_empty_window_is_not_reported_twice(tmp_path: Path) -> None:
    fragment = steps("100 ± 9 g", "26 ± 3 g") + scale("0.1 g", "1 g")
    assert len(found(tmp_path, "weigh.window-empty", fragment)) == 1
    assert found(tmp_path, "weigh.window-below-readability", fragment) == []
    assert found(tmp_path, "weigh.masses-off-ratio", fragment) == []


def test_masses_that_do_not_keep_the_ratio(tmp_path: Path) -> None:
    # (51 - 0.02)/(205 + 0.02) = 0.24866, (53 + 0.02)/(195 - 0.02) = 0.27193.
    finding = only(tmp_path, "weigh.masses-off-ratio", steps("200 ± 5 g", "52 ± 1 g"))
    assert finding.severity is Severity.WARNING
    assert finding.message == (
        "200 ± 5 g of `powder` and 52 ± 1 g of `liquid` together allow 24.87 to 27.19; "
        "the ratio allows 26 ± 1"
    )
    assert text_at(tmp_path, finding.related[0].span) == "weigh-powder"


def test_a_target_off_the_ratio_is_an_error_of_its_own(tmp_path: Path) -> None:
    fragment = steps("200.0 ± 0.1 g", "56.0 ± 0.1 g")
    finding = only(tmp_path, "weigh.targets-off-ratio", fragment)
    assert finding.severity is Severity.ERROR
    assert finding.message == (
        "200.0 ± 0.1 g of `powder` and 56.0 ± 0.1 g of `liquid` make 28; the ratio allows 26 ± 1"
    )
    assert finding.hint == "aim at `52.0 g` of `liquid`, or correct the ratio"
    assert found(tmp_path, "weigh.masses-off-ratio", fragment) == []


def test_masses_are_said_in_the_unit_of_the_author(tmp_path: Path) -> None:
    fragment = steps("0.100 ± 0.001 kg", "0.026 ± 0.001 kg") + scale("0.1 g", "1 g")
    finding = only(tmp_path, "weigh.window-empty", fragment)
    assert finding.message.startswith("0.100 kg of `powder`")
    assert "weigh at least 0.131 kg" in finding.hint


def test_a_scale_that_is_overloaded(tmp_path: Path) -> None:
    finding = only(tmp_path, "weigh.over-capacity", steps("6.5 ± 0.1 kg", "1690 ± 10 g"))
    assert (
        finding.message == "`weigh-powder` weighs 6.5 ± 0.1 kg on `bench-scale`, which carries 6 kg"
    )
    assert text_at(tmp_path, finding.span) == "mass"


def test_a_listed_size_below_the_least_mass(tmp_path: Path) -> None:
    fragment = steps("300 ± 1 g", "78.0 ± 0.5 g").replace("[20, 40]", "[8, 20]")
    finding = only(tmp_path, "batch.below-smallest-mass", fragment + scale("0.5 g", "1 g"))
    # 8 x 15.7356 = 125.9 g of mix; 151 g of powder x 1.26 = 190.26 g.
    assert finding.message == (
        "a mix for 8 TH-8 weighs 126 g; `bench-scale` can hold the ratio of `liquid` from 191 g"
    )
    assert text_at(tmp_path, finding.span) == "batch"


def test_a_mix_outside_the_mixer(tmp_path: Path) -> None:
    mixer = "# plant.yaml\nequipment:\n  mixer: {type: mixer, name: M, range: 0.3 to 0.6 kg}\n"
    findings = found(tmp_path, "batch.outside-mixer", BATCH + mixer)
    # 252 g in the steps, 629 g for 40 parts; 315 g for 20 parts fit.
    assert [finding.message for finding in findings] == [
        "a mix for 40 TH-8 has 629 g, and `mixer` mixes 0.3 to 0.6 kg",
        "the mix that the steps weigh has 252 g, and `mixer` mixes 0.3 to 0.6 kg",
    ]
    assert findings[0].hint == "make at most 600 g, or name a larger mixer"
    assert findings[1].hint == "make at least 300 g, or name a smaller mixer"


def test_an_order_too_small_for_the_mixer(tmp_path: Path) -> None:
    fragment = BATCH.replace("parts: 120", "parts: 5").replace(", sizes: [20, 40]", "")
    finding = only(tmp_path, "batch.order-too-small", fragment)
    # 78.7 g against 100 g, from 7 parts on.
    assert finding.message == "5 TH-8 make mixes of 78.7 g, and the mixer works from 100 g"
    assert finding.hint.startswith("plan at least 7 parts")


def test_listed_sizes_and_parts_per_mix(tmp_path: Path) -> None:
    limits = "limits: {time since mixing: at most 30 min, parts per mix: {value: at most 30 parts"
    fragment = BATCH.replace(
        "limits: {time since mixing: at most 30 min}", limits + ", method: Count}}"
    )
    finding = only(tmp_path, "batch.over-parts-per-mix", fragment)
    assert finding.message == (
        "the batch table has a size of 40 parts, and `fill/parts-per-mix` allows 30"
    )
    # 252 g fill 15 parts at 6.6 cm3.
    fewer = only(tmp_path, "batch.fills-fewer-parts", fragment)
    assert fewer.message.startswith("one mix is for up to 30 parts, and the 252 g")
    assert fewer.hint == "weigh more, or write `at most 15 parts`"


def test_a_value_that_no_formula_takes(tmp_path: Path) -> None:
    finding = only(
        tmp_path, "value.not-calculable", BATCH.replace("cycle_time: 20 s", "cycle_time: 0 s")
    )
    assert finding.message == "the cycle time is 0 s; it must be more than zero"
    assert finding.severity is Severity.ERROR


def test_a_vessel_that_cannot_hold_the_ratio(tmp_path: Path) -> None:
    # 0.60 cm3 to 1 of bulk density 1.60 ± 0.02: 75 mL to 200 g, read to ± 6 mL.
    vessel = CYLINDER.replace("uncertainty: 2 mL", "uncertainty: 6 mL")
    finding = only(tmp_path, "weigh.window-empty", BY_VOLUME + POURED + BULK + vessel)
    # (75 - 6)/(200.02/1.58) and (75 + 6)/(199.98/1.62) of a part.
    assert finding.message == (
        "200 g of `powder` and the matching `liquid` can be mixed at anything from 54.5 to 65.62 "
        "with `bench-scale` (±0.02 g) and `cylinder` (±6 mL) and the limits of the densities; the "
        "ratio allows 60 ± 3"
    )
    # (2 x 6 + (0.3608 + 0.3889) x 0.02 + 1)/(0.3889 - 0.3608) g; half of what 200 g leave.
    assert finding.hint.startswith("weigh at least 463 g of `powder` on these scales, or use for ")
    assert finding.hint.endswith("`liquid` a scale with an error of ±2.77 mL or less")
    assert text_at(tmp_path, finding.span) == "weigh-liquid"


def test_a_bulk_density_that_is_not_on_the_card(tmp_path: Path) -> None:
    bare = BULK.replace("bulk_density: 1.60 ± 0.02 g/cm3\n", "")
    finding = only(tmp_path, "ratio.density-unknown", BY_VOLUME + WEIGHED + bare)
    assert finding.severity is Severity.WARNING
    assert finding.message == (
        "the ratio is by volume, `weigh-powder` weighs `powder`, and its card gives no bulk "
        "density; the readings of `liquid` are not checked"
    )
    assert finding.hint == (
        "add `bulk_density: … g/cm3` with its tolerance to the card of `powder`"
    )
    assert text_at(tmp_path, finding.span) == "liquid"
    assert finding.related[0].span.file == "powder.yaml"
    assert found(tmp_path, "ratio.density-unknown", BY_VOLUME + WEIGHED + BULK) == []


def test_a_liquid_by_weight_in_a_vessel_needs_its_density(tmp_path: Path) -> None:
    card = (BASE / "liquid.yaml").read_text(encoding="utf-8").replace("density: 1.4 g/cm3\n", "")
    fragment = POURED.replace("75 ± 1 mL", "37 ± 1 mL") + CYLINDER
    assert found(tmp_path, "ratio.density-unknown", fragment) == []
    (tmp_path / "liquid.yaml").write_text(card, encoding="utf-8")
    checked = check_file(tmp_path / "definition.yaml", TODAY, tmp_path)
    messages = [f.message for f in checked.findings if f.rule == "ratio.density-unknown"]
    assert messages == [
        "the ratio is by weight, `weigh-liquid` measures out the volume of `liquid`, and its card "
        "gives no density; the readings of `liquid` are not checked"
    ]
