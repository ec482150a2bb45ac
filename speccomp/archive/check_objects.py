"""Check the OCFL objects: files, inventories, and that the ledger tells of each version."""

from collections.abc import Iterable, Mapping
from itertools import pairwise

from speccomp.archive import ocfl
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
    check_approvals,
    parse_release,
)
from speccomp.archive.statements import Signer, check_record, check_signer, parse_record
from speccomp.archive.store import object_place


def by_object(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    """Return the entries that made a version, by document number, in order."""
    result: dict[str, list[Entry]] = {}
    for entry in entries:
        if "version" in entry.event.details:
            result.setdefault(entry.event.object, []).append(entry)
    return result


def check_object(files: Files, number: str, entries: list[Entry], stated: frozenset[str]) -> None:
    """
    Check the object of a document against itself and against its entries in the ledger.

    `stated` are the digests of the statements the ledger tells of.
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
        return
    files.claim_exact(f"{place}/{ocfl.INVENTORY}", head)
    files.claim_exact(f"{place}/{ocfl.SIDECAR}", ocfl.sidecar(sha512(head)))
    inventory = inventories[-1]
    _check_inventory(files, place, number, inventory, len(entries))
    _check_history(files, place, [item for item in inventories if item is not None])
    contents = _check_content(files, place, inventory)
    for version, entry in zip(inventory.versions, entries, strict=False):
        _check_version(files, place, version, entry, contents, stated)


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
        for name in (RELEASE, WITHDRAWAL)
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


def _check_version(  # the two things compared, and what both are about
    files: Files,
    place: str,
    version: Version,
    entry: Entry,
    contents: Mapping[str, bytes],
    stated: frozenset[str],
) -> None:
    where = f"{place}/v{entry.event.details['version']}"
    if (version.created, version.user) != (entry.event.time, entry.event.actor):
        message = f"{where} and entry {entry.seq} of the ledger name different times or people"
        files.report("record-false", where, message)
    held = {name: contents.get(digest) for name, digest in version.state.items()}
    release = _check_payload(files, where, entry, held, stated)
    if release and version.state.get(CONTENT) != release.content_sha512:
        message = f"{CONTENT} is not the content that {RELEASE} and its approvals name"
        files.report("content-changed", where, message)


def _check_payload(
    files: Files,
    place: str,
    entry: Entry,
    records: Mapping[str, bytes | None],
    stated: frozenset[str],
) -> ReleaseRecord | None:
    """Check the record of a version against the ledger; return the release it is about."""
    event = entry.event
    name = str(event.details.get("payload", ""))
    data, release_data = records.get(name), records.get(RELEASE)
    if data is None or release_data is None:
        message = f"the record that entry {entry.seq} tells of is missing"
        files.report("record-missing", place, message)
        return None
    if sha256(data) != event.payload_sha256:
        message = f"{name} is not the record that entry {entry.seq} tells of"
        files.report("record-changed", place, message)
        return None
    try:
        release = parse_release(release_data)
        if name == RELEASE:
            _check_release(entry, release, stated)
        else:
            _check_withdrawal(entry, data, release.approvers)
    except (ArchiveDamaged, SignatureFault) as error:
        files.report("record-false", place, f"{name} of entry {entry.seq}: {error}")
        return None
    return release


def _check_release(entry: Entry, release: ReleaseRecord, stated: frozenset[str]) -> None:
    event = entry.event
    told = (event.object, event.revision, event.time, event.actor, entry.prev)
    record = (
        release.document,
        release.revision,
        release.released_at,
        release.released_by,
        release.ledger_head,
    )
    if told != record:
        raise SignatureFault("the record and the ledger tell different things")
    check_approvals(release)
    for approval in release.approvals:
        if sha256(approval.text()) not in stated:
            name = approval.statement.name
            raise SignatureFault(f"the ledger does not tell of the approval of {name}")


def _check_withdrawal(entry: Entry, data: bytes, signers: tuple[Signer, ...]) -> None:
    record = parse_record(data)
    statement, event = record.statement, entry.event
    told = ("withdraw", event.object, event.revision)
    if told != (statement.action, statement.document, statement.revision):
        raise SignatureFault("the record and the ledger tell different things")
    if record.signed:
        check_record(record)
        check_signer(record, signers)
