"""The sources that travel inside a PDF file of a document."""

import io
import json
from pathlib import Path, PurePosixPath

from speccomp.inputs.errors import InputError
from speccomp.render.attachments import CONTENT

_MAGIC = b"%PDF-"
_LARGEST = 50_000_000


def is_pdf(data: bytes) -> bool:
    """Tell whether bytes are those of a PDF file."""
    return data.startswith(_MAGIC)


def extract_sources(data: bytes, name: str, target: Path) -> Path:
    """
    Write the files attached to a PDF file to an empty folder.

    Returns the path of the definition among them. `name` is what messages call the PDF file.
    Errors: InputError for a file that is no PDF, that carries no sources, or is damaged.
    """
    attached = _attached(data, name)
    definition = _definition(attached, name)
    total = sum(len(content) for content in attached.values())
    if total > _LARGEST:
        raise InputError(f"the files attached to {name} have {total} bytes; that is too much")
    for inside, content in attached.items():
        path = target / _safe(inside, name)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return target / _safe(definition, name)


def read_content(data: bytes, name: str) -> bytes:
    """
    Return the exact content that a PDF file was made from, as canonical JSON.

    Errors: InputError for a file that is no PDF or carries no content.
    """
    content = _attached(data, name).get(CONTENT)
    if content is None:
        raise InputError(f"{name} carries no sources; only documents made by this program do")
    return content


def _attached(data: bytes, name: str) -> dict[str, bytes]:
    """Return the attached files by name."""
    from pypdf import PdfReader
    from pypdf.errors import PyPdfError

    try:
        reader = PdfReader(io.BytesIO(data))
        return {file.name: bytes(file.content) for file in reader.attachment_list}
    except (PyPdfError, ValueError, KeyError, TypeError, OSError, RecursionError) as error:
        raise InputError(f"{name} cannot be read as a PDF file: {error}") from error


def _definition(attached: dict[str, bytes], name: str) -> str:
    """Return the name of the definition among attached files, from the content that lists them."""
    try:
        content = json.loads(attached[CONTENT])
        kinds = {str(file["path"]): str(file["kind"]) for file in content["files"]}
    except (KeyError, TypeError, ValueError) as error:
        raise InputError(
            f"{name} carries no sources; only documents made by this program do"
        ) from error
    found = next((path for path, kind in kinds.items() if kind == "definition"), "")
    if found not in attached:
        raise InputError(f"{name} does not carry the process definition it was made from")
    return found


def _safe(inside: str, name: str) -> Path:
    """Return an attached file's name as a path that stays in its folder."""
    path = PurePosixPath(inside)
    if path.is_absolute() or ".." in path.parts or "\\" in inside or not path.parts:
        raise InputError(f"{name} carries a file whose name leads out of its folder: `{inside}`")
    return Path(*path.parts)
