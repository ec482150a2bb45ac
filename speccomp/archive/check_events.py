"""Check what the entries of the ledger say: only known actions, each with the record it needs."""

from collections.abc import Iterable

from speccomp.archive.digests import sha256
from speccomp.archive.findings import Files
from speccomp.archive.layout import ENTRIES, README, STATEMENTS
from speccomp.archive.ledger import Entry, Event
from speccomp.archive.recovery import RECOVERED, Outcome
from speccomp.archive.release_record import RELEASE, WITHDRAWAL

_RECORDS = {"release": RELEASE, "withdraw": WITHDRAWAL}
_OUTCOMES = {Outcome.COMPLETED.value, Outcome.SET_ASIDE.value}


def check_events(files: Files, entries: Iterable[Entry]) -> None:
    """
    Report entries without the record that would bear them out, and what happened twice.

    The register believes the ledger, so an entry that no record stands behind is a forgery.
    """
    released: set[tuple[str, str]] = set()
    for entry in entries:
        event = entry.event
        if fault := _fault(entry):
            message = f"entry {entry.seq} of the ledger, `{event.action}`: {fault}"
            files.report("ledger-event", ENTRIES, message)
        if event.action == "release":
            if (event.object, event.revision) in released:
                message = f"{event.object} revision {event.revision} is released twice"
                files.report("released-twice", ENTRIES, message)
            released.add((event.object, event.revision))


def _fault(entry: Entry) -> str:
    event = entry.event
    payload, version = event.details.get("payload", ""), event.details.get("version")
    match event.action:
        case "start":
            whole = entry.seq == 1 and event.details == {"payload": README}
            return "" if whole else "an archive starts once, with its first entry"
        case "release" | "withdraw":
            whole = payload == _RECORDS[event.action] and type(version) is int
            return "" if whole else "no version of a document stands behind it"
        case "approve" | "review":
            whole = str(payload).startswith(f"{STATEMENTS}/") and version is None
            return "" if whole else "no statement stands behind it"
        case action if action == RECOVERED:
            return "" if _recovery(event, entry.seq) else "it tells of no interrupted change"
    return "it is no action of an archive"


def _recovery(event: Event, seq: int) -> bool:
    about = event.details.get("entry")
    return (
        event.payload_sha256 == sha256(b"")
        and set(event.details) <= {"entry", "outcome", "why"}
        and event.details.get("outcome") in _OUTCOMES
        and isinstance(about, int)
        and about <= seq
    )
