"""What the exact content of a revision says about itself: its files, and who may approve it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from speccomp.archive.digests import parse_object
from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.statements import Signer, parse_signer


@dataclass(frozen=True, slots=True)
class ContentRecord:
    """
    What approvals are bound to, as far as document control needs it.

    `files` maps project paths to SHA-512 digests; `roles` must all approve; `signatures` is
    `required` or `unsigned`; `signers` are the people whose keys the plant file holds.
    """

    document: str
    revision: str
    files: Mapping[str, str]
    roles: tuple[str, ...]
    signatures: str
    signers: tuple[Signer, ...]


def parse_content(data: bytes) -> ContentRecord:
    """Read the exact content of a revision. Errors: ArchiveDamaged."""
    try:
        plain: dict[str, Any] = parse_object(data)
        plant = plain["meaning"]["plant"]
        release = plant["release"]
        return ContentRecord(
            plain["document"],
            plain["revision"],
            {file["path"]: file["sha512"] for file in plain["files"]},
            tuple(plant["approvals"]),
            release["signatures"],
            tuple(parse_signer(item, "key") for item in release["approvers"] if item["key"]),
        )
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise ArchiveDamaged(f"the content of a revision cannot be understood: {error}") from error
