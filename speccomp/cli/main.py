"""
The commands; the only place that prints, exits, or asks for the day.

What a command works with is imported when it runs: the register answers at once.
"""

import sys
from datetime import date
from pathlib import Path

import click

from speccomp import __version__
from speccomp.cli.control import approve, keys, release, review, withdraw
from speccomp.cli.register import register, verify

ON = click.option(
    "--on",
    "day",
    type=click.DateTime(["%Y-%m-%d"]),
    help="Day on which waivers must hold; today when left out.",
)
PROJECT = click.option(
    "--project",
    "root",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Project folder that no reference may leave; looked for when left out.",
)
FILES = click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, message="speccomp %(version)s")
def main() -> None:
    """Compile process definitions into work instructions and control plans."""


@main.command()
@FILES
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "sarif"]),
    default="text",
    show_default=True,
    help="How the findings are written.",
)
@click.option(
    "--cautions",
    is_flag=True,
    help="Show also what calls for a caution, where, and what answers it.",
)
@ON
@PROJECT
def check(
    files: tuple[Path, ...], form: str, cautions: bool, day: date | None, root: Path | None
) -> None:
    """
    Check definitions, cards, plant files, step blocks or caution packs.

    Exit status: 0 without errors, 1 with errors, 2 when a file cannot be read, 3 when a rule of
    speccomp itself failed.
    """
    from speccomp.cli.console import exit_status, show_cautions, show_findings, today
    from speccomp.pipeline import check_file

    if cautions and form != "text":
        raise click.UsageError("--cautions is for --format text")
    results = [check_file(path, today(day), root) for path in files]
    show_findings(results, form)
    if cautions:
        show_cautions(results)
    sys.exit(exit_status(results))


@main.command("compile")
@FILES
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("out"),
    show_default=True,
    help="Folder to write to; the documents go to OUT/<number>/<revision>/.",
)
@click.option(
    "--format",
    "forms",
    type=click.Choice(["html", "pdf", "csv", "xlsx"]),
    multiple=True,
    help="Format to write, may be repeated; all when left out.",
)
@ON
@PROJECT
def compile_(
    files: tuple[Path, ...],
    out: Path,
    forms: tuple[str, ...],
    day: date | None,
    root: Path | None,
) -> None:
    """
    Compile definitions into work instructions and control plans.

    Nothing is written for a definition with errors. Exit status as for check, and 4 when the
    disk or the PDF renderer refused.
    """
    from speccomp.cli.compile import compile_all
    from speccomp.cli.console import exit_status, show_findings, today
    from speccomp.pipeline import Format, check_file

    results = {path: check_file(path, today(day), root) for path in files}
    show_findings(results.values(), "text", only_problems=True)
    formats = [Format(form) for form in forms] or list(Format)
    refused = compile_all(results, out, formats)
    sys.exit(exit_status(results.values()) or (4 if refused else 0))


@main.command()
@click.argument("subject")
def explain(subject: str) -> None:
    """Explain a rule: what it checks, why it matters, a failing and a passing example."""
    from speccomp.cli.console import show_page

    sys.exit(show_page(subject))


for command in (keys, approve, release, withdraw, review, register, verify):
    main.add_command(command)


if __name__ == "__main__":
    main()
