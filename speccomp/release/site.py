"""The register as a folder of pages that any web server, or none, can show."""

import json
from collections.abc import Iterable
from datetime import datetime
from urllib.parse import quote

from speccomp.archive.store import Archive
from speccomp.documents.register import COLUMNS, cells
from speccomp.release.history import Document, read_documents
from speccomp.release.register import build_page, copy_name, register_of
from speccomp.render.html import render_template

_DOCUMENTS = "documents/"


def build_site(archive: Archive, at: datetime) -> dict[str, bytes]:
    """
    Return the files of the site by name: the register, a page for each document, its files.

    Errors: ArchiveDamaged.
    """
    documents = read_documents(archive)
    register = register_of(documents.values(), at)
    rows = tuple((row, cells(row)) for row in register.rows)
    # A sign that could end the script element is written so that it cannot.
    codes = json.dumps(_codes(documents.values(), at), sort_keys=True).replace("<", "\\u003c")
    content = {"register": register, "rows": rows, "columns": COLUMNS, "codes": codes}
    files = {"index.html": render_template("register/index.html", **content).encode()}
    for row in register.rows:
        document = documents[row.number]
        page = build_page(archive, document, at)
        text = render_template("register/document.html", page=page, register=register)
        files[f"documents/{quote(row.number, safe='')}.html"] = text.encode()
        files |= _copies(archive, document, at)
    return files


def _codes(documents: Iterable[Document], at: datetime) -> dict[str, dict[str, list[str]]]:
    """Return digest, status and first day of each released revision, for the page's script."""
    return {
        document.number: {
            revision.name: [
                revision.text("content_sha512"),
                document.status(revision, at).value,
                revision.text("effective_from"),
            ]
            for revision in document.known(at)
        }
        for document in documents
        if document.known(at)
    }


def _copies(archive: Archive, document: Document, at: datetime) -> dict[str, bytes]:
    number, copies = document.number, {}
    for revision in document.known(at):
        for name in archive.files(number, revision.version):
            if name.startswith(_DOCUMENTS):
                place = copy_name(number, revision.name, name.removeprefix(_DOCUMENTS))
                copies[place] = archive.read(number, revision.version, name)
    return copies
