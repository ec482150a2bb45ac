"""Compile the definitions that passed, and say what was written."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

import click

from speccomp.cli.leftovers import find_outdated
from speccomp.documents.change_bars import Since
from speccomp.findings import has_errors
from speccomp.pipeline import Checked, Format, compile_documents
from speccomp.render.files import DiskError, write_folder
from speccomp.render.pdf import PdfError


def compile_all(
    results: Mapping[Path, Checked],
    out: Path,
    formats: Sequence[Format],
    since: Mapping[Path, Since] = MappingProxyType({}),
) -> bool:
    """Write the documents of every definition that passed; tell whether anything was refused."""
    refused = False
    sources: dict[Path, Path] = {}
    for path, result in results.items():
        if has_errors(result.findings):
            continue
        process = result.process
        if process is None:
            _complain(f"{path} is no process definition; there is nothing to compile")
            refused = True
            continue
        folder = out / process.number / process.revision
        if folder in sources:
            other = sources[folder]
            _complain(f"{path} has number and revision of {other}; its documents are not written")
            refused = True
            continue
        sources[folder] = path
        refused |= not _write(folder, result, formats, since.get(path))
    return refused


def _write(folder: Path, result: Checked, formats: Sequence[Format], since: Since | None) -> bool:
    """Write the documents of one definition; tell whether all of them were."""
    complete = True
    try:
        files = compile_documents(result, formats, since=since)
    except PdfError as error:
        _complain(f"{folder}: {error}")
        complete = False
        rest = [f for f in formats if f is not Format.PDF]
        files = compile_documents(result, rest, since=since)
    if not files:
        return complete
    outdated = find_outdated(folder, files, result, since)
    try:
        write_folder(folder, files, outdated)
    except DiskError as error:
        _complain(str(error))
        return False
    click.echo(f"{folder}: {', '.join(sorted(files))}")
    if outdated:
        click.echo(f"{folder}: removed as out of date: {', '.join(sorted(outdated))}")
    return complete


def _complain(sentence: str) -> None:
    click.echo(f"error: {sentence}", err=True)
