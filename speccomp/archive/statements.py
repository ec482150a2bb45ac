"""
What a person states about a document, and the signature under it.

The signed bytes are the canonical JSON of the statement, so that any program can check them. The
namespace of the signature fixes what it means: a review cannot pass as an approval.
"""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from speccomp.archive.digests import Json, canonical_json, parse_object, sha256
from speccomp.archive.errors import SignatureFault
from speccomp.archive.layout import STATEMENTS, TIME
from speccomp.archive.signatures import check_signature, parse_public_key

NAMESPACES = {
    "approve": "approve@speccomp",
    "review": "review@speccomp",
    "withdraw": "withdraw@speccomp",
}
"""Actions that a person can sign, and the namespaces of the signatures."""


@dataclass(frozen=True, slots=True)
class Statement:
    """
    Who states what about which content, and when.

    `action` is one of NAMESPACES; `content_sha512` is the digest of the exact content the
    statement is about; `meaning` is what the signature means, in words; `time` is in UTC;
    `review_due` is the day by which a review wants the next one, empty for other actions.
    """

    action: str
    document: str
    revision: str
    content_sha512: str
    meaning: str
    name: str
    role: str
    time: str
    review_due: str = ""

    def plain(self) -> dict[str, Json]:
        """Return the fields as they are signed and stored, without a day there is none of."""
        return {key: text for key, text in asdict(self).items() if text or key != "review_due"}

    def signed_bytes(self) -> bytes:
        """Return the bytes a signature is made over."""
        return canonical_json(self.plain())


@dataclass(frozen=True, slots=True)
class Record:
    """A statement with the signature under it; both texts are empty where it is unsigned."""

    statement: Statement
    public_key: str = ""
    signature: str = ""

    @property
    def signed(self) -> bool:
        """Tell whether there is a signature, right or wrong."""
        return bool(self.signature)

    def text(self) -> bytes:
        """Return the record as it is stored."""
        fields: dict[str, Json] = {"statement": self.statement.plain()}
        if self.signed:
            fields |= {"public_key": self.public_key, "signature": self.signature}
        return canonical_json(fields) + b"\n"

    def details(self) -> dict[str, Json]:
        """Return what the ledger tells of the statement beside its subject."""
        statement = self.statement
        details: dict[str, Json] = {
            "content_sha512": statement.content_sha512,
            "meaning": statement.meaning,
            "name": statement.name,
            "role": statement.role,
            "signed": self.signed,
        }
        if statement.review_due:
            details["review_due"] = statement.review_due
        return details

    def place(self) -> str:
        """Return where the record lies in the archive: with others about the same content."""
        folder = statements_folder(self.statement.content_sha512)
        return f"{folder}/{sha256(self.text())[:32]}.json"


@dataclass(frozen=True, slots=True)
class Signer:
    """A person whose signature counts for a role between two days; an open end is None."""

    name: str
    role: str
    public_key: str
    valid_from: date | None = None
    valid_to: date | None = None


def parse_signer(plain: Mapping[str, Any], key: str) -> Signer:
    """
    Read a signer as it stands in a record or a plant; `key` names where the public key is.

    Errors: KeyError, TypeError, ValueError.
    """
    first, last = plain["valid_from"], plain["valid_to"]
    return Signer(
        plain["name"],
        plain["role"],
        plain[key],
        date.fromisoformat(first) if first else None,
        date.fromisoformat(last) if last else None,
    )


def statements_folder(content_sha512: str) -> str:
    """Return the folder of the statements about one content."""
    return f"{STATEMENTS}/{content_sha512[:2]}/{content_sha512[2:40]}"


def parse_record(data: bytes) -> Record:
    """Read a stored record. Errors: SignatureFault."""
    try:
        fields: dict[str, Any] = parse_object(data)
        record = Record(
            Statement(**fields["statement"]),
            fields.get("public_key", ""),
            fields.get("signature", ""),
        )
        texts = (*asdict(record.statement).values(), record.public_key, record.signature)
        whole = all(isinstance(text, str) for text in texts) and record.text() == data
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise SignatureFault(f"it is no statement: {error}") from error
    if not whole or record.statement.action not in NAMESPACES:
        raise SignatureFault("it is no statement as speccomp writes it")
    if not TIME.fullmatch(record.statement.time):
        raise SignatureFault(f"`{record.statement.time}` is no time in UTC with seconds")
    return record


def check_record(record: Record) -> None:
    """
    Check the signature of a record against the key it names.

    An unsigned record passes. Errors: SignatureFault.
    """
    if record.signed:
        statement = record.statement
        namespace = NAMESPACES[statement.action]
        key = check_signature(record.signature, statement.signed_bytes(), namespace)
        if key != parse_public_key(record.public_key):
            raise SignatureFault("the signature was made with another key than the one it names")


def check_signer(record: Record, signers: tuple[Signer, ...]) -> None:
    """
    Check that the key of a signed record belonged to that person in that role at that time.

    Errors: SignatureFault.
    """
    statement = record.statement
    key = parse_public_key(record.public_key)
    held = [signer for signer in signers if parse_public_key(signer.public_key) == key]
    if not held:
        raise SignatureFault(f"the key of the signature of {statement.name} is not a known one")
    fitting = [s for s in held if (s.name, s.role) == (statement.name, statement.role)]
    if not fitting:
        owner = f"{held[0].name} as {held[0].role}"
        raise SignatureFault(
            f"the key belongs to {owner}, not to {statement.name} as {statement.role}"
        )
    day = date.fromisoformat(statement.time[:10])
    if not any(_covers(signer, day) for signer in fitting):
        raise SignatureFault(
            f"the key of {statement.name} as {statement.role} was not valid on {day}"
        )


def _covers(signer: Signer, day: date) -> bool:
    return (signer.valid_from is None or signer.valid_from <= day) and (
        signer.valid_to is None or day <= signer.valid_to
    )
