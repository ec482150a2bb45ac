"""The record of a release: what was released, on whose word, from when on; and how it is stored."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from datetime import date
from typing import Any

from speccomp.archive.digests import Json, canonical_json, parse_object
from speccomp.archive.errors import ArchiveDamaged, SignatureFault
from speccomp.archive.statements import Record, Signer, Statement, check_record, check_signer

RELEASE = "release.json"
"""Name of the record in a version that is a release."""

CONTENT = "content.json"
"""Name of the content in a version: its SHA-512 digest is what approvals are bound to."""

WITHDRAWAL = "withdrawal.json"
"""Name of the record in a version that is a withdrawal: a statement."""


@dataclass(frozen=True, slots=True)
class Use:
    """A file the documents were compiled from: what it is, its project path, its SHA-256 digest."""

    kind: str
    path: str
    sha256: str


@dataclass(frozen=True, slots=True)
class ReleaseRecord:
    """
    A release.

    Times are in UTC; `effective_from` is the day at the site, `effective_at` its first moment.
    `previous` is the revision before, empty for the first. `lots` says what happens to lots that
    are being worked on. `ledger_head` is the digest of the last entry before the release.
    `review_due` and `review_every` are a day and a period, empty where nothing is to be reviewed.
    `signatures` is `required` or `unsigned`; `checked_on` the day on which waivers had to hold.
    """

    document: str
    title: str
    revision: str
    previous: str
    content_sha512: str
    effective_from: str
    effective_at: str
    released_at: str
    released_by: str
    reason: str
    summary: str
    change_class: str
    lots: str
    review_due: str
    review_every: str
    signatures: str
    approvers: tuple[Signer, ...]
    approvals: tuple[Record, ...]
    uses: tuple[Use, ...]
    equipment: tuple[str, ...]
    tool_version: str
    checked_on: str
    ledger_head: str

    def text(self) -> bytes:
        """Return the record as it is stored."""
        plain: dict[str, Json] = {
            item.name: getattr(self, item.name)
            for item in fields(self)
            if item.name not in {"approvers", "approvals", "uses"}
        }
        plain["approvers"] = [_signer_fields(signer) for signer in self.approvers]
        plain["approvals"] = [_record_fields(record) for record in self.approvals]
        plain["uses"] = [asdict(use) for use in self.uses]
        return canonical_json(plain) + b"\n"


def parse_release(data: bytes) -> ReleaseRecord:
    """Read a stored record of a release. Errors: ArchiveDamaged."""
    try:
        plain: dict[str, Any] = parse_object(data)
        plain["approvers"] = tuple(map(_signer, plain["approvers"]))
        plain["approvals"] = tuple(map(_record, plain["approvals"]))
        plain["uses"] = tuple(Use(**use) for use in plain["uses"])
        plain["equipment"] = tuple(plain["equipment"])
        return ReleaseRecord(**plain)
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"the record of a release cannot be understood: {error}") from error


def check_approvals(release: ReleaseRecord) -> None:
    """
    Check each approval of a release: right content, signature, signer; signed where it has to be.

    Errors: SignatureFault at the first one that fails.
    """
    for record in release.approvals:
        statement = record.statement
        if statement.action != "approve":
            raise SignatureFault(f"a statement `{statement.action}` stands for an approval")
        about = (statement.document, statement.revision, statement.content_sha512)
        if about != (release.document, release.revision, release.content_sha512):
            raise SignatureFault(f"the approval of {statement.name} is about another content")
        if record.signed:
            check_record(record)
            check_signer(record, release.approvers)
        elif release.signatures == "required":
            raise SignatureFault(f"the approval of {statement.name} is not signed")


def _signer_fields(signer: Signer) -> dict[str, Json]:
    return {
        "name": signer.name,
        "public_key": signer.public_key,
        "role": signer.role,
        "valid_from": signer.valid_from.isoformat() if signer.valid_from else "",
        "valid_to": signer.valid_to.isoformat() if signer.valid_to else "",
    }


def _signer(plain: Mapping[str, str]) -> Signer:
    first, last = plain["valid_from"], plain["valid_to"]
    return Signer(
        plain["name"],
        plain["role"],
        plain["public_key"],
        date.fromisoformat(first) if first else None,
        date.fromisoformat(last) if last else None,
    )


def _record_fields(record: Record) -> dict[str, Json]:
    return {
        "public_key": record.public_key,
        "signature": record.signature,
        "statement": asdict(record.statement),
    }


def _record(plain: Mapping[str, Any]) -> Record:
    return Record(Statement(**plain["statement"]), plain["public_key"], plain["signature"])
