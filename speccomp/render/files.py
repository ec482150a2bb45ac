"""Write the files of a document so that a folder holds all of them or none."""

import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path


class DiskError(Exception):
    """A folder or a file that could not be written; the message names it and says why."""


def write_folder(target: Path, files: Mapping[str, bytes]) -> None:
    """
    Put `files` into the folder `target` in place of what it held.

    They are first written beside it; a failure leaves the old folder as it was.
    Errors: DiskError.
    """
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        staging = Path(tempfile.mkdtemp(prefix=f".{target.name}-", dir=target.parent))
    except OSError as error:
        raise DiskError(_sentence(target, error)) from error
    try:
        staging.chmod(0o755)
        for name, data in files.items():
            (staging / name).parent.mkdir(parents=True, exist_ok=True)
            (staging / name).write_bytes(data)
        _swap(staging, target)
    except OSError as error:
        raise DiskError(_sentence(target, error)) from error
    finally:
        shutil.rmtree(staging, ignore_errors=True)


def write_file(target: Path, data: bytes) -> None:
    """
    Put one file in place of what was there, whole or not at all.

    Errors: DiskError.
    """
    staging = None
    try:
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


def _swap(staging: Path, target: Path) -> None:
    """Exchange the folders; should the second rename fail, the old folder comes back."""
    aside = staging.with_name(staging.name + ".old")
    existed = target.exists()
    if existed:
        target.replace(aside)
    try:
        staging.replace(target)
    except OSError:
        if existed:
            aside.replace(target)
        raise
    if existed:
        shutil.rmtree(aside, ignore_errors=True)


def _sentence(target: Path, error: OSError) -> str:
    reason = error.strerror or str(error)
    return f"cannot write {target}: {reason}; nothing there was changed"
