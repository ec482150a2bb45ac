"""Unit texts: how a unit may be spelled, what it is worth exactly, and how it looks in print."""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from speccomp.quantities.definitions import (
    AMBIGUOUS,
    BASE_UNITS,
    OFFSETS,
    PRINTED,
    UNIT_ROWS,
    WHOLE_SPELLINGS,
)
from speccomp.quantities.errors import QuantityError

NO_BREAK = "\u00a0"
_SIGNS = str.maketrans(
    {
        "μ": "µ",
        "²": "2",
        "³": "3",
        "^": "",
        "⋅": "·",
        "∙": "·",
        "×": "·",
        "*": "·",
        "Ω": "ohm",
        "\u2126": "ohm",
        "℃": "degC",
        "℉": "degF",
    }
)
_PLURALS = ("weeks", "months", "years")
_BASE_POWER = re.compile(r"([A-Za-z]+)(-?\d)?")
_SEPARATORS = re.compile(r"\s*([/·])\s*")


@dataclass(frozen=True, slots=True)
class Unit:
    """
    What one unit is worth, exactly.

    `factor` leads into the coherent SI unit; `zero` is the zero of a temperature scale in kelvin;
    `powers` are the exponents of the base units, and units convert where they are equal.
    """

    text: str
    factor: Fraction
    zero: Fraction
    powers: tuple[tuple[str, int], ...]


@cache
def simple_units() -> dict[str, Unit]:
    """Return every unit whose symbol is no product or quotient, by symbol."""
    return {
        symbol: Unit(
            symbol,
            _fraction(factor),
            _fraction(OFFSETS.get(symbol, "0")),
            _powers(base),
        )
        for symbol, _, factor, base, _ in UNIT_ROWS
    }


@cache
def unit_called(text: str) -> Unit:
    """
    Return the unit with a canonical text such as `g`, `lb/gal` or `Pa·s`; `` is a pure number.

    A text that names no unit of the table, such as a noun counted (`discs`), is a unit of its
    own that converts into nothing else.
    """
    known = simple_units()
    if text in known:
        return known[text]
    above, *below = text.split("/")
    parts = [(name, 1) for name in above.split("·")] + [(name, -1) for name in below]
    if text and not all(name in known for name, _ in parts):
        return Unit(text, Fraction(1), Fraction(0), ((text, 1),))
    factor = Fraction(1)
    powers: dict[str, int] = {}
    for name, sign in parts if text else ():
        factor *= known[name].factor ** sign
        for base, power in known[name].powers:
            powers[base] = powers.get(base, 0) + sign * power
    left = tuple(sorted((base, power) for base, power in powers.items() if power))
    return Unit(text, factor, Fraction(0), left)


@lru_cache(maxsize=4096)
def canonical_unit(text: str) -> str:
    """Return the canonical spelling of a unit, or a tidied form of the text if it is unknown."""
    tidy = " ".join(text.split()).translate(_SIGNS).replace("° ", "°").replace(". ", " ")
    tidy = tidy.replace("°C", "degC").replace("°F", "degF").replace(" per ", "/")
    tidy = _SEPARATORS.sub(r"\1", tidy).rstrip(".")
    spellings = all_spellings()
    if tidy in spellings:
        return spellings[tidy]
    for separator in ("·", " ", "-", "."):
        parts = _split(tidy.replace(separator, "·"))
        spelled = "".join(spellings.get(part.rstrip("."), part) for part in parts)
        whole = spellings.get(spelled, spelled)
        if all(part in simple_units() or part in "/·" for part in _split(whole)):
            return whole
    return tidy


@cache
def all_spellings() -> dict[str, str]:
    """Return every accepted spelling of a simple unit, and whole spellings, with its symbol."""
    spellings = {}
    for symbol, _, _, _, others in UNIT_ROWS:
        spellings[symbol] = symbol
        spellings.update({other.strip(): symbol for other in others.split(",") if other.strip()})
    return spellings | WHOLE_SPELLINGS


def ambiguous_unit(text: str) -> str:
    """Return what an ambiguous spelling such as `C` or `F/h` should say, or an empty string."""
    first, slash, rest = "".join(text.split()).partition("/")
    return f"{AMBIGUOUS[first]}{slash}{rest}" if first in AMBIGUOUS else ""


def convert(value: Fraction, source: str, target: str, *, point: bool = False) -> Fraction:
    """
    Convert a number between two canonical units, exactly.

    `point` is true for a point on a temperature scale: only then does the zero of the scale
    count. Raises QuantityError if the units do not measure the same thing.
    """
    if source == target:
        return value
    old, new = unit_called(source), unit_called(target)
    if old.powers != new.powers:
        raise QuantityError(f"{source or 'a bare number'} does not convert into {target or 'one'}")
    zeros = old.zero - new.zero if point else Fraction(0)
    return (value * old.factor + zeros) / new.factor


def agreeing_unit(unit: str, number: str) -> str:
    """Return a unit as it is spelled behind a number: one week, two weeks."""
    return unit.removesuffix("s") if number == "1" and unit in _PLURALS else unit


def printed_unit(unit: str, number: str) -> str:
    """Return a unit as it looks in print behind a number (`°C`, `cm³`), without breaks."""
    parts = _split(agreeing_unit(unit, number))
    return "".join(PRINTED.get(part, part) for part in parts).replace(" ", NO_BREAK)


def pint_definitions() -> list[str]:
    """Return the table as definition lines for a pint registry, factors rounded to a float."""
    lines = [f"{defined} = {symbol}" for symbol, defined in BASE_UNITS.items()]
    names = {symbol: definition.split(" ")[0] for symbol, definition in BASE_UNITS.items()}
    for symbol, name, _, _, _ in UNIT_ROWS:
        if symbol in BASE_UNITS:
            continue
        unit = simple_units()[symbol]
        product = "".join(f" * {names[base]} ** {power}" for base, power in unit.powers)
        zero = f"; offset: {float(unit.zero)!r}" if unit.zero else ""
        labels = "".join(f" = {label}" for label in _pint_labels(symbol) if label != name)
        lines.append(f"{name} = {float(unit.factor)!r}{product}{zero}{labels}")
    return lines


def _pint_labels(symbol: str) -> list[str]:
    if symbol in OFFSETS:
        return [PRINTED[symbol], symbol]
    if symbol.startswith("µ"):
        return [symbol, symbol.replace("µ", "μ"), symbol.replace("µ", "u")]
    return [symbol] if symbol.isidentifier() else []


_NAMES = {symbol: name for symbol, name, _, _, _ in UNIT_ROWS} | {"·": "*", "/": "/"}


@lru_cache(maxsize=1024)
def pint_name(unit: str, *, difference: bool = False) -> str:
    """Return the registry's expression for a canonical unit; a noun counted is a pure number."""
    parts = _split(unit)
    if not all(part in _NAMES for part in parts):
        return ""
    apart = difference or len(parts) > 1
    return "".join("delta_" * (apart and part in OFFSETS) + _NAMES[part] for part in parts)


def _split(unit: str) -> list[str]:
    return [part for part in re.split(r"([/·])", unit) if part]


def _fraction(text: str) -> Fraction:
    above, _, below = text.partition("/")
    return Fraction(above) / Fraction(below or "1")


def _powers(base: str) -> tuple[tuple[str, int], ...]:
    found = [_BASE_POWER.fullmatch(part) for part in base.split()]
    return tuple(sorted((match[1], int(match[2] or 1)) for match in found if match))
