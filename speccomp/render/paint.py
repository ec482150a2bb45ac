"""Colour on a terminal, or none."""

from collections.abc import Callable

from rich.color import ColorSystem
from rich.style import Style

Painter = Callable[[str, Style], str]


def painter(colour: bool) -> Painter:
    """Return what gives a text a style; without colour every text stays as it is."""
    return _paint if colour else _plain


def _paint(text: str, style: Style) -> str:
    return style.render(text, color_system=ColorSystem.STANDARD)


def _plain(text: str, style: Style) -> str:
    del style  # what it asks for cannot be shown
    return text
