"""Bytes of one file of the project: opened once, never more than a bound, plain files only."""

import os
import pathlib
import stat

from speccomp.findings import Outcome, Span
from speccomp.source.paths import Project, describe_folder, describe_missing, locate
from speccomp.source.refusal import refuse

# A named pipe that takes the place of the file between look and opening must not block, and a
# terminal must not become ours; not every system has all of these.
_FLAGS = os.O_RDONLY
for _name in ("O_NONBLOCK", "O_NOFOLLOW", "O_NOCTTY", "O_CLOEXEC", "O_BINARY"):
    _FLAGS |= getattr(os, _name, 0)


def read_bytes(project: Project, path: str, asked_at: Span, most: int) -> Outcome[bytes]:
    """
    Return the bytes of a file, at most `most` of them.

    Findings at `asked_at`: `source.outside-project`, `source.backslash`, `source.not-found`,
    `source.not-readable`, `source.too-large`.
    """
    located = locate(project, path, asked_at)
    if located.value is None:
        return Outcome(None, located.findings)
    try:
        data, size = _read_plain_file(located.value, most)
    except (FileNotFoundError, NotADirectoryError):
        return Outcome(None, (describe_missing(project, path, asked_at),))
    except IsADirectoryError:
        return Outcome(None, (describe_folder(located.value, path, asked_at),))
    except OSError as error:
        reason = (error.strerror or "unknown reason").lower()
        message = f"`{path}` cannot be read: {reason}"
        hint = "name a plain file that you may read"
        return Outcome(None, (refuse("not-readable", asked_at, message, hint),))
    if len(data) > most:
        message = f"`{path}` has {size} bytes; at most {most} are read"
        return Outcome(None, (refuse("too-large", asked_at, message, "make the file smaller"),))
    return Outcome(data)


def _read_plain_file(place: pathlib.Path, most: int) -> tuple[bytes, int]:
    """Return up to `most` + 1 bytes of a file and its size; OSError where it is no plain file."""
    before = place.stat()
    if stat.S_ISDIR(before.st_mode):
        raise IsADirectoryError
    if not stat.S_ISREG(before.st_mode):
        raise OSError(0, "it is not a plain file")
    with os.fdopen(os.open(place, _FLAGS), "rb") as stream:
        opened = os.fstat(stream.fileno())
        same = (opened.st_dev, opened.st_ino) == (before.st_dev, before.st_ino)
        if not same or not stat.S_ISREG(opened.st_mode):
            raise OSError(0, "it was exchanged for another while it was opened")
        data = stream.read(most + 1)
    return data, max(opened.st_size, len(data))
