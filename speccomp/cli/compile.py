"""Compile the definitions that passed, and say what was written."""

from collections.abc import Sequence
from pathlib import Path

import click

from speccomp.pipeline import Checked, Format, compile_documents
from speccomp.render.files import DiskError, write_folder
from speccomp.render.pdf import PdfUnavailable


def compile_all(results: Sequence[Checked], out: Path, formats: Sequence[Format]) -> bool:
    """Write the documents of every definition that passed; tell whether anything refused."""
    refused = False
    for result in results:
        process = result.process
        if process is None or not result.passed:
            continue
        folder = out / process.number / process.revision
        try:
            files = compile_documents(result, formats)
        except PdfUnavailable as error:
            click.echo(f"error: {error}", err=True)
            refused = True
            files = compile_documents(result, [f for f in formats if f is not Format.PDF])
        try:
            write_folder(folder, files)
        except DiskError as error:
            click.echo(f"error: {error}", err=True)
            refused = True
        else:
            click.echo(f"{folder}: {', '.join(sorted(files))}")
    return refused
