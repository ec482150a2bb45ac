"""
An archive: made, opened, read, and changed by one person at a time.

What the files mean is known to whoever stores them. Here they are bytes with names, kept as
versions of one OCFL object for each document number, and every change has an entry in the ledger.
"""

from collections.abc import Callable, Collection, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from filelock import FileLock, Timeout

from speccomp.archive import ocfl
from speccomp.archive.digests import Json, sha256, sha512
from speccomp.archive.errors import (
    ArchiveBusy,
    ArchiveDamaged,
    ArchiveUnwritable,
    Overtaken,
    reading,
    reason,
)
from speccomp.archive.inventory import (
    Inventory,
    InventoryFault,
    add_version,
    parse_inventory,
    write_inventory,
)
from speccomp.archive.layout import DOCUMENTS, LOCK
from speccomp.archive.ledger import Entry, Event, Head, find_payloads, read_entries, read_head
from speccomp.archive.recovery import Interrupted, recover
from speccomp.archive.statements import Record, parse_record, statements_folder
from speccomp.archive.transaction import Mismatch, Staging, abandon

_WAIT = 60.0
_POLL = 0.02


@dataclass(frozen=True, slots=True)
class NewVersion:
    """
    A version to add to a document: its files, and which of them is the record of the event.

    `expected` is the number of versions there should be before; `message` says why it exists.
    """

    files: Mapping[str, bytes]
    payload: str
    expected: int
    message: str


@dataclass(frozen=True, slots=True)
class Archive:
    """An archive that exists. Reading takes no lock: what is written is never changed."""

    root: Path

    def entries(self, actions: Collection[str] = ()) -> tuple[Entry, ...]:
        """Return the ledger's entries, or those of some actions. Errors: ArchiveDamaged."""
        return read_entries(self.root, actions)

    def inventory(self, number: str) -> Inventory | None:
        """
        Return the inventory of a document, if there is one. Errors: ArchiveDamaged.

        It is held against the digest in the folder of its last version, which never changes: the
        one beside it may be one step behind while somebody writes.
        """
        folder = self.root / object_place(number)
        if not folder.exists():
            return None
        with reading(folder):
            data = (folder / ocfl.INVENTORY).read_bytes()
        try:
            inventory = parse_inventory(data)
        except InventoryFault as fault:
            raise ArchiveDamaged(f"the inventory of {number} is malformed: {fault}") from fault
        with reading(folder):
            written = (folder / f"v{inventory.head}" / ocfl.SIDECAR).read_bytes()
        if written != ocfl.sidecar(sha512(data)):
            raise ArchiveDamaged(f"the inventory of {number} is not the one that was written")
        return inventory

    def files(self, number: str, version: int) -> dict[str, Path]:
        """Return where the files of a version lie, by name. Errors: ArchiveDamaged."""
        inventory = self.inventory(number)
        if inventory is None or not 0 < version <= inventory.head:
            raise ArchiveDamaged(f"the archive holds no version {version} of {number}")
        places = inventory.places()
        folder = self.root / object_place(number)
        state = inventory.versions[version - 1].state
        return {name: folder / places[digest] for name, digest in sorted(state.items())}

    def read(self, number: str, version: int, name: str) -> bytes:
        """Return a file of a version, checked against its digest. Errors: ArchiveDamaged."""
        inventory = self.inventory(number)
        path = self.files(number, version).get(name)
        if inventory is None or path is None:
            raise ArchiveDamaged(f"version {version} of {number} holds no `{name}`")
        with reading(path):
            data = path.read_bytes()
        if sha512(data) != inventory.versions[version - 1].state[name]:
            raise ArchiveDamaged(f"{path} is not what was written to it")
        return data

    def statements(self, content_sha512: str) -> tuple[Record, ...]:
        """Return what was stated about a content, oldest first. Errors: ArchiveDamaged."""
        folder = self.root / statements_folder(content_sha512)
        with reading(folder):
            data = [path.read_bytes() for path in folder.iterdir()] if folder.exists() else []
        records = [parse_record(text) for text in data]
        about = [r for r in records if r.statement.content_sha512 == content_sha512]
        return tuple(sorted(about, key=lambda record: (record.statement.time, record.text())))

    def tells_of(self, records: Collection[Record]) -> frozenset[Record]:
        """Return those statements that have an entry in the ledger. Errors: ArchiveDamaged."""
        digests = {sha256(record.text()): record for record in records}
        return frozenset(digests[digest] for digest in find_payloads(self.root, digests))

    @contextmanager
    def change(self, actor: str, time: str, wait: float = _WAIT) -> Iterator["Change"]:
        """
        Give the sole right to change the archive, after completing what was interrupted.

        `time` is in UTC; where the ledger is already ahead of it, the ledger's time is taken.
        Errors: ArchiveBusy, ArchiveUnwritable, ArchiveDamaged.
        """
        lock = FileLock(self.root / LOCK, timeout=wait, poll_interval=_POLL)
        try:
            lock.acquire()
        except Timeout as error:
            raise ArchiveBusy(
                f"somebody else has been writing to {self.root} for {wait:g} s; try again later"
            ) from error
        except OSError as error:
            raise ArchiveUnwritable(
                f"the archive {self.root} cannot be written to: {reason(error)}; nothing in it "
                "was changed"
            ) from error
        try:
            try:
                found = recover(self.root, actor, time)
            except (OSError, Mismatch) as error:
                raise abandon(self.root, error) from error
            head = read_head(self.root)
            yield Change(self, head, actor, max(time, head.time), found)
        finally:
            lock.release()


