"""Definitions that are checked together and cannot stand beside one another."""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.model.process import Process


def check_together(definitions: Iterable[tuple[Path, Process]]) -> Iterator[tuple[int, Finding]]:
    """
    Yield a finding for each definition that has number and revision of one before it.

    Each definition comes with its project folder; the number is its place among them. The same
    file given twice is one definition.
    """
    first: dict[tuple[str, str], tuple[Path, Process]] = {}
    for index, (root, process) in enumerate(definitions):
        before, other = first.setdefault((process.number, process.revision), (root, process))
        span = process.place("process")
        there = before / other.place("process").file
        if there == root / span.file:
            continue
        # Places are named from the project folder of the file that the finding is about.
        seen = Path(os.path.relpath(there, root)).as_posix()
        name = f"{process.number} revision {process.revision}"
        yield (
            index,
            Finding(
                Severity.ERROR,
                "revision.duplicate",
                span,
                f"another file is {name} too; the documents of one would replace those of the "
                "other",
                "give one of them another number or its next revision, or check them apart",
                (Related(_in_file(other.place("process"), seen), f"{name} is here first"),),
                "process",
            ),
        )


def _in_file(span: Span, file: str) -> Span:
    return Span(file, span.line, span.column, span.end_line, span.end_column)
