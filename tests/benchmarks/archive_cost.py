"""
What the archive costs: a release late in its life against one early, and the register.

Run: python -m tests.benchmarks.archive_cost [FOLDER]. It builds 2,000 documents of five revisions
each, with an approval for every release, and leaves out the compiling of documents, which does not
depend on the archive. In a folder in memory the waiting for a disk does not hide the rest.
"""

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from speccomp.archive.digests import Json, sha512
from speccomp.archive.ledger import Event
from speccomp.archive.release_record import CONTENT, RELEASE
from speccomp.archive.store import NewVersion
from tests.archive.scenario import Writer, content_of, release_record

DOCUMENTS = 2000
REVISIONS = "ABCDE"
SAMPLE = 100


def release(writer: Writer, number: str, revision: str) -> float:
    """Release with the record of a real release, and return what it took in seconds."""
    approval = writer.approve(number, revision)
    uses: list[Json] = [
        {"kind": "material", "path": f"materials/card-{item}.yaml", "sha256": sha512(b"")[:64]}
        for item in range(16)
    ]
    begin = time.perf_counter()
    stated = writer.archive.statements(approval.statement.content_sha512)
    assert writer.archive.tells_of(stated) == {approval}
    with writer.archive.change("D. Example", writer.time) as change:
        inventory = writer.archive.inventory(number)
        record = release_record(change, number, revision, (approval,))
        files = {
            RELEASE: record.text(),
            CONTENT: content_of(number, revision),
            **{f"sources/file-{item}.yaml": f"{number} {item}".encode() for item in range(8)},
            **{
                f"documents/file-{item}": f"{number} {revision} {item}".encode()
                for item in range(6)
            },
        }
        equipment: list[Json] = [f"equipment-{item}" for item in range(20)]
        details = {**record.details(), "uses": uses, "equipment": equipment}
        event = Event("release", "", number, revision, "", "", details)
        there = inventory.head if inventory else 0
        change.add_version(event, number, NewVersion(files, RELEASE, there, "first issue"))
    return time.perf_counter() - begin


def register(root: Path) -> tuple[float, float]:
    """Return what the register takes as a process of its own: seconds, and those of computing."""
    command = [sys.executable, "-m", "speccomp", "register", "--archive", str(root)]
    begin, before = time.perf_counter(), resource.getrusage(resource.RUSAGE_CHILDREN)
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    took, after = time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_CHILDREN)
    assert len(done.stdout.splitlines()) == DOCUMENTS + 2
    return took, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main(folder: Path) -> None:
    """Build the archive and print the two figures."""
    full, empty = Writer(folder / "archive"), Writer(folder / "empty")
    for number in range(DOCUMENTS - SAMPLE // len(REVISIONS)):
        for revision in REVISIONS:
            release(full, f"PD-{number:04d}", revision)
    late, early = [], []
    # In turn, so that whatever else the machine does strikes both alike.
    for number in range(DOCUMENTS - SAMPLE // len(REVISIONS), DOCUMENTS):
        for revision in REVISIONS:
            late.append(release(full, f"PD-{number:04d}", revision))
            early.append(release(empty, f"PD-{number:04d}", revision))
    first, last = statistics.median(early), statistics.median(late)
    print(f"releases 1 to {SAMPLE}: {first * 1e3:.2f} ms each (median)")
    count = DOCUMENTS * len(REVISIONS)
    print(f"the last {SAMPLE} of {count}: {last * 1e3:.2f} ms each; ratio {last / first:.2f}")
    times = sorted(register(full.root) for _ in range(5))
    best, middle, computing = times[0][0], times[2][0], min(cpu for _, cpu in times)
    print(f"register: {best:.2f} s best, {middle:.2f} s median of 5, whole process")
    print(f"register: {computing:.2f} s of it computing; the rest is waiting for a busy machine")


if __name__ == "__main__":
    if len(sys.argv) > 1:
        main(Path(sys.argv[1]))
    else:
        shared = Path("/dev/shm")
        with tempfile.TemporaryDirectory(dir=shared if shared.is_dir() else None) as name:
            main(Path(name))
