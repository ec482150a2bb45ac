"""Calibration: whether the gauges of a definition are in date, at its revision and today."""

from collections.abc import Iterator
from datetime import date

from speccomp.findings import Finding, Related, Severity
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic
from speccomp.rules.control_gauge import MEASURING, measurements
from speccomp.rules.facts import Facts


def _due(facts: Facts) -> Iterator[tuple[Equipment, date, Characteristic]]:
    """Go through the gauges with a due date, each once, with the first limit it measures."""
    seen: set[str] = set()
    for _, item, _, gauge in measurements(facts):
        due = gauge.calibration_due
        if gauge.type in MEASURING and due is not None and gauge.id not in seen:
            seen.add(gauge.id)
            yield gauge, due, item


def _days(first: date, second: date) -> str:
    days = (second - first).days
    return f"{days} day{'' if days == 1 else 's'}"


def calibration_overdue(facts: Facts) -> Iterator[Finding]:
    """
    A scale or gauge that the definition measures with is overdue at the date of the revision.

    Why: nothing shows that its readings are right, so nothing shows that the limits were held. The
        day that counts is the date of the revision, whenever the check runs: a definition that
        was right when it was issued stays right, and one dated ahead is judged by its own day. On
        the due date itself a gauge is still in date.
    Source: ISO 9001:2015, 7.1.5.2: calibrated at specified intervals.
    Bad:
        # plant.yaml
        equipment:
          timer: {type: timer, name: Timer of the shop, calibration_due: 2020-01-31}
        # definition.yaml
        steps:
          - id: mix
            operation: reblend
            material: powder
            do: Roll the closed container on the floor.
            with: [timer]
            limits: {rolling time: 3 to 5 min}
    Good:
        # plant.yaml
        equipment:
          timer: {type: timer, name: Timer of the shop, calibration_due: 2099-01-31}
        # definition.yaml
        steps:
          - id: mix
            operation: reblend
            material: powder
            do: Roll the closed container on the floor.
            with: [timer]
            limits: {rolling time: 3 to 5 min}
    """
    revised = facts.process.date or facts.today
    for gauge, due, item in _due(facts):
        if due < revised:
            yield Finding(
                Severity.ERROR,
                "control.calibration-overdue",
                gauge.span,
                f"the calibration of `{gauge.id}` was due on {due.isoformat()}, "
                f"{_days(due, revised)} before the date of the revision, {revised.isoformat()}",
                "calibrate it and write the next date, or name another gauge",
                (Related(item.span, f"it measures {item.name} here"),),
                gauge.id,
            )


def calibration_lapsed(facts: Facts) -> Iterator[Finding]:
    """
    A scale or gauge was in date at the revision, and its calibration has run out since.

    Why: the definition is right, but the gauge must not be used until it is calibrated, or the
        plant file has not been told that it was. Judged on the day of the check; a fault at the
        date of the revision is `control.calibration-overdue`.
    Source: ISO 9001:2015, 7.1.5.2: calibrated at specified intervals.
    Bad:
        # plant.yaml
        equipment:
          timer: {type: timer, name: Timer of the shop, calibration_due: 2026-06-30}
        # definition.yaml
        date: 2026-03-02
        steps:
          - id: mix
            operation: reblend
            material: powder
            do: Roll the closed container on the floor.
            with: [timer]
            limits: {rolling time: 3 to 5 min}
    Good:
        # plant.yaml
        equipment:
          timer: {type: timer, name: Timer of the shop, calibration_due: 2099-06-30}
        # definition.yaml
        date: 2026-03-02
        steps:
          - id: mix
            operation: reblend
            material: powder
            do: Roll the closed container on the floor.
            with: [timer]
            limits: {rolling time: 3 to 5 min}
    """
    revised = facts.process.date or facts.today
    for gauge, due, item in _due(facts):
        if revised <= due < facts.today:
            yield Finding(
                Severity.WARNING,
                "control.calibration-lapsed",
                gauge.span,
                f"the calibration of `{gauge.id}` was due on {due.isoformat()}, "
                f"{_days(due, facts.today)} ago",
                "calibrate it before it is used, and write the next date in the plant file",
                (Related(item.span, f"it measures {item.name} here"),),
                gauge.id,
            )
