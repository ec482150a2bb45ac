"""What to do about a change that was interrupted: complete it, drop it, or set it aside."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from speccomp.archive import disk
from speccomp.archive.digests import sha256
from speccomp.archive.journal import has_journal, read_journal, remove_staging
from speccomp.archive.layout import ENTRIES, SET_ASIDE, STAGING
from speccomp.archive.ledger import Entry, Event, parse_line, read_head
from speccomp.archive.transaction import Mismatch, Staging, complete, undo

RECOVERED = "recover"
"""Action of the entry that tells what became of an interrupted change."""


class Outcome(StrEnum):
    """What becomes of an interrupted change."""

    COMPLETED = "completed"
    DROPPED = "dropped"
    SET_ASIDE = "set aside"


@dataclass(frozen=True, slots=True)
class Interrupted:
    """An interrupted change: its entry in the ledger, if it got as far, and what becomes of it."""

    entry: Entry | None
    outcome: Outcome

    @property
    def subject(self) -> str:
        """What the change is about: action, document and revision."""
        event = self.entry.event if self.entry else None
        parts = (event.action, event.object, event.revision) if event else ()
        return " ".join(filter(None, parts))

    def prospect(self) -> str:
        """Say what the interruption left, and what the next command makes of it."""
        if self.entry is None:
            return "an interrupted change left files behind that do not count"
        if self.outcome is Outcome.COMPLETED:
            return f"a change ({self.subject}) was interrupted after it counted"
        return f"a change ({self.subject}) was interrupted while it was taken back"

    def report(self) -> str:
        """Say what has become of the change."""
        what = f"change ({self.subject})" if self.entry else "change that did not count yet"
        return f"an interrupted {what} was {self.outcome}"


def find_interrupted(root: Path) -> Interrupted | None:
    """Tell what the next command will do about an interrupted change. Errors: ArchiveDamaged."""
    if not (root / STAGING).exists():
        return None
    if not has_journal(root):
        return Interrupted(None, Outcome.DROPPED)
    journal = read_journal(root)
    entry = parse_line(journal.line.encode())
    return Interrupted(entry, Outcome.DROPPED if journal.withdrawn else Outcome.COMPLETED)


def recover(root: Path, actor: str, time: str) -> Interrupted | None:
    """
    Deal with an interrupted change, by whoever holds the lock; return what it was.

    The ledger notes what was completed after an interruption, and what was set aside because
    its files were not those that had been staged.
    Errors: OSError, ArchiveDamaged.
    """
    found = find_interrupted(root)
    if found is None:
        return None
    if found.outcome is Outcome.DROPPED:
        if found.entry is not None:
            undo(root, read_journal(root))
        remove_staging(root)
        return found
    journal = read_journal(root)
    whole = (root / ENTRIES).stat().st_size >= journal.ledger_size + len(journal.appended)
    try:
        complete(root, journal)
        remove_staging(root)
    except Mismatch as error:
        undo(root, journal)
        found = Interrupted(found.entry, Outcome.SET_ASIDE)
        _set_aside(root)
        _note(root, found, actor, time, str(error))
        return found
    if not whole and found.subject.split()[0] != RECOVERED:
        _note(root, found, actor, time, "")
    return found


def _set_aside(root: Path) -> None:
    (root / SET_ASIDE).mkdir(exist_ok=True)
    number = 1 + sum(1 for _ in (root / SET_ASIDE).iterdir())
    disk.move(root / STAGING, root / SET_ASIDE / str(number))


def _note(root: Path, found: Interrupted, actor: str, time: str, why: str) -> None:
    entry = found.entry
    assert entry is not None
    head = read_head(root)
    details = {"outcome": found.outcome.value, "entry": entry.seq}
    if why:
        details |= {"why": why}
    event = Event(
        RECOVERED,
        actor,
        entry.event.object,
        entry.event.revision,
        sha256(b""),
        max(time, head.time),
        details,
    )
    Staging(root).commit(event, head)
