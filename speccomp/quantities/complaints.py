"""Forms that people write and the grammar does not take, each with the form it does take."""

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

from speccomp.quantities.errors import QuantityError

_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_Words = tuple[str, str]


def complaint_about(text: str, accepted: str) -> QuantityError | None:
    """
    Return what is wrong with a text that is written in a form known not to be read.

    `accepted` is the hint where the text gives no idea of what was meant.
    """
    for pattern, explain in _COMPLAINTS:
        if match := pattern.search(text):
            message, hint = explain(match)
            return QuantityError(message, match.start(), match.end(), hint or accepted)
    return None


def _comma(match: re.Match[str]) -> _Words:
    text = match[0]
    point = text.replace(",", ".")
    if re.fullmatch(r"[0-9]{1,3}(?:,[0-9]{3})+", text):
        whole = text.replace(",", "")
        choice = f"write `{whole}`" + (f" or `{point}`" if text.count(",") == 1 else "")
        return f"the comma in `{text}` may group thousands or mark the decimals", choice
    if text.count(",") > 1 or "." in text:
        return f"`{text}` has a comma", "write one number, with a point for the decimals"
    return f"`{text}` has a decimal comma", f"write `{point}`"


def _spaced(match: re.Match[str]) -> _Words:
    joined = "".join(match[0].split())
    return f"`{match[0]}` has a space inside the number", f"write `{joined}`"


def _colon(match: re.Match[str]) -> _Words:
    return (
        f"`{match[0]}` is two numbers, not one",
        "write one number: the parts of one component, or a time in `min`",
    )


def _vulgar(match: re.Match[str]) -> _Words:
    below = int(match["below"])
    if not below:
        return f"`{match[0]}` divides by zero", "write a decimal number"
    value = int(match["whole"] or 0) + Fraction(int(match["above"]), below)
    shown = Decimal(value.numerator) / Decimal(value.denominator)
    exact = Fraction(shown) == value and len(str(shown)) <= 12
    hint = f"write `{shown.normalize():f}`" if exact else "write a decimal number"
    return f"`{match[0]}` is a fraction", hint


def _leading_point(match: re.Match[str]) -> _Words:
    return f"`{match[0]}` has no digit before the point", f"write `0{match[0]}`"


def _trailing_point(match: re.Match[str]) -> _Words:
    return f"`{match[0]}` has no digit after the point", f"write `{match[0][:-1]}`"


def _lower_word(match: re.Match[str]) -> _Words:
    return (
        f"`{match['word']}` is not how a lower limit is written",
        f"write `at least {_rest(match)}`",
    )


def _upper_word(match: re.Match[str]) -> _Words:
    return (
        f"`{match['word']}` is not how an upper limit is written",
        f"write `at most {_rest(match)}`",
    )


def _rest(match: re.Match[str]) -> str:
    text = match.string
    outside = f"{text[: match.start('word')]} {text[match.end('word') :]}"
    return " ".join(outside.split()).strip(" .:=,")


def _roughly(match: re.Match[str]) -> _Words:
    return f"`{match['word']}` allows anything", ""


def _between(match: re.Match[str]) -> _Words:
    low, high = match["low"], match["high"]
    return f"`{match['word']}` is not needed in a range", f"write `{low} to {high}`"


def _hyphen(match: re.Match[str]) -> _Words:
    low, high = match["low"], match["high"].strip()
    return (
        f"`{match[0].strip()}` may be a range, or a tolerance on one side",
        f"write `{low} to {high}`, or `{low} +0/-{high}`",
    )


def _worded_hyphen(match: re.Match[str]) -> _Words:
    low, high = match["low"], match["high"].strip()
    return f"`{match[0].strip()}` may be a range", f"write `{low} to {high}`"


def _no_target(match: re.Match[str]) -> _Words:
    return f"`{match[0].strip()}` has no target", "write `0 ± 5 K`, or `at most 5 K`"


def _clock(match: re.Match[str]) -> _Words:
    minutes = Decimal(match["hours"]) * 60 + Decimal(match["minutes"])
    return f"`{match[0].strip()}` is two numbers, not one", f"write `{minutes.normalize():f} min`"


def _one_side(match: re.Match[str]) -> _Words:
    tolerance = match["tolerance"]
    return f"`{match[0].strip()}` has a tolerance on one side only", f"write `+{tolerance}/-0`"


