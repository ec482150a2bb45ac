import pytest

from speccomp.calc.limits import Limits
from speccomp.calc.ratio import Reading
from speccomp.calc.weighing import (
    largest_component_error,
    largest_error_one_scale,
    round_inward,
    smallest_readable,
    smallest_reference,
    weighing_window,
)
from speccomp.quantities import quantity

from .faults import fault

R = Limits(0.25, 0.26, 0.28)
RANGE = Limits(0.25, None, 0.28)
LOW = Limits(0.25)
HIGH = Limits(None, None, 0.28)


def grams(value: float):
    return quantity(value, "g")


def reading(mass: float, error: float) -> Reading:
    return Reading(grams(mass), grams(error))


def sides(limits) -> list[float | None]:
    values = [limits.lower, limits.target, limits.upper]
    assert all(v is None or str(v.units) == "gram" for v in values)
    return [None if v is None else pytest.approx(v.magnitude) for v in values]


def window(mass: float, ratio=R, error: float = 0.2, own: float = 0.1):
    return weighing_window([reading(mass, error)], ratio, grams(own))


def test_window_with_a_target() -> None:
    assert sides(window(100)) == [0.25 * 100.2 + 0.1, 26, 0.28 * 99.8 - 0.1]


def test_portions_add_their_errors() -> None:
    parts = weighing_window([reading(60, 0.2), reading(40, 0.3)], R, quantity(100, "mg"))
    assert sides(parts) == [0.25 * 100.5 + 0.1, 26, 0.28 * 99.5 - 0.1]


def test_window_of_a_range_aims_at_the_middle() -> None:
    low, high = 0.25 * 100.2 + 0.1, 0.28 * 99.8 - 0.1
    assert sides(window(100, RANGE)) == [low, (low + high) / 2, high]


def test_one_sided_window_aims_at_its_limit() -> None:
    assert sides(window(100, LOW)) == [25.15, 25.15, None]
    assert sides(window(100, HIGH)) == [None, 27.844, 27.844]


def test_target_with_one_limit() -> None:
    assert sides(window(100, Limits(0.25, 0.26))) == [25.15, 26, None]
    assert sides(window(100, Limits(None, 0.26, 0.28))) == [None, 26, 27.844]


def test_a_target_outside_the_window_is_moved_in() -> None:
    assert sides(window(100, Limits(0.25, 0.251, 0.28))) == [25.15, 25.15, 27.844]
    assert sides(window(100, Limits(0.25, 0.28, 0.28))) == [25.15, 27.844, 27.844]


def test_an_empty_window() -> None:
    ratio = Limits(0.25, 0.26, 0.27)
    assert window(7.5, ratio, 0.1, 0.05) is None
    assert window(7.7, ratio, 0.1, 0.05) is not None


def test_at_the_smallest_mass_the_window_is_one_value() -> None:
    least = smallest_reference(RANGE, grams(0.2), grams(0.1)).magnitude
    assert sides(window(least, RANGE)) == [0.25 * (least + 0.2) + 0.1] * 3
    assert window(least * (1 - 1e-6), RANGE) is None


def test_a_bare_target_needs_a_perfect_scale() -> None:
    assert sides(window(100, Limits(None, 0.26), 0, 0)) == [26, 26, 26]
    assert window(100, Limits(None, 0.26), 0, 0.1) is None


@pytest.mark.parametrize(
    ("lower", "upper", "step", "expected"),
    [
        (25.13, 27.84, 0.1, (25.2, 27.8)),
        (25.2, 27.8, 0.1, (25.2, 27.8)),
        (25.13, 27.84, 1, (26.0, 27.0)),
        (25.13, None, 0.5, (25.5, None)),
        (None, 27.84, 0.5, (None, 27.5)),
        (25.99, 26.01, 0.5, (26.0, 26.0)),
        (0.3, 0.3, 0.1, (0.3, 0.3)),
    ],
)
def test_round_inward(lower, upper, step, expected) -> None:
    made = round_inward(
        None if lower is None else grams(lower),
        None if upper is None else grams(upper),
        grams(step),
    )
    found = [None if v is None else v.magnitude for v in (made.lower, made.upper)]
    assert tuple(found) == expected
    assert made.target is None


def test_nothing_readable_inside() -> None:
    assert round_inward(grams(26.1), grams(26.4), grams(0.5)) is None


def test_round_inward_answers_in_the_unit_of_the_step() -> None:
    made = round_inward(grams(100), quantity(1, "lb"), quantity(0.1, "oz"))
    assert (made.lower.magnitude, made.upper.magnitude) == (3.6, 16.0)
    assert str(made.lower.units) == "ounce"


