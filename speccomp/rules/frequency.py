"""How sample and frequency of a check are written."""

import re

_EVENT = (
    r"(?:batch|lot|shift|hour|day|week|month|quarter|year|part|piece|container|pack|delivery|"
    r"set-up|mix|cure run|run|order|load)"
)
_COUNTED = (
    r"(?:batch(?:es)?|lots?|parts?|pieces?|containers?|packs?|mix(?:es)?|cure runs?|runs?|loads?|"
    r"shifts?|orders?|deliver(?:y|ies)|discs?|shots?)"
)
_TIME = r"(?:s|min|h|d|minutes?|hours?|days?|weeks?|months?|quarters?|years?)"
_NUMBER = r"[1-9][0-9]{0,5}"
_MOMENT = (
    rf"(?:start|beginning|middle|end) of (?:the |each |every )?{_EVENT}"
    rf"|(?:first|last) (?:and last )?{_EVENT}(?: of (?:the |each |every )?{_EVENT})?"
    rf"|(?:before|after) (?:the |each |every |first )?(?:use|{_EVENT}|{_NUMBER} {_COUNTED})"
)
_PERIOD = rf"(?:{_NUMBER}(?:\.[0-9]{{1,3}})?|0\.[0-9]{{1,3}}) ?{_TIME}"
_ONE = (
    rf"(?:(?:each |every )?{_EVENT}|{_NUMBER} {_COUNTED}|(?:every )?{_PERIOD}|{_MOMENT}|continuous)"
)
_FREQUENCY = re.compile(rf"{_ONE}(?:(?:, | and |, and | then ){_ONE})*", re.IGNORECASE)
_VAGUE = re.compile(
    r"\b(?:(?:as|if|when|where|whenever) (?:needed|required|necessary|appropriate|possible)"
    r"|periodic(?:al(?:ly)?)?|regular(?:ly)?|occasional(?:ly)?|often|frequent(?:ly)?|sometimes"
    r"|random(?:ly)?|routine(?:ly)?|from time to time|now and then|at intervals|spot[- ]checks?"
    r"|(?:as )?per (?:procedure|plan|instruction)|as specified|adequate(?:ly)?|sufficient(?:ly)?"
    r"|some|several|a few|many|enough|normal(?:ly)?|usual(?:ly)?|tbd)\b",
    re.IGNORECASE,
)
_SAMPLE = re.compile(rf"{_NUMBER}|100 ?%")

EVENTS = ("batch", "lot", "shift", "part", "container", "set-up", "mix", "cure run", "hour")
"""Frequencies to suggest."""


def is_sample(text: str) -> bool:
    """Tell whether a text says how many are looked at: a whole number above 0, or 100 %."""
    return bool(_SAMPLE.fullmatch(text.strip()))


def is_frequency(text: str) -> bool:
    """
    Tell whether a text says when to check so that it can be planned.

    It names an event (`batch`), a moment (`start of shift`), a time (`2 h`), a number of things
    (`50 parts`), or several of these joined by `and`.
    """
    return bool(_FREQUENCY.fullmatch(" ".join(text.split())))


def vague_words(text: str) -> tuple[int, int] | None:
    """Return where a text leaves the frequency to the reader, as start and end."""
    match = _VAGUE.search(text)
    return match.span() if match else None
