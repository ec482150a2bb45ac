import pytest

from speccomp.calc.rounding import decimal_product, decimal_sum, reaches, whole_down, whole_up


@pytest.mark.parametrize(
    ("number", "up", "down"),
    [
        (3.0, 3, 3),
        (3.2, 4, 3),
        (3.7, 4, 3),
        (-3.2, -3, -4),
        (0.3 / 0.1, 3, 3),
        (3 + 9e-10, 3, 3),
        (3 - 9e-10, 3, 3),
        (3 + 2e-9, 4, 3),
        (3 - 2e-9, 3, 2),
        (1e7 + 2e-9, 10_000_000, 10_000_000),
        (3e8 + 6e-8, 300_000_000, 300_000_000),
        (3e6 + 2e-8, 3_000_000, 3_000_000),
        (1e5 + 1e-5, 100_001, 100_000),
        (0.0, 0, 0),
        (1e-10, 0, 0),
    ],
)
def test_whole_numbers(number: float, up: int, down: int) -> None:
    assert (whole_up(number), whole_down(number)) == (up, down)


def test_decimal_arithmetic_is_what_a_person_reckons() -> None:
    assert decimal_product(3, 0.1) == 0.3
    assert decimal_product(-7, 1) == -7.0
    assert decimal_sum(1.1, -0.2) == 0.9
    assert decimal_sum(1, 2) == 3.0


@pytest.mark.parametrize(
    ("number", "wanted", "yes"),
    [
        (5.0, 5.0, True),
        (5.1, 5.0, True),
        (4.9, 5.0, False),
        (5.0 - 4e-9, 5.0, True),
        (5.0 - 6e-9, 5.0, False),
    ],
)
def test_reaches(number: float, wanted: float, yes: bool) -> None:
    assert reaches(number, wanted) is yes
