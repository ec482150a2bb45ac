"""What the verification of an archive has to say, as findings whose file is the one concerned."""

import os
import stat
from pathlib import Path

from speccomp.archive.errors import reason
from speccomp.findings import Finding, Severity, Span

HINT = "compare with a copy of the archive that is known to be good; nothing is repaired by itself"


def fault(kind: str, place: str, message: str, hint: str = HINT) -> Finding:
    """Return an error about a file of the archive; `kind` completes the rule `archive.<kind>`."""
    return Finding(Severity.ERROR, f"archive.{kind}", Span(place), message, hint)


class Files:
    """
    The files of an archive, and which of them some check has accounted for.

    What none of them claims does not belong there; what is claimed and missing has been removed.
    `part` is the folder that is looked through for what does not belong, all when left out.
    """

    def __init__(self, root: Path, part: str = "") -> None:
        self.root = root
        self.found: list[Finding] = []
        self._unclaimed: set[str] = set()
        self._empty: set[str] = set()
        if (root / part).is_dir():
            self._list(root / part, part)

    def _list(self, folder: Path, place: str) -> None:
        with os.scandir(folder) as children:
            empty = True
            for child in children:
                empty = False
                path = f"{place}/{child.name}" if place else child.name
                if child.is_dir(follow_symlinks=False):
                    self._list(folder / child.name, path)
                else:
                    self._unclaimed.add(path)
        if empty:
            self._empty.add(place)

    def claim(self, place: str) -> bytes | None:
        """Return the bytes of a file that has to be there; what is wrong with it is collected."""
        self._unclaimed.discard(place)
        path = self.root / place
        try:
            if not stat.S_ISREG(path.lstat().st_mode):
                self.report("not-a-file", place, f"{place} is no plain file")
                return None
            return path.read_bytes()
        except (FileNotFoundError, NotADirectoryError):
            self.report("file-missing", place, f"{place} is missing")
        except OSError as error:
            self.report("unreadable", place, f"{place} cannot be read: {reason(error)}")
        return None

    def claim_exact(self, place: str, expected: bytes) -> None:
        """Claim a file whose bytes are known beforehand."""
        data = self.claim(place)
        if data is not None and data != expected:
            self.report("file-changed", place, f"{place} is not what was written to it")

    def claim_all(self, place: str) -> list[str]:
        """Account for a file, or for everything in a folder; return the files."""
        inside = sorted(path for path in self._unclaimed if _is_in(path, place))
        self._unclaimed.difference_update(inside)
        self._empty = {path for path in self._empty if not _is_in(path, place)}
        return inside

    def forgive(self, place: str) -> None:
        """Account for a place, and drop what was collected about it."""
        self.claim_all(place)
        self.found = [finding for finding in self.found if not _is_in(finding.span.file, place)]

    def report(self, kind: str, place: str, message: str, hint: str = HINT) -> None:
        """Collect an error about a file."""
        self.found.append(fault(kind, place, message, hint))

    def report_the_rest(self) -> None:
        """Report the files that nothing has claimed, and empty folders."""
        for place in sorted(self._unclaimed):
            self.report("file-added", place, f"{place} does not belong into the archive")
        for place in sorted(self._empty):
            self.report("folder-added", place, f"{place} is an empty folder")


def _is_in(path: str, place: str) -> bool:
    return path == place or path.startswith(f"{place}/")
