"""
The operations on files that the archive is made of.

Each one has reached the disk when it returns. All raise OSError; nothing is retried and nothing
is tidied up here, so that whoever calls knows which step failed.
"""

import os
from collections.abc import Mapping
from pathlib import Path

_FLAGS = getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)


def write_new(path: Path, data: bytes) -> None:
    """Write a file that must not exist yet. Its folder has to be synchronised by the caller."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _FLAGS, 0o666)
    try:
        _write_all(handle, data)
        os.fsync(handle)
    finally:
        os.close(handle)


def write_folder(path: Path, files: Mapping[str, bytes]) -> None:
    """Write a new folder with files by relative path, and synchronise every folder of it."""
    folders = {path}
    for name in files:
        parent = (path / name).parent
        while parent != path:
            folders.add(parent)
            parent = parent.parent
    for folder in sorted(folders):
        folder.mkdir()
    for name, data in files.items():
        write_new(path / name, data)
    for folder in sorted(folders, reverse=True):
        sync_folder(folder)


def append(path: Path, data: bytes) -> None:
    """Add bytes to the end of a file that exists."""
    handle = os.open(path, os.O_WRONLY | os.O_APPEND | _FLAGS)
    try:
        _write_all(handle, data)
        os.fsync(handle)
    finally:
        os.close(handle)


def truncate(path: Path, size: int) -> None:
    """Cut a file down to a size."""
    handle = os.open(path, os.O_WRONLY | _FLAGS)
    try:
        os.ftruncate(handle, size)
        os.fsync(handle)
    finally:
        os.close(handle)


def move(source: Path, target: Path) -> None:
    """Rename a file or a folder, in place of the file of that name if there is one."""
    source.replace(target)
    sync_folder(target.parent)
    if source.parent != target.parent:
        sync_folder(source.parent)


def remove_tree(path: Path) -> None:
    """Remove a folder with everything in it, or a file; nothing happens where there is none."""
    if path.is_dir() and not path.is_symlink():
        for child in sorted(path.iterdir()):
            remove_tree(child)
        path.rmdir()
    else:
        path.unlink(missing_ok=True)


def sync_folder(path: Path) -> None:
    """Make the names in a folder last; a system that cannot open folders keeps them by itself."""
    if os.name == "nt":
        return
    handle = os.open(path, os.O_RDONLY | _FLAGS)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _write_all(handle: int, data: bytes) -> None:
    rest = memoryview(data)
    while rest:
        rest = rest[os.write(handle, rest) :]
