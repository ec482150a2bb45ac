"""Single sampling by code letter and acceptance quality limit."""

from dataclasses import dataclass
from enum import StrEnum

from speccomp.calc.errors import RangeError
from speccomp.calc.magnitudes import count
from speccomp.calc.sampling_tables import (
    AQLS,
    CODE_LETTERS,
    LETTERS,
    LEVELS,
    NORMAL,
    SAMPLE_SIZES,
    SMALLEST_LOT,
    TIGHTENED,
)


class Inspection(StrEnum):
    """How severe the inspection is."""

    NORMAL = "normal"
    TIGHTENED = "tightened"


TABLES = {Inspection.NORMAL: NORMAL, Inspection.TIGHTENED: TIGHTENED}


@dataclass(frozen=True, slots=True)
class SamplingPlan:
    """
    A single sampling plan for one lot.

    letter: code letter of the plan in use, after following arrows. size: pieces to inspect.
    accept, reject: acceptance and rejection number. whole_lot: the plan's sample is as large as the
    lot, so every piece is inspected.
    """

    letter: str
    size: int
    accept: int
    reject: int
    whole_lot: bool


def code_letter(lot: int, level: str) -> str:
    """
    Return the code letter for a lot.

    Table look-up.
    lot: count, at least 2. level: inspection level S-1, S-2, S-3, S-4, I, II or III.
    Returns a letter.
    Source: MIL-STD-105E, Table I.
    Errors: RangeError for a lot below 2 or another level.
    """
    count(lot, SMALLEST_LOT, "lot size")
    if level not in LEVELS:
        raise RangeError(f"There is no inspection level {level}; use {', '.join(LEVELS)}.")
    row = next(letters for most, letters in CODE_LETTERS if most is None or lot <= most)
    return row[LEVELS.index(level)]


def single_sampling_plan(lot: int, level: str, aql: float, inspection: Inspection) -> SamplingPlan:
    """
    Return the single sampling plan for a lot.

    Code letter of the lot, then the acceptance number at the AQL; an arrow leads to the first plan
    above or below it, of which the sample size is used too. With a sample as large as the lot
    every piece is inspected.
    lot: count, at least 2. level: as in code_letter. aql: per cent nonconforming, one of AQLS.
    inspection: normal or tightened.
    Returns a plan.
    Source: MIL-STD-105E, Tables I, II-A and II-B, see sampling_tables.
    Errors: RangeError for a lot below 2, another level or another AQL.
    """
    letter = code_letter(lot, level)
    if aql not in AQLS:
        offered = ", ".join(f"{value:g}" for value in AQLS)
        raise RangeError(f"There is no plan for an AQL of {aql:g} %; use {offered}.")
    letter, accept = _resolved(letter, AQLS.index(aql), inspection)
    size = SAMPLE_SIZES[LETTERS.index(letter)]
    return SamplingPlan(letter, min(size, lot), accept, accept + 1, size >= lot)


def _resolved(letter: str, column: int, inspection: Inspection) -> tuple[str, int]:
    """Follow the arrows of a column to the plan in use."""
    table = TABLES[inspection]
    row = LETTERS.index(letter)
    while True:
        cell = table[LETTERS[row]].split()[column]
        if cell == "dn":
            row += 1
        elif cell == "up":
            row -= 1
        else:
            return LETTERS[row], int(cell)
