"""What travels inside the PDF of a document: all that is needed to compile it again."""

from dataclasses import dataclass
from datetime import datetime

from speccomp.model.identity import Content
from speccomp.model.issue import Issue

CONTENT = "content.json"
"""Name of the attached exact content."""

ISSUE = "issue.json"
"""Name of the attached issue: approvals and dates."""

_RELATIONSHIPS = frozenset({"Source", "Data", "Alternative", "Supplement", "Unspecified"})

_DESCRIPTIONS = {
    "definition": "Process definition, the source of this document",
    "plant": "Plant file, a source of this document",
    "material": "Material card, a source of this document",
    "block": "Step block, a source of this document",
    "caution-pack": "Caution pack, a source of this document",
    "image": "Picture shown in this document",
}


@dataclass(frozen=True, slots=True)
class Attachment:
    """
    A file that travels inside the PDF.

    `name` is a path with forward slashes; `relationship` is how the file belongs to the document
    (ISO 19005-3): Source, Data, Alternative, Supplement or Unspecified. Without `modified` it
    bears the date of the document.
    """

    name: str
    data: bytes
    media_type: str
    description: str = ""
    relationship: str = "Source"
    modified: datetime | None = None

    def __post_init__(self) -> None:
        if self.relationship not in _RELATIONSHIPS:
            raise ValueError(f"{self.relationship!r} is no relationship of an attached file")


def build_attachments(content: Content, issue: Issue | None) -> tuple[Attachment, ...]:
    """Return the sources of a document, its exact content, and the issue if it is released."""
    attached = [
        Attachment(
            file.path,
            file.data,
            file.media_type,
            _DESCRIPTIONS.get(file.kind, "A source of this document"),
        )
        for file in content.files
    ]
    description = "Exact content, which the approvals are bound to, as canonical JSON"
    attached.append(Attachment(CONTENT, content.text, "application/json", description, "Data"))
    if issue:
        description = "Approvals and dates of this revision"
        attached.append(
            Attachment(ISSUE, issue.text(), "application/json", description, "Supplement")
        )
    return tuple(attached)
