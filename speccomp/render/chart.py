"""
Draw the cure chart as SVG: setpoint and its band, boiling, drying holds; the same bytes always.

It reads in black and white: what differs, differs in stroke or hatching too.
"""

import io
from typing import TYPE_CHECKING

from speccomp.documents.figure_views import ChartView
from speccomp.render.fonts import text_font

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.font_manager import FontProperties

_INK, _SOFT, _ACCENT, _GRID = "#17212b", "#46535f", "#0b5566", "#d5dbe0"
_BAND, _DRYING, _HATCH = "#c3d3d7", "#eef3f4", "#b3c0c6"
_WIDTH, _HEIGHT = 6.9, 2.9  # inches: the text width of an A4 page
_SIZE = 9.5
_METADATA = dict.fromkeys(("Date", "Creator", "Format", "Type"))
_SALT = "speccomp"
_HATCHING = 0.6


def render_chart(view: ChartView) -> bytes:
    """Return the cure chart as an SVG drawing with its words as outlines in the document's type."""
    import matplotlib as mpl
    from matplotlib.backends.backend_svg import FigureCanvasSVG
    from matplotlib.figure import Figure
    from matplotlib.font_manager import FontProperties

    font = FontProperties(fname=str(text_font()), size=_SIZE)
    with mpl.rc_context(
        {"svg.hashsalt": _SALT, "svg.fonttype": "path", "hatch.linewidth": _HATCHING}
    ):
        figure = Figure(figsize=(_WIDTH, _HEIGHT), layout="constrained")
        FigureCanvasSVG(figure)
        axes = figure.add_subplot()
        _draw_lines(axes, view)
        _draw_limits(axes, view, font)
        _name_holds(axes, view, font)
        _dress(axes, view, font)
        output = io.BytesIO()
        figure.savefig(output, format="svg", metadata=_METADATA)
    return output.getvalue()


def _draw_lines(axes: "Axes", view: ChartView) -> None:
    for start, end in view.drying:
        axes.axvspan(start, end, facecolor=_DRYING, edgecolor=_HATCH, hatch="//", lw=0, zorder=0)
    axes.fill_between(
        view.times, view.lower, view.upper, facecolor=_BAND, edgecolor=_SOFT, lw=0.6, zorder=2
    )
    axes.plot(view.times, view.nominal, color=_INK, lw=1.8, zorder=3)


def _draw_limits(axes: "Axes", view: ChartView, font: "FontProperties") -> None:
    """Draw boiling and the limit of a wet part, each with its name at the right end."""
    lines = (
        (view.boiling, "water boils", "-.", "bottom", 2),
        (view.allowed, "most for a wet part", ":", "top", -2),
    )
    for value, words, dashes, side, gap in lines:
        if value is None:
            continue
        axes.axhline(value, color=_ACCENT, lw=1.2, ls=dashes, zorder=4)
        axes.annotate(
            words,
            (view.times[-1], value),
            xytext=(-2, gap),
            textcoords="offset points",
            ha="right",
            va=side,
            color=_ACCENT,
            fontproperties=font,
            zorder=5,
        )


def _name_holds(axes: "Axes", view: ChartView, font: "FontProperties") -> None:
    for start, end in view.drying:
        axes.annotate(
            "drying hold",
            ((start + end) / 2, 0),
            xycoords=("data", "axes fraction"),
            xytext=(0, 6),
            textcoords="offset points",
            ha="center",
            color=_INK,
            fontproperties=font,
            bbox={"facecolor": "#ffffff", "edgecolor": "none", "pad": 1.5},
        )


def _dress(axes: "Axes", view: ChartView, font: "FontProperties") -> None:
    axes.set_xlim(0, view.times[-1])
    lines = [value for value in (view.boiling, view.allowed) if value is not None]
    low, high = min(view.lower), max([*view.upper, *lines])
    axes.set_ylim(low - 0.06 * (high - low), high + 0.1 * (high - low))
    axes.set_xlabel(view.time_label, fontproperties=font, color=_INK)
    axes.set_ylabel(view.temperature_label, fontproperties=font, color=_INK)
    axes.grid(color=_GRID, lw=0.5)
    axes.set_axisbelow(True)
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    axes.tick_params(colors=_INK)
    for label in (*axes.get_xticklabels(), *axes.get_yticklabels()):
        label.set_fontproperties(font)
