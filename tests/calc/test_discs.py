import math

import pytest

from speccomp.calc.discs import (
    Decision,
    decide,
    disc_volume,
    edge_gap,
    linear_shrinkage,
    mass_loss,
    mass_loss_uncertainty,
    shrinkage_uncertainty,
    warp,
)
from speccomp.calc.gauge import decision_limits
from speccomp.quantities import quantity

from .faults import fault
from .profiles import limits


def mm(value: float):
    return quantity(value, "mm")


def grams(value: float):
    return quantity(value, "g")


def test_linear_shrinkage() -> None:
    assert linear_shrinkage(mm(50), mm(49.85)) == pytest.approx(0.003)
    assert linear_shrinkage(quantity(2, "in"), mm(50.8)) == pytest.approx(0)
    assert linear_shrinkage(mm(50), mm(50.05)) == pytest.approx(-0.001)


def test_shrinkage_uncertainty() -> None:
    found = shrinkage_uncertainty(mm(50), mm(40), mm(0.03), mm(0.01))
    assert found == pytest.approx(math.hypot(0.01, 0.8 * 0.03) / 50)
    assert shrinkage_uncertainty(mm(50), mm(40), mm(0), mm(0)) == 0


def test_edge_gap() -> None:
    gap = edge_gap(mm(50), mm(49.7))
    assert (gap.magnitude, str(gap.units)) == (pytest.approx(0.15), "millimeter")


def test_warp() -> None:
    found = warp(mm(10.3), mm(10))
    assert (found.magnitude, str(found.units)) == (pytest.approx(0.3), "millimeter")
    assert warp(mm(10), mm(10)).magnitude == 0


def test_mass_loss_uncertainty() -> None:
    found = mass_loss_uncertainty(grams(12.5), grams(10), grams(0.3), quantity(20, "mg"))
    assert found == pytest.approx(math.hypot(0.02, 0.8 * 0.3) / 12.5, rel=1e-14)
    assert mass_loss_uncertainty(grams(5), grams(4), grams(0), grams(0)) == 0


def test_mass_loss() -> None:
    assert mass_loss(grams(12.5), grams(11.75)) == pytest.approx(0.06)
    assert mass_loss(grams(10), grams(11)) == pytest.approx(-0.1)
    assert mass_loss(grams(10), grams(0)) == 1


def test_disc_volume() -> None:
    found = disc_volume(mm(50), mm(10))
    assert (found.magnitude, str(found.units)) == (
        pytest.approx(math.pi * 2500 / 400),
        "cubic_centimeter",
    )


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        (0.89, Decision.REJECT),
        (0.9, Decision.CANNOT_JUDGE),
        (1.29, Decision.CANNOT_JUDGE),
        (1.3, Decision.ACCEPT),
        (1.8, Decision.ACCEPT),
        (1.81, Decision.CANNOT_JUDGE),
        (2.2, Decision.CANNOT_JUDGE),
        (2.21, Decision.REJECT),
    ],
)
def test_decisions_between_two_limits(reading: float, expected: Decision) -> None:
    assert decide(mm(reading), decision_limits(limits("1.1||2", "mm"), mm(0.2))) is expected


@pytest.mark.parametrize(
    ("written", "reading", "expected"),
    [
        ("||0.5", 0.4, Decision.ACCEPT),
        ("||0.5", -9, Decision.ACCEPT),
        ("||0.5", 0.5, Decision.CANNOT_JUDGE),
        ("||0.5", 0.61, Decision.REJECT),
        ("0.5||", 0.6, Decision.ACCEPT),
        ("0.5||", 9, Decision.ACCEPT),
        ("0.5||", 0.5, Decision.CANNOT_JUDGE),
        ("0.5||", 0.39, Decision.REJECT),
    ],
)
def test_decisions_by_one_limit(written: str, reading: float, expected: Decision) -> None:
    assert decide(mm(reading), decision_limits(limits(written, "mm"), mm(0.1))) is expected


def test_a_shrinkage_in_per_cent_can_be_decided() -> None:
    band = decision_limits(limits("||0.5", "%"), quantity(0.1, "%"))
    assert decide(quantity(0.003, ""), band) is Decision.ACCEPT
    assert decide(quantity(0.0045, ""), band) is Decision.CANNOT_JUDGE


def test_decisions_have_words() -> None:
    assert [d.value for d in Decision] == ["accept", "reject", "cannot judge"]


ZERO = mm(0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: linear_shrinkage(ZERO, mm(1)),
            "RangeError: The diameter of the mould is 0 mm; it must be more than zero.",
        ),
        (
            lambda: linear_shrinkage(mm(1), ZERO),
            "RangeError: The diameter of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: shrinkage_uncertainty(ZERO, mm(1), mm(1), mm(1)),
            "RangeError: The diameter of the mould is 0 mm; it must be more than zero.",
        ),
        (
            lambda: shrinkage_uncertainty(mm(1), ZERO, mm(1), mm(1)),
            "RangeError: The diameter of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: shrinkage_uncertainty(mm(1), mm(1), mm(-1), mm(1)),
            "RangeError: The uncertainty of the mould is -1 mm; it must not be less than zero.",
        ),
        (
            lambda: shrinkage_uncertainty(mm(1), mm(1), mm(1), mm(-1)),
            "RangeError: The uncertainty of the disc is -1 mm; it must not be less than zero.",
        ),
        (
            lambda: edge_gap(ZERO, mm(1)),
            "RangeError: The diameter of the mould is 0 mm; it must be more than zero.",
        ),
        (
            lambda: edge_gap(mm(1), ZERO),
            "RangeError: The diameter of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: warp(ZERO, mm(1)),
            "RangeError: The height of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: warp(mm(1), ZERO),
            "RangeError: The thickness of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: warp(mm(9.9), mm(10)),
            "RangeError: The height of the disc is 9.9 mm, less than its thickness of 10 mm.",
        ),
        (
            lambda: mass_loss(grams(0), grams(0)),
            "RangeError: The mass before is 0 g; it must be more than zero.",
        ),
        (
            lambda: mass_loss(grams(1), grams(-1)),
            "RangeError: The mass after is -1 g; it must not be less than zero.",
        ),
        (
            lambda: mass_loss_uncertainty(grams(0), grams(1), grams(0), grams(0)),
            "RangeError: The mass before is 0 g; it must be more than zero.",
        ),
        (
            lambda: mass_loss_uncertainty(grams(1), grams(0), grams(0), grams(0)),
            "RangeError: The mass after is 0 g; it must be more than zero.",
        ),
        (
            lambda: mass_loss_uncertainty(grams(1), grams(1), grams(-1), grams(0)),
            "RangeError: The uncertainty of the mass before is -1 g; it must not be less than "
            "zero.",
        ),
        (
            lambda: mass_loss_uncertainty(grams(1), grams(1), grams(0), grams(-1)),
            "RangeError: The uncertainty of the mass after is -1 g; it must not be less than zero.",
        ),
        (
            lambda: disc_volume(ZERO, mm(1)),
            "RangeError: The diameter of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: disc_volume(mm(1), ZERO),
            "RangeError: The thickness of the disc is 0 mm; it must be more than zero.",
        ),
        (
            lambda: decide(mm(float("nan")), decision_limits(limits("1||2", "mm"), ZERO)),
            "RangeError: The reading is not a number.",
        ),
        (
            lambda: decide(grams(1), decision_limits(limits("1||2", "mm"), ZERO)),
            "KindError: 1 mm cannot be compared with 1 g.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
