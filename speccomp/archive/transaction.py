"""
One change of the archive, all or nothing.

Everything new is written to the staging folder first. Then a journal says what goes where: from
there on the change counts, and whoever comes next completes it. The order is that of writing an
OCFL version: the version folder, the inventory, its sidecar; then the entry in the ledger, which
therefore never speaks of something that is not there; then the file of the head.
"""

from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from speccomp.archive import disk
from speccomp.archive.digests import sha256, sha512
from speccomp.archive.errors import ArchiveUnwritable, reason
from speccomp.archive.journal import (
    Journal,
    Move,
    has_journal,
    read_journal,
    remove_staging,
    withdraw_journal,
    write_journal,
)
from speccomp.archive.layout import ENTRIES, HEAD, STAGING
from speccomp.archive.ledger import Event, Head, entry_line, head_text


class Mismatch(Exception):  # noqa: N818  # named for what it says
    """What reached the disk is not what was to be written; the message names it."""


class Staging:
    """Collects a change in the staging folder of an archive, which must not exist yet."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self._moves: list[Move] = []
        (root / STAGING).mkdir()

    def add_folder(self, target: str, files: Mapping[str, bytes]) -> None:
        """Stage a folder that is new. Errors: OSError."""
        staged = self._place()
        disk.write_folder(self._root / staged, files)
        digests = {name: sha512(data) for name, data in files.items()}
        self._moves.append(Move(staged, target, "", digests))

    def add_file(self, target: str, data: bytes) -> None:
        """Stage a file that is new, or replaces one. Errors: OSError."""
        self._moves.append(self._file(target, data))

    def _file(self, target: str, data: bytes) -> Move:
        staged, backup = self._place(), ""
        disk.write_new(self._root / staged, data)
        if (self._root / target).exists():
            backup = f"{staged}.before"
            disk.write_new(self._root / backup, (self._root / target).read_bytes())
        return Move(staged, target, backup, {"": sha512(data)})

    def _place(self) -> str:
        return f"{STAGING}/{len(self._moves) + 1}"

    def commit(self, event: Event, head: Head) -> Head:
        """
        Carry out the change and add its entry to the ledger; return the new end of the ledger.

        Errors: OSError, Mismatch; `abandon` then takes back what was done.
        """
        line = entry_line(event, head.seq + 1, head.sha256)
        new_head = self._file(HEAD, head_text(head.seq + 1, sha256(line)))
        parents, moves = self._missing_parents(), tuple(self._moves)
        journal = Journal(parents, moves, new_head, line.decode(), head.size)
        write_journal(self._root, journal)
        complete(self._root, journal)
        # The change is made; what cannot be removed now, the next command removes.
        with suppress(OSError):
            remove_staging(self._root)
        return Head(head.seq + 1, sha256(line), event.time, head.size + len(line) + 1)

    def _missing_parents(self) -> tuple[str, ...]:
        missing: dict[str, None] = {}
        for move in self._moves:
            folders = []
            parent = Path(move.target).parent
            while not (self._root / parent).exists():
                folders.append(parent.as_posix())
                parent = parent.parent
            missing.update(dict.fromkeys(reversed(folders)))
        return tuple(missing)


def abandon(root: Path, error: OSError | Mismatch) -> ArchiveUnwritable:
    """
    Take back a change that failed; return the error that says why and what became of it.

    Errors: ArchiveDamaged where the journal cannot be read.
    """
    said = reason(error) if isinstance(error, OSError) else str(error)
    try:
        if has_journal(root):
            withdraw_journal(root)
            undo(root, read_journal(root))
        remove_staging(root)
    except OSError as second:
        return ArchiveUnwritable(
            f"the archive {root} could not be written to: {said}; tidying up failed too: "
            f"{reason(second)}; the next command that can write does it"
        )
    return ArchiveUnwritable(
        f"the archive {root} could not be written to: {said}; nothing in it was changed"
    )


def complete(root: Path, journal: Journal) -> None:
    """
    Carry out what the journal says, as far as it has not been done.

    Errors: OSError; Mismatch where a file is not what was staged.
    """
    for parent in journal.parents:
        if not (root / parent).exists():
            (root / parent).mkdir()
            disk.sync_folder((root / parent).parent)
    for move in journal.moves:
        _carry_out(root, move)
    for move in journal.moves:
        _check_written(root, move)
    done = _appended_part(root, journal)
    disk.append(root / ENTRIES, journal.appended[done:])
    _carry_out(root, journal.head)
    _check_written(root, journal.head)


def _carry_out(root: Path, move: Move) -> None:
    staged, target = root / move.staged, root / move.target
    if staged.exists():
        if target.exists() and not move.backup:
            raise Mismatch(f"{move.target} was there already")
        disk.move(staged, target)


def _check_written(root: Path, move: Move) -> None:
    target = root / move.target
    for name, digest in move.digests.items():
        path = target / name if name else target
        if not path.is_file() or sha512(path.read_bytes()) != digest:
            raise Mismatch(f"{path.relative_to(root).as_posix()} is not what was written to it")


def _appended_part(root: Path, journal: Journal) -> int:
    """Return how many bytes of the new line are there; nothing else may be at the end."""
    with (root / ENTRIES).open("rb") as stream:
        stream.seek(journal.ledger_size)
        tail = stream.read()
    if not journal.appended.startswith(tail):
        raise Mismatch(f"{ENTRIES} ends with something that is not the new entry")
    return len(tail)


def undo(root: Path, journal: Journal) -> None:
    """Take back what the journal says, as far as it was done. Errors: OSError."""
    _take_back(root, journal.head)
    if (root / ENTRIES).stat().st_size > journal.ledger_size:
        disk.truncate(root / ENTRIES, journal.ledger_size)
    for move in reversed(journal.moves):
        _take_back(root, move)
    for parent in reversed(journal.parents):
        if (root / parent).exists():
            (root / parent).rmdir()


def _take_back(root: Path, move: Move) -> None:
    staged, target = root / move.staged, root / move.target
    if move.backup:
        if (root / move.backup).exists():
            disk.move(root / move.backup, target)
    elif target.exists() and not staged.exists():
        disk.move(target, staged)
