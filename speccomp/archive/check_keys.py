"""Check signatures against keys that are known from outside the archive."""

from collections.abc import Iterator

from speccomp.archive.errors import ArchiveDamaged, SignatureFault
from speccomp.archive.findings import fault
from speccomp.archive.layout import ENTRIES
from speccomp.archive.ledger import Entry
from speccomp.archive.release_record import RELEASE, WITHDRAWAL, parse_release
from speccomp.archive.statements import Record, Signer, check_record, check_signer, parse_record
from speccomp.archive.store import Archive
from speccomp.findings import Finding

_HINT = "the plant file of the release named other people or keys than the one given here"


def check_keys(archive: Archive, signers: tuple[Signer, ...], *, required: bool) -> list[Finding]:
    """
    Report approvals, withdrawals and reviews that the people known from elsewhere did not sign.

    The archive is taken to be sound in itself: whoever writes it anew with keys of their own is
    found only this way. `required` reports what is not signed, too.
    """
    found = []
    try:
        for entry in archive.entries(("release", "withdraw", "review")):
            for record in _records(archive, entry):
                if said := _doubt(record, signers, required=required):
                    what = f"{entry.event.action} {entry.event.object} {entry.event.revision}"
                    message = f"{what}, entry {entry.seq}: {said}"
                    found.append(fault("unknown-signer", ENTRIES, message, _HINT))
    except (ArchiveDamaged, SignatureFault) as error:
        found.append(fault("unreadable", ENTRIES, str(error)))
    return found


def _records(archive: Archive, entry: Entry) -> Iterator[Record]:
    event, details = entry.event, entry.event.details
    match event.action:
        case "release":
            data = archive.read(event.object, int(str(details["version"])), RELEASE)
            yield from parse_release(data).approvals
        case "withdraw":
            data = archive.read(event.object, int(str(details["version"])), WITHDRAWAL)
            yield parse_record(data)
        case _:
            about = archive.statements(str(details["content_sha512"]))
            yield from (r for r in about if r.place() == details["payload"])


def _doubt(record: Record, signers: tuple[Signer, ...], *, required: bool) -> str:
    """Say why a statement does not count; nothing where it does."""
    if not record.signed:
        return f"the statement of {record.statement.name} is not signed" if required else ""
    try:
        check_record(record)
        check_signer(record, signers)
    except SignatureFault as error:
        return str(error)
    return ""
