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
from speccomp.cli.start import ends_calmly

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
# A file that is missing or cannot be read is a finding, in the form that was asked for.
FILES = click.argument(
    "files", nargs=-1, required=True, type=click.Path(path_type=Path, readable=False)
)


class Program(click.Group):
    """The commands; an interrupt or an output that takes no more ends them without a traceback."""

    def invoke(self, ctx: click.Context) -> object:
        """Run the command that was named."""
        with ends_calmly():
            return super().invoke(ctx)


@click.group(cls=Program, context_settings={"help_option_names": ["-h", "--help"]})
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
    speccomp itself failed, 4 when the output cannot be written.
    """
    from speccomp.cli.console import exit_status, show_cautions, show_findings, today
    from speccomp.pipeline import check_all

    if cautions and form != "text":
        raise click.UsageError("--cautions is for --format text")
    results = check_all(files, today(day), root)
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
@click.option(
    "--since",
    metavar="FILE_OR_GITREVISION",
    help="Mark what changed since a file, or since a git revision of each definition.",
)
@ON
@PROJECT
def compile_(
    files: tuple[Path, ...],
    out: Path,
    forms: tuple[str, ...],
    since: str | None,
    day: date | None,
    root: Path | None,
) -> None:
    """
    Compile definitions into work instructions and control plans.

    Nothing is written for a definition with errors. Other files in the folder stay; documents of
    an earlier compile that are not written again are removed where they are out of date. Exit
    status as for check, and 4 when the disk or the PDF renderer refused.
    """
    from speccomp.cli.compare import find_changes
    from speccomp.cli.compile import compile_all
    from speccomp.cli.console import exit_status, show_findings, today
    from speccomp.inputs.errors import InputError
    from speccomp.pipeline import Format, check_file

    results = {path: check_file(path, today(day), root) for path in files}
    show_findings(results.values(), "text", only_problems=True)
    formats = [Format(form) for form in forms] or list(Format)
    try:
        marks = find_changes(results, since, today(day), root) if since else {}
    except InputError as error:
        click.echo(f"error: {error}", err=True)
        sys.exit(2)
    refused = compile_all(results, out, formats, marks)
    sys.exit(exit_status(results.values()) or (4 if refused else 0))


@main.command("compare")
@click.argument("revisions", nargs=2, metavar="BEFORE AFTER")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "html", "pdf"]),
    default="text",
    show_default=True,
    help="How the report is written.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File to write the report to; the terminal when left out.",
)
@click.option("--exit-code", is_flag=True, help="Exit with 1 where anything changed.")
@click.option(
    "--archive",
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Archive in which NUMBER@REVISION is looked up.",
)
@ON
@PROJECT
def compare_(
    *,
    revisions: tuple[str, str],
    form: str,
    out: Path | None,
    exit_code: bool,
    archive: Path | None,
    day: date | None,
    root: Path | None,
) -> None:
    """
    Show what changed from one revision of a definition to another.

    BEFORE and AFTER are files, released PDF files, FILE@GITREVISION, or NUMBER@REVISION of an
    archive. Exit status: 0, or with --exit-code 1 where anything changed; 2 when a revision
    cannot be read, 4 when the report cannot be written.
    """
    from speccomp.cli.compare import compare_and_write
    from speccomp.cli.console import today

    if form == "pdf" and out is None:
        raise click.UsageError("--format pdf needs --out")
    compared, status = compare_and_write(revisions, today(day), (root, archive), form, out)
    differs = compared is not None and bool(compared.comparison.changes)
    sys.exit(status or int(exit_code and differs))


@main.command()
@click.argument("subject", metavar="RULE|FILE")
@click.argument("number", required=False)
@PROJECT
def explain(subject: str, number: str | None, root: Path | None) -> None:
    """
    Explain a rule, or a number that a definition's documents print.

    A rule: what it checks, why it matters, a failing and a passing example. A number, by the name
    beside its table: value, formula, inputs with their places, source; the beginning of names
    lists all numbers below it.
    """
    from speccomp.cli.console import show_page, today

    path = Path(subject)
    if number is None and not path.is_file() and path.suffix not in (".yaml", ".yml"):
        sys.exit(show_page(subject))
    from speccomp.cli.explain import show_beginnings, show_number
    from speccomp.pipeline import check_file

    result = check_file(path, today(None), root)
    sys.exit(show_beginnings(path, result) if number is None else show_number(path, result, number))


for command in (keys, approve, release, withdraw, review, register, verify):
    main.add_command(command)