@dataclass
class Change:
    """
    The right to change an archive; `interrupted` is what was found of an earlier change.

    `head` is the end of the ledger, and moves with each change made.
    """

    archive: Archive
    head: Head
    actor: str
    time: str
    interrupted: Interrupted | None = field(default=None)

    def add_version(self, event: Event, number: str, version: NewVersion) -> None:
        """
        Add a version to a document, and an entry to the ledger.

        `event` gets its payload digest and the version's place here.
        Errors: Overtaken, ArchiveUnwritable, ArchiveDamaged, InventoryFault.
        """
        inventory = self.archive.inventory(number)
        there = inventory.head if inventory else 0
        if there != version.expected:
            raise Overtaken(
                f"{number} has {there} versions, not {version.expected}: "
                "somebody else released it in the meantime"
            )
        old = inventory or Inventory(ocfl.object_id(number), (), {})
        new, fresh = add_version(old, version.files, self.time, version.message, self.actor)
        text = write_inventory(new)
        payload: dict[str, Json] = {
            "inventory_sha512": sha512(text),
            "payload": version.payload,
            "version": new.head,
        }
        digest = sha256(version.files[version.payload])
        event = replace(event, payload_sha256=digest, details={**event.details, **payload})
        self._commit(event, lambda staging: _stage_version(staging, number, new, text, fresh))

    def add_statement(self, event: Event, record: Record) -> None:
        """Store what a person stated, and an entry in the ledger. Errors: ArchiveUnwritable."""
        data, place = record.text(), record.place()
        if (self.archive.root / place).exists():
            raise Overtaken(f"{record.statement.name} has already stated exactly this")
        details = {**event.details, "payload": place}
        event = replace(event, payload_sha256=sha256(data), details=details)
        self._commit(event, lambda staging: staging.add_file(place, data))

    def _commit(self, event: Event, stage: Callable[[Staging], None]) -> None:
        root = self.archive.root
        try:
            staging = Staging(root)
            stage(staging)
            self.head = staging.commit(replace(event, actor=self.actor, time=self.time), self.head)
        except (OSError, Mismatch) as error:
            raise abandon(root, error) from error


def object_place(number: str) -> str:
    """Return the folder of a document in the archive."""
    return f"{DOCUMENTS}/{ocfl.object_folder(ocfl.object_id(number))}"


def _stage_version(
    staging: Staging, number: str, inventory: Inventory, text: bytes, fresh: Mapping[str, bytes]
) -> None:
    place, version = object_place(number), f"v{inventory.head}"
    files = {ocfl.INVENTORY: text, ocfl.SIDECAR: ocfl.sidecar(sha512(text))}
    inside = {f"{version}/{name}": data for name, data in files.items()} | dict(fresh)
    if inventory.head == 1:
        declaration = {ocfl.OBJECT_DECLARATION: ocfl.OBJECT_DECLARATION_TEXT}
        staging.add_folder(place, declaration | files | inside)
        return
    prefix = f"{version}/"
    staging.add_folder(
        f"{place}/{version}", {name.removeprefix(prefix): data for name, data in inside.items()}
    )
    # The sidecar comes last: until it fits, the inventory beside it does not count.
    for name, data in files.items():
        staging.add_file(f"{place}/{name}", data)
