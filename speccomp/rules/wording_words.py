"""Words that leave the reader to decide, and values that stand in words only."""

import re
from collections.abc import Iterator
from functools import lru_cache

from speccomp.findings import Finding, Severity
from speccomp.model.process import Step
from speccomp.quantities import Toleranced
from speccomp.rules.facts import Facts
from speccomp.rules.passages import Passage, actions, criteria, in_english, orders
from speccomp.rules.words import VAGUE

_ABOUT = r"\b(?:about|around|circa|ca\.)\s{1,3}(?=\d)"
_WELL = (
    r"\b(?:mix|stir|shake|clean|rinse|wash|wipe|dry|blend)\b[^.;:,]{0,40}?"
    r"(?<!\bthe)(?<!\ba)(?<!\beach)(?<!\bevery)\s(?P<well>well)\b"
)
_SHOULD = re.compile(r"\b(?:should|ought to)\b", re.IGNORECASE)
_VALUE = re.compile(
    r"(?<![\w.,])(?P<number>\d++(?:[.,]\d++)?)(?:\s*(?:±|\+/-|to|–|-)\s*\d++(?:[.,]\d++)?)?\s*"
    r"(?:°\s?[CF]|deg[CF]|s|sec|seconds?|min|minutes?|h|hours?|d|days?|rpm|[km]?g|lb|oz|bar|[kM]?Pa"
    r"|psi)\b(?!-)"
)


@lru_cache(maxsize=16)
def _vague_pattern(more: tuple[str, ...], allowed: tuple[str, ...]) -> re.Pattern[str]:
    """Return the pattern of all vague words of a plant, the longest first."""
    permitted = {word.lower() for word in allowed}
    words = {word.lower() for word in (*VAGUE, *more)} - permitted
    parts = [rf"\b{re.escape(word)}(?!\w)" for word in sorted(words, key=lambda w: (-len(w), w))]
    parts += [_ABOUT] if "about" not in permitted else []
    parts += [_WELL] if "well" not in permitted else []
    return re.compile("|".join(parts), re.IGNORECASE)


def _texts(facts: Facts) -> Iterator[Passage]:
    process = facts.process
    if in_english(process):
        yield from (passage for _, passage in actions(process))
        yield from criteria(process)
        yield from orders(process)


def vague(facts: Facts) -> Iterator[Finding]:
    """
    A word leaves it to the reader how much or how well.

    Why: nobody can inspect `thoroughly`; two operators do two different things, and both are
        right.
    Source: common practice, no source. A plant adds words and allows others in its plant file.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste thoroughly.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste until no dry lump is left.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    """
    wording = facts.process.plant.wording
    pattern = _vague_pattern(wording.vague, wording.allowed)
    for passage in _texts(facts):
        for match in pattern.finditer(passage.text):
            group = match.lastgroup or 0
            yield Finding(
                Severity.WARNING,
                "wording.vague",
                passage.place(*match.span(group)),
                f"“{match[group].strip()}” does not say how much or how well",
                "say what is measured or seen, or give a limit",
                subject=passage.subject,
            )


def should(facts: Facts) -> Iterator[Finding]:
    """
    An instruction says `should`, which leaves people the choice.

    Why: what must be done is told with the plain verb; `should` is a recommendation.
    Source: ISO/IEC Directives, Part 2: verbal forms (from memory).
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste should stand level with the rim}]
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    for passage in _texts(facts):
        for match in _SHOULD.finditer(passage.text):
            yield Finding(
                Severity.WARNING,
                "wording.should",
                passage.place(*match.span()),
                f"“{match[0]}” leaves the choice to the reader",
                "use the plain verb for what must be, and delete what need not be",
                subject=passage.subject,
            )


def uncontrolled_value(facts: Facts) -> Iterator[Finding]:
    """
    A value stands in the words of an instruction and in none of the step's limits.

    Why: the control plan has no row for it, nobody records it, and a comparison of two revisions
        sees a changed sentence instead of a changed limit.
    Source: common practice, no source.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste for 4 min at 60 rpm.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits:
              mixing time: 3 to 5 min
              speed: {value: 60 ± 10 rpm, method: Display of the mixer}
    """
    for step, passage in actions(facts.process):
        for match in _VALUE.finditer(passage.text):
            if match["number"].replace(",", ".") not in _numbers(step):
                yield Finding(
                    Severity.WARNING,
                    "wording.uncontrolled-value",
                    passage.place(*match.span()),
                    f"“{match[0]}” stands in the words of `{step.id}` and in none of its limits",
                    "write it under limits, with its tolerance",
                    subject=passage.subject,
                )


def _numbers(step: Step) -> set[str]:
    """Return the numbers of a step's limits as they are written."""
    values = [c.requirement for c in step.characteristics if isinstance(c.requirement, Toleranced)]
    numbers = (n for v in values for n in (v.target, v.lower, v.upper) if n is not None)
    return {format(number, "f") for number in numbers}
