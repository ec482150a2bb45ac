"""Files of a project: which they are, their bytes, their text, their digests."""

import hashlib
from dataclasses import dataclass, replace

from speccomp.findings import Outcome, Related, Span
from speccomp.source.characters import decode_text
from speccomp.source.files import read_bytes
from speccomp.source.images import ImageFault, check_image
from speccomp.source.paths import PROJECT_MARK, Project, find_project, resolve_reference
from speccomp.source.refusal import refuse
from speccomp.source.tree_builder import MAX_BYTES

__all__ = [
    "MAX_IMAGE_BYTES",
    "PROJECT_MARK",
    "Project",
    "SourceFile",
    "SourceImage",
    "find_project",
    "read_image",
    "read_source",
    "resolve_reference",
]

MAX_IMAGE_BYTES = 5_000_000
"""Largest picture, in bytes."""


@dataclass(frozen=True, slots=True)
class SourceFile:
    """
    A text file as it was read, once: its project path, its bytes, and what they say.

    `text` has line feeds only and no byte order mark; `sha512` is the digest of `data` in
    hexadecimal digits (FIPS 180-4).
    """

    path: str
    data: bytes
    text: str
    sha512: str


@dataclass(frozen=True, slots=True)
class SourceImage:
    """A picture as it was read, once, with its media type by content; digest as in SourceFile."""

    path: str
    data: bytes
    media_type: str
    sha512: str


def read_source(project: Project, path: str, asked_at: Span | None) -> Outcome[SourceFile]:
    """
    Read a text file of the project by its project path.

    Findings at `asked_at`, where the file is named, or at its first line: those of `read_bytes`.
    Findings at the place in the file: `source.encoding`.
    """
    at = Span(path) if asked_at is None else asked_at
    read = read_bytes(project, path, at, MAX_BYTES)
    if read.value is None:
        return Outcome(None, read.findings)
    text = decode_text(read.value, path)
    if text.value is None:
        named = () if asked_at is None else (Related(asked_at, "the file is named here"),)
        return Outcome(None, tuple(replace(f, related=named) for f in text.findings))
    digest = hashlib.sha512(read.value).hexdigest()
    return Outcome(SourceFile(path, read.value, text.value, digest))


def read_image(
    project: Project, from_file: str, reference: str, asked_at: Span
) -> Outcome[SourceImage]:
    """
    Read a picture that a file of the project refers to.

    Findings at `asked_at`: those of `resolve_reference` and `read_bytes`, and `source.image`.
    """
    path = resolve_reference(project, from_file, reference, asked_at)
    if path.value is None:
        return Outcome(None, path.findings)
    read = read_bytes(project, path.value, asked_at, MAX_IMAGE_BYTES)
    if read.value is None:
        return Outcome(None, read.findings)
    try:
        media_type = check_image(read.value)
    except ImageFault as fault:
        message = f"`{path.value}` {fault.reason}"
        return Outcome(None, (refuse("image", asked_at, message, fault.hint),))
    digest = hashlib.sha512(read.value).hexdigest()
    return Outcome(SourceImage(path.value, read.value, media_type, digest))
