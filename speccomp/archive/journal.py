"""The journal of a change: what goes where, written before anything is moved."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from speccomp.archive import disk
from speccomp.archive.digests import canonical_json, parse_object
from speccomp.archive.errors import ArchiveDamaged, reading
from speccomp.archive.layout import STAGING

JOURNAL = f"{STAGING}/journal.json"
_WITHDRAWN = f"{STAGING}/withdrawn.json"


@dataclass(frozen=True, slots=True)
class Move:
    """
    Something staged, and where it goes; both paths start at the archive's folder.

    `backup` is a staged copy of the file it replaces, empty where nothing may be there yet.
    `digests` are the SHA-512 digests of its files by path below it, "" for a single file.
    """

    staged: str
    target: str
    backup: str
    digests: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Journal:
    """
    A change that counts: its moves in order, then the ledger's new line, then the new head.

    `parents` are the folders to make first. `ledger_size` is the size of the ledger before.
    `withdrawn` tells that the change failed and is being undone.
    """

    parents: tuple[str, ...]
    moves: tuple[Move, ...]
    head: Move
    line: str
    ledger_size: int
    withdrawn: bool = False

    @property
    def appended(self) -> bytes:
        """What the change adds to the ledger."""
        return self.line.encode() + b"\n"


def write_journal(root: Path, journal: Journal) -> None:
    """
    Put the journal in its place, which makes the change count. Errors: OSError.

    The notice that would withdraw it is written first, so that no full disk can be in its way.
    """
    withdrawn = {**asdict(journal), "withdrawn": True}
    disk.write_new(root / _WITHDRAWN, canonical_json(withdrawn))
    draft = root / f"{JOURNAL}.draft"
    disk.write_new(draft, canonical_json(asdict(journal)))
    disk.sync_folder(root / STAGING)
    disk.sync_folder(root)
    disk.move(draft, root / JOURNAL)


def withdraw_journal(root: Path) -> None:
    """Put the notice that the change is being undone in place of its journal. Errors: OSError."""
    if (root / _WITHDRAWN).exists():
        disk.move(root / _WITHDRAWN, root / JOURNAL)


def has_journal(root: Path) -> bool:
    """Tell whether a change that counts waits to be completed or undone."""
    return (root / JOURNAL).is_file()


def read_journal(root: Path) -> Journal:
    """Read the journal of an interrupted change. Errors: ArchiveDamaged."""
    with reading(root / JOURNAL):
        data = (root / JOURNAL).read_bytes()
    try:
        fields: dict[str, Any] = parse_object(data)
        return Journal(
            tuple(fields["parents"]),
            tuple(Move(**move) for move in fields["moves"]),
            Move(**fields["head"]),
            fields["line"],
            int(fields["ledger_size"]),
            bool(fields["withdrawn"]),
        )
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"{JOURNAL} cannot be understood: {error}") from error


def remove_staging(root: Path) -> None:
    """Remove the staging folder, the journal first: without it the rest counts for nothing."""
    if (root / STAGING).exists():
        (root / JOURNAL).unlink(missing_ok=True)
        disk.sync_folder(root / STAGING)
        disk.remove_tree(root / STAGING)
        disk.sync_folder(root)
