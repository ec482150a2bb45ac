"""Whether the class that a change note gives agrees with what changed."""

from collections.abc import Iterator

from speccomp.compare.change import Change, Comparison
from speccomp.compare.outline import Printed
from speccomp.compare.significance import CLASSES, Significance
from speccomp.findings import Finding, Related, Severity

_SHOWN = 5


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
        note.span,
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
