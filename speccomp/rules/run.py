"""Run all rules; one that fails does not hide what the others see."""

from collections.abc import Mapping

from speccomp.findings import Finding, Severity
from speccomp.rules.facts import Facts
from speccomp.rules.rule import Rule
from speccomp.rules.table import RULES

_LONGEST = 200


def check_rules(facts: Facts, rules: Mapping[str, Rule] = RULES) -> tuple[Finding, ...]:
    """
    Return the findings of all rules, in the order of the table.

    A rule that raises gives the finding `internal.rule-crashed`, an error that nobody can waive:
    a check that did not run must not look like one that passed.
    """
    found: list[Finding] = []
    for rule in rules.values():
        if rule.check is None:
            continue
        try:
            found.extend(rule.check(facts))
        except Exception as error:  # any failure of a rule is reported, none may stop the others
            found.append(_crashed(rule, error, facts))
    return tuple(found)


def _crashed(rule: Rule, error: Exception, facts: Facts) -> Finding:
    said = " ".join(str(error).split())[:_LONGEST]
    return Finding(
        Severity.ERROR,
        "internal.rule-crashed",
        facts.process.span,
        f"the rule `{rule.name}` failed: {type(error).__name__}{': ' if said else ''}{said}",
        "this is a fault of speccomp; report it with the files that show it",
        subject=rule.name,
    )
