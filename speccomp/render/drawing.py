"""Drawings (SVG) inside documents: their words are set in the documents' own fonts."""

import re

from speccomp.documents.views import ImageView
from speccomp.render.fonts import SIGNS_FAMILY, TEXT_FAMILY, render_font_faces

_TAG = r"""(?:[^>"']|"[^"]*"|'[^']*')*"""
_COMMENT_OR_ROOT = re.compile(
    rf"<!--.*?-->|<(?P<prefix>(?:[\w.-]+:)?)svg\b{_TAG}(?<!/)>", re.DOTALL
)
_COMMENT_OR_TAG = re.compile(rf"<!--.*?-->|<{_TAG}>", re.DOTALL)
_WORDS = re.compile(r"<(?:[\w.-]+:)?text\b")


def drawing_text(image: ImageView) -> str:
    """Return the words of a drawing; of a photograph nothing."""
    if image.media_type != "image/svg+xml":
        return ""
    return _COMMENT_OR_TAG.sub("", image.data.decode("utf-8", "replace"))


def with_document_fonts(image: ImageView) -> bytes:
    """
    Return a picture's bytes; a drawing with words brings the documents' fonts along.

    A browser gives a drawing no font of the page around it. The PDF renderer does, so there the
    rule that loads the fonts stays out of its sight in a media rule, which it passes over.
    """
    text = drawing_text(image)
    source = image.data.decode("utf-8", "replace") if text else ""
    found = (match for match in _COMMENT_OR_ROOT.finditer(source) if match["prefix"] is not None)
    root = next(found, None)
    if root is None or not _WORDS.search(source):
        return image.data
    prefix = root["prefix"]
    style = (
        f"<{prefix}style>@media all{{{render_font_faces(text)}}}"
        f'text,tspan,textPath{{font-family:"{TEXT_FAMILY}","{SIGNS_FAMILY}"!important}}'
        f"</{prefix}style>"
    )
    return (source[: root.end()] + style + source[root.end() :]).encode()
