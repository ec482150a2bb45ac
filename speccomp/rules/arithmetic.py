"""Values with which the arithmetic cannot work."""

from collections.abc import Iterator

from speccomp.findings import Finding, Severity
from speccomp.rules.facts import Facts


def not_calculable(facts: Facts) -> Iterator[Finding]:
    """
    A value is possible as text, but the arithmetic cannot work with it.

    Why: what depends on it is not checked, and the numbers of the documents are missing; a check
        that did not run must not look like one that passed.
    Source: the range of validity of each formula.
    Bad:
        # plant.yaml
        elevation: 20000 m
    Good:
        # plant.yaml
        elevation: 1000 m
    """
    for gap in facts.derived.gaps:
        if gap.fault:
            reason = gap.reason.rstrip(".")
            yield Finding(
                Severity.ERROR,
                "value.not-calculable",
                gap.span if gap.span.file else facts.process.span,
                f"{reason[:1].lower()}{reason[1:]}",
                gap.hint,
                subject=gap.name,
            )
