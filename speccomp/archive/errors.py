"""What can go wrong with an archive, as errors whose message is for the person at the keyboard."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class ArchiveError(Exception):
    """Anything that keeps the archive from doing what it was asked; the message says what."""


class NotAnArchive(ArchiveError):  # noqa: N818  # named for what it says
    """The folder is missing, or holds something else."""


class ArchiveBusy(ArchiveError):  # noqa: N818  # named for what it says
    """Somebody else has been writing for too long."""


class ArchiveDamaged(ArchiveError):  # noqa: N818  # named for what it says
    """Something in the archive is not as it was written; nothing is added to it."""


class ArchiveUnwritable(ArchiveError):  # noqa: N818  # named for what it says
    """The disk refused: full, read-only, gone; the message says what became of the change."""


class Overtaken(ArchiveError):  # noqa: N818  # named for what it says
    """Somebody else has added the same, or another version of it, in the meantime."""


class SignatureFault(ArchiveError):  # noqa: N818  # named for what it says
    """A key or a signature that is malformed, made for another purpose, or does not match."""


@contextmanager
def reading(place: Path) -> Iterator[None]:
    """Turn what the disk says while something is read into an ArchiveDamaged that names it."""
    try:
        yield
    except OSError as error:
        raise ArchiveDamaged(
            f"{error.filename or place} cannot be read: {reason(error)}"
        ) from error


def reason(error: OSError) -> str:
    """Return what the disk said, in lower case."""
    return (error.strerror or str(error)).lower()
