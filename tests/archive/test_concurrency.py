"""Several people releasing at once: nothing lost, nothing twice."""

from collections import Counter
from pathlib import Path

from speccomp.archive.opening import open_archive
from speccomp.archive.verify import verify_archive
from tests.archive.contenders import document, run

PROCESSES = 8
ROUNDS = 50


def test_eight_processes_releasing_at_once_lose_and_repeat_nothing(memory: Path) -> None:
    root = memory / "archive"
    overtaken = run(root, PROCESSES, ROUNDS)
    archive = open_archive(root)
    entries = archive.entries(["release"])
    releases = Counter((entry.event.object, entry.event.revision) for entry in entries)
    assert len(entries) == len(releases) == PROCESSES * ROUNDS
    marks = Counter(
        archive.read(
            entry.event.object, int(str(entry.event.details["version"])), "documents/mark.txt"
        ).decode()
        for entry in entries
    )
    assert marks == Counter(
        f"{name} {turn} {document(str(name), turn)}"
        for name in range(PROCESSES)
        for turn in range(ROUNDS)
    )
    assert verify_archive(root) == ()
    assert sum(overtaken) > 0, "they did not meet"
