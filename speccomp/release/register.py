"""The register: what is or was in force as of an instant, and the pages that show it."""

import json
from collections.abc import Iterable, Iterator, Mapping
from datetime import date, datetime
from typing import Any
from urllib.parse import quote

from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.release_record import COMPARISON, COMPARISON_PAGE, DOCUMENTS
from speccomp.archive.store import Archive
from speccomp.documents.register import (
    DocumentPage,
    Link,
    PeriodRow,
    Register,
    RegisterRow,
    RevisionView,
)
from speccomp.documents.views import Table
from speccomp.model.effectivity import Status, successor, superseded_at
from speccomp.release.history import Document, Review, Revision, instant, read_documents


def build_register(archive: Archive, at: datetime) -> Register:
    """Return the register as of an instant, from the ledger alone. Errors: ArchiveDamaged."""
    return register_of(read_documents(archive).values(), at)


def register_of(documents: Iterable[Document], at: datetime) -> Register:
    """Return the register of some documents as of an instant."""
    rows = (build_row(document, at) for document in documents if document.known(at))
    return Register(_text(at), tuple(rows))


def page_address(number: str) -> str:
    """Return where the static site keeps the page of a document, as a link to it."""
    return f"documents/{quote(quote(number, safe=''))}.html"


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
        approved=shown.approved,
        pending=", ".join(f"{r.name} from {r.text('effective_from')}" for r in pending),
        due=due,
        overdue=bool(due) and date.fromisoformat(due) < at.date(),
        address=page_address(document.number),
    )


def build_periods(documents: Iterable[Document], at: datetime) -> tuple[PeriodRow, ...]:
    """Return from when until when each released revision is or was in force."""
    return tuple(
        PeriodRow(
            document.number,
            revision.text("title"),
            revision.name,
            *_period(document, revision, at),
            document.status(revision, at).value,
            revision.approved,
            page_address(document.number),
        )
        for document in documents
        for revision in document.known(at)
    )


def _period(document: Document, revision: Revision, at: datetime) -> tuple[str, str]:
    """Return the first and the last day of a revision at the site, empty where there is none."""
    if document.status(revision, at) is Status.NEVER_IN_FORCE:
        return "", ""
    since, withdrawn = revision.text("effective_from"), revision.released.withdrawn_at
    other = successor(document.times, revision.released, at)
    ends = [document.revisions[other.order].text("effective_from")] if other else []
    if withdrawn is not None and withdrawn <= at:
        ends.append(withdrawn.date().isoformat())
    return since, min(ends, default="")


def build_page(archive: Archive, document: Document, at: datetime) -> DocumentPage:
    """Return the page of a document, with what only its files in the archive tell."""
    known = document.known(at)
    return DocumentPage(
        build_row(document, at),
        tuple(_revision(archive, document, revision, at) for revision in reversed(known)),
        _reviews(r for r in reversed(document.reviews) if instant(r.time) <= at),
    )


def _revision(
    archive: Archive, document: Document, revision: Revision, at: datetime
) -> RevisionView:
    required = revision.text("signatures") == "required"
    since, until = _period(document, revision, at)
    status = document.status(revision, at)
    files = archive.files(document.number, revision.version)
    return RevisionView(
        revision=revision.name,
        status=status.value,
        current=status is Status.IN_FORCE,
        period=" until ".join(filter(None, (since, until))),
        released=f"{_text(revision.released.released_at)} by {revision.controller}",
        ended=_ended(document, revision, at),
        reason=revision.text("reason"),
        summary=revision.text("summary"),
        change_class=revision.text("change_class"),
        lots=revision.text("lots"),
        digest=revision.text("content_sha512"),
        signatures="The plant requires signatures." if required else "Approvals may be unsigned.",
        approved=revision.approved,
        approvals=_approvals(revision),
        uses=_used(revision),
        changes=_changes(archive, document.number, revision),
        files=tuple(_links(document.number, revision, files)),
        comparison=_comparison(document.number, revision, files),
    )


def _ended(document: Document, revision: Revision, at: datetime) -> str:
    ended = superseded_at(document.times, revision.released, at)
    if ended is not None:
        other = successor(document.times, revision.released, at)
        by = f" by revision {other.revision}" if other else ""
        return f"Superseded on {_text(ended)}{by}."
    withdrawn = revision.released.withdrawn_at
    if withdrawn is not None and withdrawn <= at:
        why, signed = revision.withdrawal.get("meaning", ""), revision.withdrawal.get("signed")
        how = "" if signed else " (unsigned)"
        return f"Withdrawn on {_text(withdrawn)} by {revision.withdrawal.get('name')}{how}: {why}"
    return ""


def _approvals(revision: Revision) -> Table:
    rows = tuple(
        (
            str(item.get("role", "")),
            str(item.get("name", "")),
            _text(instant(str(item.get("time", "")))),
            "signed" if item.get("signed") else "unsigned",
        )
        for item in revision.listed("approvals")
    )
    return Table(("Role", "Name", "Time", "Signature"), rows)


def _used(revision: Revision) -> Table:
    files = tuple((str(u.get("kind")), str(u.get("path"))) for u in revision.listed("uses"))
    equipment = tuple(("equipment", str(name)) for name in revision.details.get("equipment", []))
    return Table(("Kind", "What"), files + equipment)


def _changes(archive: Archive, number: str, revision: Revision) -> Table:
    try:
        data = archive.read(number, revision.version, COMPARISON)
        changes: list[Mapping[str, Any]] = json.loads(data)["changes"]
        keys = ("title", "what", "before", "after", "significance")
        rows = tuple(tuple(str(change[key]) for key in keys) for change in changes)
    except (KeyError, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"what changed in {number} {revision.name} cannot be read") from error
    return Table(("What", "Change", "Before", "After", "Significance"), rows)


def _links(number: str, revision: Revision, files: Iterable[str]) -> Iterator[Link]:
    """Return links to the documents, those that are read by people first."""
    names = [name.removeprefix(DOCUMENTS) for name in files if name.startswith(DOCUMENTS)]
    for name in sorted(names, key=_reading_order):
        stem, _, ending = name.rpartition(".")
        words = f"{stem.replace('-', ' ').capitalize()} ({ending.upper()})"
        yield Link(words, quote(f"../{copy_name(number, revision.name, name)}"))


def _reading_order(name: str) -> tuple[int, bool, str]:
    stem, _, ending = name.rpartition(".")
    first = ("work-instruction", "control-plan", "caution-coverage")
    return (first.index(stem) if stem in first else len(first), ending != "pdf", ending)


def _comparison(number: str, revision: Revision, files: Iterable[str]) -> Link | None:
    if COMPARISON_PAGE not in files:
        return None
    place = copy_name(number, revision.name, COMPARISON_PAGE)
    return Link(f"Comparison with revision {revision.text('previous')}", quote(f"../{place}"))


def copy_name(number: str, revision: str, name: str) -> str:
    """Return where the static site keeps a copy of a released file."""
    return f"files/{quote(number, safe='')}/{quote(revision, safe='')}/{name}"


def _reviews(reviews: Iterable[Review]) -> Table:
    rows = tuple(
        (
            _text(instant(r.time)),
            r.revision,
            r.name,
            "signed" if r.signed else "unsigned",
            r.meaning,
            r.due,
        )
        for r in reviews
    )
    return Table(("Time", "Revision", "Name", "Signature", "Result", "Next review"), rows)


def _text(at: datetime) -> str:
    return f"{at:%Y-%m-%d %H:%M:%S} UTC"
