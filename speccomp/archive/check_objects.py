"""Check the OCFL objects: files, inventories, and that the ledger tells of each version."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from speccomp.archive import ocfl
from speccomp.archive.check_records import check_release, check_withdrawal
from speccomp.archive.digests import sha256, sha512
from speccomp.archive.errors import ArchiveDamaged, SignatureFault
from speccomp.archive.findings import Files
from speccomp.archive.inventory import Inventory, InventoryFault, Version, parse_inventory
from speccomp.archive.ledger import Entry
from speccomp.archive.release_record import (
    CONTENT,
    RELEASE,
    WITHDRAWAL,
    ReleaseRecord,
    parse_release,
)
from speccomp.archive.statements import parse_record
from speccomp.archive.store import object_place


def by_object(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Return the entries that made a version, by document number, in order."""
    result: dict[str, list[Entry]] = {}
    for entry in entries:
        if "version" in entry.event.details:
            result.setdefault(entry.event.object, []).append(entry)
    return result


def check_object(
    files: Files, number: str, entries: list[Entry], stated: frozenset[str]
) -> list[ReleaseRecord]:
    """
    Check the object of a document against itself and against its entries in the ledger.

    `stated` are the digests of the statements the ledger tells of. Return the releases that are
    sound, in order.
    """
    place = object_place(number)
    files.claim_exact(f"{place}/{ocfl.OBJECT_DECLARATION}", ocfl.OBJECT_DECLARATION_TEXT)
    numbers = [entry.event.details["version"] for entry in entries]
    if numbers != list(range(1, len(entries) + 1)):
        files.report("versions", place, f"the ledger tells of the versions {numbers} of {number}")
    inventories = [
        _check_version_inventory(files, f"{place}/v{version}", entry)
        for version, entry in enumerate(entries, 1)
    ]
    head = files.claim(f"{place}/v{len(entries)}/{ocfl.INVENTORY}")
    if head is None or inventories[-1] is None:
        return []
    files.claim_exact(f"{place}/{ocfl.INVENTORY}", head)
    files.claim_exact(f"{place}/{ocfl.SIDECAR}", ocfl.sidecar(sha512(head)))
    inventory = inventories[-1]
    _check_inventory(files, place, number, inventory, len(entries))
    _check_history(files, place, [item for item in inventories if item is not None])
    contents = _check_content(files, place, inventory)
    versions = _Versions(files, place, contents, stated)
    for version, entry in zip(inventory.versions, entries, strict=False):
        versions.check(version, entry)
    return [release for release, _ in versions.releases.values()]


def _check_version_inventory(files: Files, place: str, entry: Entry) -> Inventory | None:
    path = f"{place}/{ocfl.INVENTORY}"
    data = files.claim(path)
    if data is None:
        return None
    digest = sha512(data)
    if digest != entry.event.details.get("inventory_sha512"):
        files.report(
            "inventory-changed", path, f"{path} is not the one that entry {entry.seq} tells of"
        )
    files.claim_exact(f"{place}/{ocfl.SIDECAR}", ocfl.sidecar(digest))
    try:
        return parse_inventory(data)
    except InventoryFault as error:
        files.report("inventory-malformed", path, f"{path}: {error}")
        return None


def _check_inventory(
    files: Files, place: str, number: str, inventory: Inventory, versions: int
) -> None:
    path = f"{place}/{ocfl.INVENTORY}"
    if inventory.id != ocfl.object_id(number):
        files.report("inventory-id", path, f"{path} is the inventory of `{inventory.id}`")
    if inventory.head != versions:
        message = f"{path} tells of {inventory.head} versions, the ledger of {versions}"
        files.report("versions", path, message)


def _check_history(files: Files, place: str, inventories: list[Inventory]) -> None:
    """An earlier inventory says the same of the versions it shares with a later one."""
    for earlier, later in pairwise(inventories):
        shared = later.versions[: earlier.head]
        kept = {path: later.manifest.get(path) for path in earlier.manifest}
        if shared != earlier.versions or kept != earlier.manifest:
            path = f"{place}/v{earlier.head}/{ocfl.INVENTORY}"
            files.report("inventory-history", path, f"{path} says something else than later ones")


def _check_content(files: Files, place: str, inventory: Inventory) -> dict[str, bytes]:
    """Check every stored file; return those of the records by digest."""
    records = {
        version.state[name]
        for version in inventory.versions
        for name in (RELEASE, CONTENT, WITHDRAWAL)
        if name in version.state
    }
    contents = {}
    for path, digest in inventory.manifest.items():
        data = files.claim(f"{place}/{path}")
        if data is None:
            continue
        if sha512(data) != digest:
            whole = f"{place}/{path}"
            files.report("file-changed", whole, f"{whole} is not what was written to it")
        elif digest in records:
            contents[digest] = data
    return contents


@dataclass
class _Versions:
    """The versions of one object, checked one after the other; `releases` are those before."""

    files: Files
    place: str
    contents: Mapping[str, bytes]
    stated: frozenset[str]
    releases: dict[str, tuple[ReleaseRecord, Mapping[str, str]]] = field(default_factory=dict)

    def check(self, version: Version, entry: Entry) -> None:
        """Check the record of a version against the ledger and against the versions before."""
        event = entry.event
        where = f"{self.place}/v{event.details['version']}"
        if (version.created, version.user) != (event.time, event.actor):
            message = f"{where} and entry {entry.seq} of the ledger name different times or people"
            self.files.report("record-false", where, message)
        name = str(event.details.get("payload", ""))
        held = {key: self.contents.get(digest) for key, digest in version.state.items()}
        data, release, content = held.get(name), held.get(RELEASE), held.get(CONTENT)
        if data is None or release is None or content is None:
            message = f"the record that entry {entry.seq} tells of is missing"
            self.files.report("record-missing", where, message)
        elif sha256(data) != event.payload_sha256:
            message = f"{name} is not the record that entry {entry.seq} tells of"
            self.files.report("record-changed", where, message)
        else:
            self._check_record(version.state, entry, data, content)

    def _check_record(
        self, state: Mapping[str, str], entry: Entry, data: bytes, content: bytes
    ) -> None:
        name = str(entry.event.details["payload"])
        where = f"{self.place}/v{entry.event.details['version']}"
        try:
            if name == RELEASE:
                release = parse_release(data)
                self._check_order(release)
                check_release(entry, release, state, content, self.stated)
                self.releases[release.revision] = (release, state)
            else:
                record = parse_record(data)
                check_withdrawal(entry, record, self._withdrawn(entry, state))
        except (ArchiveDamaged, SignatureFault) as error:
            message = f"{name} of entry {entry.seq}: {error}"
            self.files.report("record-false", where, message)

    def _check_order(self, release: ReleaseRecord) -> None:
        last = next(reversed(self.releases), "")
        if last and release.previous != last:
            raise SignatureFault(f"it follows {release.previous}, the last one released is {last}")

    def _withdrawn(self, entry: Entry, state: Mapping[str, str]) -> ReleaseRecord:
        """Return the release a withdrawal is of; beside the record its files are the same."""
        release, files = self.releases.get(entry.event.revision, (None, {}))
        kept = {name: digest for name, digest in state.items() if name != WITHDRAWAL}
        if release is None or kept != files:
            raise SignatureFault("its files are not those of the revision it withdraws")
        return release
