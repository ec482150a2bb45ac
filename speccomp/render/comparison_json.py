"""A comparison as JSON for other programs."""

import json
from collections.abc import Mapping, Sequence

from speccomp.compare.change import Change, Comparison
from speccomp.compare.change_class import check_change_note
from speccomp.compare.effects import NumberChange
from speccomp.compare.outline import both_sides
from speccomp.compare.paths import path_after, path_before
from speccomp.findings import Finding, Span


def render_comparison_json(
    comparison: Comparison,
    numbers: tuple[NumberChange, ...],
    shared: Mapping[str, Sequence[str]],
) -> str:
    """
    Return a comparison as JSON: the changes, weights, effects; values as lines of text.

    The README lists the keys; ids stand as they do in the files.
    """
    before, after = comparison.before, comparison.after
    note = after.change
    return json.dumps(
        {
            "before": {"number": before.number, "revision": before.revision},
            "after": {"number": after.number, "revision": after.revision},
            "class": note.change_class if note else "",
            "significance": comparison.significance,
            "note": [_finding(finding) for finding in check_change_note(comparison)],
            "changes": [_change(change) for change in comparison.changes],
            "numbers": [
                {
                    "name": number.name,
                    "title": number.title,
                    "before": number.before,
                    "after": number.after,
                    "per_cent": None if number.per_cent is None else str(number.per_cent),
                }
                for number in numbers
            ],
            "shared": {file: list(users) for file, users in shared.items()},
            "unchanged": list(comparison.unchanged),
        },
        ensure_ascii=False,
        indent=2,
    )


def _change(change: Change) -> dict[str, object]:
    size = change.size
    before, after = both_sides(change.before, change.after)
    related = [{"message": item.message, "place": _place(item.span)} for item in change.related]
    return {
        "kind": change.kind,
        "words": change.words,
        "subject": change.subject,
        "title": change.title,
        "significance": change.significance,
        "rules": list(change.rules),
        "before": list(before),
        "after": list(after),
        "size": None
        if size is None
        else {
            "of": size.of,
            "amount": str(size.amount),
            "unit": size.unit,
            "per_cent": None if size.per_cent is None else str(size.per_cent),
        },
        "paths": [
            {"before": list(path_before(path)), "after": list(path_after(path))}
            for path in change.covers
        ],
        "before_place": _place(change.before_span),
        "after_place": _place(change.after_span),
        "note": change.note,
        "related": related,
    }


def _finding(finding: Finding) -> dict[str, object]:
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "message": finding.message,
        "hint": finding.hint,
        "place": _place(finding.span),
    }


def _place(span: Span | None) -> dict[str, object] | None:
    if span is None:
        return None
    return {"file": span.file, "line": span.line, "column": span.column}
