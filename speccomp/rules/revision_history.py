"""The history of a document: which revision came when."""

from collections.abc import Iterator
from itertools import pairwise

from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Earlier, Process
from speccomp.model.revisions import Revision, follows
from speccomp.rules.facts import Facts
from speccomp.rules.revision_index import read_revision


def _history(process: Process) -> list[tuple[Earlier, Revision]]:
    """Return the earlier revisions whose indexes can be read."""
    read = ((earlier, read_revision(process, earlier.revision)) for earlier in process.history)
    return [(earlier, revision) for earlier, revision in read if revision is not None]


def history_order(facts: Facts) -> Iterator[Finding]:
    """
    The history is not in the order of the revisions, or holds the present one.

    Why: the history is printed as it stands, and an auditor reads it as what happened.
    Source: ISO 9001:2015, 7.5.3.2 c: changes are controlled; the order is common practice.
    Bad:
        revision: C
        change: {from: B, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: B, date: 2025-06-02, summary: Finer scale}
          - {revision: A, date: 2025-06-02, summary: First issue}
    Good:
        revision: C
        change: {from: B, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
          - {revision: B, date: 2025-06-02, summary: Finer scale}
    """
    process = facts.process
    entries = _history(process)
    for (first, one), (second, other) in pairwise(entries):
        if not one < other:
            yield Finding(
                Severity.ERROR,
                "revision.history-order",
                second.span,
                f"revision {other.text} stands behind {one.text} in the history",
                "write the oldest revision first, and each of them once",
                (Related(first.span, f"revision {one.text}"),),
                "history",
            )
    now = read_revision(process, process.revision)
    said = process.change.from_revision if process.change else ""
    for earlier, revision in entries:
        # That the change is from this one is a fault of the index, which is found there.
        if now is not None and not revision < now and earlier.revision != said:
            yield Finding(
                Severity.ERROR,
                "revision.history-order",
                earlier.span,
                f"the history holds revision {revision.text}, which is not before the present "
                f"one, {now.text}",
                "the history holds earlier revisions only; raise `revision`",
                (Related(process.place("revision"), f"the revision is {now.text}"),),
                "history",
            )


def not_from_last(facts: Facts) -> Iterator[Finding]:
    """
    The change is from another revision than the last one of the history.

    Why: a change that starts from an older text takes back what was changed in between.
    Source: common practice, no source.
    Bad:
        revision: B
        change: {from: A, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: "-", date: 2025-01-14, summary: First issue}
    Good:
        revision: B
        change: {from: A, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
    """
    process = facts.process
    if process.change is None or not process.history:
        return
    last = process.history[-1]
    if last.revision != process.change.from_revision:
        yield Finding(
            Severity.ERROR,
            "revision.not-from-last",
            process.change.span,
            f"the change is from {process.change.from_revision}, but the history ends with "
            f"{last.revision}",
            f"write `from: {last.revision}`, or add the revisions that the history lacks",
            (Related(last.span, f"the last revision of the history, {last.revision}"),),
            "change",
        )


def history_gap(facts: Facts) -> Iterator[Finding]:
    """
    The history leaves a revision out.

    Why: a missing index looks like a revision that was lost or hidden.
    Source: common practice, no source.
    Bad:
        revision: D
        change: {from: C, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
          - {revision: C, date: 2025-06-02, summary: Finer scale}
    Good:
        revision: D
        change: {from: C, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
          - {revision: B, date: 2025-03-10, summary: Withdrawn before use}
          - {revision: C, date: 2025-06-02, summary: Finer scale}
    """
    for (first, one), (second, other) in pairwise(_history(facts.process)):
        if one < other and not follows(one, other):
            yield Finding(
                Severity.WARNING,
                "revision.history-gap",
                second.span,
                f"the history goes from {one.text} to {other.text}",
                "add the revision between them, also one that was withdrawn before use",
                (Related(first.span, f"revision {one.text}"),),
                "history",
            )


def date_in_future(facts: Facts) -> Iterator[Finding]:
    """
    The revision is dated after the day on which it is checked.

    Why: the date says when the revision was made; a wrong year there is copied into every record.
        From when on a revision holds is said when it is released.
    Source: ISO 7200:2004: date of issue; common practice, no source, for the order of the days.
    Bad:
        date: 2062-03-02
    Good:
        date: 2026-03-02
    """
    process, today = facts.process, facts.today
    if process.date is not None and process.date > today:
        days = (process.date - today).days
        yield Finding(
            Severity.WARNING,
            "revision.date-in-future",
            process.place("date"),
            f"the revision is dated {process.date.isoformat()}, {days} "
            f"{'day' if days == 1 else 'days'} after the day of the check, {today.isoformat()}",
            "write the day on which the revision was made; the day from which it holds is given "
            "at its release",
            subject="date",
        )


def date_order(facts: Facts) -> Iterator[Finding]:
    """
    A revision is dated before the one it follows.

    Why: which revision was in force on a day is decided by the dates.
    Source: ISO 7200:2004: date of issue; the order is common practice.
    Bad:
        revision: B
        date: 2024-03-02
        change: {from: A, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
    Good:
        revision: B
        date: 2026-03-02
        change: {from: A, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
    """
    process = facts.process
    dated = [(e.revision, e.date, e.span) for e in process.history]
    dated.append((process.revision, process.date, process.place("date")))
    for (before, earlier, place), (after, later, span) in pairwise(dated):
        if earlier and later and later < earlier:
            yield Finding(
                Severity.ERROR,
                "revision.date-order",
                span,
                f"revision {after} is dated {later.isoformat()}, before revision {before} of "
                f"{earlier.isoformat()}",
                "correct one of the two dates",
                (Related(place, f"revision {before} is of {earlier.isoformat()}"),),
                "date" if span == process.place("date") else "history",
            )
