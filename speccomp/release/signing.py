"""How a statement gets its signature, and whether the plant accepts it."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from speccomp.archive.errors import SignatureFault
from speccomp.archive.statements import Record, Signer, Statement, check_record, check_signer
from speccomp.model.release_rules import ReleaseRules
from speccomp.release.refusal import Refused


@dataclass(frozen=True, slots=True)
class Signing:
    """
    What signs a statement: a private key, or a signature made elsewhere; neither is unsigned.

    `passphrase` is asked only for a key that wants one.
    """

    key_file: Path | None = None
    passphrase: Callable[[], str] = str
    signature: str = ""


def signers_of(rules: ReleaseRules) -> tuple[Signer, ...]:
    """Return the people whose signatures count; one without a key cannot sign."""
    return tuple(
        Signer(item.name, item.role, item.key, item.valid_from, item.valid_to)
        for item in rules.approvers
        if item.key
    )


def sign(
    statement: Statement, signing: Signing, signers: tuple[Signer, ...], *, required: bool
) -> Record:
    """
    Return the statement with its signature, checked against the keys that count.

    Errors: Refused where a signature is missing or does not count; SignatureFault for a key that
    cannot be used.
    """
    if signing.key_file is None and not signing.signature:
        if required:
            raise Refused(f"the plant requires signatures; sign as {statement.name} with --key")
        return Record(statement)
    if signing.key_file is not None:
        record = _with_key(statement, signing.key_file, signing.passphrase)
    else:
        record = _with_signature(statement, signing.signature, signers)
    try:
        check_record(record)
        check_signer(record, signers)
    except SignatureFault as fault:
        raise Refused(str(fault)) from fault
    return record


def _with_key(statement: Statement, key_file: Path, passphrase: Callable[[], str]) -> Record:
    from speccomp.archive.keys import KeyLocked, sign_statement

    try:
        return sign_statement(statement, key_file, b"")
    except KeyLocked:
        return sign_statement(statement, key_file, passphrase().encode())


def _with_signature(statement: Statement, signature: str, signers: tuple[Signer, ...]) -> Record:
    """Put a signature made elsewhere under a statement; the signer's key is the one on file."""
    keys = [s.public_key for s in signers if (s.name, s.role) == (statement.name, statement.role)]
    for key in keys:
        record = Record(statement, key, signature)
        try:
            check_record(record)
        except SignatureFault:
            continue
        return record
    if not keys:
        raise Refused(f"the plant file has no key of {statement.name} as {statement.role}")
    raise Refused(f"the signature was not made by {statement.name} over exactly this statement")


def check_person(
    rules: ReleaseRules, name: str, role: str, day: date, author: str
) -> tuple[str, ...]:
    """Return why a person may not approve in a role on a day; nothing where they may."""
    reasons = []
    people = [item for item in rules.approvers if (item.name, item.role) == (name, role)]
    if rules.approvers and not people:
        known = ", ".join(item.name for item in rules.approvers if item.role == role)
        reasons.append(
            f"{name} is not among the approvers of the plant file as {role}; "
            f"known: {known or 'nobody in this role'}"
        )
    elif people and not any(item.may_approve_on(day) for item in people):
        reasons.append(f"{name} may not approve as {role} on {day}")
    if not rules.author_may_approve and _same_person(name, author):
        reasons.append(f"{name} is the author; the plant wants somebody else to approve")
    return tuple(reasons)


def _same_person(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())
