"""Check the ledger: each entry well formed, in its place in the chain, the end where it was."""

from itertools import pairwise

from speccomp.archive.digests import canonical_json, parse_object
from speccomp.archive.findings import Files
from speccomp.archive.layout import ENTRIES, HEAD
from speccomp.archive.ledger import GENESIS, Entry, LedgerFault, head_text, parse_line
from speccomp.archive.recovery import Interrupted


def check_ledger(files: Files, interrupted: Interrupted | None) -> tuple[Entry, ...]:
    """
    Check the ledger and its head; return the entries that can be read.

    After an interruption the end may be that of before or of after the change.
    """
    data = files.claim(ENTRIES)
    head = files.claim(HEAD)
    if data is None or head is None:
        return ()
    whole, _, torn = data.rpartition(b"\n")
    in_change = interrupted is not None and interrupted.entry is not None
    if torn and not in_change:
        files.report("ledger-cut", ENTRIES, f"{ENTRIES} does not end with a whole line")
    entries = _read(files, whole.split(b"\n"))
    _check_chain(files, entries)
    ends = [(entry.seq, entry.sha256) for entry in entries[-2 if in_change else -1 :]]
    if head not in [head_text(seq, digest) for seq, digest in ends]:
        last = entries[-1].seq if entries else 0
        files.report(
            "ledger-head", HEAD, f"{HEAD} does not name entry {last}, the last one of the ledger"
        )
    if in_change and interrupted is not None and interrupted.entry is not None:
        entries = [entry for entry in entries if entry.seq < interrupted.entry.seq]
    return tuple(entries)


def _read(files: Files, lines: list[bytes]) -> list[Entry]:
    entries = []
    for number, line in enumerate(lines, 1):
        try:
            entry = parse_line(line)
            if canonical_json(parse_object(line)) != line:
                raise LedgerFault("it is not canonical JSON")
        except LedgerFault as error:
            files.report("ledger-entry", ENTRIES, f"line {number} of {ENTRIES}: {error}")
        else:
            if entry.seq != number:
                message = f"line {number} of {ENTRIES} has the number {entry.seq}"
                files.report("ledger-order", ENTRIES, message)
            entries.append(entry)
    return entries


def _check_chain(files: Files, entries: list[Entry]) -> None:
    if entries and entries[0].prev != GENESIS:
        files.report("ledger-chain", ENTRIES, "the first entry of the ledger follows on another")
    for earlier, later in pairwise(entries):
        if later.prev != earlier.sha256:
            message = (
                f"entry {later.seq} does not follow from entry {earlier.seq} as it stands: one of "
                "them was changed, or one between them removed"
            )
            files.report("ledger-chain", ENTRIES, message)
        if later.event.time < earlier.event.time:
            message = f"entry {later.seq} is dated before entry {earlier.seq}"
            files.report("ledger-time", ENTRIES, message)
