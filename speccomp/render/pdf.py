"""
Render a document's HTML as PDF/A-3a: tagged, fonts inside, sources attached, the same bytes always.

The renderer sees nothing but the HTML: it may read `data:` addresses only, and no font of the
machine. What it complains about stops the document, because a page with a hole in it must not be
issued.
"""

import base64
import contextlib
import hashlib
import io
import logging
import re
import warnings
from collections.abc import Iterator, Sequence
from datetime import UTC, date, datetime, time
from html import unescape
from html.parser import HTMLParser
from types import ModuleType

from speccomp.documents.views import TitleBlock
from speccomp.render.attachments import Attachment
from speccomp.render.fonts import SIGNS_FAMILY, TEXT_FAMILY, unprintable_signs
from speccomp.render.pdf_structure import finish_structure

_VARIANT = "pdf/a-3a"
_UNDATED = date(1970, 1, 1)
_MISSING_LIBRARY = (
    "PDF needs the text layout library Pango, which is not on this machine. "
    "On Debian or Ubuntu: apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"
)


class PdfError(Exception):
    """A PDF that could not be made; the message says why."""


class PdfUnavailable(PdfError):  # noqa: N818  # named for what it says
    """The system libraries of the PDF renderer are missing; the message says what to install."""


class PdfFaulty(PdfError):  # noqa: N818  # named for what it says
    """The renderer complained; `messages` is what it said, in order."""

    def __init__(self, messages: Sequence[str]) -> None:
        self.messages = tuple(messages)
        super().__init__("the PDF would be incomplete: " + "; ".join(self.messages))


def render_pdf(html: str, title: TitleBlock, attachments: Sequence[Attachment] = ()) -> bytes:
    """
    Return the PDF of a document that `render.html` made.

    `title` gives the date that all times in the file are taken from.
    Errors: PdfUnavailable where the renderer cannot run; PdfFaulty where a part of the document
    cannot be shown, such as a broken picture or a sign that no font holds.
    """
    signs = unprintable_signs(_text(html))
    if signs:
        named = ", ".join(f"“{sign}” (U+{ord(sign):04X})" for sign in signs)
        raise PdfFaulty([f"the documents' fonts do not hold {named}"])
    renderer = _renderer()
    moment = datetime.combine(
        date.fromisoformat(title.date) if title.date else _UNDATED, time(), UTC
    )
    messages: list[str] = []
    with _collected(messages):
        try:
            data = _write(renderer, html, moment, attachments, messages)
        except renderer.urls.FatalURLFetchingError as error:
            messages.append(str(error))
    if messages:
        raise PdfFaulty([_readable(message, html) for message in dict.fromkeys(messages)])
    return data


def _renderer() -> ModuleType:
    """Import the renderer; it prints advice of its own where a library is missing."""
    try:
        with contextlib.redirect_stdout(io.StringIO()), warnings.catch_warnings():
            warnings.simplefilter("ignore")
            import weasyprint
    except OSError as error:
        raise PdfUnavailable(_MISSING_LIBRARY) from error
    module: ModuleType = weasyprint
    return module


def _write(
    renderer: ModuleType,
    html: str,
    moment: datetime,
    attachments: Sequence[Attachment],
    messages: list[str],
) -> bytes:
    files = sorted(attachments, key=lambda item: item.name.encode())
    fetcher = renderer.URLFetcher(
        allowed_protocols=frozenset({"data"}), allow_redirects=False, fail_on_errors=True
    )
    document = renderer.HTML(string=html, url_fetcher=fetcher).render(pdf_variant=_VARIANT)
    if document.metadata.created:
        document.metadata.created = document.metadata.modified = moment.isoformat()
    data: bytes = document.write_pdf(
        pdf_variant=_VARIANT,
        pdf_identifier=_identifier(html, files),
        attachments=[_attached(renderer, fetcher, item, moment) for item in files],
        finisher=lambda _, pdf: finish_structure(pdf),
    )
    for font in document.fonts.values():
        if font.missing or font.family not in {TEXT_FAMILY, SIGNS_FAMILY}:
            signs = "".join(sorted({*font.to_unicode.values(), *map(chr, font.missing)}))
            messages.append(f"no font of the documents holds “{signs}”")
    return data


def _identifier(html: str, attachments: Sequence[Attachment]) -> bytes:
    """Return the permanent identifier of the file: the start of a digest of all that goes in."""
    digest = hashlib.sha256(html.encode())
    for item in attachments:
        digest.update(f"\0{item.name}\0{hashlib.sha256(item.data).hexdigest()}".encode())
    return digest.hexdigest()[:32].encode()


def _attached(renderer: ModuleType, fetcher: object, item: Attachment, moment: datetime) -> object:
    """Hand a file over as a `data:` address: only there can its media type be stated."""
    coded = base64.b64encode(item.data).decode("ascii")
    when = (item.modified or moment).astimezone(UTC)
    return renderer.Attachment(
        url=f"data:{item.media_type};base64,{coded}",
        url_fetcher=fetcher,
        name=item.name,
        description=item.description,
        created=when,
        modified=when,
        relationship=item.relationship,
    )


class _Collector(logging.Handler):
    def __init__(self, messages: list[str]) -> None:
        super().__init__(logging.WARNING)
        self._messages = messages

    def emit(self, record: logging.LogRecord) -> None:
        self._messages.append(record.getMessage())


@contextlib.contextmanager
def _collected(messages: list[str]) -> Iterator[None]:
    """Add what the renderer and its font library log as warnings or errors to `messages`."""
    collector = _Collector(messages)
    loggers = [logging.getLogger(name) for name in ("weasyprint", "fontTools")]
    propagated = [logger.propagate for logger in loggers]
    for logger in loggers:
        logger.addHandler(collector)
        logger.propagate = False
    try:
        with warnings.catch_warnings():
            # The renderer leaves the file of its colour profile for the interpreter to close.
            warnings.simplefilter("ignore", ResourceWarning)
            yield
    finally:
        for logger, before in zip(loggers, propagated, strict=True):
            logger.removeHandler(collector)
            logger.propagate = before


def _readable(message: str, html: str) -> str:
    """Return a message that names a picture by its text alternative and not by its bytes."""

    def name(address: re.Match[str]) -> str:
        alternative = re.search(f'src="{re.escape(address[0])}" alt="([^"]*)"', html)
        return f"“{unescape(alternative[1])}”" if alternative else f"{address[0][:60]}…"

    return re.sub(r"data:[\w/+.;=-]+,[\w/+=%-]*", name, message)


class _TextOf(HTMLParser):
    """Collects what is read on the page."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.parts: list[str] = []
        self._style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._style = tag == "style"

    def handle_endtag(self, tag: str) -> None:
        self._style = False

    def handle_data(self, data: str) -> None:
        if not self._style:
            self.parts.append(data)


def _text(html: str) -> str:
    parser = _TextOf()
    parser.feed(html)
    parser.close()
    return "".join(parser.parts)
