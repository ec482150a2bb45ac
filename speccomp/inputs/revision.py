"""One revision of a definition, from wherever it is kept, as files on the disk."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from speccomp.archive.errors import ArchiveError
from speccomp.archive.opening import open_archive
from speccomp.archive.release_record import RELEASE, parse_release
from speccomp.inputs.errors import InputError
from speccomp.inputs.git_files import export_revision
from speccomp.inputs.pdf_files import extract_sources, is_pdf
from speccomp.source.reader import find_project


@dataclass(frozen=True, slots=True)
class RevisionFile:
    """
    A definition on the disk.

    `root` is its project folder, None where it is to be looked for; `label` says where it is
    from; `lasting` tells that the files stay when the revision is closed.
    """

    path: Path
    root: Path | None
    label: str
    lasting: bool


@contextmanager
def open_revision(
    text: str, root: Path | None = None, archive: Path | None = None
) -> Iterator[RevisionFile]:
    """
    Give the files of a revision, which are gone afterwards where they had to be unpacked.

    `text` is a file; a PDF file that carries its sources; `FILE@REVISION` for a file in a git
    revision; or with an archive, `NUMBER@REVISION` for a release in it. Errors: InputError.
    """
    path = Path(text)
    name, sign, revision = text.rpartition("@")
    with tempfile.TemporaryDirectory(prefix="speccomp-") as folder:
        target = Path(folder).resolve()
        if path.exists():
            yield _from_file(path, root, target)
        elif not sign:
            raise InputError(f"there is no file {text}")
        elif archive is not None and "/" not in name and not Path(name).suffix:
            yield _from_archive(archive, name, revision, target)
        else:
            yield _from_git(Path(name), root, revision, target)


def _from_file(path: Path, root: Path | None, target: Path) -> RevisionFile:
    if path.is_dir():
        raise InputError(f"{path} is a folder; name the file of a definition")
    with path.open("rb") as file:
        start = file.read(8)
    if not is_pdf(start):
        return RevisionFile(path, root, path.as_posix(), True)
    found = extract_sources(path.read_bytes(), path.as_posix(), target)
    return RevisionFile(found, target, f"sources in {path.as_posix()}", False)


def _from_git(path: Path, root: Path | None, revision: str, target: Path) -> RevisionFile:
    project = root.resolve() if root else find_project(path).root
    found = export_revision(path.parent.resolve() / path.name, project, revision, target)
    inside = path.parent.resolve().relative_to(project)
    project_copy = found.parents[len(inside.parts)]
    return RevisionFile(found, project_copy, f"{path.as_posix()} in git revision {revision}", False)


def _from_archive(archive: Path, number: str, revision: str, target: Path) -> RevisionFile:
    """Unpack the sources of a release from one of its PDF files."""
    label = f"{number} revision {revision} in the archive {archive.as_posix()}"
    try:
        store = open_archive(archive)
        inventory = store.inventory(number)
        if inventory is None:
            raise InputError(f"the archive {archive} holds no document {number}")
        for version in range(inventory.head, 0, -1):
            files = store.files(number, version)
            if RELEASE not in files:
                continue
            if parse_release(store.read(number, version, RELEASE)).revision != revision:
                continue
            documents = [name for name in files if name.endswith(".pdf")]
            if not documents:
                raise InputError(f"{label} holds no PDF file")
            data = store.read(number, version, documents[0])
            return RevisionFile(extract_sources(data, label, target), target, label, False)
    except ArchiveError as error:
        raise InputError(f"{label} cannot be read: {error}") from error
    raise InputError(f"the archive {archive} holds no revision {revision} of {number}")
