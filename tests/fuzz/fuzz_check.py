"""
Spoil the demo's files at random and check them: no traceback, no hang, bounded memory.

    python -m tests.fuzz.fuzz_check [--cases 100000] [--seed 1] [--workers 2]

Each case spoils one definition, card, plant file or block in a copy of the demo and checks the
definition that uses it. It stops with the bytes of the first case that raises, takes more than
2 s, or finds a fault of speccomp itself.
"""

import argparse
import os
import random
import resource
import shutil
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from speccomp.pipeline import check_file
from tests.fuzz.mutations import mutate

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)
SLOW = 2.0


@dataclass(frozen=True)
class Report:
    cases: int
    slowest: float
    peak_bytes: int
    failure: str


def check(target: Path) -> tuple[str, float]:
    """Check one definition; return what went wrong, if anything, and the seconds it took."""
    start = time.perf_counter()
    try:
        result = check_file(target, TODAY)
    except Exception as error:
        failure = f"{type(error).__name__}: {error}"
    else:
        inner = [f for f in result.findings if f.rule.startswith("internal.")]
        failure = inner[0].message if inner else ""
    return failure, time.perf_counter() - start


def run(seed: int, cases: int) -> Report:
    """Run a number of cases in a copy of the demo of its own."""
    rng = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "demo"
        shutil.copytree(DEMO, copy)
        definitions = sorted((copy / "definitions").glob("*.yaml"))
        files = sorted(copy.rglob("*.yaml"))
        slowest = 0.0
        for case in range(cases):
            path = rng.choice(files)
            original = path.read_bytes()
            spoilt = mutate(rng, original)
            path.write_bytes(spoilt)
            target = (
                path if path.parent.name in {"definitions", "wrong"} else rng.choice(definitions)
            )
            failure, taken = check(target)
            if not failure and taken > SLOW:
                # Only what is slow again is slow; another program may have had the processor.
                failure, again = check(target)
                taken = min(taken, again)
            slowest = max(slowest, taken)
            path.write_bytes(original)
            if failure or taken > SLOW:
                kept = Path(tempfile.gettempdir()) / f"fuzz-{seed}-{case}-{path.name}"
                kept.write_bytes(spoilt)
                reason = failure or f"took {taken:.1f} s"
                return Report(case + 1, slowest, _peak(), f"{reason}\n  spoilt file: {kept}")
        return Report(cases, slowest, _peak(), "")


def _peak() -> int:
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
