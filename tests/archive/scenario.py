"""Small archives with invented documents, made through the same calls the program uses."""

from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from speccomp.archive.digests import Json, canonical_json, sha512
from speccomp.archive.ledger import Event
from speccomp.archive.opening import start_archive
from speccomp.archive.release_record import (
    CONTENT,
    RELEASE,
    SOURCES,
    WITHDRAWAL,
    ReleaseRecord,
    parse_release,
)
from speccomp.archive.signatures import write_public_key, write_signature
from speccomp.archive.statements import NAMESPACES, Record, Signer, Statement
from speccomp.archive.store import Archive, Change, NewVersion

CONTROLLER = "R. Example"
QUALITY = "Q. Example"
START = "2026-01-15T09:30:00Z"
SOURCE = b"process: PD\n"


@cache
def key(number: int) -> Ed25519PrivateKey:
    """Return a key that is the same in every run; never used outside tests."""
    return Ed25519PrivateKey.from_private_bytes(bytes([number]) * 32)


def public_line(number: int) -> str:
    return write_public_key(key(number).public_key().public_bytes_raw())


def sign(statement: Statement, number: int = 1) -> Record:
    public = key(number).public_key().public_bytes_raw()
    namespace = NAMESPACES[statement.action]
    signature = write_signature(public, namespace, statement.signed_bytes(), key(number).sign)
    return Record(statement, write_public_key(public), signature)


def signer(number: int = 1, name: str = QUALITY) -> Signer:
    return Signer(name, "quality", public_line(number))


def approval(document: str, revision: str, content: bytes, time: str = START) -> Statement:
    return Statement(
        "approve",
        document,
        revision,
        sha512(content),
        "approved for release",
        QUALITY,
        "quality",
        time,
    )


@dataclass
class Writer:
    """Approves and releases in one archive, as the commands do, without documents."""

    root: Path
    time: str = START
    archive: Archive = field(init=False)

    def __post_init__(self) -> None:
        self.archive = start_archive(self.root, CONTROLLER, self.time)

    def approve(self, document: str, revision: str, *, key_number: int = 1) -> Record:
        content = content_of(document, revision)
        record = sign(approval(document, revision, content, self.time), key_number)
        with self.archive.change(CONTROLLER, self.time) as change:
            self.add_statement(change, record)
        return record

    def add_statement(self, change: Change, record: Record) -> None:
        statement = record.statement
        subject = (statement.document, statement.revision)
        event = Event(statement.action, "", *subject, "", "", record.details())
        change.add_statement(event, record)

    def release(self, document: str, revision: str, approvals: tuple[Record, ...] = ()) -> None:
        with self.archive.change(CONTROLLER, self.time) as change:
            inventory = self.archive.inventory(document)
            self.add_release(
                change, document, revision, inventory.head if inventory else 0, approvals
            )

    def add_release(
        self,
        change: Change,
        document: str,
        revision: str,
        expected: int,
        approvals: tuple[Record, ...] = (),
        extra: dict[str, bytes] | None = None,
    ) -> None:
        previous = self._last_release(document, expected)
        record = release_record(change, document, revision, approvals, previous)
        files = {
            RELEASE: record.text(),
            CONTENT: content_of(document, revision),
            f"{SOURCES}seal.yaml": SOURCE,
            **(extra or {}),
        }
        event = Event("release", "", document, revision, "", "", record.details())
        change.add_version(event, document, NewVersion(files, RELEASE, expected, record.reason))

    def _last_release(self, document: str, version: int) -> str:
        if not version:
            return ""
        return parse_release(self.archive.read(document, version, RELEASE)).revision

    def withdraw(self, document: str, revision: str) -> None:
        statement = replace(
            approval(document, revision, content_of(document, revision), self.time),
            action="withdraw",
            meaning="the part is no longer made",
        )
        with self.archive.change(CONTROLLER, self.time) as change:
            inventory = self.archive.inventory(document)
            assert inventory is not None
            files = {
                name: path.read_bytes()
                for name, path in self.archive.files(document, inventory.head).items()
            }
            record = sign(statement)
            files[WITHDRAWAL] = record.text()
            event = Event("withdraw", "", document, revision, "", "", record.details())
            version = NewVersion(files, WITHDRAWAL, inventory.head, statement.meaning)
            change.add_version(event, document, version)


def content_of(document: str, revision: str) -> bytes:
    """Return a content of which the plant wants signatures, but no role has to approve."""
    release = {"signatures": "required", "approvers": [approver(signer())]}
    return canonical_json(
        {
            "document": document,
            "revision": revision,
            "files": [{"kind": "definition", "path": "seal.yaml", "sha512": sha512(SOURCE)}],
            "meaning": {"plant": {"approvals": [], "release": release}},
        }
    )


def approver(signer: Signer) -> dict[str, Json]:
    return {
        "name": signer.name,
        "role": signer.role,
        "key": signer.public_key,
        "valid_from": None,
        "valid_to": None,
    }


def release_record(
    change: Change,
    document: str,
    revision: str,
    approvals: tuple[Record, ...],
    previous: str = "",
) -> ReleaseRecord:
    return ReleaseRecord(
        document=document,
        title="Seal the end",
        revision=revision,
        previous=previous,
        content_sha512=sha512(content_of(document, revision)),
        effective_from="2026-02-01",
        effective_at="2026-01-31T23:00:00Z",
        released_at=change.time,
        released_by=CONTROLLER,
        reason="first issue",
        summary="",
        change_class="major",
        lots="finish_on_old",
        review_due="",
        review_every="",
        signatures="required",
        approvers=(signer(),),
        approvals=approvals,
        uses=(),
        equipment=(),
        tool_version="0",
        checked_on="2026-01-15",
        ledger_head=change.head.sha256,
    )
