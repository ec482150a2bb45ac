"""Colour on a terminal, or none."""

from collections.abc import Callable

Painter = Callable[[str, str], str]
"""Gives a text a style, such as `bold red`."""


def painter(colour: bool) -> Painter:
    """Return what gives a text a style; without colour every text stays as it is."""
    return _paint if colour else _plain


def _paint(text: str, style: str) -> str:
    # Imported here: most checks are run by editors and scripts, which ask for no colour.
    from rich.color import ColorSystem
    from rich.style import Style

    return Style.parse(style).render(text, color_system=ColorSystem.STANDARD)


def _plain(text: str, style: str) -> str:
    del style  # what it asks for cannot be shown
    return text
