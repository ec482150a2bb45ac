"""What the commands show on the terminal."""

import os
import sys
from collections.abc import Iterable
from datetime import date, datetime
from pathlib import Path

import click

from speccomp import __version__
from speccomp.findings import Finding, Severity, has_errors
from speccomp.model.lookup import nearest
from speccomp.pipeline import Checked, caution_coverage_of
from speccomp.rules.table import RULES, page


def today(day: date | None) -> date:
    """Return the day asked for, or the day on the clock."""
    if isinstance(day, datetime):
        return day.date()
    return day or date.today()  # noqa: DTZ011  # the day on the user's own wall


def shown_path(result: Checked, file: str) -> str:
    """Return a project file as seen from the working folder."""
    path = Path(os.path.normpath(result.project.root / file))
    try:
        return path.relative_to(Path.cwd()).as_posix()
    except ValueError:
        return os.path.relpath(path) if path.is_absolute() else path.as_posix()


def show_findings(results: Iterable[Checked], form: str, *, only_problems: bool = False) -> None:
    """Print the findings of all files once, in the form asked for."""
    findings: dict[Finding, None] = {}
    texts: dict[str, str] = {}
    for result in results:
        texts |= {shown_path(result, name): text for name, text in result.texts.items()}
        findings |= dict.fromkeys(_with_shown_paths(result))
    found = tuple(findings)
    if form == "text":
        from speccomp.render.terminal import render_findings

        quiet = only_problems and not has_errors(found)
        if not quiet:
            click.echo(render_findings(found, texts, str, colour=_colour()), nl=False)
    elif form == "json":
        from speccomp.render.machine import render_findings_json

        click.echo(render_findings_json(found, str), nl=False)
    else:
        from speccomp.render.machine import render_sarif

        summaries = {name: rule.summary for name, rule in RULES.items()}
        click.echo(render_sarif(found, str, __version__, summaries), nl=False)


def show_cautions(results: Iterable[Checked]) -> None:
    """Print what calls for a caution in each definition that was read, and what answers it."""
    from speccomp.render.caution_matrix import render_caution_matrix

    for result in results:
        if result.coverage is not None:
            matrix = render_caution_matrix(caution_coverage_of(result), _colour())
            click.echo(f"\n{matrix}", nl=False)


def _colour() -> bool:
    """Tell whether a terminal shows colours; a closed output is no terminal."""
    return sys.stdout is not None and sys.stdout.isatty() and "NO_COLOR" not in os.environ


def _with_shown_paths(result: Checked) -> list[Finding]:
    from dataclasses import replace

    def shown(finding: Finding) -> Finding:
        related = tuple(
            replace(r, span=replace(r.span, file=shown_path(result, r.span.file)))
            for r in finding.related
        )
        span = replace(finding.span, file=shown_path(result, finding.span.file))
        return replace(finding, span=span, related=related)

    return [shown(finding) for finding in result.findings]


def exit_status(results: Iterable[Checked]) -> int:
    """Return 3 for a fault of our own, 2 for an unreadable file, 1 for errors, else 0."""
    found = [finding for result in results for finding in result.findings]
    rules = {f.rule for f in found if f.severity is Severity.ERROR and not f.waived}
    if any(rule.startswith("internal.") for rule in rules):
        return 3
    if any(rule.startswith("source.") for rule in rules):
        return 2
    return 1 if rules else 0


def show_page(subject: str) -> int:
    """Print the page of a rule; 2 when there is none of that name."""
    text = page(subject)
    if text is None:
        family = [name for name in RULES if name.startswith(f"{subject}.")]
        hint = f"rules of that family: {', '.join(family)}" if family else nearest(subject, RULES)
        click.echo(f"there is no rule `{subject}`; {hint}", err=True)
        return 2
    click.echo(f"{subject}\n\n{text}")
    return 0
