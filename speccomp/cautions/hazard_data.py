"""Statements, pictograms and substances, as `packs/hazard-data.yaml` has them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from speccomp.model.resolve_packs import shipped_data


@dataclass(frozen=True, slots=True)
class Statement:
    """
    One hazard statement.

    `signal` is danger, warning, or empty. `precautions` are codes of prevention, response, storage
    and disposal. `known` tells how the entry is known.
    """

    code: str
    text: str
    hazard_class: str
    signal: str
    pictogram: str
    precautions: tuple[str, ...]
    known: str


@dataclass(frozen=True, slots=True)
class OwnLimit:
    """From which share, in per cent by mass, a substance gives codes to a mixture."""

    at: float
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Substance:
    """
    One substance of the trade.

    `codes_us` are added under US rules. `non_additive` is an acid or a base. `ph` is acid,
    alkaline, or empty. `molar_from_weight` turns the weight ratio of a silicate into its molar
    ratio; None for what is no silicate of a ratio.
    """

    id: str
    name: str
    groups: tuple[str, ...]
    codes: tuple[str, ...]
    codes_us: tuple[str, ...]
    non_additive: bool
    ph: str
    limits: tuple[OwnLimit, ...]
    molar_from_weight: float | None
    known: str


@dataclass(frozen=True, slots=True)
class MixtureLimit:
    """
    A limit for mixtures: what the weighted shares, in per cent by mass, give from `at` on.

    `each` judges every substance by itself. `assumed` is why the result is only assumed.
    """

    gives: str
    weights: Mapping[str, float]
    at: float
    each: bool
    only_non_additive: bool
    local_codes: str
    assumed: str


@cache
def hazard_data() -> Mapping[str, Any]:
    """Return the data as read."""
    data = shipped_data("hazard-data")
    if not isinstance(data, dict):
        raise TypeError("the hazard data are damaged")
    return data


@cache
def statements() -> Mapping[str, Statement]:
    """Return all hazard statements, supplemental ones included, by code."""
    data = hazard_data()
    parts = ("prevention", "response", "storage", "disposal")
    found = {
        code: Statement(
            code,
            entry["text"],
            entry["class"],
            "" if entry["signal"] == "none" else entry["signal"],
            entry.get("pictogram", ""),
            tuple(precaution for part in parts for precaution in entry.get(part, ())),
            entry["known"],
        )
        for code, entry in data["statements"].items()
    }
    for code, entry in data["supplements"].items():
        found[code] = Statement(code, entry["text"], "", "", "", (), entry["known"])
    return found


def statement(code: str) -> Statement | None:
    """Return a statement; one with letters behind it, such as H361d, is that of its number."""
    found = statements()
    return found.get(code) or found.get(code.rstrip("abcdefghijklmnopqrstuvwxyzDF"))


@cache
def substances() -> Mapping[str, Substance]:
    """Return the known substances by id."""
    return {
        name: Substance(
            name,
            entry["name"],
            tuple(entry.get("groups", ())),
            tuple(entry["codes"]),
            tuple(entry.get("codes_us", ())),
            entry.get("kind") == "non-additive",
            entry.get("ph", ""),
            tuple(OwnLimit(float(i["from"]), tuple(i["codes"])) for i in entry.get("limits", ())),
            float(entry["molar_from_weight"]) if "molar_from_weight" in entry else None,
            entry["known"],
        )
        for name, entry in hazard_data()["substances"].items()
    }


@cache
def mixture_limits() -> tuple[MixtureLimit, ...]:
    """Return the limits for mixtures in the order of the data."""
    return tuple(
        MixtureLimit(
            entry["gives"],
            {code: float(weight) for code, weight in entry["of"].items()},
            float(entry["from"]),
            entry.get("each") == "true",
            entry.get("kind") == "non-additive",
            entry.get("local_codes", ""),
            entry.get("assumed", ""),
        )
        for entry in hazard_data()["mixture_limits"]
    )


@cache
def group_words() -> Mapping[str, tuple[str, ...]]:
    """Return the groups of substances, each with the words of a name that tell of it."""
    return {name: tuple(words) for name, words in hazard_data()["groups"].items()}


@cache
def known_contents() -> frozenset[str]:
    """Return all that a pack may ask for: ids of substances and of groups."""
    return frozenset(substances()) | frozenset(group_words())