def test_smallest_reference() -> None:
    def least(ratio, reference_error, error):
        found = smallest_reference(ratio, grams(reference_error), grams(error))
        assert str(found.units) == "gram"
        return found.magnitude

    assert least(R, 0.2, 0.1) == pytest.approx((0.1 + 0.25 * 0.2) / 0.01)
    assert least(Limits(0.25, 0.27, 0.28), 0.2, 0.1) == pytest.approx((0.1 + 0.28 * 0.2) / 0.01)
    assert least(RANGE, 0.2, 0.1) == pytest.approx((0.2 + 0.53 * 0.2) / 0.03)
    assert least(Limits(0.25, 0.26), 0.2, 0.1) == pytest.approx((0.1 + 0.25 * 0.2) / 0.01)
    assert least(Limits(None, 0.26, 0.28), 0.2, 0.1) == pytest.approx((0.1 + 0.28 * 0.2) / 0.02)
    assert least(LOW, 0.2, 0.1) == 0
    assert least(HIGH, 0.2, 0.1) == 0
    assert least(R, 0, 0) == 0


def test_smallest_readable() -> None:
    found = smallest_readable(R, grams(0.2), grams(0.1), grams(0.05))
    assert str(found.units) == "gram"
    assert found.magnitude == pytest.approx((0.2 + 0.53 * 0.2 + 0.05) / 0.03)
    made = window(found.magnitude)
    assert (made.upper - made.lower).magnitude == pytest.approx(0.05)


def test_error_that_would_do_on_one_scale() -> None:
    def most(mass, ratio):
        found = largest_error_one_scale(grams(mass), ratio)
        assert str(found.units) == "gram"
        return found.magnitude

    assert most(100, R) == pytest.approx(1 / 1.25)
    assert most(100, Limits(0.25, 0.27, 0.28)) == pytest.approx(1 / 1.28)
    assert most(100, RANGE) == pytest.approx(3 / 2.53)
    assert most(100, Limits(0.25, 0.26)) == pytest.approx(1 / 1.25)
    assert most(100, Limits(None, 0.26, 0.28)) == pytest.approx(2 / 1.28)


def test_error_that_would_do_for_the_component() -> None:
    def most(mass, ratio, error):
        found = largest_component_error(grams(mass), ratio, grams(error), ZERO)
        assert found is None or str(found.units) == "gram"
        return None if found is None else found.magnitude

    assert most(100, R, 0.2) == pytest.approx(1 - 0.05)
    assert most(100, Limits(0.25, 0.27, 0.28), 0.2) == pytest.approx(1 - 0.056)
    assert most(100, RANGE, 0.2) == pytest.approx((3 - 0.53 * 0.2) / 2)
    assert most(100, Limits(0.25, 0.5), 100) == 0
    assert most(100, Limits(0.25, 0.5), 100.001) is None
    assert most(100, R, 4.001) is None
    assert most(100, RANGE, 6) is None


def test_volumes_and_a_weighed_reference() -> None:
    # 100 g of the reference, 0.5 to 0.7 cm3 of the component for a gram of it.
    ratio, vessel = Limits(0.5, 0.6, 0.7), quantity(1, "mL")
    made = weighing_window([reading(100, 0.2)], ratio, vessel)
    assert [str(v.units) for v in (made.lower, made.target, made.upper)] == ["cubic_centimeter"] * 3
    found = [v.m_as("mL") for v in (made.lower, made.target, made.upper)]
    assert found == pytest.approx([0.5 * 100.2 + 1, 60, 0.7 * 99.8 - 1])
    rounded = round_inward(made.lower, made.upper, vessel)
    assert [v.m_as("mL") for v in (rounded.lower, rounded.upper)] == [52, 68]
    least = smallest_reference(ratio, grams(0.2), vessel)
    assert str(least.units) == "gram"
    assert least.magnitude == pytest.approx((1 + 0.7 * 0.2) / 0.1)
    readable = smallest_readable(ratio, grams(0.2), vessel, vessel)
    assert readable.m_as("g") == pytest.approx((2 + 1.2 * 0.2 + 1) / 0.2)
    other = largest_component_error(grams(100), ratio, grams(0.2), vessel)
    assert other.m_as("mL") == pytest.approx(100 * 0.1 - 0.7 * 0.2)
    both = largest_error_one_scale(quantity(100, "mL"), ratio)
    assert both.m_as("mL") == pytest.approx(100 * 0.1 / 1.7)
    poured = smallest_reference(ratio, vessel, vessel)
    assert poured.m_as("mL") == pytest.approx((1 + 0.7) / 0.1)


