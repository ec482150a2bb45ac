"""Which documents of an earlier compile say something else than the definition says now."""

from collections.abc import Collection
from pathlib import Path

from speccomp.documents.change_bars import Since
from speccomp.inputs.errors import InputError
from speccomp.pipeline import Checked, Format, compile_documents, content_of

_STEMS = ("work-instruction", "control-plan", "caution-coverage")

OWN_NAMES = {
    **{f"{stem}.{form}": form for stem in _STEMS for form in (Format.HTML, Format.PDF)},
    **{f"control-plan.{form}": form for form in (Format.CSV, Format.XLSX)},
}
"""Names of all documents that are ever compiled, with their formats."""


def find_outdated(
    folder: Path, written: Collection[str], result: Checked, since: Since | None
) -> set[str]:
    """
    Return the names of our own documents in `folder` that must not stay beside those written now.

    An older document beside a newer one is a trap for whoever prints it. Those that would come
    out the same again stay: HTML and sheets with the same bytes, PDF files of the same content.
    """
    left = [name for name in OWN_NAMES if name not in written and (folder / name).is_file()]
    forms = {OWN_NAMES[name] for name in left} - {Format.PDF}
    fresh = compile_documents(result, forms, since=since) if forms else {}
    return {name for name in left if not _is_current(folder / name, fresh.get(name), result)}


def _is_current(path: Path, fresh: bytes | None, result: Checked) -> bool:
    from speccomp.inputs.pdf_files import read_content

    try:
        data = path.read_bytes()
        if OWN_NAMES[path.name] is Format.PDF:
            return read_content(data, str(path)) == content_of(result).text
    except (InputError, OSError):
        return False
    return data == fresh
