"""Air pressure at a plant's elevation and the boiling point of water there."""

import math

from speccomp.calc.errors import RangeError
from speccomp.calc.magnitudes import CELSIUS_ZERO, kelvin, magnitude, positive, shown
from speccomp.quantities import Quantity, quantity

EARTH_RADIUS = 6_356_766.0
SEA_LEVEL_TEMPERATURE = 288.15
SEA_LEVEL_PRESSURE = 101_325.0
LAPSE_RATE = 0.0065
EXPONENT = 9.80665 * 0.0289644 / (8.31432 * LAPSE_RATE)
LOWEST_GEOPOTENTIAL = -5_000.0
HIGHEST_GEOPOTENTIAL = 11_000.0

SATURATION = (
    0.11670521452767e4,
    -0.72421316703206e6,
    -0.17073846940092e2,
    0.12020824702470e5,
    -0.32325550322333e7,
    0.14915108613530e2,
    -0.48232657361591e4,
    0.40511340542057e6,
    -0.23855557567849,
    0.65017534844798e3,
)
LOWEST_SATURATION_TEMPERATURE = 273.15
CRITICAL_TEMPERATURE = 647.096
LOWEST_SATURATION_PRESSURE = 611.213
CRITICAL_PRESSURE = 22.064e6


def geopotential(elevation: Quantity) -> Quantity:
    """
    Return the geopotential height of a site.

    H = r0 z / (r0 + z) with r0 = 6 356 766 m.
    elevation: length above sea level, as a map gives it (geometric).
    Returns a length in m.
    Source: U.S. Standard Atmosphere 1976.
    Errors: KindError for anything but a length.
    """
    return quantity(_geopotential_metres(magnitude(elevation, "m", "elevation")), "m")


def _geopotential_metres(elevation: float) -> float:
    return EARTH_RADIUS * elevation / (EARTH_RADIUS + elevation)


def pressure_at_elevation(elevation: Quantity) -> Quantity:
    """
    Return the air pressure of the standard atmosphere at a site.

    p = p0 (1 - L H / T0)^(g0 M / (R L)), H the geopotential height, p0 = 101 325 Pa,
    T0 = 288.15 K, L = 6.5 K/km, g0 = 9.80665 m/s2, M = 28.9644 g/mol, R = 8.31432 J/(mol K).
    elevation: length above sea level, as a map gives it (geometric).
    Returns a pressure in Pa. The weather moves the true pressure by some 3 % either way.
    Source: U.S. Standard Atmosphere 1976, lowest layer, equal to the ICAO one.
    Validity: geopotential height from -5 000 to 11 000 m.
    Errors: KindError for anything but a length, RangeError outside the layer.
    """
    height = _geopotential_metres(magnitude(elevation, "m", "elevation"))
    if not LOWEST_GEOPOTENTIAL <= height <= HIGHEST_GEOPOTENTIAL:
        raise RangeError(
            f"The elevation is {shown(elevation)}; the standard atmosphere is used "
            "from -5000 to 11000 m."
        )
    ratio = 1 - LAPSE_RATE * height / SEA_LEVEL_TEMPERATURE
    return quantity(SEA_LEVEL_PRESSURE * ratio**EXPONENT, "Pa")


def saturation_pressure(temperature: Quantity) -> Quantity:
    """
    Return the pressure at which water boils at a temperature.

    IAPWS-IF97 region 4, forward equation (eq. 30).
    temperature: temperature of the water.
    Returns a pressure in Pa.
    Source: IAPWS R7-97(2012).
    Validity: 273.15 to 647.096 K.
    Errors: KindError for anything but a temperature, RangeError outside the validity.
    """
    kelvins = kelvin(temperature, "water temperature")
    if not LOWEST_SATURATION_TEMPERATURE <= kelvins <= CRITICAL_TEMPERATURE:
        raise RangeError(
            f"The water temperature is {shown(temperature)}; water and steam meet only "
            "from 273.15 to 647.096 K."
        )
    n = SATURATION
    theta = kelvins + n[8] / (kelvins - n[9])
    a = theta**2 + n[0] * theta + n[1]
    b = n[2] * theta**2 + n[3] * theta + n[4]
    c = n[5] * theta**2 + n[6] * theta + n[7]
    root = 2 * c / (-b + math.sqrt(b**2 - 4 * a * c))
    return quantity(root**4 * 1e6, "Pa")


def saturation_temperature(pressure: Quantity) -> Quantity:
    """
    Return the temperature at which water boils at a pressure.

    IAPWS-IF97 region 4, backward equation (eq. 31).
    pressure: absolute pressure at the site, not the one reduced to sea level.
    Returns a temperature in degC.
    Source: IAPWS R7-97(2012).
    Validity: 611.213 Pa to 22.064 MPa.
    Errors: KindError for anything but a pressure, RangeError outside the validity.
    """
    pascals = positive(pressure, "Pa", "pressure")
    if not LOWEST_SATURATION_PRESSURE <= pascals <= CRITICAL_PRESSURE:
        raise RangeError(
            f"The pressure is {shown(pressure)}; water and steam meet only "
            "from 611.213 Pa to 22.064 MPa."
        )
    n = SATURATION
    beta = (pascals / 1e6) ** 0.25
    e = beta**2 + n[2] * beta + n[5]
    f = n[0] * beta**2 + n[3] * beta + n[6]
    g = n[1] * beta**2 + n[4] * beta + n[7]
    d = 2 * g / (-f - math.sqrt(f**2 - 4 * e * g))
    kelvins = (n[9] + d - math.sqrt((n[9] + d) ** 2 - 4 * (n[8] + n[9] * d))) / 2
    return quantity(kelvins - CELSIUS_ZERO, "degC")


def boiling_point(elevation: Quantity) -> Quantity:
    """
    Return the boiling point of water at a site in the standard atmosphere.

    saturation_temperature(pressure_at_elevation(z)).
    elevation: length above sea level, as a map gives it (geometric).
    Returns a temperature in degC.
    Source: U.S. Standard Atmosphere 1976 and IAPWS R7-97(2012).
    Validity: geopotential height from -5 000 to 11 000 m.
    Errors: KindError for anything but a length, RangeError outside the layer.
    """
    return saturation_temperature(pressure_at_elevation(elevation))
