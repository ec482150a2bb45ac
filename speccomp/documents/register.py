"""What the register shows, as plain text: documents, their revisions, what they use."""

from dataclasses import dataclass

from speccomp.documents.views import Table


@dataclass(frozen=True, slots=True)
class Link:
    """Something that can be opened: its words, and the address seen from the page."""

    words: str
    address: str


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """
    A document as one line.

    `revision` is the one in force, empty for none; `pending` one that waits for its day.
    `approved` tells whether its approvals are signed. `due` is the day of the next review,
    `overdue` whether it has passed. `address` is that of its page.
    """

    number: str
    title: str
    revision: str
    status: str
    effective: str
    released: str
    approved: str
    pending: str
    due: str
    overdue: bool
    address: str = ""


@dataclass(frozen=True, slots=True)
class RevisionView:
    """
    A revision on the page of its document.

    `period` says from when until when it is or was in force; `ended` how it came out of force.
    `comparison` leads to what changed since the revision before, None where there is none.
    """

    revision: str
    status: str
    current: bool
    period: str
    released: str
    ended: str
    reason: str
    summary: str
    change_class: str
    lots: str
    digest: str
    signatures: str
    approved: str
    approvals: Table
    uses: Table
    changes: Table
    files: tuple[Link, ...]
    comparison: Link | None


@dataclass(frozen=True, slots=True)
class DocumentPage:
    """The page of a document: its line, its revisions newest first, its reviews."""

    row: RegisterRow
    revisions: tuple[RevisionView, ...]
    reviews: Table

    @property
    def current(self) -> RevisionView | None:
        """The revision in force."""
        return next((revision for revision in self.revisions if revision.current), None)


@dataclass(frozen=True, slots=True)
class PeriodRow:
    """
    From when until when a revision is or was in force, as days at the site.

    `until` is empty while nothing has ended it; both are where it never came into force.
    """

    number: str
    title: str
    revision: str
    since: str
    until: str
    status: str
    approved: str
    address: str = ""


@dataclass(frozen=True, slots=True)
class UseRow:
    """A released document that uses something; `changed` tells it was made with other bytes."""

    number: str
    revision: str
    status: str
    kind: str
    path: str
    changed: str
    address: str = ""


@dataclass(frozen=True, slots=True)
class Register:
    """The register as of an instant, by document number."""

    as_of: str
    rows: tuple[RegisterRow, ...]


COLUMNS = (
    "Number",
    "Title",
    "In force",
    "Status",
    "Since",
    "Released",
    "Approvals",
    "Pending",
    "Review due",
)
"""Headings of the register; terminal, CSV and pages share them."""


def cells(row: RegisterRow) -> tuple[str, ...]:
    """Return the cells of a line in the order of the columns."""
    due = f"{row.due} (overdue)" if row.overdue else row.due
    return (
        row.number,
        row.title,
        row.revision,
        row.status,
        row.effective,
        row.released,
        row.approved,
        row.pending,
        due,
    )


PERIOD_COLUMNS = ("Number", "Title", "Revision", "In force from", "Until", "Status", "Approvals")
"""Headings of the list of periods."""


def period_cells(row: PeriodRow) -> tuple[str, ...]:
    """Return the cells of a period in the order of the columns."""
    return (
        row.number,
        row.title,
        row.revision,
        row.since,
        row.until,
        row.status,
        row.approved,
    )


USE_COLUMNS = ("Number", "Revision", "Status", "Kind", "What", "Content")
"""Headings of the list of uses."""


def use_cells(row: UseRow) -> tuple[str, ...]:
    """Return the cells of a use in the order of the columns."""
    return (row.number, row.revision, row.status, row.kind, row.path, row.changed)
