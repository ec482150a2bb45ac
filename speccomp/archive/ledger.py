"""
The ledger: what happened, one entry per line, each chained to the one before by its digest.

An entry is canonical JSON (RFC 8785). `prev` is the SHA-256 digest of the previous line without
its line feed, so an entry that is dropped, edited or moved breaks the chain. The file of the head
repeats number and digest of the last entry, which shows a change of that one, and a cut end.
"""

import json
import os
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from speccomp.archive.digests import Json, canonical_json, parse_object, sha256
from speccomp.archive.errors import ArchiveDamaged, reading
from speccomp.archive.layout import ENTRIES, HEAD, TIME

GENESIS = "0" * 64
"""What the first entry has in place of the digest of an earlier one."""

_BLOCK = 1 << 16
_TEXTS = ("action", "actor", "object", "payload_sha256", "prev", "revision", "time")
_KEYS = {*_TEXTS, "seq"}


@dataclass(frozen=True, slots=True)
class Event:
    """
    What an entry tells, without its place in the chain.

    `object` is the document number; `payload_sha256` is the digest of the record it speaks of;
    `details` is for the reader of the register. Texts may be empty, `time` is in UTC.
    """

    action: str
    actor: str
    object: str
    revision: str
    payload_sha256: str
    time: str
    details: Mapping[str, Json]


@dataclass(frozen=True, slots=True)
class Entry:
    """An event in its place: `seq` counts from 1, `sha256` is the digest of the line itself."""

    event: Event
    seq: int
    prev: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Head:
    """The end of the ledger: number, digest and time of the last entry, bytes of the file."""

    seq: int
    sha256: str
    time: str
    size: int


class LedgerFault(ValueError):  # noqa: N818  # named for what it says
    """A line that is no entry; the message says why."""


def entry_line(event: Event, seq: int, prev: str) -> bytes:
    """Return the line of an entry, without the line feed."""
    fields: dict[str, Json] = {
        "action": event.action,
        "actor": event.actor,
        "object": event.object,
        "payload_sha256": event.payload_sha256,
        "prev": prev,
        "revision": event.revision,
        "seq": seq,
        "time": event.time,
    }
    if event.details:
        fields["details"] = event.details
    return canonical_json(fields)


def parse_line(line: bytes) -> Entry:
    """Read a line without its line feed. Errors: LedgerFault."""
    try:
        fields = parse_object(line)
    except ValueError as error:
        raise LedgerFault(f"it is no JSON object: {error}") from error
    return _entry(fields, line)


def _entry(fields: dict[str, Any], line: bytes) -> Entry:
    details, seq = fields.get("details", {}), fields.get("seq")
    texts = [fields.get(key) for key in _TEXTS]
    if set(fields) - {"details"} != _KEYS or not all(isinstance(text, str) for text in texts):
        raise LedgerFault("it lacks a field, or has one too many")
    if not isinstance(details, dict) or isinstance(seq, bool) or not isinstance(seq, int):
        raise LedgerFault("its number or its details are malformed")
    action, actor, number, payload, prev, revision, time = map(str, texts)
    if not TIME.fullmatch(time):
        raise LedgerFault(f"`{time}` is no time in UTC with seconds")
    event = Event(action, actor, number, revision, payload, time, details)
    return Entry(event, seq, prev, sha256(line))


def head_text(seq: int, digest: str) -> bytes:
    """Return the content of the file of the head."""
    return canonical_json({"seq": seq, "sha256": digest}) + b"\n"


def read_head(root: Path) -> Head:
    """
    Return the end of the ledger, without reading the rest of it.

    Errors: ArchiveDamaged where the last line is no entry or the file of the head names another.
    """
    with reading(root / ENTRIES):
        line, size = _last_line(root / ENTRIES)
        written = (root / HEAD).read_bytes()
    try:
        entry = parse_line(line)
    except LedgerFault as fault:
        raise ArchiveDamaged(f"the last line of {ENTRIES} is no entry: {fault}") from fault
    if written != head_text(entry.seq, entry.sha256):
        raise ArchiveDamaged(
            f"{HEAD} does not name the last entry of {ENTRIES}, number {entry.seq}"
        )
    return Head(entry.seq, entry.sha256, entry.event.time, size)


def _last_line(path: Path) -> tuple[bytes, int]:
    with path.open("rb") as stream:
        size = stream.seek(0, os.SEEK_END)
        end, tail = size, b""
        while end and tail.count(b"\n") < 2:
            start = max(0, end - _BLOCK)
            stream.seek(start)
            tail = stream.read(end - start) + tail
            end = start
    if not tail.endswith(b"\n"):
        raise ArchiveDamaged(f"{ENTRIES} does not end with a whole line")
    return tail[:-1].rpartition(b"\n")[2], size


def find_payloads(root: Path, wanted: Collection[str]) -> frozenset[str]:
    """
    Return those of some payload digests that the ledger tells of.

    It is read from its end only as far as needed, because what is asked for is mostly recent.
    Errors: ArchiveDamaged.
    """
    missing = {b'"payload_sha256":"' + digest.encode() + b'"': digest for digest in wanted}
    overlap = max(map(len, missing), default=0)
    found: set[str] = set()
    with reading(root / ENTRIES), (root / ENTRIES).open("rb") as stream:
        end = stream.seek(0, os.SEEK_END)
        while end > 0 and missing:
            start = max(0, end - _BLOCK)
            stream.seek(start)
            block = stream.read(end - start + overlap)
            told = [text for text in missing if text in block]
            found.update(missing.pop(text) for text in told)
            end = start
    return frozenset(found)


def read_entries(root: Path, actions: Collection[str] = ()) -> tuple[Entry, ...]:
    """
    Return the entries, or those of some actions only, after a look at the whole chain.

    A line that is being appended at the moment does not count.
    Errors: ArchiveDamaged at the first entry that does not fit.
    """
    with reading(root / ENTRIES):
        data = (root / ENTRIES).read_bytes()
    wanted = tuple(b'{"action":' + canonical_json(action) for action in actions)
    return tuple(_chained(data[: data.rfind(b"\n") + 1], wanted))


def _chained(data: bytes, wanted: tuple[bytes, ...]) -> Iterator[Entry]:
    """Check each line against the digest of the one before; parse only what is wanted."""
    previous = GENESIS
    for number, line in enumerate(data.splitlines(), 1):
        # Behind `prev` come only plain texts and numbers, so the last one is the entry's own.
        at = line.rfind(b'"prev":"') + len(b'"prev":"')
        if line[at : at + 64] != previous.encode():
            raise ArchiveDamaged(
                f"entry {number} of the ledger does not follow from the one before"
            )
        previous = sha256(line)
        if not wanted or line.startswith(wanted):
            # The chain has shown that this is what was written, which names nothing twice.
            try:
                yield _entry(json.loads(line), line)
            except (AttributeError, RecursionError, TypeError, ValueError) as fault:
                raise ArchiveDamaged(f"entry {number} of the ledger: {fault}") from fault
