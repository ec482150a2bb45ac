"""Write the files of a document so that a folder holds all of them or none."""

import contextlib
import os
import shutil
import tempfile
from collections.abc import Collection, Iterator, Mapping
from pathlib import Path

from filelock import FileLock, Timeout

_PREFIX = ".speccomp-"
_LOCK, _NEW, _OLD = "lock", "new", "old"


class DiskError(Exception):
    """A folder or a file that could not be written; the message names it and says why."""


def write_folder(target: Path, files: Mapping[str, bytes], gone: Collection[str] = ()) -> None:
    """
    Put `files` into the folder `target`, and take the files named in `gone` out of it.

    Whatever else is in the folder stays. All files are written in full to a hidden folder first;
    a new folder then appears as a whole. In an old one the old files leave before the first new
    one comes, so that an interruption may leave files missing, but never half a file nor files of
    two times side by side. A failure brings the old files back. Errors: DiskError.
    """
    _check_way(target, {*files, *gone})
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        exists = target.is_dir()
        with _staging(target if exists else target.parent) as staging:
            for name, data in files.items():
                _write(staging / _NEW / name, data)
            if exists:
                _exchange(staging, target, files, {*files, *gone})
            else:
                (staging / _NEW).replace(target)
    except OSError as error:
        raise DiskError(_sentence(target, error)) from error


def write_file(target: Path, data: bytes) -> None:
    """
    Put one file in place of what was there, whole or not at all.

    A link is followed; what is no file, such as a pipe or a device, is written to and stays.
    Errors: DiskError.
    """
    target, staging = Path(os.path.realpath(target)), None
    try:
        if target.exists() and not target.is_file():
            target.write_bytes(data)
            return
        target.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=target.parent, delete=False) as file:
            staging = Path(file.name)
            file.write(data)
        staging.chmod(0o644)
        staging.replace(target)
    except OSError as error:
        if staging is not None:
            staging.unlink(missing_ok=True)
        raise DiskError(_sentence(target, error)) from error


def _check_way(target: Path, names: Collection[str]) -> None:
    """Refuse a folder whose place, or whose files' places, something else has taken."""
    for folder in (target, *target.parents):
        if os.path.lexists(folder) and not folder.is_dir():
            what = "a link that leads nowhere" if folder.is_symlink() else "a file"
            reason = f"{what} stands where the folder {folder} should be"
            raise DiskError(f"cannot write {target}: {reason}; move it away")
    for name in sorted(names):
        place = target / name
        if place.is_dir() and not place.is_symlink():
            reason = f"a folder stands where the file {place.name} should be"
            raise DiskError(f"cannot write {target}: {reason}; move it away")


@contextlib.contextmanager
def _staging(home: Path) -> Iterator[Path]:
    """Make a hidden folder, and remove it, and those that others left when they were killed."""
    for left in home.glob(f"{_PREFIX}*"):
        # Whoever is still at work there holds the lock.
        with contextlib.suppress(Timeout, OSError), FileLock(left / _LOCK, blocking=False):
            shutil.rmtree(left, ignore_errors=True)
    folder = Path(tempfile.mkdtemp(prefix=_PREFIX, dir=home))
    try:
        with FileLock(folder / _LOCK):
            (folder / _NEW).mkdir()
            yield folder
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _write(path: Path, data: bytes) -> None:
    """Write a file that is on the disk before its name counts for anything."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _exchange(staging: Path, target: Path, new: Collection[str], old: Collection[str]) -> None:
    """Move the old files out and the new ones in; what was moved goes back if that fails."""
    moves = [(target / name, staging / _OLD / name) for name in sorted(old)]
    moves = [move for move in moves if os.path.lexists(move[0])]
    moves += [(staging / _NEW / name, target / name) for name in new]
    done: list[tuple[Path, Path]] = []
    try:
        for here, there in moves:
            there.parent.mkdir(parents=True, exist_ok=True)
            here.replace(there)
            done.append((here, there))
    except BaseException:
        for here, there in reversed(done):
            there.replace(here)
        raise


def _sentence(target: Path, error: OSError) -> str:
    reason = error.strerror or str(error)
    return f"cannot write {target}: {reason}; nothing there was changed"
