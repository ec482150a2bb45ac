import pytest

from speccomp.calc.gauge import (
    decision_limits,
    resolution_ratio,
    resolution_ratio_one_sided,
    uncertainty_ratio,
    uncertainty_ratio_one_sided,
)
from speccomp.calc.limits import Limits
from speccomp.quantities import quantity

from .faults import fault
from .profiles import limits


def mm(value: float):
    return quantity(value, "mm")


def sides(found) -> tuple[float | None, ...]:
    values = (found.accept_lower, found.accept_upper, found.reject_lower, found.reject_upper)
    return tuple(None if v is None else v.magnitude for v in values)


def test_resolution_ratio() -> None:
    assert resolution_ratio(mm(0.01), mm(0.9), mm(1.1)) == pytest.approx(0.05)
    assert resolution_ratio(quantity(1, "mil"), quantity(0, "in"), quantity(10, "mil")) == (
        pytest.approx(0.1)
    )
    celsius = quantity(77, "degC"), quantity(87, "degC")
    assert resolution_ratio(quantity(0.1, "K"), *celsius) == pytest.approx(0.01)


def test_resolution_ratio_one_sided() -> None:
    assert resolution_ratio_one_sided(mm(0.01), mm(0.5), mm(0.1)) == pytest.approx(0.025)
    assert resolution_ratio_one_sided(mm(0.01), mm(0.1), mm(0.5)) == pytest.approx(0.025)


def test_uncertainty_ratio() -> None:
    assert uncertainty_ratio(mm(0.02), mm(0.9), mm(1.1)) == pytest.approx(5)
    fahrenheit = quantity(60, "degF"), quantity(90, "degF")
    assert uncertainty_ratio(quantity(1, "K"), *fahrenheit) == pytest.approx(30 / 1.8 / 2)


def test_uncertainty_ratio_one_sided() -> None:
    assert uncertainty_ratio_one_sided(mm(0.05), mm(0.5), mm(0.1)) == pytest.approx(8)
    assert uncertainty_ratio_one_sided(mm(0.05), mm(0.1), mm(0.5)) == pytest.approx(8)


def test_decision_limits() -> None:
    assert sides(decision_limits(limits("1.1|1.5|2", "mm"), mm(0.2))) == (1.3, 1.8, 0.9, 2.2)
    assert sides(decision_limits(limits("1.1||", "mm"), mm(0.2))) == (1.3, None, 0.9, None)
    assert sides(decision_limits(limits("||2", "mm"), mm(0.2))) == (None, 1.8, None, 2.2)
    assert sides(decision_limits(limits("1||1", "mm"), mm(0))) == (1, 1, 1, 1)


def test_decision_limits_keep_the_unit_of_the_limit() -> None:
    found = decision_limits(limits("60||90", "degF"), quantity(1, "K"))
    assert sides(found) == pytest.approx((61.8, 88.2, 58.2, 91.8))
    assert str(found.accept_lower.units) == "degree_Fahrenheit"


def test_whether_anything_can_be_accepted() -> None:
    assert decision_limits(limits("1||1.4", "mm"), mm(0.2)).can_accept
    assert not decision_limits(limits("1||1.4", "mm"), mm(0.21)).can_accept
    assert decision_limits(limits("1||", "mm"), mm(9)).can_accept
    assert decision_limits(limits("||1", "mm"), mm(9)).can_accept


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: resolution_ratio(mm(0), mm(1), mm(2)),
            "RangeError: The resolution is 0 mm; it must be more than zero.",
        ),
        (
            lambda: resolution_ratio(mm(1), mm(2), mm(2)),
            "LimitError: There is no band between 2 mm and 2 mm.",
        ),
        (
            lambda: resolution_ratio(mm(1), mm(2), mm(1)),
            "LimitError: There is no band between 2 mm and 1 mm.",
        ),
        (
            lambda: resolution_ratio(quantity(1, "g"), mm(1), mm(2)),
            "KindError: 1 g is not a difference that can be set against 1 mm.",
        ),
        (
            lambda: resolution_ratio(quantity(1, "degC"), quantity(1, "degC"), quantity(2, "degC")),
            "KindError: 1 °C is not a difference that can be set against 1 °C.",
        ),
        (
            lambda: resolution_ratio(mm(1), mm(1), quantity(1, "g")),
            "KindError: 1 mm is not a difference that can be set against 1 mm.",
        ),
        (
            lambda: resolution_ratio_one_sided(mm(0), mm(1), mm(2)),
            "RangeError: The resolution is 0 mm; it must be more than zero.",
        ),
        (
            lambda: resolution_ratio_one_sided(mm(1), mm(2), mm(2)),
            "LimitError: The expected value is the limit itself, 2 mm.",
        ),
        (
            lambda: uncertainty_ratio(mm(0), mm(1), mm(2)),
            "RangeError: The uncertainty is 0 mm; it must be more than zero.",
        ),
        (
            lambda: uncertainty_ratio_one_sided(mm(-1), mm(1), mm(2)),
            "RangeError: The uncertainty is -1 mm; it must be more than zero.",
        ),
        (
            lambda: decision_limits(Limits(None, mm(1)), mm(1)),
            "LimitError: There is no limit to decide by.",
        ),
        (
            lambda: decision_limits(limits("2||1", "mm"), mm(1)),
            "LimitError: The limits are out of order: 2 mm to 1 mm.",
        ),
        (
            lambda: decision_limits(Limits(mm(1), None, quantity(1, "g")), mm(1)),
            "KindError: 1 mm cannot be compared with 1 g.",
        ),
        (
            lambda: decision_limits(limits("1||2", "mm"), mm(-1)),
            "RangeError: The uncertainty is -1 mm; it must not be less than zero.",
        ),
        (
            lambda: decision_limits(limits("||2", "mm"), quantity(1, "g")),
            "KindError: 1 g is not a difference that can be set against 2 mm.",
        ),
        (
            lambda: decision_limits(limits("||2", "degC"), quantity(1, "degC")),
            "KindError: 1 °C is not a difference that can be set against 2 °C.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
