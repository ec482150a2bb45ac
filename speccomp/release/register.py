"""The register: what is in force as of an instant, and where things are used."""

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from typing import Any
from urllib.parse import quote

from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.store import Archive
from speccomp.documents.register import (
    DocumentPage,
    Link,
    Register,
    RegisterRow,
    RevisionView,
    UseRow,
)
from speccomp.documents.views import Table
from speccomp.model.effectivity import Status, superseded_at
from speccomp.release.history import Document, Review, Revision, instant, read_documents

_COMPARISON = "comparison.json"
_DOCUMENTS = "documents/"


def build_register(archive: Archive, at: datetime) -> Register:
    """Return the register as of an instant, from the ledger alone. Errors: ArchiveDamaged."""
    return register_of(read_documents(archive).values(), at)


def register_of(documents: Iterable[Document], at: datetime) -> Register:
    """Return the register of some documents as of an instant."""
    rows = (build_row(document, at) for document in documents if document.known(at))
    return Register(_text(at), tuple(rows))


def build_row(document: Document, at: datetime) -> RegisterRow:
    """Return the line of a document as of an instant."""
    current = document.current(at)
    shown = current or document.known(at)[-1]
    pending = [r for r in document.known(at) if document.status(r, at) is Status.PENDING]
    due = document.review_due(at)
    return RegisterRow(
        number=document.number,
        title=shown.text("title"),
        revision=current.name if current else "",
        status=document.status(shown, at).value,
        effective=current.text("effective_from") if current else "",
        released=f"{shown.released.released_at:%Y-%m-%d}",
        pending=", ".join(f"{r.name} from {r.text('effective_from')}" for r in pending),
        due=due,
        overdue=bool(due) and date.fromisoformat(due) < at.date(),
        address=f"documents/{quote(quote(document.number, safe=''))}.html",
    )


def find_uses(
    documents: Iterable[Document], at: datetime, name: str, sha256: str
) -> tuple[UseRow, ...]:
    """
    Return the revisions in force or waiting for their day that use a file or piece of equipment.

    `name` is a project path or the end of one, or the id of equipment. With the digest of the
    file as it is now, each line tells whether the document was made with that or another content.
    """
    rows: list[UseRow] = []
    for document in documents:
        for revision in document.known(at):
            status = document.status(revision, at)
            if status in (Status.IN_FORCE, Status.PENDING):
                rows += _uses(document, revision, status, name, sha256)
    return tuple(rows)


def _uses(
    document: Document, revision: Revision, status: Status, name: str, sha256: str
) -> Iterator[UseRow]:
    for use in revision.listed("uses"):
        path = str(use.get("path", ""))
        if path == name or path.endswith(f"/{name}"):
            same = use.get("sha256") == sha256
            changed = ("as it is now" if same else "changed since") if sha256 else ""
            kind = str(use.get("kind", ""))
            yield UseRow(document.number, revision.name, status.value, kind, path, changed)
    if name in revision.details.get("equipment", []):
        yield UseRow(document.number, revision.name, status.value, "equipment", name, "")


def build_page(archive: Archive, document: Document, at: datetime) -> DocumentPage:
    """Return the page of a document, with what only its files in the archive tell."""
    return DocumentPage(
        build_row(document, at),
        tuple(_revision(archive, document, r, at) for r in reversed(document.known(at))),
        _reviews(r for r in reversed(document.reviews) if instant(r.time) <= at),
    )


def _revision(
    archive: Archive, document: Document, revision: Revision, at: datetime
) -> RevisionView:
    required = revision.text("signatures") == "required"
    return RevisionView(
        revision=revision.name,
        status=document.status(revision, at).value,
        effective=revision.text("effective_from"),
        released=_text(revision.released.released_at),
        controller=revision.controller,
        ended=_ended(document, revision, at),
        reason=revision.text("reason"),
        summary=revision.text("summary"),
        change_class=revision.text("change_class"),
        lots=revision.text("lots"),
        digest=revision.text("content_sha512"),
        signatures="The plant requires signatures." if required else "Approvals may be unsigned.",
        approvals=_approvals(revision),
        uses=_used(revision),
        changes=_changes(archive, document.number, revision),
        files=tuple(_links(archive, document.number, revision)),
    )


def _ended(document: Document, revision: Revision, at: datetime) -> str:
    ended = superseded_at(document.times, revision.released, at)
    if ended is not None:
        return f"Superseded on {_text(ended)}."
    withdrawn = revision.released.withdrawn_at
    if withdrawn is not None and withdrawn <= at:
        return f"Withdrawn on {_text(withdrawn)}: {revision.withdrawal.get('meaning', '')}"
    return ""


def _approvals(revision: Revision) -> Table:
    rows = tuple(
        (
            str(item.get("role", "")),
            str(item.get("name", "")),
            str(item.get("time", "")),
            "signed" if item.get("signed") else "unsigned",
        )
        for item in revision.listed("approvals")
    )
    return Table(("Role", "Name", "Time (UTC)", "Signature"), rows)


def _used(revision: Revision) -> Table:
    files = tuple((str(u.get("kind")), str(u.get("path"))) for u in revision.listed("uses"))
    equipment = tuple(("equipment", str(name)) for name in revision.details.get("equipment", []))
    return Table(("Kind", "What"), files + equipment)


def _changes(archive: Archive, number: str, revision: Revision) -> Table:
    try:
        data = archive.read(number, revision.version, _COMPARISON)
        changes: list[Mapping[str, Any]] = json.loads(data)["changes"]
        keys = ("title", "what", "before", "after", "significance")
        rows = tuple(tuple(str(change[key]) for key in keys) for change in changes)
    except (KeyError, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"what changed in {number} {revision.name} cannot be read") from error
    return Table(("What", "Change", "Before", "After", "Significance"), rows)


def _links(archive: Archive, number: str, revision: Revision) -> Iterator[Link]:
    for name in archive.files(number, revision.version):
        if name.startswith(_DOCUMENTS):
            words = name.removeprefix(_DOCUMENTS)
            yield Link(words, quote(f"../{copy_name(number, revision.name, words)}"))


def copy_name(number: str, revision: str, name: str) -> str:
    """Return where the static site keeps a copy of a released file."""
    return f"files/{quote(number, safe='')}/{quote(revision, safe='')}/{name}"


def _reviews(reviews: Iterable[Review]) -> Table:
    rows = tuple((r.time, r.revision, r.name, r.meaning, r.due) for r in reviews)
    return Table(("Time (UTC)", "Revision", "Name", "Result", "Next review"), rows)


def _text(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M:%S} UTC"
