"""The parts that a definition is for."""

from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.rules.facts import Facts


def duplicate_number(facts: Facts) -> Iterator[Finding]:
    """
    Two parts have the same number.

    Why: fill volume and section are looked up by the number; with two entries one of them is
        wrong.
    Source: common practice, no source.
    Bad:
        parts:
          - {number: TH-8, name: Heater, drawing: D-1 rev 1, fill_volume: 6.2 ± 0.4 cm3}
          - {number: TH-8, name: Heater, drawing: D-1 rev 1, fill_volume: 7.1 ± 0.4 cm3}
    Good:
        parts:
          - {number: TH-8, name: Heater, drawing: D-1 rev 1, fill_volume: 6.2 ± 0.4 cm3}
          - {number: TH-9, name: Heater, drawing: D-2 rev 1, fill_volume: 7.1 ± 0.4 cm3}
    """
    seen: dict[str, Span] = {}
    for part in facts.process.parts:
        if part.number in seen:
            yield Finding(
                Severity.ERROR,
                "part.duplicate-number",
                part.span,
                f"two parts have the number {part.number}",
                "correct the number, or make one entry of the two",
                (Related(seen[part.number], "the first one is here"),),
                part.number,
            )
        seen.setdefault(part.number, part.span)


def no_drawing(facts: Facts) -> Iterator[Finding]:
    """
    A part has no drawing with its change level.

    Why: the control plan states the engineering change level that it was written for.
    Source: IATF 16949:2016, Annex A: engineering change level.
    Bad:
        parts:
          - {number: TH-8, name: Tubular heater}
    Good:
        parts:
          - {number: TH-8, name: Tubular heater, drawing: D-4410 rev 3}
    """
    for part in facts.process.parts:
        if not part.drawing:
            yield Finding(
                Severity.NOTE,
                "part.no-drawing",
                part.span,
                f"the part {part.number} has no drawing",
                "add `drawing: D-4410 rev 3`, with its change level",
                subject=part.number,
            )
