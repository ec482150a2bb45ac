import subprocess
import sys

import pytest
from pint import DimensionalityError, UndefinedUnitError

from speccomp.quantities import (
    KINDS,
    Kind,
    QuantityError,
    canonical_unit,
    get_registry,
    kinds_of_unit,
    quantity,
    with_article,
)
from speccomp.quantities.registry import unit_of


def test_one_registry():
    assert get_registry() is get_registry()
    assert quantity(1, "g") + quantity(1, "kg") == quantity(1001, "g")


def test_mil_is_a_thousandth_of_an_inch():
    assert quantity(1, "mil").to("in").magnitude == pytest.approx(0.001)
    with pytest.raises(DimensionalityError):
        quantity(1, "mil").to("mL")


def test_a_rotation_speed_stays_one():
    with pytest.raises(DimensionalityError):
        quantity(60, "rpm").to("1/s")
    with pytest.raises(UndefinedUnitError):
        quantity(60, "rpm").to("Hz")
    assert quantity(60, "rpm").to("rev/s").magnitude == pytest.approx(1)


@pytest.mark.parametrize("prefixed", ["kg_", "dag", "Ymin", "mlb", "kin", "uPa", "C", "F"])
def test_no_unit_beyond_the_table(prefixed):
    with pytest.raises(UndefinedUnitError):
        get_registry().Quantity(1.0, prefixed)


def test_degrees_are_points_alone_and_differences_in_a_rate():
    assert str(quantity(1, "degC").units) == "degree_Celsius"
    assert quantity(1, "degC", Kind.TEMPERATURE_DIFFERENCE).to("K").magnitude == 1.0
    assert quantity(60, "degC/h").to("K/min").magnitude == pytest.approx(1.0)


@pytest.mark.parametrize(("text", "hint"), [("C", "write `degC`"), ("furlong", "")])
def test_quantity_refuses_an_unknown_unit(text, hint):
    with pytest.raises(QuantityError, match="not a known unit") as caught:
        quantity(1, text)
    assert caught.value.hint == hint


@pytest.mark.parametrize("kind", Kind)
def test_every_accepted_unit_is_in_the_registry_and_found_again(kind):
    for unit in KINDS[kind].units:
        made = quantity(2.0, unit, kind)
        assert unit_of(made) == unit
        assert canonical_unit(unit) == unit
        assert kind in kinds_of_unit(unit)


@pytest.mark.parametrize(
    ("unit", "kinds"),
    [
        ("g", (Kind.MASS,)),
        ("degC", (Kind.TEMPERATURE, Kind.TEMPERATURE_DIFFERENCE)),
        ("psi", (Kind.PRESSURE, Kind.STRESS)),
        ("%", (Kind.RATIO, Kind.FRACTION, Kind.HUMIDITY)),
        ("coats", (Kind.COUNT,)),
        ("ft-lb", (Kind.TORQUE,)),
        ("furlong", ()),
    ],
)
def test_kinds_of_unit(unit, kinds):
    assert kinds_of_unit(unit) == kinds


def test_articles():
    assert with_article(Kind.ANGLE) == "an angle"
    assert with_article(Kind.MASS) == "a mass"


def test_reading_a_value_does_not_build_the_registry():
    code = (
        "from speccomp.quantities import Kind, parse_toleranced, registry\n"
        "parse_toleranced('26 ± 1 g', Kind.MASS)\n"
        "assert registry.get_registry.cache_info().currsize == 0\n"
    )
    subprocess.run([sys.executable, "-X", "utf8", "-c", code], check=True)
