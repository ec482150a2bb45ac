import math

import pytest

from speccomp.calc.drying import (
    free_water_left,
    scaled_drying_time,
    thickness_factor,
    time_to_dry,
)
from speccomp.quantities import quantity

from .faults import fault

D = quantity(1e-10, "m2/s")


def millimetres(value: float):
    return quantity(value, "mm")


def seconds(value: float):
    return quantity(value, "s")


def left(fourier: float, faces: int = 2) -> float:
    """Return what is left at a Fourier number: a 2 mm slab of two faces has L = 1 mm."""
    return free_water_left(D, millimetres(2), seconds(fourier * (2 / faces) ** 2 * 1e4), faces)


def test_nothing_has_left_at_the_start() -> None:
    assert left(0) == 1


def test_short_times() -> None:
    assert left(0.01) == pytest.approx(1 - 2 * math.sqrt(0.01 / math.pi), rel=1e-14)


def test_the_two_forms_meet() -> None:
    assert left(0.02 * (1 - 1e-12)) == pytest.approx(left(0.02 * (1 + 1e-12)), abs=1e-12)


def test_long_times() -> None:
    assert left(2) == pytest.approx(8 / math.pi**2 * math.exp(-(math.pi**2) / 2), rel=1e-9)
    terms = [
        8 / (n * math.pi) ** 2 * math.exp(-((n * math.pi) ** 2) * 0.05 / 4) for n in range(1, 60, 2)
    ]
    assert left(0.05) == pytest.approx(sum(terms), rel=1e-14)


def test_one_face_takes_four_times_as_long() -> None:
    both = free_water_left(D, millimetres(5), seconds(10_000), 2)
    assert free_water_left(D, millimetres(5), seconds(40_000), 1) == pytest.approx(both, rel=1e-14)


@pytest.mark.parametrize("fraction", [0.999, 0.9, 0.85, 0.83, 0.5, 0.1, 0.01, 1e-6, 1e-12])
@pytest.mark.parametrize("faces", [1, 2])
def test_time_to_dry_solves_the_series(fraction: float, faces: int) -> None:
    time = time_to_dry(D, millimetres(5), fraction, faces)
    assert str(time.units) == "second"
    assert free_water_left(D, millimetres(5), time, faces) == pytest.approx(fraction, rel=1e-11)


def test_time_to_dry_in_short_times_is_exact() -> None:
    time = time_to_dry(D, millimetres(2), 0.9, 2)
    assert time.magnitude == pytest.approx(math.pi * 0.01 / 4 * 1e4, rel=1e-14)


def test_thickness() -> None:
    assert thickness_factor(millimetres(18), millimetres(6)) == pytest.approx(9)
    assert thickness_factor(quantity(1, "in"), millimetres(12.7)) == pytest.approx(4)
    scaled = scaled_drying_time(quantity(2, "h"), millimetres(9), millimetres(6))
    assert (scaled.magnitude, str(scaled.units)) == (pytest.approx(16_200), "second")


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: free_water_left(quantity(0, "m2/s"), millimetres(1), seconds(1), 1),
            "RangeError: The diffusivity is 0 m2/s; it must be more than zero.",
        ),
        (
            lambda: free_water_left(D, millimetres(0), seconds(1), 1),
            "RangeError: The thickness is 0 mm; it must be more than zero.",
        ),
        (
            lambda: free_water_left(D, millimetres(1), seconds(-1), 1),
            "RangeError: The time is -1 s; it must not be less than zero.",
        ),
        (
            lambda: free_water_left(D, millimetres(1), seconds(1), 0),
            "RangeError: The number of open faces is 0; it must be 1 or 2.",
        ),
        (
            lambda: time_to_dry(D, millimetres(1), 0.5, 3),
            "RangeError: The number of open faces is 3; it must be 1 or 2.",
        ),
        (
            lambda: time_to_dry(quantity(0, "m2/s"), millimetres(1), 0.5, 1),
            "RangeError: The diffusivity is 0 m2/s; it must be more than zero.",
        ),
        (
            lambda: time_to_dry(D, millimetres(1), 0, 1),
            "RangeError: The fraction left is 0; it must lie between 0 and 1.",
        ),
        (
            lambda: time_to_dry(D, millimetres(1), 1, 1),
            "RangeError: The fraction left is 1; it must lie between 0 and 1.",
        ),
        (
            lambda: thickness_factor(millimetres(0), millimetres(1)),
            "RangeError: The section is 0 mm; it must be more than zero.",
        ),
        (
            lambda: thickness_factor(millimetres(1), millimetres(0)),
            "RangeError: The reference section is 0 mm; it must be more than zero.",
        ),
        (
            lambda: scaled_drying_time(seconds(0), millimetres(1), millimetres(1)),
            "RangeError: The drying time is 0 s; it must be more than zero.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
