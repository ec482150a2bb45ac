"""The commands that read the archive: register and verify."""

import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from speccomp.cli.control import ARCHIVE, AT, parse_moment, refusals

if TYPE_CHECKING:
    from speccomp.archive.store import Archive


@click.command()
@ARCHIVE
@click.option("--used", default="", help="Only where this file or piece of equipment is used.")
@click.option(
    "--now",
    "file",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="With --used: the file as it is now, to tell which documents were made with another.",
)
@click.option(
    "--revisions", is_flag=True, help="Every revision, and from when until when it was in force."
)
@click.option("--site", type=click.Path(path_type=Path, file_okay=False), help="Write pages here.")
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json", "csv"]),
    default="text",
    show_default=True,
    help="How the register is written.",
)
@AT
def register(  # one parameter for each option
    *,
    archive: Path,
    used: str,
    file: Path | None,
    revisions: bool,
    site: Path | None,
    form: str,
    moment: str | None,
) -> None:
    """
    Show what is in force, superseded, withdrawn or due for review.

    With --at: as of that point of time, by what was released by then.
    """
    at = parse_moment(moment)
    with refusals():
        if site is not None:
            _write_site(archive, site, at)
        elif used:
            _show_uses(archive, used, file, form, at)
        elif revisions:
            _show_periods(archive, form, at)
        else:
            _show_register(archive, form, at)


def _show_periods(archive: Path, form: str, at: datetime) -> None:
    from speccomp.archive.opening import open_archive
    from speccomp.documents.register import PERIOD_COLUMNS, period_cells
    from speccomp.release.history import read_documents
    from speccomp.release.register import build_periods

    periods = build_periods(read_documents(open_archive(archive)).values(), at)
    _show(form, PERIOD_COLUMNS, [period_cells(period) for period in periods])


def _show_register(archive: Path, form: str, at: datetime) -> None:
    from speccomp.archive.opening import open_archive
    from speccomp.documents.register import COLUMNS, cells
    from speccomp.release.register import build_register

    rows = build_register(open_archive(archive), at).rows
    _show(form, COLUMNS, [cells(row) for row in rows])


def _show_uses(archive: Path, used: str, file: Path | None, form: str, at: datetime) -> None:
    from speccomp.archive.digests import sha256
    from speccomp.archive.opening import open_archive
    from speccomp.documents.register import USE_COLUMNS, use_cells
    from speccomp.release.history import read_documents
    from speccomp.release.uses import find_uses

    digest = sha256(file.read_bytes()) if file else ""
    documents = read_documents(open_archive(archive)).values()
    rows = find_uses(documents, at, used, digest)
    # Without the file as it is now there is nothing to say about its content.
    shown = len(USE_COLUMNS) if file else len(USE_COLUMNS) - 1
    _show(form, USE_COLUMNS[:shown], [use_cells(row)[:shown] for row in rows])
    if not rows:
        click.echo(f"nothing that is released uses `{used}`", err=True)


