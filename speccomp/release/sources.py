"""The sources of an archived revision, laid out again as a project."""

import json
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.release_record import SOURCES
from speccomp.archive.store import Archive
from speccomp.pipeline import Checked, check_file
from speccomp.render.attachments import CONTENT


def source_files(archive: Archive, number: str, version: int) -> dict[str, bytes]:
    """Return the sources of an archived version by project path. Errors: ArchiveDamaged."""
    return {
        name.removeprefix(SOURCES): archive.read(number, version, name)
        for name in archive.files(number, version)
        if name.startswith(SOURCES)
    }


def definition_path(content: bytes) -> str:
    """Return which of its files a content names as the definition. Errors: ArchiveDamaged."""
    try:
        files = json.loads(content)["files"]
        return str(next(file["path"] for file in files if file["kind"] == "definition"))
    except (KeyError, StopIteration, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"{CONTENT} does not name its definition") from error


@contextmanager
def laid_out(files: Mapping[str, bytes], content: bytes, today: date) -> Iterator[Checked]:
    """Check the definition among some sources, in a folder that lasts as long as the context."""
    with tempfile.TemporaryDirectory(prefix="speccomp-") as folder:
        root = Path(folder)
        for name, data in files.items():
            path = root / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
        yield check_file(root / definition_path(content), today, root)
