"""What a picture is by its content, and whether it is safe to print."""

import re
from xml.parsers import expat

MAX_PIXELS = 40_000_000
"""Largest picture, in pixels; a small file can hold a far larger one."""
MAX_SVG_DEPTH = 100
"""Most elements inside one another in a drawing."""
MAX_SVG_ELEMENTS = 200_000
"""Most elements of a drawing, with its repeated parts."""

_PNG = b"\x89PNG\r\n\x1a\n"
_JPEG = b"\xff\xd8\xff"
# Start-of-frame markers, which hold the size: ITU-T T.81, table B.1.
_JPEG_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
_JPEG_ALONE = frozenset({0x01, *range(0xD0, 0xD8)})
# What runs, moves, or brings in other content.
_REFUSED_ELEMENTS = frozenset(
    {"script", "handler", "listener", "foreignobject", "iframe", "embed", "object", "audio"}
    | {"video", "animate", "animatemotion", "animatetransform", "animatecolor", "set"}
)
_INNER_LINK = re.compile(r"#|data:image/(?:png|jpeg);base64,", re.I)
_STYLE_LINK = re.compile(r"url\(\s*[\"']?(?!\s|#|[\"'])|@import|\\", re.I)


class ImageFault(Exception):  # noqa: N818  # it is a fault of the picture, not of the program
    """Why bytes are refused as a picture: the rest of a sentence about the file, and a hint."""

    def __init__(self, reason: str, hint: str = "use a PNG or JPEG picture instead") -> None:
        super().__init__(reason)
        self.reason = reason
        self.hint = hint


def check_image(data: bytes) -> str:
    """
    Return the media type of a picture; the name of its file does not matter.

    PNG: W3C Portable Network Graphics, third edition. JPEG: ITU-T T.81. SVG: W3C SVG 2.
    Raises ImageFault for anything else, for a picture that is too large, and for a drawing that
    runs a script, changes over time, declares entities or needs content from elsewhere.
    """
    if data.startswith(_PNG):
        _check_pixels(_png_size(data))
        return "image/png"
    if data.startswith(_JPEG):
        _check_pixels(_jpeg_size(data))
        return "image/jpeg"
    if data.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        _DrawingCheck().read(data)
        return "image/svg+xml"
    raise ImageFault("is not a PNG, JPEG or SVG picture by its content")


def _check_pixels(size: tuple[int, int]) -> None:
    width, height = size
    if width * height > MAX_PIXELS or width * height == 0:
        reason = f"has {width} × {height} pixels; 1 to {MAX_PIXELS} are possible"
        raise ImageFault(reason, "make the picture smaller")


def _png_size(data: bytes) -> tuple[int, int]:
    """Return width and height from the first chunk of a PNG."""
    if data[12:16] != b"IHDR" or len(data) < 33:
        raise ImageFault("is a PNG picture without its header", "save it again")
    return int.from_bytes(data[16:20]), int.from_bytes(data[20:24])


def _jpeg_size(data: bytes) -> tuple[int, int]:
    """Return width and height from the first frame of a JPEG."""
    at = 2
    while at + 9 <= len(data) and data[at] == 0xFF:
        marker = data[at + 1]
        if marker in _JPEG_FRAMES:
            return int.from_bytes(data[at + 7 : at + 9]), int.from_bytes(data[at + 5 : at + 7])
        if marker == 0xFF:
            at += 1
        elif marker in _JPEG_ALONE:
            at += 2
        else:
            at += 2 + max(2, int.from_bytes(data[at + 2 : at + 4]))
    raise ImageFault("is a JPEG picture without its size", "save it again")


class _DrawingCheck:
    """Reads an SVG once, with its elements and attributes as a renderer will see them."""

    def __init__(self) -> None:
        self._open: list[tuple[str, str, int]] = []
        self._count = 0
        self._style: list[str] = []
        self._sizes: dict[str, int] = {}
        self._repeated: list[str] = []
        self._repeating: set[str] = set()

    def read(self, data: bytes) -> None:
        """Raise ImageFault where the drawing is refused."""
        parser = expat.ParserCreate(encoding="utf-8")
        parser.buffer_text = True
        parser.XmlDeclHandler = self._declaration
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._text
        parser.EntityDeclHandler = self._entity
        parser.ProcessingInstructionHandler = self._instruction
        try:
            parser.Parse(data, True)
        except expat.ExpatError as error:
            reason = f"is not a readable SVG drawing; line {error.lineno} is no valid XML in UTF-8"
            raise ImageFault(reason) from None
        self._check_repeats()

    def _declaration(self, _version: str, encoding: str | None, _standalone: int) -> None:
        if encoding is not None and encoding.lower() not in ("utf-8", "us-ascii"):
            raise ImageFault(f"is in the encoding {encoding[:40]}", "save it in UTF-8")

    def _start(self, element: str, attributes: dict[str, str]) -> None:
        name = _local(element)
        if not self._open and name != "svg":
            raise ImageFault("is not a PNG, JPEG or SVG picture by its content")
        self._open.append((name, attributes.get("id", ""), self._count))
        self._count += 1
        if len(self._open) > MAX_SVG_DEPTH:
            raise ImageFault(f"holds elements more than {MAX_SVG_DEPTH} deep inside one another")
        if name in _REFUSED_ELEMENTS:
            raise ImageFault(f"holds a <{name}>", "save the drawing as a plain, still picture")
        for attribute, value in attributes.items():
            _check_attribute(attribute, value)
            if name == "use" and _local(attribute) == "href":
                self._repeated.append(value.strip()[1:])
                self._repeating.update(identity for _, identity, _ in self._open)

    def _end(self, _element: str) -> None:
        name, identity, before = self._open.pop()
        self._sizes[identity] = max(self._sizes.get(identity, 0), self._count - before)
        if name == "style":
            _check_style("".join(self._style))
            self._style.clear()

    def _text(self, text: str) -> None:
        if self._open and self._open[-1][0] == "style":
            self._style.append(text)

    def _entity(self, _name: str, *_declaration: object) -> None:
        raise ImageFault("declares an entity", "save the drawing without entities")

    def _instruction(self, target: str, _data: str) -> None:
        raise ImageFault(f"holds an instruction <?{target[:40]}>", "save it without style sheets")

    def _check_repeats(self) -> None:
        """Refuse parts repeated inside repeated parts, and more repeats than can be drawn."""
        if self._repeating.intersection(self._repeated):
            raise ImageFault("repeats parts that repeat others", "save it without <use>")
        drawn = sum(self._sizes.get(identity, 0) for identity in self._repeated)
        if drawn + self._count > MAX_SVG_ELEMENTS:
            reason = f"draws {drawn + self._count} elements; at most {MAX_SVG_ELEMENTS} are drawn"
            raise ImageFault(reason)


def _local(name: str) -> str:
    """Return a name without its prefix, in small letters, as HTML reads it."""
    return name.rpartition(":")[2].lower()


def _check_attribute(attribute: str, value: str) -> None:
    name = _local(attribute)
    if name.startswith("on"):
        raise ImageFault(f"holds the script attribute `{name[:40]}`", "delete it")
    if name in ("href", "src", "base") and not _INNER_LINK.match(value.strip()):
        raise ImageFault("needs content from elsewhere", "embed the content in the drawing")
    if ":" not in attribute and name != "href":
        _check_style(value)


def _check_style(text: str) -> None:
    if _STYLE_LINK.search(text):
        raise ImageFault("has a style that needs content from elsewhere", "embed the content")