ZERO = grams(0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: weighing_window([], R, ZERO), "LimitError: There is no reading."),
        (
            lambda: weighing_window([reading(1, 0)], R, grams(-1)),
            "RangeError: The permissible error is -1 g; it must not be less than zero.",
        ),
        (
            lambda: weighing_window([reading(1, 0)], Limits(2.0, None, 1.0), ZERO),
            "LimitError: The limits of the part are out of order: 2 to 1.",
        ),
        (
            lambda: weighing_window([reading(1, 0)], R, quantity(1, "mm")),
            "KindError: The permissible error is 1 mm; a mass or a volume is needed.",
        ),
        (
            lambda: round_inward(grams(1), None, quantity(1, "s")),
            "KindError: The step is 1 s; a mass or a volume is needed.",
        ),
        (lambda: round_inward(None, None, grams(1)), "LimitError: There is no limit to round."),
        (
            lambda: round_inward(grams(1), None, ZERO),
            "RangeError: The step is 0 g; it must be more than zero.",
        ),
        (
            lambda: round_inward(quantity(1, "mm"), None, grams(1)),
            "KindError: The lower limit is 1 mm; a mass is needed.",
        ),
        (
            lambda: round_inward(None, quantity(1, "mm"), grams(1)),
            "KindError: The upper limit is 1 mm; a mass is needed.",
        ),
        (
            lambda: smallest_reference(R, grams(-1), ZERO),
            "RangeError: The permissible error of the reference is -1 g; "
            "it must not be less than zero.",
        ),
        (
            lambda: smallest_reference(R, ZERO, grams(-1)),
            "RangeError: The permissible error is -1 g; it must not be less than zero.",
        ),
        (
            lambda: smallest_reference(Limits(0.25, 0.25, 0.28), ZERO, ZERO),
            "LimitError: The ratio 0.25 to 0.25 to 0.28 leaves no room for a scale's error.",
        ),
        (
            lambda: smallest_reference(Limits(0.25, 0.28, 0.28), ZERO, ZERO),
            "LimitError: The ratio 0.25 to 0.28 to 0.28 leaves no room for a scale's error.",
        ),
        (
            lambda: smallest_reference(Limits(None, 0.25), ZERO, ZERO),
            "LimitError: The ratio 0.25 leaves no room for a scale's error.",
        ),
        (
            lambda: smallest_reference(Limits(0.25, None, 0.25), ZERO, ZERO),
            "LimitError: The ratio 0.25 to 0.25 leaves no room for a scale's error.",
        ),
        (
            lambda: smallest_readable(Limits(0.25, None, 0.25), ZERO, ZERO, grams(1)),
            "LimitError: The ratio 0.25 to 0.25 leaves no room for a scale's error.",
        ),
        (
            lambda: largest_error_one_scale(grams(1), Limits(0.25, None, 0.25)),
            "LimitError: The ratio 0.25 to 0.25 leaves no room for a scale's error.",
        ),
        (
            lambda: largest_component_error(grams(1), Limits(0.25, None, 0.25), ZERO, ZERO),
            "LimitError: The ratio 0.25 to 0.25 leaves no room for a scale's error.",
        ),
        (
            lambda: smallest_readable(LOW, ZERO, ZERO, grams(1)),
            "LimitError: The ratio 0.25 needs a lower and an upper limit.",
        ),
        (
            lambda: smallest_readable(HIGH, ZERO, ZERO, grams(1)),
            "LimitError: The ratio 0.28 needs a lower and an upper limit.",
        ),
        (
            lambda: smallest_readable(R, ZERO, ZERO, ZERO),
            "RangeError: The readability is 0 g; it must be more than zero.",
        ),
        (
            lambda: smallest_readable(R, grams(-1), ZERO, grams(1)),
            "RangeError: The permissible error of the reference is -1 g; "
            "it must not be less than zero.",
        ),
        (
            lambda: smallest_readable(R, ZERO, grams(-1), grams(1)),
            "RangeError: The permissible error is -1 g; it must not be less than zero.",
        ),
        (
            lambda: largest_error_one_scale(ZERO, R),
            "RangeError: The reading of the reference is 0 g; it must be more than zero.",
        ),
        (
            lambda: largest_error_one_scale(grams(1), LOW),
            "LimitError: The ratio 0.25 needs a lower and an upper limit.",
        ),
        (
            lambda: largest_component_error(ZERO, R, ZERO, ZERO),
            "RangeError: The reading of the reference is 0 g; it must be more than zero.",
        ),
        (
            lambda: largest_component_error(grams(1), R, grams(-1), ZERO),
            "RangeError: The permissible error of the reference is -1 g; "
            "it must not be less than zero.",
        ),
        (
            lambda: largest_component_error(grams(1), HIGH, ZERO, ZERO),
            "LimitError: The ratio 0.28 needs a lower and an upper limit.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
