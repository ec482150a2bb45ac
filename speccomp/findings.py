"""What every stage says about the files a user wrote: places, findings, outcomes."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")


class Severity(StrEnum):
    """How much a finding matters; errors stop compilation, the others do not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """
    A stretch of text in one file of the project.

    `file` is the path inside the project folder with forward slashes. Lines and columns count
    characters from 1; the end is exclusive. A span without text has equal ends.
    """

    file: str
    line: int = 1
    column: int = 1
    end_line: int = 1
    end_column: int = 1

    def within(self, start: int, end: int) -> "Span":
        """Return the part from character `start` to `end` of a span that lies on one line."""
        if self.line != self.end_line:
            return self
        first = min(self.column + start, self.end_column)
        last = min(self.column + end, self.end_column)
        return Span(self.file, self.line, first, self.line, max(first, last))


@dataclass(frozen=True, slots=True)
class Related:
    """Another place that a finding is about, and what is to be seen there."""

    span: Span
    message: str


@dataclass(frozen=True, slots=True)
class Finding:
    """
    One fault: a sentence with the numbers that clash, and one that says what would be right.

    `rule` is the dotted name of the rule. `subject` is the id of the step, limit or field the
    finding is about; a waiver names it. `waiver` is the reason of the waiver that covers it.
    `paste` are lines that cure it, to be put into the file as they are.
    """

    severity: Severity
    rule: str
    span: Span
    message: str
    hint: str = ""
    related: tuple[Related, ...] = ()
    subject: str = ""
    waiver: str | None = None
    paste: str = ""

    def __post_init__(self) -> None:
        # Sentences quote what an author wrote, and a sentence stands on one line.
        object.__setattr__(self, "message", self.message.replace("\n", "⏎"))
        object.__setattr__(self, "hint", self.hint.replace("\n", "⏎"))

    @property
    def waived(self) -> bool:
        """Tell whether a waiver in force covers the finding."""
        return self.waiver is not None


@dataclass(frozen=True, slots=True)
class Outcome(Generic[T]):
    """What a stage made of its input, if anything, and what it has to say about it."""

    value: T | None
    findings: tuple[Finding, ...] = field(default=())


def has_errors(findings: Iterable[Finding]) -> bool:
    """Tell whether a finding stops compilation: an error that no waiver covers."""
    return any(f.severity is Severity.ERROR and not f.waived for f in findings)


def in_reading_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings by file and place, errors first where several share a place."""
    ranks = {severity: rank for rank, severity in enumerate(Severity)}
    return tuple(
        sorted(set(findings), key=lambda f: (f.span, ranks[f.severity], f.rule, f.message))
    )
