"""Check the records: that they agree with the ledger, with each other, and with the signatures."""

from collections.abc import Mapping

from speccomp.archive.content_record import ContentRecord, parse_content
from speccomp.archive.digests import Json, sha256
from speccomp.archive.errors import SignatureFault
from speccomp.archive.ledger import Entry
from speccomp.archive.release_record import CONTENT, SOURCES, ReleaseRecord
from speccomp.archive.statements import Record, check_record, check_signer

_VERSION_DETAILS = {"inventory_sha512", "payload", "version"}


def check_release(
    entry: Entry,
    release: ReleaseRecord,
    state: Mapping[str, str],
    content: bytes,
    stated: frozenset[str],
) -> None:
    """
    Check the record of a release against its entry, its content, its files and its approvals.

    `state` maps the names of the version's files to their SHA-512 digests; `stated` are the
    digests of the statements the ledger tells of. Errors: SignatureFault, ArchiveDamaged.
    """
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
    _check_details(entry, release.details())
    if state.get(CONTENT) != release.content_sha512:
        raise SignatureFault(f"{CONTENT} is not the content that the record and approvals name")
    _check_content(release, parse_content(content), state)
    check_approvals(release)
    for approval in release.approvals:
        if sha256(approval.text()) not in stated:
            name = approval.statement.name
            raise SignatureFault(f"the ledger does not tell of the approval of {name}")


def _check_content(
    release: ReleaseRecord, content: ContentRecord, state: Mapping[str, str]
) -> None:
    """The content is what was approved: it fixes the sources, the roles and the keys."""
    if (content.document, content.revision) != (release.document, release.revision):
        raise SignatureFault(f"its content is {content.document} revision {content.revision}")
    sources = {
        name.removeprefix(SOURCES): digest
        for name, digest in state.items()
        if name.startswith(SOURCES)
    }
    if sources != content.files:
        other = sorted(
            path
            for path in sources | dict(content.files)
            if sources.get(path) != content.files.get(path)
        )
        raise SignatureFault(f"the source {other[0]} is not the one its content names")
    if (release.signatures, release.approvers) != (content.signatures, content.signers):
        raise SignatureFault("its rules for signatures are not those of the plant file")
    approved = {approval.statement.role for approval in release.approvals}
    if missing := [role for role in content.roles if role not in approved]:
        raise SignatureFault(f"it lacks the approval by the role {missing[0]}")


def check_approvals(release: ReleaseRecord) -> None:
    """
    Check each approval of a release: right content, signature, signer, time.

    Errors: SignatureFault at the first one that fails.
    """
    for record in release.approvals:
        statement = record.statement
        if statement.action != "approve":
            raise SignatureFault(f"a statement `{statement.action}` stands for an approval")
        if statement.time > release.released_at:
            raise SignatureFault(f"the approval of {statement.name} is dated after the release")
        _check_about(record, release)


def check_withdrawal(entry: Entry, record: Record, release: ReleaseRecord) -> None:
    """Check a withdrawal against its entry and the release it ends. Errors: SignatureFault."""
    if record.statement.action != "withdraw":
        raise SignatureFault(f"a statement `{record.statement.action}` stands for a withdrawal")
    check_statement(entry, record)
    _check_about(record, release)


def check_review(record: Record, release: ReleaseRecord | None) -> None:
    """Check a review against the release it is about. Errors: SignatureFault."""
    if release is None:
        raise SignatureFault("no sound release stands behind it")
    _check_about(record, release)


def check_statement(entry: Entry, record: Record) -> None:
    """Check that a statement is what its entry tells of. Errors: SignatureFault."""
    statement, event = record.statement, entry.event
    told = (event.action, event.object, event.revision)
    if told != (statement.action, statement.document, statement.revision):
        raise SignatureFault("the record and the ledger tell different things")
    _check_details(entry, record.details())
    if statement.time > event.time:
        raise SignatureFault(f"the statement of {statement.name} is dated after its entry")
    check_record(record)


def _check_about(record: Record, release: ReleaseRecord) -> None:
    """Check what a statement is about, and its signature against the keys that count."""
    statement = record.statement
    what = {"approve": "approval", "review": "review", "withdraw": "withdrawal"}[statement.action]
    about = (statement.document, statement.revision, statement.content_sha512)
    if about != (release.document, release.revision, release.content_sha512):
        raise SignatureFault(f"the {what} of {statement.name} is about another content")
    if record.signed:
        check_record(record)
        check_signer(record, release.approvers)
    elif release.signatures == "required":
        raise SignatureFault(f"the {what} of {statement.name} is not signed")


def _check_details(entry: Entry, expected: Mapping[str, Json]) -> None:
    """The register believes the details of the ledger, so they must be those of the record."""
    told = {k: v for k, v in entry.event.details.items() if k not in _VERSION_DETAILS}
    if told != expected:
        names = sorted(k for k in {*told, *expected} if told.get(k) != expected.get(k))
        raise SignatureFault(f"the ledger tells of another `{names[0]}` than the record")
