"""
Spoil the demo's files at random and check them: no traceback, no hang, bounded memory.

    python -m tests.fuzz.fuzz_check [--cases 100000] [--seed 1] [--workers 2]

Each case spoils one file in a copy of the demo and checks it, or a definition that uses it. It
stops with the bytes of the first case that raises, takes more than 2 s of processor time or 60 s
on the clock, or finds a fault of speccomp itself. Processor time is bounded closely because it is
the same on a busy machine; the clock finds a check that waits for something.
"""

import argparse
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from speccomp.pipeline import check_file
from speccomp.source.project import load_sources
from speccomp.source.reader import find_project
from tests.fuzz.mutations import mutate

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)
SLOW = 2.0
"""Most processor time of a check, in seconds."""
HANGING = 60
"""Most time of a check on the clock, in seconds."""


@dataclass(frozen=True)
class Report:
    cases: int
    slowest: float
    peak_bytes: int
    failure: str


@contextmanager
def _alarm() -> Iterator[None]:
    """Raise TimeoutError in what takes too long on the clock."""

    def ring(_number: int, _frame: object) -> None:
        raise TimeoutError(f"took more than {HANGING} s")

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(HANGING)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def check(target: Path) -> tuple[str, float]:
    """Check a file; return what went wrong, if anything, and the processor time in seconds."""
    start = time.process_time()
    failure = ""
    try:
        with _alarm():
            result = check_file(target, TODAY)
        inner = [f for f in result.findings if f.rule.startswith("internal.")]
        failure = inner[0].message if inner else ""
    except Exception as error:
        failure = f"{type(error).__name__}: {error}"
    taken = time.process_time() - start
    if not failure and taken > SLOW:
        failure = f"took {taken:.1f} s of processor time"
    return failure, taken


def targets(demo: Path) -> dict[Path, list[Path]]:
    """Return what is checked for each file of the demo: itself, or the definitions that use it."""
    files = sorted(demo.rglob("*.yaml"))
    found: dict[Path, list[Path]] = {path: [] for path in files}
    for path in files:
        project = find_project(path)
        sources = load_sources(project, project.path_of(path)).value
        for name in sources.files if sources else ():
            found[project.root / name].append(path)
        change = sources.main.data.get("change") if sources else None
        if isinstance(change, dict) and isinstance(change.get("previous"), str):
            found[(path.parent / change["previous"]).resolve()].append(path)
    return {path: using or [path] for path, using in found.items()}


def run(seed: int, cases: int) -> Report:
    """Run a number of cases in a copy of the demo of its own."""
    rng = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder).resolve() / "demo"
        shutil.copytree(DEMO, copy)
        checked = targets(copy)
        slowest = 0.0
        for case in range(cases):
            path = rng.choice(list(checked))
            original = path.read_bytes()
            spoilt = mutate(rng, original)
            path.write_bytes(spoilt)
            failure, taken = check(rng.choice(checked[path]))
            slowest = max(slowest, taken)
            path.write_bytes(original)
            if failure:
                kept = Path(tempfile.gettempdir()) / f"fuzz-{seed}-{case}-{path.name}"
                kept.write_bytes(spoilt)
                return Report(case + 1, slowest, _peak(), f"{failure}\n  spoilt file: {kept}")
        return Report(cases, slowest, _peak(), "")


def _peak() -> int:
    # On Linux getrusage still counts the process that started this one.
    status = Path("/proc/self/status")
    found = re.search(r"VmHWM:\s+(\d+) kB", status.read_text()) if status.exists() else None
    if found:
        return int(found[1]) * 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    arguments = parser.parse_args()
    chunk = 500
    seeds = range(arguments.seed, arguments.seed + max(1, arguments.cases // chunk))
    with ProcessPoolExecutor(arguments.workers) as pool:
        reports = list(pool.map(run, seeds, [min(chunk, arguments.cases)] * len(seeds)))
    failures = [report.failure for report in reports if report.failure]
    print(f"{sum(report.cases for report in reports)} cases, {len(failures)} failures")
    print(f"slowest {max(report.slowest for report in reports):.2f} s")
    print(f"peak memory {max(report.peak_bytes for report in reports) / 2**20:.0f} MiB")
    for failure in failures[:10]:
        print(failure)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
