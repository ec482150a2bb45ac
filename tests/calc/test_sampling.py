import pytest

from speccomp.calc.sampling import (
    acceptance_probability,
    detected_fraction,
    detection_confidence,
    lot_acceptance_probability,
    lot_detection_probability,
    lot_zero_acceptance_size,
    operating_characteristic,
    zero_acceptance_size,
)

from .faults import fault


def test_zero_acceptance_size() -> None:
    assert zero_acceptance_size(0.05, 0.95) == 59
    assert zero_acceptance_size(0.45, 0.95) == 6
    assert zero_acceptance_size(0.4508, 0.95) == 5
    assert zero_acceptance_size(0.5, 0.75) == 2
    assert zero_acceptance_size(0.1, 0.19) == 2


def test_detected_fraction_and_confidence_belong_together() -> None:
    assert detected_fraction(5, 0.95) == pytest.approx(0.4507197, abs=1e-7)
    assert detected_fraction(1, 0.95) == pytest.approx(0.95)
    assert detection_confidence(5, 0.4507197) == pytest.approx(0.95, abs=1e-7)
    assert detection_confidence(2, 0.5) == pytest.approx(0.75)
    assert detection_confidence(1, 0.5) == pytest.approx(0.5)


def test_lot_detection_probability() -> None:
    assert lot_detection_probability(10, 2, 3) == pytest.approx(1 - 8 * 7 * 6 / (10 * 9 * 8))
    assert lot_detection_probability(10, 2, 0) == 0
    assert lot_detection_probability(10, 0, 10) == 0
    assert lot_detection_probability(10, 1, 10) == 1
    assert lot_detection_probability(1, 1, 1) == 1


def test_lot_zero_acceptance_size() -> None:
    assert lot_zero_acceptance_size(20, 1, 0.95) == 19
    assert lot_zero_acceptance_size(20, 1, 0.951) == 20
    assert lot_zero_acceptance_size(50, 1, 0.95) == 48
    assert lot_zero_acceptance_size(10, 10, 0.999) == 1
    assert lot_zero_acceptance_size(10, 9, 0.999) == 2
    assert lot_zero_acceptance_size(10, 5, 0.4) == 1
    assert lot_zero_acceptance_size(10, 5, 0.5) == 1
    assert lot_zero_acceptance_size(1, 1, 0.5) == 1


def test_acceptance_probability() -> None:
    assert acceptance_probability(3, 1, 0.5) == pytest.approx(0.5)
    assert acceptance_probability(2, 0, 0.1) == pytest.approx(0.81)
    assert acceptance_probability(2, 2, 0.3) == pytest.approx(1)
    assert acceptance_probability(2, 5, 0.3) == pytest.approx(1)
    assert acceptance_probability(1, 0, 0.25) == pytest.approx(0.75)
    assert acceptance_probability(2, 0, 0) == 1
    assert acceptance_probability(2, 1, 1) == 0
    assert acceptance_probability(2, 2, 1) == 1
    assert acceptance_probability(2, 3, 1) == 1


def test_lot_acceptance_probability() -> None:
    assert lot_acceptance_probability(10, 2, 3, 1) == pytest.approx((56 + 2 * 28) / 120)
    assert lot_acceptance_probability(10, 2, 3, 2) == 1
    assert lot_acceptance_probability(10, 9, 2, 5) == 1
    assert lot_acceptance_probability(10, 10, 10, 9) == 0


def test_operating_characteristic() -> None:
    found = operating_characteristic(20, 1, [0.95, 0.5, 0.1])
    assert found == pytest.approx((0.018065, 0.082510, 0.180961), abs=1e-6)
    assert [acceptance_probability(20, 1, p) for p in found] == pytest.approx([0.95, 0.5, 0.1])
    assert operating_characteristic(20, 0, [0.3, 0.7]) == pytest.approx(
        [1 - 0.3 ** (1 / 20), 1 - 0.7 ** (1 / 20)], rel=1e-13
    )
    assert operating_characteristic(1, 0, [0.25])[0] == pytest.approx(0.75, rel=1e-14)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: zero_acceptance_size(0, 0.9),
            "RangeError: The fraction bad is 0; it must lie between 0 and 1.",
        ),
        (
            lambda: zero_acceptance_size(0.1, 1),
            "RangeError: The confidence is 1; it must lie between 0 and 1.",
        ),
        (
            lambda: detected_fraction(0, 0.9),
            "RangeError: The sample size is 0; it must be at least 1.",
        ),
        (
            lambda: detected_fraction(1, 0),
            "RangeError: The confidence is 0; it must lie between 0 and 1.",
        ),
        (
            lambda: detection_confidence(0, 0.1),
            "RangeError: The sample size is 0; it must be at least 1.",
        ),
        (
            lambda: detection_confidence(1, 1),
            "RangeError: The fraction bad is 1; it must lie between 0 and 1.",
        ),
        (
            lambda: lot_detection_probability(0, 0, 0),
            "RangeError: The lot size is 0; it must be at least 1.",
        ),
        (
            lambda: lot_detection_probability(5, -1, 0),
            "RangeError: The number of bad pieces is -1; it must be at least 0.",
        ),
        (
            lambda: lot_detection_probability(5, 0, -1),
            "RangeError: The sample size is -1; it must be at least 0.",
        ),
        (
            lambda: lot_detection_probability(5, 6, 1),
            "RangeError: There are 6 bad pieces in a lot of 5.",
        ),
        (
            lambda: lot_detection_probability(5, 5, 6),
            "RangeError: The sample of 6 is larger than the lot of 5.",
        ),
        (
            lambda: lot_zero_acceptance_size(5, 0, 0.9),
            "RangeError: The number of bad pieces is 0; it must be at least 1.",
        ),
        (
            lambda: lot_zero_acceptance_size(5, 6, 0.9),
            "RangeError: There are 6 bad pieces in a lot of 5.",
        ),
        (
            lambda: lot_zero_acceptance_size(5, 5, 0),
            "RangeError: The confidence is 0; it must lie between 0 and 1.",
        ),
        (
            lambda: acceptance_probability(0, 0, 0.1),
            "RangeError: The sample size is 0; it must be at least 1.",
        ),
        (
            lambda: acceptance_probability(1, -1, 0.1),
            "RangeError: The acceptance number is -1; it must be at least 0.",
        ),
        (
            lambda: acceptance_probability(1, 0, 1.01),
            "RangeError: The fraction bad is 1.01; it must be from 0 to 1.",
        ),
        (
            lambda: acceptance_probability(1, 0, -0.01),
            "RangeError: The fraction bad is -0.01; it must be from 0 to 1.",
        ),
        (
            lambda: lot_acceptance_probability(5, 1, 1, -1),
            "RangeError: The acceptance number is -1; it must be at least 0.",
        ),
        (
            lambda: operating_characteristic(0, 0, [0.5]),
            "RangeError: The sample size is 0; it must be at least 1.",
        ),
        (
            lambda: operating_characteristic(5, -1, [0.5]),
            "RangeError: The acceptance number is -1; it must be at least 0.",
        ),
        (
            lambda: operating_characteristic(5, 5, [0.5]),
            "RangeError: The acceptance number 5 is not below the sample size 5.",
        ),
        (
            lambda: operating_characteristic(5, 1, [1]),
            "RangeError: The probability is 1; it must lie between 0 and 1.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
