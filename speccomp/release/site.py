"""The register as a folder of pages that any web server, or none, can show."""

import json
import string
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime
from itertools import chain
from urllib.parse import quote

from speccomp.archive.release_record import COMPARISON_PAGE, DOCUMENTS
from speccomp.archive.store import Archive
from speccomp.documents.register import (
    COLUMNS,
    PERIOD_COLUMNS,
    cells,
    period_cells,
)
from speccomp.release.history import Document, read_documents
from speccomp.release.register import build_page, build_periods, copy_name, register_of
from speccomp.release.uses import find_uses
from speccomp.render.fonts import render_font_faces
from speccomp.render.html import render_template

_NEVER = datetime(9999, 1, 1, tzinfo=UTC)

# What the pages may hold besides; any other sign is shown in a font of the reader's machine.
_SIGNS = string.printable + "".join(map(chr, range(0xA1, 0x180))) + "–—‘’“”„…·−×≤≥°µ▲▼"


class SiteFiles(Mapping[str, bytes]):
    """The files of a site by name; what is copied from the archive is read when it is asked for."""

    def __init__(
        self,
        archive: Archive,
        pages: Mapping[str, bytes],
        copies: Mapping[str, tuple[str, int, str]],
    ) -> None:
        self._archive, self._pages, self._copies = archive, pages, copies

    def __getitem__(self, name: str) -> bytes:
        """Return the bytes of a file. Errors: KeyError, ArchiveDamaged."""
        return self._pages[name] if name in self._pages else self._archive.read(*self._copies[name])

    def __iter__(self) -> Iterator[str]:
        """Yield the names, pages first."""
        return chain(self._pages, self._copies)

    def __len__(self) -> int:
        """Return how many files there are."""
        return len(self._pages) + len(self._copies)


def build_site(archive: Archive, at: datetime) -> SiteFiles:
    """
    Return the files of the site by name: the register, a page for each document, its files.

    Beside the register there are a page that tells what was in force on a day, and one that tells
    where things are used. Errors: ArchiveDamaged.
    """
    documents = read_documents(archive)
    register = register_of(documents.values(), at)
    copies: dict[str, tuple[str, int, str]] = {}
    pages = {
        "style.css": render_template(
            "register/style.css", fonts=render_font_faces(_SIGNS)
        ).encode(),
        "index.html": _page("index", at=register.as_of, **_index(documents.values(), at)),
        "periods.html": _page("periods", at=register.as_of, **_periods(documents.values(), at)),
        "uses.html": _page("uses", at=register.as_of, **_uses(documents.values(), at)),
    }
    for row in register.rows:
        document = documents[row.number]
        page = build_page(archive, document, at)
        pages[_page_name(row.number)] = _page("document", at=register.as_of, page=page)
        copies |= _copies(archive, document, at)
    return SiteFiles(archive, pages, copies)


def names_of_documents(archive: Archive) -> frozenset[str]:
    """Return the names of all files that tell of one document, whenever it was released."""
    documents = read_documents(archive).values()
    copies = chain.from_iterable(_copies(archive, document, _NEVER) for document in documents)
    return frozenset((*copies, *(_page_name(document.number) for document in documents)))


def _page_name(number: str) -> str:
    return f"documents/{quote(number, safe='')}.html"


def _page(name: str, **content: object) -> bytes:
    return render_template(f"register/{name}.html", **content).encode()


def _index(documents: Iterable[Document], at: datetime) -> dict[str, object]:
    known = list(documents)
    rows = tuple((row.address, cells(row)) for row in register_of(known, at).rows)
    # A sign that could end the script element is written so that it cannot.
    codes = json.dumps(_codes(known, at), sort_keys=True).replace("<", "\\u003c")
    return {"rows": rows, "columns": COLUMNS, "codes": codes}


def _periods(documents: Iterable[Document], at: datetime) -> dict[str, object]:
    rows = tuple((row.address, period_cells(row)) for row in build_periods(documents, at))
    return {"rows": rows, "columns": PERIOD_COLUMNS}


def _uses(documents: Iterable[Document], at: datetime) -> dict[str, object]:
    found = sorted(find_uses(documents, at, ""), key=lambda use: (use.path, use.number))
    rows = tuple(
        (use.address, (use.path, use.kind, use.number, use.revision, use.status)) for use in found
    )
    return {"rows": rows, "columns": ("What", "Kind", "Number", "Revision", "Status")}


def _codes(documents: Iterable[Document], at: datetime) -> dict[str, dict[str, list[str]]]:
    """Return digest, status, first day and kind of approvals of each revision, for the script."""
    return {
        document.number: {
            revision.name: [
                revision.text("content_sha512"),
                document.status(revision, at).value,
                revision.text("effective_from"),
                revision.approved,
            ]
            for revision in document.known(at)
        }
        for document in documents
        if document.known(at)
    }


def _copies(archive: Archive, document: Document, at: datetime) -> dict[str, tuple[str, int, str]]:
    """Return number, version and name of what is copied, by the name that the site gives it."""
    number = document.number
    return {
        copy_name(number, revision.name, name.removeprefix(DOCUMENTS)): (
            number,
            revision.version,
            name,
        )
        for revision in document.known(at)
        for name in archive.files(number, revision.version)
        if name.startswith(DOCUMENTS) or name == COMPARISON_PAGE
    }
