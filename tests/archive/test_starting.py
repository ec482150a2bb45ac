"""The start of an archive is whole or not there, whenever the process is killed or a disk full."""

import os
import shutil
from pathlib import Path

import pytest

from speccomp.archive.errors import ArchiveError
from speccomp.archive.opening import start_archive
from speccomp.archive.verify import verify_archive
from tests.archive.crash_child import KILLED, REFUSED, strike
from tests.archive.scenario import CONTROLLER, START, Writer


def attempt(root: Path, at: int, fault: str) -> int:
    """Start an archive in a process that is struck; return how it ended, 0 if it was not."""
    child = os.fork()
    if child == 0:
        struck = strike(at, fault)
        try:
            start_archive(root, CONTROLLER, START)
        except ArchiveError:
            os._exit(REFUSED)
        os._exit(KILLED if struck() else 0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


@pytest.mark.parametrize("fault", ["kill", "full"])
def test_an_archive_is_started_whole_or_not_at_all(fault: str, memory: Path) -> None:
    root = memory / "shelf" / "archive"
    at, ended, whole = 0, KILLED, []
    while ended:
        at += 1
        ended = attempt(root, at, fault)
        whole.append(root.exists())
        if root.exists():
            assert verify_archive(root) == ()
        Writer(root).release("PD-1", "-")
        assert verify_archive(root) == ()
        assert [path.name for path in root.parent.iterdir()] == [root.name]
        shutil.rmtree(root.parent)
    # A disk may refuse what does not matter any more; a killed process does nothing after it.
    assert fault == "full" or whole == sorted(whole)
    assert whole.count(False) > 20
