"""Show on a terminal what calls for a caution, where, and what answers it."""

from collections.abc import Iterable

from speccomp.documents.caution_views import CautionCoverage, CoverageGroup, CoverageRow
from speccomp.render.excerpt import render_visible
from speccomp.render.paint import Painter, painter

_BOLD = "bold"
_FAINT = "dim"
_OPEN = "bold red"


def render_caution_matrix(view: CautionCoverage, colour: bool) -> str:
    """
    Return the coverage of one definition: place by place, one block of lines for each caution.

    An open one is told by the word OPEN, not by colour alone.
    """
    paint = painter(colour)
    title = view.title_block
    head = paint(render_visible(f"{title.number} {title.revision}  {title.title}"), _BOLD)
    counts = ", ".join(f"{number} {words}" for words, number in view.counts.rows)
    lines = [head, f"   {counts or 'nothing calls for a caution'}", ""]
    for group in view.groups:
        lines.extend(_group(group, paint))
    for topic, word, place in view.orphans.rows:
        lines.append(f"   {word:<8} {topic}: nothing calls for it ({render_visible(place)})")
    return "\n".join(lines).rstrip("\n") + "\n"


def _group(group: CoverageGroup, paint: Painter) -> Iterable[str]:
    yield paint(render_visible(group.heading), _BOLD)
    for row in group.rows:
        yield from _row(row, paint)
    yield ""


def _row(row: CoverageRow, paint: Painter) -> Iterable[str]:
    verdict = row.verdict if row.good else paint(f"OPEN: {row.verdict}", _OPEN)
    yield f"   {row.word:<8} {row.topic:<26} {verdict}"
    if row.answer:
        yield f"            by      {render_visible(row.answer)}"
    for number, fact in enumerate(row.facts):
        label = "because" if number == 0 else ""
        yield paint(f"            {label:<7} {render_visible(fact)}", _FAINT)
