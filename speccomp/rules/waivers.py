"""Findings that a person has accepted for a time, and waivers that do not hold."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta

from speccomp.findings import Finding, Severity
from speccomp.model.lookup import nearest
from speccomp.model.process import Process, Waiver
from speccomp.rules.table import RULES

LONGEST_YEARS = 2
"""Longest waiver, from the date of the revision (common practice, no source)."""

_READING = frozenset({"source", "schema", "value", "reference"})
_OWN = frozenset({"waiver", "internal"})
_SAFETY = frozenset({"caution", "container", "hazard", "cure.steam"})
"""Families of rules, and rules, that are about people's safety."""


def apply_waivers(
    findings: Iterable[Finding], process: Process, today: date
) -> tuple[Finding, ...]:
    """
    Mark the findings that a waiver in force covers, and add findings about the waivers.

    A waiver covers the findings of its rule whose subject is what it names under `at`. It is in
    force up to and including its last day, `until`. A finding about people's safety is waived only
    where the plant's policy names roles for that, and by one of them.
    """
    results = list(findings)
    about: list[Finding] = []
    for waiver in process.waivers:
        covered = [n for n, finding in enumerate(results) if _covers(waiver, finding)]
        faults = list(_faults(waiver, process, today, results, covered=bool(covered)))
        about.extend(faults)
        if waiver.until is None or any(fault.severity is Severity.ERROR for fault in faults):
            continue
        role = process.plant.roles.get(waiver.role, waiver.role)
        person = ", ".join(filter(None, (waiver.by, role)))
        for n in covered:
            reason = f"{waiver.why} ({person}, until {waiver.until.isoformat()})"
            results[n] = replace(results[n], waiver=reason)
    return (*results, *about)


def _covers(waiver: Waiver, finding: Finding) -> bool:
    return finding.rule == waiver.finding and finding.subject == waiver.at


def _faults(
    waiver: Waiver, process: Process, today: date, findings: list[Finding], *, covered: bool
) -> Iterator[Finding]:
    """Say what is wrong with a waiver; the first reason why it cannot hold is enough."""
    if waiver.finding not in RULES:
        yield _fault(
            waiver,
            "waiver.unknown-rule",
            f"there is no rule `{waiver.finding}`",
            nearest(waiver.finding, RULES),
        )
    elif reason := _forbidden(waiver.finding, process):
        yield _fault(
            waiver,
            "waiver.not-allowed",
            f"`{waiver.finding}` cannot be waived: {reason}",
            "delete the waiver and cure the fault",
        )
    elif not covered:
        yield _pointless(waiver, findings)
    elif unauthorised := _unauthorised(waiver, process):
        yield unauthorised
    elif waiver.until is not None and waiver.until < today:
        yield _fault(
            waiver,
            "waiver.expired",
            f"the waiver of `{waiver.finding}` at `{waiver.at}` ended on "
            f"{waiver.until.isoformat()}, {_days_ago(today - waiver.until)}",
            "cure the fault, or have the waiver renewed",
        )
    else:
        yield from _too_long(waiver, process)


def _fault(
    waiver: Waiver, rule: str, message: str, hint: str, severity: Severity = Severity.ERROR
) -> Finding:
    return Finding(severity, rule, waiver.span, message, hint, subject=waiver.finding)


def _forbidden(rule: str, process: Process) -> str:
    """Return why a rule cannot be waived at all, or nothing."""
    entry = RULES[rule]
    if entry.family in _OWN:
        return "a finding about waivers or about the program itself stands"
    if entry.family in _READING and Severity.ERROR in entry.severities:
        return "the file cannot be understood while it lasts"
    never = process.plant.waiver_policy.never
    if rule in never or entry.family in never:
        return "the plant's waiver policy says never"
    if _is_safety(rule) and not process.plant.waiver_policy.safety_roles:
        return "it is about people's safety, and the plant's waiver policy has no `safety_roles`"
    return ""


def _is_safety(rule: str) -> bool:
    return rule in _SAFETY or RULES[rule].family in _SAFETY


def _pointless(waiver: Waiver, findings: list[Finding]) -> Finding:
    elsewhere = sorted({f.subject for f in findings if f.rule == waiver.finding and f.subject})
    hint = f"write `at:` with one of: {', '.join(elsewhere)}" if elsewhere else "delete the waiver"
    return _fault(
        waiver,
        "waiver.pointless",
        f"`{waiver.finding}` finds nothing at `{waiver.at}`",
        hint,
        Severity.WARNING,
    )


def _unauthorised(waiver: Waiver, process: Process) -> Finding | None:
    policy = process.plant.waiver_policy
    roles = policy.safety_roles if _is_safety(waiver.finding) else policy.roles
    if not roles or waiver.role in roles:
        return None
    said = f"the role `{waiver.role}`" if waiver.role else "no role"
    return _fault(
        waiver,
        "waiver.not-authorised",
        f"the waiver by {waiver.by} gives {said}; the plant lets {', '.join(roles)} waive",
        f"have it accepted by one of them, and write `role: {roles[0]}`",
    )


def _days_ago(past: timedelta) -> str:
    return f"{past.days} {'day' if past.days == 1 else 'days'} ago"


def _too_long(waiver: Waiver, process: Process) -> Iterator[Finding]:
    if waiver.until is None or process.date is None:
        return
    latest = _years_later(process.date, LONGEST_YEARS)
    if waiver.until > latest:
        yield _fault(
            waiver,
            "waiver.too-long",
            f"the waiver holds until {waiver.until.isoformat()}, more than {LONGEST_YEARS} years "
            f"after the revision of {process.date.isoformat()}",
            f"write a day up to {latest.isoformat()}",
            Severity.WARNING,
        )


def _years_later(day: date, years: int) -> date:
    """Return the same day some years later; 28 February for a leap day; the last day there is."""
    year = min(day.year + years, date.max.year)
    try:
        return day.replace(year=year)
    except ValueError:
        return day.replace(year=year, day=28)
