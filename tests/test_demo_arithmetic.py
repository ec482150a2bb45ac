"""The demo's twins: the same work passes here and fails there, by the arithmetic alone."""

import re
from datetime import date
from pathlib import Path

import pytest

from speccomp.derive import Derived
from speccomp.pipeline import Checked, check_file

DEMO = Path(__file__).resolve().parent.parent / "specs_demo"
TODAY = date(2026, 11, 25)

# Within the limits, beyond them, what differs (here, there), the rule that says so.
TWINS = [
    ("dry-at-240-m", "dry-at-2200-m", ("plant.yaml", "plant-high.yaml"), "cure.steam"),
    (
        "weigh-on-fine-scale",
        "weigh-on-coarse-scale",
        ("precision-scale", "bench-scale"),
        "weigh.window-empty",
    ),
    (
        "fill-6-mm",
        "fill-18-mm",
        ("thickest_section: 6 mm", "thickest_section: 18 mm"),
        "cure.drying-too-short",
    ),
]


def paths(within: str, beyond: str) -> tuple[Path, Path]:
    return DEMO / "limits" / f"{within}.yaml", DEMO / "wrong" / f"{beyond}.yaml"


def checked(path: Path) -> Checked:
    return check_file(path, TODAY, DEMO)


def numbers(path: Path) -> Derived:
    derived = checked(path).derived
    assert derived is not None
    return derived


def amount(derived: Derived, name: str, unit: str) -> float:
    value = derived.numbers[name].value
    assert not isinstance(value, int | float)
    return float(value.m_as(unit))


@pytest.mark.parametrize(("within", "beyond", "differs", "rule"), TWINS)
def test_one_twin_passes_and_the_other_fails(
    within: str, beyond: str, differs: tuple[str, str], rule: str
) -> None:
    here, there = (checked(path) for path in paths(within, beyond))
    assert here.findings == ()
    assert here.passed
    assert not there.passed
    assert rule in [finding.rule for finding in there.findings]


@pytest.mark.parametrize(("within", "beyond", "differs", "rule"), TWINS)
def test_the_twins_ask_for_the_same_work(
    within: str, beyond: str, differs: tuple[str, str], rule: str
) -> None:
    here, there = (path.read_text(encoding="utf-8") for path in paths(within, beyond))
    assert differs[0] in here
    assert differs[1] in there
    work = re.compile(r"^plant:.*?(?=^cautions:)", re.MULTILINE | re.DOTALL)
    same = work.search(here.replace(*differs))
    other = work.search(there)
    assert same is not None
    assert other is not None
    assert same[0] == other[0]


def test_water_boils_lower_in_the_highland() -> None:
    # Published steam tables (IAPWS-IF97, from memory) give about 99.2 degC at 98.5 kPa, the
    # standard pressure at 240 m, and about 92.6 degC at 77.5 kPa, that at 2200 m.
    here, there = (numbers(path) for path in paths("dry-at-240-m", "dry-at-2200-m"))
    assert amount(here, "water.boiling-point", "degC") == pytest.approx(99.2, abs=0.1)
    assert amount(there, "water.boiling-point", "degC") == pytest.approx(92.6, abs=0.1)
    assert amount(here, "curing.dry.hold-2.highest", "degC") == pytest.approx(90)
    assert amount(there, "curing.dry.hold-2.highest", "degC") == pytest.approx(90)
    assert amount(here, "curing.dry.hold-2.spare", "K") > 0
    assert amount(there, "curing.dry.hold-2.spare", "K") < 0


def test_the_coarse_scale_needs_ten_times_the_mass() -> None:
    here, there = (numbers(path) for path in paths("weigh-on-fine-scale", "weigh-on-coarse-scale"))
    fine = amount(here, "weighing.liquid.held-from", "g")
    coarse = amount(there, "weighing.liquid.held-from", "g")
    # (u + r_hi u)/(r_hi − r) with u of 0.02 g and 0.2 g, r of 0.32, r_hi of 0.33.
    assert fine == pytest.approx((0.02 + 0.33 * 0.02) / 0.01)
    assert coarse == pytest.approx(10 * fine)
    assert fine < 20 < coarse


def test_drying_goes_with_the_square_of_the_thickness() -> None:
    # Crank, The Mathematics of Diffusion: equal Dt/L² leaves equal fractions.
    here, there = (numbers(path) for path in paths("fill-6-mm", "fill-18-mm"))
    thin, thick = (amount(derived, "curing.required", "h") for derived in (here, there))
    assert thin == pytest.approx(4 * 0.6**2)
    assert thick == pytest.approx(9 * thin)
    assert amount(here, "curing.missing", "h") == 0
    assert amount(there, "curing.missing", "h") > 0
