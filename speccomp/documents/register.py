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

    `revision` is the one in force, empty for none; `pending` one that waits for its day. `due` is
    the day of the next review, `overdue` whether it has passed. `address` is that of its page.
    """

    number: str
    title: str
    revision: str
    status: str
    effective: str
    released: str
    pending: str
    due: str
    overdue: bool
    address: str = ""


@dataclass(frozen=True, slots=True)
class RevisionView:
    """A revision on the page of its document; `ended` says how it came out of force."""

    revision: str
    status: str
    effective: str
    released: str
    controller: str
    ended: str
    reason: str
    summary: str
    change_class: str
    lots: str
    digest: str
    signatures: str
    approvals: Table
    uses: Table
    changes: Table
    files: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class DocumentPage:
    """The page of a document: its line, its revisions newest first, its reviews."""

    row: RegisterRow
    revisions: tuple[RevisionView, ...]
    reviews: Table


@dataclass(frozen=True, slots=True)
class UseRow:
    """A released document that uses something; `changed` tells it was made with other bytes."""

    number: str
    revision: str
    status: str
    kind: str
    path: str
    changed: str


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
        row.pending,
        due,
    )
