"""
Render views as self-contained HTML: one file that works offline, on a screen and on paper.

The templates arrange and name; every number in them is text of the view.
"""

import base64
import string
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache, partial
from itertools import groupby

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from speccomp import __version__
from speccomp.documents.caution_views import CautionCoverage
from speccomp.documents.comparison_views import ComparisonReport
from speccomp.documents.figure_views import ChartView
from speccomp.documents.views import (
    ControlPlan,
    ControlRow,
    ImageView,
    TitleBlock,
    WorkInstruction,
    cells,
)
from speccomp.render.drawing import drawing_text, with_document_fonts
from speccomp.render.fonts import outline, render_font_faces
from speccomp.render.markdown import render_inline, render_prose
from speccomp.render.square_code import render_square_code
from speccomp.resources import resource_folder

# How a cell of the control plan is shown, where it is more than its text.
_FORMS = {"Characteristic": "head", "Special": "mark", "Specification, tolerance": "requirement"}

# The first columns of the control plan are of the step.
_OF_STEP = 3

_LENGTHWISE = ("control_plan", "caution_coverage")

# Longer words than this do not fit into a column of a table.
_LONG_WORD = 18

# Signs that the style sheets print by themselves, and those every document may hold.
_SIGNS = string.printable + "•·–…«»"


def render_work_instruction(view: WorkInstruction) -> str:
    """Return the work instruction as one HTML file, for a screen and for A4 or Letter upright."""
    anchors = frozenset(
        {"steps", "safety", "needed", "acceptance", "records", "numbers", "history"}
        | {f"step-{step.id}" for step in view.steps}
    )
    words = "".join(drawing_text(image) for step in view.steps for image in step.images)
    return _render("work_instruction", view.title_block, {"view": view}, anchors, words)


def render_control_plan(view: ControlPlan) -> str:
    """Return the control plan as one HTML file, for a screen and for A4 or Letter lengthwise."""
    anchors = frozenset({"rows", "samples", "reactions", "history"})
    columns = view.columns[_OF_STEP:]
    content = {
        "view": view,
        "columns": columns,
        "steps": tuple(_by_step(view.rows)),
        "forms": tuple(_FORMS.get(column, "text") for column in columns),
    }
    return _render("control_plan", view.title_block, content, anchors)


def _by_step(rows: Iterable[ControlRow]) -> Iterator[Mapping[str, object]]:
    """Gather the rows of a step under its number, operation and machines, which it says once."""
    for _, group in groupby(rows, key=lambda row: row.step_id):
        of_step = tuple(group)
        yield {
            "heading": cells(of_step[0])[:_OF_STEP],
            "rows": tuple((row, cells(row)[_OF_STEP:]) for row in of_step),
        }


def render_caution_coverage(view: CautionCoverage) -> str:
    """Return the caution coverage as one HTML file, for a screen and for paper lengthwise."""
    anchors = frozenset({"materials", "coverage", "orphans", "advice", "sources", "history"})
    return _render("caution_coverage", view.title_block, {"view": view}, anchors)


def render_comparison(view: ComparisonReport) -> str:
    """Return the comparison report as one HTML file, for a screen and for paper upright."""
    anchors = frozenset({"summary", "changes", "effects", "unchanged"})
    return _render("comparison", view.title_block, {"view": view}, anchors)


def _render(
    name: str,
    title: TitleBlock,
    content: Mapping[str, object],
    anchors: frozenset[str],
    drawn: str = "",
) -> str:
    """
    Render the content first: the page around it carries the signs that the content uses.

    `drawn` are the words inside drawings.
    """
    words = {
        "title": title,
        "prose": partial(_markup, render_prose, anchors),
        "inline": partial(_markup, render_inline, anchors),
    }
    body = _environment().get_template(f"{name}.html").render(words, **content)
    return (
        _environment()
        .get_template("page.html")
        .render(
            title=title,
            generator=f"speccomp {__version__}",
            landscape=name in _LENGTHWISE,
            content=Markup(body),  # made by the template above
            fonts=Markup(render_font_faces(body + drawn + _SIGNS)),  # made of fonts
            draft_mark=_draft_mark(),
        )
    )


def _markup(
    render: Callable[[str, frozenset[str]], str], anchors: frozenset[str], text: str
) -> Markup:
    return Markup(render(text, anchors))  # Markdown lets no HTML through


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FileSystemLoader(resource_folder("templates")),
        undefined=StrictUndefined,
        autoescape=True,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["css_string"] = _css_string
    environment.filters["data_uri"] = _data_uri
    environment.filters["square_code"] = render_square_code
    environment.filters["chart_uri"] = _chart_uri
    environment.filters["breakable"] = _breakable
    return environment


def _css_string(text: str) -> Markup:
    """Return a text as a CSS string that cannot end its rule or its style element."""
    plain = set(string.ascii_letters + string.digits + " .,:;-–—()/·’")
    escaped = "".join(sign if sign in plain else f"\\{ord(sign):x} " for sign in text)
    return Markup(f'"{escaped}"')  # holds only plain signs and escapes


def _breakable(text: str) -> Markup:
    """Return a text whose long words may break anywhere, short ones and a last star nowhere."""
    words = f"{text[:-2]}\xa0*" if text.endswith(" *") else text
    return Markup(" ").join(map(_breakable_word, words.split(" ")))


def _breakable_word(word: str) -> str:
    if len(word) > _LONG_WORD:
        return Markup('<span class="long">{}</span>').format(word)
    if "-" in word:
        return Markup('<span class="whole">{}</span>').format(word)
    return word


def _data_uri(image: ImageView) -> str:
    data = base64.b64encode(with_document_fonts(image)).decode("ascii")
    return f"data:{image.media_type};base64,{data}"


def _chart_uri(chart: ChartView) -> str:
    from speccomp.render.chart import render_chart

    return f"data:image/svg+xml;base64,{base64.b64encode(render_chart(chart)).decode('ascii')}"


@cache
def _draft_mark() -> str:
    """Return the word DRAFT three times, upwards: a drawing for the margin, not text to be read."""
    word, gap = outline("DRAFT"), 2400
    length = 3 * word.width + 2 * gap
    places = range(word.width, length + 1, word.width + gap)
    words = "".join(
        f'<path transform="translate(0 {place}) rotate(-90)" d="{word.path}"/>' for place in places
    )
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {word.height} {length}" '
        f'fill="#7d8791">{words}</svg>'
    )
    return f"data:image/svg+xml;base64,{base64.b64encode(svg.encode()).decode('ascii')}"


def render_template(name: str, **content: object) -> str:
    """Return a page that is a template of its own; what it holds is text, and is escaped."""
    return _environment().get_template(name).render(**content)
