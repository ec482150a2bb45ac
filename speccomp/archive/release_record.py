"""The record of a release: what was released, on whose word, from when on; and how it is stored."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields
from typing import Any

from speccomp.archive.digests import Json, canonical_json, parse_object
from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.statements import Record, Signer, Statement, parse_signer

RELEASE = "release.json"
"""Name of the record in a version that is a release."""

CONTENT = "content.json"
"""Name of the content in a version: its SHA-512 digest is what approvals are bound to."""

COMPARISON = "comparison.json"
"""Name of what changed since the revision before, in a version."""

COMPARISON_PAGE = "comparison.html"
"""Name of the report on what changed, in a version that has a revision before it."""

DOCUMENTS = "documents/"
"""Where the compiled documents lie in a version."""

SOURCES = "sources/"
"""Where a version keeps what its documents were compiled from."""

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

    def details(self) -> dict[str, Json]:
        """Return what the ledger tells of the release: with it alone, the register can be made."""
        return {
            "title": self.title,
            "previous": self.previous,
            "content_sha512": self.content_sha512,
            "effective_from": self.effective_from,
            "effective_at": self.effective_at,
            "reason": self.reason,
            "summary": self.summary,
            "change_class": self.change_class,
            "lots": self.lots,
            "review_due": self.review_due,
            "signatures": self.signatures,
            "approvals": [
                {"role": s.role, "name": s.name, "time": s.time, "signed": item.signed}
                for item in self.approvals
                for s in [item.statement]
            ],
            "uses": [{"kind": u.kind, "path": u.path, "sha256": u.sha256} for u in self.uses],
            "equipment": list(self.equipment),
        }


def parse_release(data: bytes) -> ReleaseRecord:
    """Read a stored record of a release. Errors: ArchiveDamaged."""
    try:
        plain: dict[str, Any] = parse_object(data)
        plain["approvers"] = tuple(parse_signer(one, "public_key") for one in plain["approvers"])
        plain["approvals"] = tuple(map(_record, plain["approvals"]))
        plain["uses"] = tuple(Use(**use) for use in plain["uses"])
        plain["equipment"] = tuple(plain["equipment"])
        return ReleaseRecord(**plain)
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"the record of a release cannot be understood: {error}") from error


def _signer_fields(signer: Signer) -> dict[str, Json]:
    return {
        "name": signer.name,
        "public_key": signer.public_key,
        "role": signer.role,
        "valid_from": signer.valid_from.isoformat() if signer.valid_from else "",
        "valid_to": signer.valid_to.isoformat() if signer.valid_to else "",
    }


def _record_fields(record: Record) -> dict[str, Json]:
    return {
        "public_key": record.public_key,
        "signature": record.signature,
        "statement": record.statement.plain(),
    }


def _record(plain: Mapping[str, Any]) -> Record:
    return Record(Statement(**plain["statement"]), plain["public_key"], plain["signature"])
