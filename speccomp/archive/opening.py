"""Start an archive in a new folder, or open the one that is there."""

from contextlib import suppress
from pathlib import Path

from filelock import FileLock

from speccomp.archive import disk, ocfl
from speccomp.archive.digests import sha256
from speccomp.archive.errors import ArchiveUnwritable, NotAnArchive, reason
from speccomp.archive.layout import DOCUMENTS, ENTRIES, HEAD, LOCK, README, README_TEXT, TIME
from speccomp.archive.ledger import GENESIS, Event, entry_line, head_text
from speccomp.archive.store import Archive


def open_archive(root: Path) -> Archive:
    """Open an archive. Errors: NotAnArchive."""
    if not (root / ENTRIES).is_file() or not (root / DOCUMENTS).is_dir():
        what = "is no archive" if root.exists() else "does not exist"
        raise NotAnArchive(f"{root} {what}; the first approval or release starts one")
    return Archive(root)


def start_archive(root: Path, actor: str, time: str) -> Archive:
    """
    Return the archive at a folder; where there is none, or an empty one, start an archive.

    It is built beside and put in place by one rename. Errors: NotAnArchive, ArchiveUnwritable.
    """
    root = root.absolute()
    lock = root.with_name(f".{root.name}.lock")
    if root.exists() and (not root.is_dir() or any(root.iterdir())):
        # Whoever started it may have been killed before the lock was removed.
        with suppress(OSError):
            lock.unlink(missing_ok=True)
        return open_archive(root)
    if not TIME.fullmatch(time):
        raise ValueError(f"{time!r} is no time in UTC with seconds")
    try:
        root.parent.mkdir(parents=True, exist_ok=True)
        with FileLock(lock, poll_interval=0.02):
            if not root.exists() or not any(root.iterdir()):
                _build(root, actor, time)
            lock.unlink(missing_ok=True)
    except OSError as error:
        raise ArchiveUnwritable(f"no archive can be started at {root}: {reason(error)}") from error
    return open_archive(root)


def _build(root: Path, actor: str, time: str) -> None:
    draft = root.with_name(f".{root.name}.draft")
    try:
        disk.remove_tree(draft)
        disk.write_folder(draft, _first_files(actor, time))
        draft.replace(root)
        disk.sync_folder(root.parent)
    finally:
        disk.remove_tree(draft)


def _first_files(actor: str, time: str) -> dict[str, bytes]:
    readme = README_TEXT.encode()
    event = Event("start", actor, "", "", sha256(readme), time, {"payload": README})
    line = entry_line(event, 1, GENESIS)
    root_files = {f"{DOCUMENTS}/{name}": data for name, data in ocfl.root_files().items()}
    return {
        README: readme,
        LOCK: b"",
        ENTRIES: line + b"\n",
        HEAD: head_text(1, sha256(line)),
        **root_files,
    }
