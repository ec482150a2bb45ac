import pytest

from speccomp.calc import air_and_water
from speccomp.calc.air_and_water import (
    boiling_point,
    geopotential,
    pressure_at_elevation,
    saturation_pressure,
    saturation_temperature,
)
from speccomp.calc.magnitudes import shown
from speccomp.quantities import quantity

from .faults import fault


def metres(value: float):
    return quantity(value, "m")


def test_geopotential_is_less_than_the_height_on_a_map() -> None:
    height = geopotential(metres(3000))
    assert str(height.units) == "meter"
    assert height.magnitude == pytest.approx(6_356_766 * 3000 / 6_359_766, rel=1e-15)
    assert geopotential(metres(0)).magnitude == 0


def test_pressure() -> None:
    sea = pressure_at_elevation(metres(0))
    assert (sea.magnitude, str(sea.units)) == (101_325, "pascal")
    assert pressure_at_elevation(metres(1609.344)).magnitude == pytest.approx(83431.769, abs=1e-3)
    assert pressure_at_elevation(quantity(5280, "ft")).magnitude == pytest.approx(
        83431.769, abs=1e-3
    )
    assert pressure_at_elevation(metres(-430)).magnitude == pytest.approx(106598.76, abs=0.01)


def test_the_ends_of_the_atmosphere() -> None:
    radius = air_and_water.EARTH_RADIUS
    top = radius * 11_000 / (radius - 11_000)
    bottom = radius * -5_000 / (radius + 5_000)
    assert pressure_at_elevation(metres(top - 0.1)).magnitude == pytest.approx(22632.3, abs=0.5)
    assert pressure_at_elevation(metres(bottom + 0.1)).magnitude == pytest.approx(177_687, rel=1e-3)
    for outside in (top + 0.1, bottom - 0.1):
        assert fault(lambda z=outside: pressure_at_elevation(metres(z))) == (
            f"RangeError: The elevation is {outside:.6g} m; "
            "the standard atmosphere is used from -5000 to 11000 m."
        )


def test_a_saturation_state_both_ways() -> None:
    pressure = saturation_pressure(quantity(95, "degC"))
    assert str(pressure.units) == "pascal"
    assert pressure.magnitude == pytest.approx(84608.9, abs=0.1)
    back = saturation_temperature(pressure)
    assert str(back.units) == "degree_Celsius"
    assert back.magnitude == pytest.approx(95, abs=1e-9)


@pytest.mark.parametrize("kelvins", [273.15, 647.096])
def test_the_ends_of_the_saturation_line_by_temperature(kelvins: float) -> None:
    expected = {273.15: 611.213, 647.096: 22.064e6}[kelvins]
    assert saturation_pressure(quantity(kelvins, "K")).magnitude == pytest.approx(
        expected, rel=1e-6
    )


@pytest.mark.parametrize("kelvins", [273.14, 647.1])
def test_no_saturation_outside_by_temperature(kelvins: float) -> None:
    assert fault(lambda: saturation_pressure(quantity(kelvins, "K"))) == (
        f"RangeError: The water temperature is {kelvins:g} K; "
        "water and steam meet only from 273.15 to 647.096 K."
    )


@pytest.mark.parametrize(("pascals", "celsius"), [(611.213, 0.0), (22.064e6, 373.946)])
def test_the_ends_of_the_saturation_line_by_pressure(pascals: float, celsius: float) -> None:
    assert saturation_temperature(quantity(pascals, "Pa")).magnitude == pytest.approx(
        celsius, abs=1e-4
    )


@pytest.mark.parametrize("pascals", [611.2, 22_065_000.0])
def test_no_saturation_outside_by_pressure(pascals: float) -> None:
    assert fault(lambda: saturation_temperature(quantity(pascals, "Pa"))) == (
        f"RangeError: The pressure is {shown(quantity(pascals, 'Pa'))}; "
        "water and steam meet only from 611.213 Pa to 22.064 MPa."
    )


def test_boiling_point_at_an_elevation() -> None:
    at_site = boiling_point(metres(1000))
    assert str(at_site.units) == "degree_Celsius"
    assert at_site.magnitude == pytest.approx(96.6493, abs=1e-4)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: geopotential(quantity(1, "g")),
            "KindError: The elevation is 1 g; a length is needed.",
        ),
        (
            lambda: pressure_at_elevation(quantity(1, "g")),
            "KindError: The elevation is 1 g; a length is needed.",
        ),
        (
            lambda: saturation_pressure(quantity(1, "g")),
            "KindError: The water temperature is 1 g; a temperature is needed.",
        ),
        (
            lambda: saturation_temperature(quantity(1, "g")),
            "KindError: The pressure is 1 g; a pressure is needed.",
        ),
        (
            lambda: saturation_temperature(quantity(-5, "kPa")),
            "RangeError: The pressure is -5 kPa; it must be more than zero.",
        ),
        (
            lambda: boiling_point(quantity(1, "g")),
            "KindError: The elevation is 1 g; a length is needed.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
