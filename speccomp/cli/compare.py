"""Compare two revisions, and write the report."""

import contextlib
from collections.abc import Callable, Mapping
from datetime import date
from pathlib import Path

import click

from speccomp.cli.console import show_findings
from speccomp.documents.change_bars import Since
from speccomp.inputs.errors import InputError
from speccomp.inputs.revision import open_revision
from speccomp.pipeline import Checked, Compared, changes_since, check_file, compare_checked
from speccomp.render.files import DiskError, write_file
from speccomp.render.pdf import PdfError

FORMATS = ("text", "json", "html", "pdf")

_UNREADABLE, _REFUSED = 2, 4


def compare_and_write(
    texts: tuple[str, str],
    day: date,
    places: tuple[Path | None, Path | None],
    form: str,
    out: Path | None,
) -> tuple[Compared | None, int]:
    """
    Compare two revisions and show or write the report.

    `places` are the project folder and the archive, where given. Returns the comparison and the
    exit status: 2 where a revision cannot be read, 4 where the report cannot be written.
    """
    root, archive = places
    try:
        with contextlib.ExitStack() as stack:
            opened = [stack.enter_context(open_revision(text, root, archive)) for text in texts]
            before, after = (check_file(one.path, day, one.root) for one in opened)
            if not _understood(before, after, texts):
                return None, _UNREADABLE
            compared = compare_checked(before, after, (opened[0].label, opened[1].label))
            return compared, _show(compared, form, out)
    except InputError as error:
        click.echo(f"error: {error}", err=True)
        return None, _UNREADABLE


def find_changes(
    results: Mapping[Path, Checked], since: str, day: date, root: Path | None
) -> dict[Path, Since]:
    """
    Return what changed in each definition since an earlier revision.

    `since` is a file, or the git revision of each definition's own file. Errors: InputError.
    """
    found = {}
    for path, result in results.items():
        if result.process is None:
            continue
        text = since if Path(since).exists() or "@" in since else f"{path}@{since}"
        with open_revision(text, root) as opened:
            before = check_file(opened.path, day, opened.root)
            if before.process is None:
                raise InputError(f"{text} cannot be compared with: it has errors")
            found[path] = changes_since(before, result)
    return found


def _understood(before: Checked, after: Checked, texts: tuple[str, str]) -> bool:
    """Tell whether both are definitions that can be compared; say what is wrong if not."""
    bad = [one for one in (before, after) if one.process is None]
    if bad:
        show_findings(bad, "text", only_problems=True)
    for one, text in zip((before, after), texts, strict=True):
        if one.process is None:
            click.echo(f"error: {text} cannot be compared", err=True)
    return not bad


def _show(compared: Compared, form: str, out: Path | None) -> int:
    """Write the report in one form; return the exit status."""
    try:
        data = _RENDERERS[form](compared)
        if out is None:
            click.echo(data.decode(), nl=False)
        else:
            write_file(out, data)
            click.echo(str(out))
    except (PdfError, DiskError) as error:
        click.echo(f"error: {error}", err=True)
        return _REFUSED
    return 0


def _text(compared: Compared) -> bytes:
    from speccomp.render.comparison_text import render_comparison_text

    return render_comparison_text(compared.report).encode()


def _json(compared: Compared) -> bytes:
    from speccomp.render.comparison_json import render_comparison_json

    effects = compared.effects
    text = render_comparison_json(compared.comparison, effects.numbers, effects.shared)
    return f"{text}\n".encode()


def _html(compared: Compared) -> bytes:
    from speccomp.render.html import render_comparison

    return render_comparison(compared.report).encode()


def _pdf(compared: Compared) -> bytes:
    from speccomp.render.html import render_comparison
    from speccomp.render.pdf import render_pdf

    return render_pdf(render_comparison(compared.report), compared.report.title_block)


_RENDERERS: dict[str, Callable[[Compared], bytes]] = {
    "text": _text,
    "json": _json,
    "html": _html,
    "pdf": _pdf,
}
