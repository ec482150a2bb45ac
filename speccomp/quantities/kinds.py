"""What a limit is a limit of: its kind, the units it may be written in and is printed in."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache, lru_cache
from itertools import product

from speccomp.quantities.units import canonical_unit


class Kind(StrEnum):
    """
    The kind of a limit, which its unit alone does not tell.

    A pressure and a stress share their units, and so do a temperature and a temperature
    difference, which convert differently.
    """

    MASS = "mass"
    VOLUME = "volume"
    LENGTH = "length"
    AREA = "area"
    TEMPERATURE = "temperature"
    TEMPERATURE_DIFFERENCE = "temperature difference"
    RAMP_RATE = "ramp rate"
    TIME = "time"
    ROTATION_SPEED = "rotation speed"
    PRESSURE = "pressure"
    RATIO = "ratio"
    FRACTION = "fraction"
    COUNT = "count"
    ANGLE = "angle"
    FORCE = "force"
    STRESS = "stress"
    LOADING_RATE = "loading rate"
    FORCE_RATE = "force rate"
    TORQUE = "torque"
    VOLTAGE = "voltage"
    RESISTANCE = "resistance"
    CURRENT = "current"
    POWER = "power"
    HUMIDITY = "humidity"
    DENSITY = "density"
    VISCOSITY = "viscosity"
    FLOW_RATE = "flow rate"
    MASS_FLOW = "mass flow"
    ACTIVATION_ENERGY = "activation energy"
    DIFFUSIVITY = "diffusivity"
    SPEED = "speed"


@dataclass(frozen=True, slots=True)
class KindOfLimit:
    """
    How one kind is written and printed.

    `units` are the canonical units accepted, `` being a bare number. `si` and `customary` are
    the print units of a value that has no unit of its own to keep. `to_si` and `to_customary`
    name the print unit of those units that the system does not keep. `example` is an accepted
    value. `signed` tells whether a value below zero makes sense.
    """

    units: tuple[str, ...]
    si: str
    customary: str
    example: str
    to_si: Mapping[str, str] = field(default_factory=dict)
    to_customary: Mapping[str, str] = field(default_factory=dict)
    signed: bool = False


_SINGULAR_NOUNS = (
    *("pc", "piece", "part", "disc", "disk", "specimen", "sample", "reading", "stroke", "coat"),
    *("layer", "turn", "cycle", "drop", "shot", "unit", "container"),
)
COUNTED_NOUNS = frozenset(
    {*_SINGULAR_NOUNS, *(f"{noun}s" for noun in _SINGULAR_NOUNS)}
    | {"pass", "passes", "batch", "batches"}
)
"""Nouns that say `count` where no kind is given; a field that wants a count takes any noun."""

_PER_TIME = ("s", "min", "h")


def _pairs(text: str) -> dict[str, str]:
    """Read `oz>g, lb>kg` as a mapping."""
    pairs = (pair.split(">") for pair in text.split(", "))
    return {written.strip(): printed.strip() for written, printed in pairs}


def _rates(above: Iterable[str], below: Iterable[str] = _PER_TIME) -> tuple[str, ...]:
    return tuple(f"{unit}/{time}" for unit, time in product(above, below))


def _rate_pairs(text: str, below: Iterable[str] = _PER_TIME) -> dict[str, str]:
    return {f"{a}/{time}": f"{b}/{time}" for (a, b), time in product(_pairs(text).items(), below)}


_VOLUMES = ("mL", "L", "µL", "cm3", "mm3", "m3", "in3", "ft3", "gal", "qt", "pt", "cup", "fl oz")
_VOLUMES_TO_SI = "in3>cm3, ft3>L, gal>L, qt>L, pt>mL, cup>mL, fl oz>mL"
_VOLUMES_TO_CUSTOMARY = "mL>fl oz, L>gal, cm3>in3, mm3>in3, µL>in3, m3>ft3"
_PRESSURES = ("kPa", "Pa", "hPa", "MPa", "bar", "mbar", "atm", "Torr", "mmHg", "psi", "inHg")

_MECHANICS: dict[Kind, KindOfLimit] = {
    Kind.MASS: KindOfLimit(
        ("g", "kg", "mg", "t", "lb", "oz", "grain", "short ton"),
        "g",
        "lb",
        "26 ± 1 g",
        _pairs("lb>kg, oz>g, grain>mg, short ton>t"),
        _pairs("g>oz, kg>lb, mg>grain, t>short ton"),
    ),
    Kind.VOLUME: KindOfLimit(
        (*_VOLUMES, "imp gal"),
        "mL",
        "fl oz",
        "6.2 ± 0.4 cm3",
        _pairs(f"{_VOLUMES_TO_SI}, imp gal>L"),
        _pairs(f"{_VOLUMES_TO_CUSTOMARY}, imp gal>gal"),
    ),
    Kind.LENGTH: KindOfLimit(
        ("mm", "cm", "m", "µm", "nm", "in", "ft", "mil"),
        "mm",
        "in",
        "9.0 ± 0.5 mm",
        _pairs("in>mm, ft>m, mil>µm"),
        _pairs("mm>in, cm>in, m>ft, µm>mil, nm>mil"),
        signed=True,
    ),
    Kind.AREA: KindOfLimit(
        ("mm2", "cm2", "m2", "in2", "ft2"),
        "mm2",
        "in2",
        "120 ± 5 mm2",
        _pairs("in2>mm2, ft2>m2"),
        _pairs("mm2>in2, cm2>in2, m2>ft2"),
    ),
    Kind.ROTATION_SPEED: KindOfLimit(("rpm", "rev/s", "rev/h"), "rpm", "rpm", "60 ± 10 rpm"),
    Kind.ANGLE: KindOfLimit(("deg",), "deg", "deg", "45 ± 2 deg", signed=True),
    Kind.FORCE: KindOfLimit(
        ("N", "kN", "lbf", "ozf"),
        "N",
        "lbf",
        "at least 250 N",
        _pairs("lbf>N, ozf>N"),
        _pairs("N>lbf, kN>lbf"),
    ),
    Kind.STRESS: KindOfLimit(
        ("MPa", "N/mm2", "kPa", "Pa", "GPa", "psi", "ksi"),
        "MPa",
        "psi",
        "at least 28 MPa",
        _pairs("psi>MPa, ksi>MPa"),
        _pairs("MPa>psi, N/mm2>psi, kPa>psi, Pa>psi, GPa>ksi"),
    ),
    Kind.LOADING_RATE: KindOfLimit(
        _rates(("MPa", "kPa", "psi"), ("s", "min")),
        "MPa/s",
        "psi/min",
        "0.25 ± 0.05 MPa/s",
        _rate_pairs("psi>MPa", ("s", "min")),
        _rate_pairs("MPa>psi, kPa>psi", ("s", "min")),
    ),
    Kind.FORCE_RATE: KindOfLimit(
        _rates(("N", "kN", "lbf"), ("s", "min")),
        "N/s",
        "lbf/s",
        "50 ± 10 N/s",
        _rate_pairs("lbf>N", ("s", "min")),
        _rate_pairs("N>lbf, kN>lbf", ("s", "min")),
    ),
    Kind.TORQUE: KindOfLimit(
        ("N·m", "N·cm", "lbf·in", "lbf·ft", "ozf·in"),
        "N·m",
        "lbf·in",
        "1.2 ± 0.1 N·m",
        _pairs("lbf·in>N·m, lbf·ft>N·m, ozf·in>N·m"),
        _pairs("N·m>lbf·in, N·cm>lbf·in"),
        signed=True,
    ),
    Kind.SPEED: KindOfLimit(
        _rates(("m", "mm", "cm", "in", "ft"), ("s", "min", "h")),
        "mm/s",
        "in/min",
        "5 ± 1 mm/s",
        _rate_pairs("in>mm, ft>m"),
        _rate_pairs("mm>in, cm>in, m>ft"),
    ),
}

_FLUIDS: dict[Kind, KindOfLimit] = {
    Kind.PRESSURE: KindOfLimit(
        _PRESSURES,
        "kPa",
        "psi",
        "550 ± 20 kPa",
        _pairs("psi>kPa, inHg>kPa, mmHg>kPa, Torr>kPa, atm>kPa"),
        _pairs(
            "kPa>psi, Pa>psi, hPa>inHg, MPa>psi, bar>psi, mbar>inHg, atm>psi, Torr>inHg, mmHg>inHg"
        ),
        signed=True,
    ),
    Kind.DENSITY: KindOfLimit(
        ("g/cm3", "kg/L", "kg/m3", "g/mL", "g/L", "lb/gal", "lb/ft3", "lb/in3"),
        "g/cm3",
        "lb/gal",
        "2.10 ± 0.05 g/cm3",
        _pairs("lb/gal>kg/L, lb/ft3>kg/m3, lb/in3>g/cm3"),
        _pairs("g/cm3>lb/gal, kg/L>lb/gal, kg/m3>lb/ft3, g/mL>lb/gal, g/L>lb/gal"),
    ),
    Kind.VISCOSITY: KindOfLimit(
        ("Pa·s", "mPa·s", "cP", "P"),
        "mPa·s",
        "cP",
        "40 to 60 Pa·s",
        _pairs("cP>mPa·s, P>Pa·s"),
        _pairs("Pa·s>cP, mPa·s>cP, P>cP"),
    ),
    Kind.FLOW_RATE: KindOfLimit(
        _rates(_VOLUMES),
        "mL/min",
        "fl oz/min",
        "30 ± 2 mL/min",
        _rate_pairs(_VOLUMES_TO_SI),
        _rate_pairs(_VOLUMES_TO_CUSTOMARY),
    ),
    Kind.MASS_FLOW: KindOfLimit(
        _rates(("g", "kg", "mg", "lb", "oz")),
        "g/min",
        "oz/min",
        "12 ± 1 g/min",
        _rate_pairs("lb>kg, oz>g"),
        _rate_pairs("g>oz, kg>lb, mg>oz"),
    ),
    Kind.DIFFUSIVITY: KindOfLimit(
        _rates(("m2", "cm2", "mm2", "in2"), ("s", "h")),
        "m2/s",
        "m2/s",
        "2.5e-10 m2/s",
        _rate_pairs("in2>mm2", ("s", "h")),
    ),
}

_HEAT: dict[Kind, KindOfLimit] = {
    Kind.TEMPERATURE: KindOfLimit(
        ("degC", "degF", "K"),
        "degC",
        "degF",
        "82 ± 5 degC",
        _pairs("degF>degC, K>degC"),
        _pairs("degC>degF, K>degF"),
        signed=True,
    ),
    Kind.TEMPERATURE_DIFFERENCE: KindOfLimit(
        ("K", "degC", "degF"),
        "K",
        "degF",
        "at most 5 K",
        _pairs("degF>K"),
        _pairs("K>degF, degC>degF"),
        signed=True,
    ),
    Kind.RAMP_RATE: KindOfLimit(
        _rates(("K", "degC", "degF")),
        "K/min",
        "degF/min",
        "at most 1 K/min",
        _rate_pairs("degF>K"),
        _rate_pairs("K>degF, degC>degF"),
        signed=True,
    ),
    Kind.ACTIVATION_ENERGY: KindOfLimit(
        ("kJ/mol", "J/mol", "kcal/mol"),
        "kJ/mol",
        "kJ/mol",
        "45 ± 5 kJ/mol",
        _pairs("kcal/mol>kJ/mol"),
        _pairs("kcal/mol>kJ/mol"),
    ),
}

_ELECTRICITY: dict[Kind, KindOfLimit] = {
    Kind.VOLTAGE: KindOfLimit(("V", "mV", "kV"), "V", "V", "500 ± 10 V", signed=True),
    Kind.CURRENT: KindOfLimit(("A", "mA", "µA"), "A", "A", "at most 1 mA", signed=True),
    Kind.RESISTANCE: KindOfLimit(
        ("ohm", "mohm", "kohm", "Mohm", "Gohm"), "ohm", "ohm", "at least 100 Mohm"
    ),
    Kind.POWER: KindOfLimit(("W", "mW", "kW"), "W", "W", "500 ± 25 W"),
}

_NUMBERS: dict[Kind, KindOfLimit] = {
    Kind.TIME: KindOfLimit(
        ("min", "s", "h", "d", "weeks", "months", "years"), "min", "min", "18 to 24 h"
    ),
    Kind.RATIO: KindOfLimit(("", "pbw", "pbv", "%"), "", "", "26 ± 1"),
    Kind.FRACTION: KindOfLimit(("%", ""), "%", "%", "at most 2 %", signed=True),
    Kind.COUNT: KindOfLimit(("",), "", "", "at least 5 pieces"),
    Kind.HUMIDITY: KindOfLimit(("%", "% RH"), "% RH", "% RH", "50 ± 10 % RH"),
}

KINDS: Mapping[Kind, KindOfLimit] = {**_MECHANICS, **_FLUIDS, **_HEAT, **_ELECTRICITY, **_NUMBERS}
"""Every kind with its units, print units and an example of the accepted form."""

AS_WRITTEN = frozenset({Kind.RATIO, Kind.COUNT})
"""Kinds whose numbers mean something only in the unit they were written in."""


def with_article(kind: Kind) -> str:
    """Return a kind with its article, as in `an angle`."""
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


@lru_cache(maxsize=1024)
def kinds_of_unit(unit_text: str) -> tuple[Kind, ...]:
    """Return the kinds that a value in this unit, however spelled, may be of; none if unknown."""
    unit = canonical_unit(unit_text)
    if unit in COUNTED_NOUNS:
        return (Kind.COUNT,)
    return _kinds_by_unit().get(unit, ())


@cache
def _kinds_by_unit() -> dict[str, tuple[Kind, ...]]:
    found: dict[str, tuple[Kind, ...]] = {}
    for kind in Kind:
        for unit in KINDS[kind].units:
            found[unit] = (*found.get(unit, ()), kind)
    return found
