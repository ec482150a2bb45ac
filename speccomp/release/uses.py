"""Where a card, a block, another file or a piece of equipment is used."""

from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import PurePosixPath

from speccomp.documents.register import UseRow
from speccomp.model.effectivity import Status
from speccomp.release.history import Document, Revision
from speccomp.release.register import page_address

_ASKED = (Status.IN_FORCE, Status.PENDING)


def find_uses(
    documents: Iterable[Document], at: datetime, name: str, sha256: str = ""
) -> tuple[UseRow, ...]:
    """
    Return the revisions in force or waiting for their day that use a file or piece of equipment.

    `name` is a project path or the end of one, with or without the ending of the file, or the id
    of equipment; everything that is used when empty. With the digest of the file as it is now,
    each line tells whether the document was made with that or another content.
    """
    rows: list[UseRow] = []
    for document in documents:
        for revision in document.known(at):
            status = document.status(revision, at)
            if status in _ASKED:
                rows += _uses(document, revision, status, name, sha256)
    return tuple(rows)


def _uses(
    document: Document, revision: Revision, status: Status, name: str, sha256: str
) -> Iterator[UseRow]:
    subject = (document.number, revision.name, status.value)
    address = page_address(document.number)
    for use in revision.listed("uses"):
        path = str(use.get("path", ""))
        if not name or _is_named(path, name):
            same = use.get("sha256") == sha256
            changed = ("as it is now" if same else "changed since") if sha256 else ""
            yield UseRow(*subject, str(use.get("kind", "")), path, changed, address)
    for equipment in revision.details.get("equipment", []):
        if not name or equipment == name:
            yield UseRow(*subject, "equipment", equipment, "", address)


def _is_named(path: str, name: str) -> bool:
    stem = str(PurePosixPath(path).with_suffix(""))
    return any(known == name or known.endswith(f"/{name}") for known in (path, stem))