def _show(form: str, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
    if form == "json":
        import json

        names = [column.lower().replace(" ", "_") for column in columns]
        document = [dict(zip(names, row, strict=True)) for row in rows]
        click.echo(json.dumps(document, ensure_ascii=False, indent=2))
    elif form == "csv":
        import csv

        writer = csv.writer(sys.stdout, lineterminator="\n")
        writer.writerows([columns, *rows])
    else:
        click.echo(_table(columns, rows))


def _table(columns: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a table of text; columns are as wide as their widest cell."""
    widths = [max(map(len, column)) for column in zip(columns, *rows, strict=True)]
    lines = [columns, ["-" * width for width in widths], *rows]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(line, widths, strict=True)).rstrip()
        for line in lines
    )


def _write_site(archive: Path, site: Path, at: datetime) -> None:
    from speccomp.archive.opening import open_archive
    from speccomp.release.site import build_site, names_of_documents
    from speccomp.render.files import DiskError, write_folder

    opened = open_archive(archive)
    files = build_site(opened, at)
    # Pages of what was released only later go; they may be there from another call.
    later = names_of_documents(opened) if site.exists() else frozenset()
    try:
        write_folder(site, files, later - files.keys())
    except DiskError as error:
        click.echo(f"error: {error}", err=True)
        sys.exit(4)
    click.echo(f"{site}: open index.html")


@click.command()
@ARCHIVE
@click.option("--document", "number", help="Verify only this document, and the ledger.")
@click.option("--code", help="Judge a printed copy: what its square code says, or typed.")
@click.option("--rebuild", "rebuilt", help="Compile a release again: NUMBER/REVISION.")
@click.option("--head", help="Digest noted earlier: the ledger must still hold that entry.")
@click.option(
    "--plant",
    type=click.Path(path_type=Path, dir_okay=False, exists=True),
    help="Plant file kept elsewhere: only the people and keys in it count.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="How the findings are written.",
)
@AT
def verify(  # noqa: PLR0913  # one parameter for each option
    *,
    archive: Path,
    number: str | None,
    code: str | None,
    rebuilt: str | None,
    head: str | None,
    plant: Path | None,
    form: str,
    moment: str | None,
) -> None:
    """
    Verify the archive, one document, a printed copy, or that a release compiles to its bytes.

    Exit status: 0 when all is well (a printed copy: current), 1 when not, 4 when the archive
    cannot be read.
    """
    with refusals():
        if code is not None:
            sys.exit(_judge(archive, code, parse_moment(moment)))
        if rebuilt is not None:
            sys.exit(_rebuild(archive, rebuilt))
        sys.exit(_verify(archive, number, (head, plant), form))


def _judge(archive: Path, code: str, at: datetime) -> int:
    from speccomp.model.issue import parse_sheet_code
    from speccomp.release.verifying import Verdict, judge_copy

    try:
        sheet = parse_sheet_code(code)
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--code") from error
    judged = judge_copy(archive, sheet, at)
    click.echo(f"{judged.verdict}: {judged.sentence}")
    return 0 if judged.verdict is Verdict.CURRENT else 1


def _rebuild(archive: Path, release: str) -> int:
    from speccomp.archive.opening import open_archive
    from speccomp.release.verifying import rebuild

    number, _, revision = release.rpartition("/")
    different = rebuild(open_archive(archive), number, revision)
    for name in different:
        click.echo(f"{number} {revision}: {name} comes out with other bytes")
    if not different:
        click.echo(f"{number} {revision}: every file comes out with the same bytes")
    return 1 if different else 0


def _verify(
    archive: Path, number: str | None, known: tuple[str | None, Path | None], form: str
) -> int:
    """Verify an archive by itself, then against a head and a plant file known from elsewhere."""
    from speccomp.archive.opening import open_archive
    from speccomp.archive.verify import check_head, verify_settled

    opened = open_archive(archive)
    head, plant = known
    found = [*verify_settled(archive, number), *(check_head(opened, head) if head else ())]
    if plant is not None:
        from speccomp.release.trust import check_against_plant

        found += check_against_plant(opened, plant)
    if form == "json":
        from speccomp.render.machine import render_findings_json

        click.echo(render_findings_json(found, str), nl=False)
    else:
        for finding in found:
            click.echo(f"{finding.severity} {finding.rule}: {finding.message}")
        if not found:
            _say_all_is_well(opened)
    return 1 if any(finding.severity == "error" for finding in found) else 0


def _say_all_is_well(archive: "Archive") -> None:
    from speccomp.release.history import read_documents

    last = archive.entries()[-1]
    click.echo(f"all is well; {last.seq} entries, head {last.sha256}")
    revisions = [r for document in read_documents(archive).values() for r in document.revisions]
    unsigned = sum(revision.approved != "signed" for revision in revisions)
    if unsigned:
        click.echo(
            f"{unsigned} of {len(revisions)} releases rest on unsigned approvals: "
            "nothing proves who gave them"
        )
