"""The text of rendered pages, by section and by table row."""

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

_UNSEEN = dict.fromkeys(map(ord, "\u00ad\u200b\u2060\ufeff"))
_VOID = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}


def flat(text: str) -> str:
    """Return a text as it is read: without break points, spaces of all kinds as one."""
    return re.sub(r"\s+", " ", text.translate(_UNSEEN)).strip()


@dataclass
class Element:
    tag: str
    ident: str
    pieces: list[str] = field(default_factory=list)
    rows: list["Element"] = field(default_factory=list)

    @property
    def text(self) -> str:
        return flat("".join(self.pieces))


class Page(HTMLParser):
    """Sections of a page by their id, each with its text and the rows of its tables."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.sections: dict[str, Element] = {}
        self.body = Element("body", "")
        self._open: list[Element] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _VOID:
            return
        element = Element(tag, dict(attrs).get("id") or "")
        if element.ident:
            self.sections[element.ident] = element
        if tag == "tr":
            for outer in (self.body, *self._open):
                outer.rows.append(element)
        self._open.append(element)

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop().tag != tag:
            pass
        if tag in ("td", "th", "li", "p", "caption"):
            self.handle_data(" ")

    def handle_data(self, data: str) -> None:
        if any(element.tag in ("style", "script") for element in self._open):
            return
        for element in (self.body, *self._open):
            element.pieces.append(data)
