"""Whether a check takes more or fewer pieces, and comes more or less often."""

import re
from fractions import Fraction

from speccomp.quantities import Kind, QuantityError, parse_toleranced

_COUNTED = re.compile(r"(?:every )?([1-9][0-9]*) ([a-z][a-z -]*?)(?:e?s)?")
_TIMES = frozenset({"h", "min", "d", "hour", "day", "week", "month", "year", "minute", "second"})
# What comes again within the next one; others cannot be ordered (common practice, no source).
_NESTED = ("part", "mix", "batch")
_CALENDAR = ("hour", "shift", "day", "week", "month", "quarter", "year")


def sample_change(before: str, after: str) -> str:
    """Return the name of the kind of change between two sample sizes."""
    old, new = _sample(before), _sample(after)
    if old is None or new is None:
        return "value-changed"
    if old == new:
        return "restated"
    # All pieces are never fewer than a number of them.
    return "sample-larger" if new > old else "sample-smaller"


def _sample(text: str) -> tuple[bool, int] | None:
    """Return whether all pieces are taken, and their number if not."""
    match = re.fullmatch(r"([0-9]+) ?(%?)", text.strip())
    if match is None or (match[2] and match[1] != "100"):
        return None
    return (True, 0) if match[2] else (False, int(match[1]))


def frequency_change(before: str, after: str) -> str:
    """Return the name of the kind of change between two frequencies."""
    old, new = _interval(before), _interval(after)
    if old is None or new is None or old[0] != new[0]:
        return "frequency-changed"
    if old == new:
        return "restated"
    return "more-often" if new[1] < old[1] else "less-often"


def _interval(text: str) -> tuple[str, Fraction] | None:
    """Return what a frequency is counted in, and how much of it passes between two checks."""
    tidy = re.sub(r"^(?:each|every) ", "", " ".join(text.lower().split()))
    for chain in (_NESTED, _CALENDAR):
        if tidy in chain:
            return chain[0], Fraction(chain.index(tidy))
    counted = _COUNTED.fullmatch(tidy)
    if counted and counted[2] not in _TIMES:
        return counted[2], Fraction(counted[1])
    try:
        value = parse_toleranced(tidy, Kind.TIME)
    except QuantityError:
        return None
    return ("time", value.exact_in(value.target, "s")) if value.target is not None else None


def period_change(before: str, after: str) -> str:
    """Return the name of the kind of change between two times for which something is kept."""
    old, new = _days(before), _days(after)
    if old is None or new is None:
        return "value-changed"
    if old == new:
        return "restated"
    return "kept-longer" if new > old else "kept-shorter"


def _days(text: str) -> Fraction | None:
    """Return a period in days, a month as the twelfth part of a year of 365.25 days."""
    match = re.fullmatch(r"([0-9]+) (day|week|month|year)s?", text.strip())
    lengths = {
        "day": Fraction(1),
        "week": Fraction(7),
        "month": Fraction(36525, 1200),
        "year": Fraction(36525, 100),
    }
    return int(match[1]) * lengths[match[2]] if match else None
