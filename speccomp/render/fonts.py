"""
The documents' typefaces, cut down to the signs a document uses.

The letters come from the package of Source Sans Pro; signs it lacks come from DejaVu Sans, which
Matplotlib carries. Both go into the document, so that it looks the same on every machine. The
families have names of our own: no font of the machine can stand in for them.
"""

import base64
import io
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path

from fontTools import subset
from fontTools.pens.svgPathPen import SVGPathPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont

TEXT_FAMILY = "Document Text"
SIGNS_FAMILY = "Document Signs"

_FEATURES = ["ccmp", "kern", "liga", "lnum", "locl", "mark", "mkmk", "ss04", "tnum", "zero"]


@dataclass(frozen=True, slots=True)
class Face:
    """One font file and the place it takes in its family."""

    family: str
    weight: int
    style: str
    file: Path


@cache
def _faces() -> tuple[Face, ...]:
    text = _package_folder("font_source_sans_pro") / "files"
    signs = _package_folder("matplotlib") / "mpl-data" / "fonts" / "ttf"
    return (
        Face(TEXT_FAMILY, 400, "normal", text / "SourceSansPro-Regular.ttf"),
        Face(TEXT_FAMILY, 600, "normal", text / "SourceSansPro-Semibold.ttf"),
        Face(TEXT_FAMILY, 700, "normal", text / "SourceSansPro-Bold.ttf"),
        Face(TEXT_FAMILY, 400, "italic", text / "SourceSansPro-It.ttf"),
        Face(SIGNS_FAMILY, 400, "normal", signs / "DejaVuSans.ttf"),
        Face(SIGNS_FAMILY, 700, "normal", signs / "DejaVuSans-Bold.ttf"),
    )


def _package_folder(package: str) -> Path:
    """Return the folder of an installed package without importing it."""
    spec = find_spec(package)
    if spec is None or spec.origin is None:
        raise FileNotFoundError(f"the installation lacks {package!r}; install speccomp again")
    return Path(spec.origin).parent


@cache
def _signs_of(file: Path) -> frozenset[str]:
    with TTFont(file, lazy=True) as font:
        return frozenset(map(chr, font.getBestCmap()))


@cache
def _held_by_all(family: str) -> frozenset[str]:
    """Return the signs that every face of a family holds."""
    return frozenset.intersection(*(_signs_of(f.file) for f in _faces() if f.family == family))


def text_font() -> Path:
    """Return the file of the text family's plain face, for words that are drawn as outlines."""
    return _faces()[0].file


def unprintable_signs(text: str) -> tuple[str, ...]:
    """Return the signs of a text that neither family holds, in order of code point."""
    held = _held_by_all(TEXT_FAMILY) | _held_by_all(SIGNS_FAMILY)
    return tuple(sorted(sign for sign in set(text) - held if sign.isprintable()))


def render_font_faces(text: str) -> str:
    """Return the `@font-face` rules, fonts inside, for all signs of a text."""
    signs = frozenset(sign for sign in text + "0123456789 " if sign.isprintable())
    lacking = signs - _held_by_all(TEXT_FAMILY)
    rules = []
    for face in _faces():
        wanted = lacking if face.family == SIGNS_FAMILY else signs
        data = _cut(face.file, wanted & _signs_of(face.file))
        if data:
            rules.append(_rule(face, data))
    return "\n".join(rules)


def _rule(face: Face, data: bytes) -> str:
    uri = "data:font/ttf;base64," + base64.b64encode(data).decode("ascii")
    return (
        f'@font-face{{font-family:"{face.family}";font-weight:{face.weight};'
        f'font-style:{face.style};src:url("{uri}") format("truetype")}}'
    )


@lru_cache(maxsize=64)
def _cut(file: Path, signs: frozenset[str]) -> bytes:
    """Return the font with these signs only; nothing for no sign at all."""
    if not signs:
        return b""
    options = subset.Options(
        layout_features=_FEATURES, hinting=False, notdef_outline=True, recalc_timestamp=False
    )
    options.drop_tables += ["FFTM"]
    with TTFont(file, recalcTimestamp=False) as font:
        subsetter = subset.Subsetter(options)
        subsetter.populate(unicodes=sorted(map(ord, signs)))
        subsetter.subset(font)
        output = io.BytesIO()
        font.save(output)
    return output.getvalue()


@dataclass(frozen=True, slots=True)
class Outline:
    """A word as an SVG path, y downwards, in a box from 0,0 of this width and height."""

    path: str
    width: int
    height: int


@cache
def outline(word: str) -> Outline:
    """Return the outlines of a word in the bold face, for marks that are drawn and not read."""
    with TTFont(_faces()[2].file, lazy=True) as font:
        glyphs, names = font.getGlyphSet(), font.getBestCmap()
        height = font["OS/2"].sCapHeight
        pen, left = SVGPathPen(glyphs, ntos=lambda number: f"{number:g}"), 0
        for letter in word:
            glyph = glyphs[names[ord(letter)]]
            glyph.draw(TransformPen(pen, (1, 0, 0, -1, left, height)))
            left += glyph.width
    return Outline(pen.getCommands(), left, height)
