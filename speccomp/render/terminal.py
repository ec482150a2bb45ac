"""Show findings on a terminal: the place, the line with carets under the fault, what is wrong."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from speccomp.findings import Finding, Severity
from speccomp.render.excerpt import render_excerpt, render_visible
from speccomp.render.paint import Painter, painter
from speccomp.render.pastes import Paste, join_pastes, place_of

_STYLES = {
    Severity.ERROR: "bold red",
    Severity.WARNING: "bold yellow",
    Severity.NOTE: "bold cyan",
}
_FAINT = "dim"
_BOLD = "bold"


@dataclass(frozen=True, slots=True)
class Tally:
    """How many findings there are; a waived one counts as waived only."""

    errors: int
    warnings: int
    notes: int
    waived: int


def tally(findings: Iterable[Finding]) -> Tally:
    """Count findings by severity."""
    found = tuple(findings)
    counts = {
        severity: sum(f.severity is severity and not f.waived for f in found)
        for severity in Severity
    }
    return Tally(
        counts[Severity.ERROR],
        counts[Severity.WARNING],
        counts[Severity.NOTE],
        sum(f.waived for f in found),
    )


def render_findings(
    findings: Iterable[Finding],
    sources: Mapping[str, str],
    shown_path: Callable[[str], str],
    colour: bool,
) -> str:
    """
    Return the findings in the order given, and a line that counts them.

    `sources` holds the text of the files by the name that the spans use; a finding in a file that
    is not there is shown without its line. `shown_path` turns such a name into what is printed.
    Lines to paste that several findings have for one place stand together behind the findings.
    """
    found = tuple(findings)
    paint = painter(colour)
    pastes = join_pastes(found)
    joined = {(paste.file, paste.rule, paste.where) for paste in pastes}
    explained: set[str] = set()
    blocks = []
    for finding in found:
        shown = finding
        if place_of(finding) in joined:
            shown = replace(finding, hint="the lines to add stand below, with the others", paste="")
        blocks.append(_block(shown, sources, shown_path, paint, finding.rule not in explained))
        explained.add(finding.rule)
    blocks.extend(_together(paste, shown_path, paint) for paste in pastes)
    return "\n".join([*blocks, _summary(tally(found))])


def _together(paste: Paste, shown_path: Callable[[str], str], paint: Painter) -> str:
    place = paint(render_visible(shown_path(paste.file)), _BOLD)
    head = f"{place}: {paste.rule}, all {paste.count} at once: {render_visible(paste.where)}"
    return "\n".join([head, *map(render_visible, paste.lines.splitlines())]) + "\n"


def _block(
    finding: Finding,
    sources: Mapping[str, str],
    shown_path: Callable[[str], str],
    paint: Painter,
    explain: bool,
) -> str:
    span, style = finding.span, _STYLES[finding.severity]
    place = render_visible(f"{shown_path(span.file)}:{span.line}:{span.column}")
    waived = " (waived)" if finding.waived else ""
    name = paint(f"{finding.severity.value}{waived}", _FAINT if finding.waived else style)
    lines = [f"{paint(place, _BOLD)}: {name} {finding.rule}"]
    for row in render_excerpt(sources.get(span.file), span):
        lines.append(
            paint(row.margin, _FAINT) + (paint(row.text, style) if row.carets else row.text)
        )
    lines.append(f"   {render_visible(finding.message)}")
    if finding.hint:
        lines.append(f"   {paint('hint:', _BOLD)} {render_visible(finding.hint)}")
    # Lines to paste keep their own indentation, so nothing is put before them.
    lines.extend(render_visible(line) for line in finding.paste.splitlines())
    for other in finding.related:
        where = f"{shown_path(other.span.file)}:{other.span.line}:{other.span.column}"
        lines.append(f"   {paint('note:', _BOLD)} {render_visible(f'{where}: {other.message}')}")
    if finding.waiver is not None:
        lines.append(f"   {paint('waived:', _BOLD)} {render_visible(finding.waiver)}")
    if explain:
        lines.append(paint(f"   more: speccomp explain {finding.rule}", _FAINT))
    return "\n".join(lines) + "\n"


def _summary(count: Tally) -> str:
    named = (
        (count.errors, "error", "errors"),
        (count.warnings, "warning", "warnings"),
        (count.notes, "note", "notes"),
        (count.waived, "waived", "waived"),
    )
    parts = [f"{number} {one if number == 1 else many}" for number, one, many in named if number]
    return (", ".join(parts) or "no findings") + "\n"