def _two_units(match: re.Match[str]) -> _Words:
    return (
        f"`{match[0].strip()}` does not have one unit for both ends",
        "write both ends in one unit, as in `30 to 60 min`",
    )


def _empty(match: re.Match[str]) -> _Words:
    return "there is no value", ""


def _ambient(match: re.Match[str]) -> _Words:
    return f"`{match[0].strip()}` gives no limits", "write those of the shop, as in `18 to 26 degC`"


def _no_number(match: re.Match[str]) -> _Words:
    return f"`{match[0].strip()}` has no number", ""


_Explain = Callable[[re.Match[str]], _Words]
_LOWER_WORDS = (
    r"min(?:imum)?\.?|not less than|no less than|not under|more than|greater than|above|over|>"
)
_UPPER_WORDS = (
    r"max(?:imum)?\.?|not more than|no more than|not over|not to exceed|less than|up to|below"
    r"|under|<"
)
_ROUGH_WORDS = r"~|≈|about|approximately|approx\.?|circa|ca\.?|roughly|nominal(?:ly)?"

_COMPLAINTS: tuple[tuple[re.Pattern[str], _Explain], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), explain)
    for pattern, explain in (
        (r"^\s*$", _empty),
        (r"^\s*(?:ambient|(?:at )?(?:room|shop) ?temp(?:erature|\.)?|RT)\s*$", _ambient),
        (r"^[^0-9]*$", _no_number),
        (r"[0-9]+(?:[.,][0-9]+)*,[0-9]+(?:[.,][0-9]+)*", _comma),
        (r"(?<![0-9.])[0-9]{1,3}(?:[ \u00a0\u202f\u2009][0-9]{3})+(?![0-9/])", _spaced),
        (r"[0-9]+\s*:\s*[0-9]+", _colon),
        (
            r"(?<![+±0-9./])(?:(?P<whole>[0-9]+)\s+)?(?P<above>[0-9]+)\s*/\s*(?P<below>[0-9]+)"
            r"(?![0-9])",
            _vulgar,
        ),
        (r"(?<![0-9\w])\.[0-9]+", _leading_point),
        (r"[0-9]+\.(?![0-9])", _trailing_point),
        (rf"^\s*(?P<word>{_ROUGH_WORDS})", _roughly),
        (
            rf"^\s*(?P<word>from|between)\s+(?P<low>[-−+]?{_NUMBER})[^0-9]*?\b(?:to|and)\s+"
            r"(?P<high>.+?)\s*$",
            _between,
        ),
        (rf"^\s*(?P<word>{_LOWER_WORDS})(?![a-z])", _lower_word),
        (rf"^\s*(?P<word>{_UPPER_WORDS})(?![a-z])", _upper_word),
        (r"[0-9].*?\s(?P<word>minimum|or (?:more|longer|above|higher))\s*$", _lower_word),
        (r"[0-9].*?\s(?P<word>max(?:imum)?\.?|or (?:less|shorter|below|lower))\s*$", _upper_word),
        (r"^\s*(?:±|\+/[-−]|\+-).*$", _no_target),
        (rf"^\s*(?P<low>{_NUMBER})\s*[-−]\s*(?P<high>{_NUMBER}(?![/0-9]).*)$", _hyphen),
        (
            rf"^\s*(?P<low>{_NUMBER})\s*[^\W\d][^0-9+±/]*?\s*[-−]\s*(?P<high>{_NUMBER}[^+±/]*)$",
            _worded_hyphen,
        ),
        (
            rf"^\s*(?P<hours>{_NUMBER})\s*h(?:ours?|rs?)?\s*(?P<minutes>{_NUMBER})\s*"
            r"m(?:in(?:ute)?s?)?\s*$",
            _clock,
        ),
        (
            rf"^\s*[-−]?{_NUMBER}[^±+0-9]*\+\s*(?P<tolerance>{_NUMBER})(?!\s*/?\s*[-−0-9])[^±+]*$",
            _one_side,
        ),
        (
            rf"{_NUMBER}\s*(?!to\b)[^\W\d][^–—]*?\s*(?:\bto\b|[–—])\s*[-−+]?[0-9].*$",
            _two_units,
        ),
    )
)
"""Searched in this order; the first that is found explains the text."""
