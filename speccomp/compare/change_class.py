"""Whether a change note agrees with what changed: its class, its reasons, its statements."""

from collections.abc import Iterator

from speccomp.compare.change import Change, Comparison
from speccomp.compare.outline import Printed
from speccomp.compare.significance import CLASSES, Significance
from speccomp.compare.statements import reasons_for
from speccomp.findings import Finding, Related, Severity, Span
from speccomp.model.process import Replacement

_SHOWN = 5


_TEXTS = frozenset({"meaning", "rewritten", "wording", "text-added"})
"""Kinds of change of a text."""

_UNEXPLAINED = frozenset({"limit-removed", "limit-side-removed", "segment-removed"})
"""Kinds of change that let something pass that was not allowed, and need a reason each."""


def check_change_note(comparison: Comparison) -> Iterator[Finding]:
    """Yield all that a change note says wrongly, or does not say, about the comparison."""
    yield from check_change_class(comparison)
    yield from check_reasons(comparison)
    yield from _check_statements(comparison)
    yield from _check_language(comparison)


def check_reasons(comparison: Comparison) -> Iterator[Finding]:
    """Yield limits that were removed without a reason; none without a change note."""
    note = comparison.after.change
    for change in comparison.changes if note else ():
        if note and change.kind in _UNEXPLAINED and not any(reasons_for(note, change)):
            gone = change.before_span
            yield Finding(
                Severity.ERROR,
                "revision.removal-unexplained",
                note.span,
                f"the change note gives no reason for {in_words(change, Printed(comparison))}",
                f"add `{{at: {change.subject}, why: …}}` to `reasons` of the change note",
                (Related(gone, "the limit as it was"),) if gone else (),
                "change",
            )


def _check_language(comparison: Comparison) -> Iterator[Finding]:
    """Yield a language that is another one while every text is as it was."""
    before, after = comparison.before, comparison.after
    said = {change.kind for change in comparison.changes if change.path[0] in ("steps", "purpose")}
    if before.language != after.language and not said & _TEXTS:
        yield Finding(
            Severity.ERROR,
            "revision.language-stale",
            after.spans.get("language", after.span),
            f"the language is `{after.language}`, but the texts are those of revision "
            f"{before.revision}, which is in `{before.language}`",
            f"translate the texts, or write `language: {before.language}`",
            subject="language",
        )


def _check_statements(comparison: Comparison) -> Iterator[Finding]:
    """Yield reasons and statements for what did not change."""
    note = comparison.after.change
    if note is None:
        return
    explained = {r.span for change in comparison.changes for r in reasons_for(note, change)}
    for reason in note.reasons:
        if reason.span not in explained:
            yield _unmatched(reason.span, f"a reason for `{reason.at}`, where nothing changed")
    for one in note.like_for_like:
        if not any(_is_replaced(change, one) for change in comparison.changes):
            pair = f"`{one.equipment}` replaces `{one.replaces}`"
            yield _unmatched(one.span, f"the statement that {pair}, which no change shows")


def _is_replaced(change: Change, stated: Replacement) -> bool:
    """Tell whether a change is the replacement that is stated, by id or by the tag on the piece."""
    if change.kind not in ("equipment-replaced", "gauge-replaced"):
        return False
    if change.path[0] == "plant":
        return change.subject == stated.equipment == stated.replaces
    return (change.before, change.after) == (stated.replaces, stated.equipment)


def _unmatched(span: Span, what: str) -> Finding:
    return Finding(
        Severity.WARNING,
        "revision.statement-unmatched",
        span,
        f"the change note gives {what}",
        "correct the id, or delete the statement",
        subject="change",
    )


def check_change_class(comparison: Comparison) -> Iterator[Finding]:
    """
    Yield a finding where the change note of the later revision makes less of the change than it is.

    A class that is weightier than the content is no fault: its author may see what no comparison
    does.
    """
    note = comparison.after.change
    found = comparison.significance
    claimed = CLASSES.get(note.change_class) if note else None
    if note is None or claimed is None or found is None or claimed.rank <= found.rank:
        return
    weightier = [c for c in comparison.changes if c.significance.rank < claimed.rank]
    weightier.sort(key=lambda change: change.significance.rank)
    printed = Printed(comparison)
    more = len(weightier) - 1
    rest = f", and {more} more {'changes are' if more > 1 else 'change is'} weightier" * (more > 0)
    yield Finding(
        Severity.ERROR,
        "revision.class-contradicts",
        note.class_span,
        f"the change note says `{note.change_class}`, but {in_words(weightier[0], printed)}{rest}",
        f"write `class: {_class_of(found)}`, or take the change back",
        tuple(_related(weightier, printed)),
        "change",
    )


def in_words(change: Change, printed: Printed) -> str:
    """Return a change as part of a sentence, with both values where they are short."""
    before, after = ("; ".join(lines) for lines in printed.sides(change))
    values = ""
    if before and after and max(len(before), len(after)) <= 60:
        values = f", from {before} to {after}"
    return f"{change.title}: {change.words}{values} ({change.significance})"


def _class_of(significance: Significance) -> str:
    return next(name for name, value in CLASSES.items() if value is significance)


def _related(changes: list[Change], printed: Printed) -> Iterator[Related]:
    for change in changes[:_SHOWN]:
        span = change.after_span or change.before_span
        if span is not None:
            yield Related(span, in_words(change, printed))
