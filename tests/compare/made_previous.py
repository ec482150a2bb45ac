"""A definition beside the revision it follows, for the faults that only the two show together."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

from speccomp.findings import Finding
from speccomp.pipeline import check_file

_NOTE = "{{from: A, why: A reason, summary: A change, class: {0}, previous: {1}{2}}}"


def _made(
    previous: str, edit: tuple[str, str], class_: str = "editorial", more: str = ""
) -> Callable[[Path, date], tuple[Finding, ...]]:
    """Return what makes revision B of the base, whose note names a file beside revision A."""

    def make(folder: Path, today: date) -> tuple[Finding, ...]:
        path = folder / "definition.yaml"
        text = path.read_text(encoding="utf-8")
        (folder / "earlier.yaml").write_text(text.replace(*edit), encoding="utf-8")
        note = f"change: {_NOTE.format(class_, previous, more)}"
        history = "history: [{revision: A, date: 2026-01-05, summary: First issue}]"
        later = text.replace("revision: A\n", f"revision: B\n{note}\n{history}\n")
        path.write_text(later, encoding="utf-8")
        return check_file(path, today, folder).findings

    return make


PREVIOUS_CASES: dict[str, Callable[[Path, date], tuple[Finding, ...]]] = {
    "revision.class-contradicts": _made("earlier.yaml", ("82 ± 5 degC", "80 ± 5 degC")),
    "revision.previous-differs": _made("earlier.yaml", ("process: PD-100", "process: PD-101")),
    "revision.removal-unexplained": _made(
        "earlier.yaml",
        ("{mixing time: 3 to 5 min}", "{mixing time: 3 to 5 min, speed: 40 to 60 rpm}"),
        "safety",
    ),
    "revision.language-stale": _made(
        "earlier.yaml", ("title: ", "language: de\ntitle: "), "control"
    ),
    "revision.statement-unmatched": _made(
        "earlier.yaml",
        ("82 ± 5 degC", "80 ± 5 degC"),
        "safety",
        ", reasons: [{at: nowhere, why: A reason}]",
    ),
    "revision.previous-unread": _made("nowhere.yaml", ("82 ± 5 degC", "80 ± 5 degC")),
}
"""Faults by rule, each made in a copy of the base project."""
