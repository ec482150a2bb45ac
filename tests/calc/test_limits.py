import pytest

from speccomp.calc.limits import Limits, bounds, nominal, read_limits, require_order
from speccomp.calc.magnitudes import kelvin, positive
from speccomp.quantities import quantity

from .faults import fault


def grams(value, name: str) -> float:
    return positive(value, "g", name)


def mass(lower=None, target=None, upper=None):
    sides = [None if x is None else quantity(x, "kg") for x in (lower, target, upper)]
    return Limits(*sides)


@pytest.mark.parametrize(
    ("limits", "expected"),
    [
        (mass(1, 2, 3), Limits(1000, 2000, 3000)),
        (mass(1, None, 3), Limits(1000, None, 3000)),
        (mass(1), Limits(1000)),
        (mass(None, 2), Limits(None, 2000)),
        (mass(None, None, 3), Limits(None, None, 3000)),
        (mass(2, 2, 2), Limits(2000, 2000, 2000)),
    ],
)
def test_limits_are_read(limits, expected) -> None:
    assert read_limits(limits, grams, "mass") == expected


@pytest.mark.parametrize(
    ("limits", "message"),
    [
        (Limits(), "LimitError: The mass has neither a target nor a limit."),
        (
            mass(2, 1, 3),
            "LimitError: The limits of the mass are out of order: 2 kg to 1 kg to 3 kg.",
        ),
        (mass(2, None, 1), "LimitError: The limits of the mass are out of order: 2 kg to 1 kg."),
        (mass(None, 2, 1), "LimitError: The limits of the mass are out of order: 2 kg to 1 kg."),
        (mass(0, 1, 2), "RangeError: The lowest mass is 0 kg; it must be more than zero."),
        (mass(None, -1), "RangeError: The mass is -1 kg; it must be more than zero."),
        (mass(1, 2, 0), "RangeError: The highest mass is 0 kg; it must be more than zero."),
    ],
)
def test_faults(limits, message: str) -> None:
    assert fault(lambda: read_limits(limits, grams, "mass")) == message


def test_offset_temperatures_are_read_before_they_are_compared() -> None:
    band = Limits(quantity(170, "degF"), quantity(82, "degC"), quantity(360, "K"))
    read = read_limits(band, kelvin, "temperature")
    assert (read.lower, read.target, read.upper) == pytest.approx((349.8167, 355.15, 360))


def test_order_of_plain_numbers() -> None:
    require_order(Limits(1.0, 1.0, 1.0), "part", "1")
    assert fault(lambda: require_order(Limits(2.0, None, 1.0), "part", "2 to 1")) == (
        "LimitError: The limits of the part are out of order: 2 to 1."
    )


@pytest.mark.parametrize(
    ("limits", "aim", "sides"),
    [
        (Limits(1.0, 2.5, 3.0), 2.5, (1.0, 3.0)),
        (Limits(1.0, None, 3.0), 2.0, (1.0, 3.0)),
        (Limits(1.0, None, None), 1.0, (1.0, None)),
        (Limits(None, None, 3.0), 3.0, (None, 3.0)),
        (Limits(None, 2.5, None), 2.5, (2.5, 2.5)),
        (Limits(None, 2.5, 3.0), 2.5, (None, 3.0)),
        (Limits(1.0, 2.5, None), 2.5, (1.0, None)),
        (Limits(1, None, 2), 1.5, (1, 2)),
        (Limits(0.0, 0.0, 0.0), 0.0, (0.0, 0.0)),
    ],
)
def test_aim_and_bounds(limits, aim: float, sides) -> None:
    assert nominal(limits) == aim
    assert bounds(limits) == sides


def test_nothing_to_aim_at() -> None:
    assert fault(lambda: nominal(Limits())) == (
        "LimitError: There is neither a target nor a limit to aim at."
    )
