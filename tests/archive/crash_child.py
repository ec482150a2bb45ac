"""
Kill a process that changes an archive at one of its file operations after another.

Run as a program of its own: `crash_child SCENARIO FOLDER [FAULT]`. Every attempt happens in a
forked process on a fresh copy of the archive. It prints one JSON line for each attempt: which
operation was hit, how the attempt ended, what a verification said then and after the next change.
"""

import errno
import json
import os
import shutil
import sys
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

from speccomp.archive.errors import ArchiveError
from speccomp.archive.layout import STAGING
from speccomp.archive.recovery import find_interrupted
from speccomp.archive.verify import verify_archive
from tests.archive.scenario import CONTROLLER, Writer

OPERATIONS = (
    "open", "write", "fsync", "close", "mkdir", "rmdir", "unlink", "replace", "rename", "ftruncate",
)  # fmt: skip
KILLED = 77
REFUSED = 78
MADE_ALL_THE_SAME = 79
LATER = "2026-01-15T10:00:00Z"


def first_release(writer: Writer) -> None:
    writer.release("PD-2", "-")


def next_release(writer: Writer) -> None:
    writer.release("PD-1", "A")


def withdrawal(writer: Writer) -> None:
    writer.withdraw("PD-1", "-")


def approval(writer: Writer) -> None:
    writer.approve("PD-1", "B")


def recovery(writer: Writer) -> None:
    """Start where `next_release` was killed right after it counted."""
    with writer.archive.change(CONTROLLER, LATER):
        pass


SCENARIOS: dict[str, Callable[[Writer], None]] = {
    function.__name__: function
    for function in (first_release, next_release, withdrawal, approval, recovery)
}


def strike(at: int, fault: str) -> Callable[[], bool]:
    """
    From now on, let file operation number `at` kill the process or fail as on a full disk.

    Return a function that tells whether it has come to that operation.
    """
    count = 0
    inside = False

    def wrap(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def operation(*arguments: Any, **keywords: Any) -> Any:
            nonlocal count, inside
            if inside:
                return real(*arguments, **keywords)
            count += 1
            if count != at:
                return real(*arguments, **keywords)
            inside = True
            if name == "write":
                real(arguments[0], bytes(arguments[1])[: len(arguments[1]) // 2])
            if fault == "kill":
                os._exit(KILLED)
            inside = False
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        return operation

    for name in OPERATIONS:
        setattr(os, name, wrap(name, getattr(os, name)))
    return lambda: count >= at


def attempt(root: Path, scenario: str, at: int, fault: str) -> int:
    """Change the archive in a process that is struck; return how it ended, 0 if it was not."""
    child = os.fork()
    if child == 0:
        writer = Writer(root)
        struck = strike(at, fault)
        try:
            SCENARIOS[scenario](writer)
        except ArchiveError as error:
            sys.stderr.write(f"{error}\n")
            sys.stderr.flush()
            os._exit(REFUSED)
        except BaseException:  # nothing else may come out
            traceback.print_exc()
            sys.stderr.flush()
            os._exit(1)
        os._exit(MADE_ALL_THE_SAME if struck() else 0)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def tell(root: Path) -> dict[str, Any]:
    """Say what a verification finds, which versions there are, and what will become of a rest."""
    interrupted = find_interrupted(root)
    archive = Writer(root).archive
    versions = {}
    for number in ("PD-1", "PD-2"):
        inventory = archive.inventory(number) if interrupted is None else None
        versions[number] = inventory.head if inventory else 0
    return {
        "findings": [finding.rule for finding in verify_archive(root)],
        "outcome": interrupted.outcome.value if interrupted else "",
        "counts": bool(interrupted and interrupted.outcome == "completed"),
        "versions": versions,
        "staging": (root / STAGING).exists(),
    }


def interrupted_release(folder: Path, pristine: Path) -> Path:
    """Return an archive in which a release was killed at the first moment it counted."""
    at = 0
    while True:
        at += 1
        root = folder / f"interrupted-{at}"
        shutil.copytree(pristine, root)
        attempt(root, next_release.__name__, at, "kill")
        if tell(root)["counts"]:
            return root
        shutil.rmtree(root)


def run(scenario: str, folder: Path, fault: str) -> None:
    pristine = folder / "pristine"
    writer = Writer(pristine)
    writer.release("PD-1", "-", (writer.approve("PD-1", "-"),))
    if scenario == recovery.__name__:
        pristine = interrupted_release(folder, pristine)
    at, ended = 0, KILLED
    while ended:
        at += 1
        root = folder / "archive"
        shutil.copytree(pristine, root)
        ended = attempt(root, scenario, at, fault)
        result: dict[str, Any] = {"at": at, "ended": ended, "before": tell(root)}
        with Writer(root).archive.change(CONTROLLER, LATER) as change:
            result["recovered"] = change.interrupted.outcome.value if change.interrupted else ""
        result["after"] = tell(root)
        again = Writer(root, LATER)
        again.release("PD-1", "C")
        result["next"] = tell(root)
        result["entries"] = [
            (entry.event.action, entry.event.object, entry.event.revision)
            for entry in again.archive.entries()
        ]
        sys.stdout.write(json.dumps(result) + "\n")
        shutil.rmtree(root)


if __name__ == "__main__":
    run(sys.argv[1], Path(sys.argv[2]), sys.argv[3])
