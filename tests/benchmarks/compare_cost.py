"""
What a comparison costs: comparing two revisions against checking each of them once.

Whole processes, run in turn; medians and their ratio are printed. Both revisions of the default
pair have more than 300 lines.

    python tests/benchmarks/compare_cost.py [BEFORE AFTER] [--runs 11]
"""

import argparse
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PAIR = [
    ROOT / "specs_demo/revisions/PD-124/A.yaml",
    ROOT / "specs_demo/definitions/PD-124-igniter.yaml",
]


def seconds(*arguments: str) -> float:
    start = time.perf_counter()
    command = [sys.executable, "-m", "speccomp", *arguments]
    subprocess.run(command, check=False, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("revisions", nargs="*", type=Path, default=PAIR)
    parser.add_argument("--runs", type=int, default=11)
    arguments = parser.parse_args()
    before, after = (str(path) for path in arguments.revisions)
    lines = [len(Path(path).read_text(encoding="utf-8").splitlines()) for path in (before, after)]
    both, compared = [], []
    for _ in range(arguments.runs + 1):
        both.append(seconds("check", before) + seconds("check", after))
        compared.append(seconds("compare", before, after))
    ratios = [one / two for one, two in zip(compared[1:], both[1:], strict=True)]
    print(f"compare of {lines[0]} and {lines[1]} lines: median {statistics.median(compared):.3f} s")
    print(f"one check of each: median {statistics.median(both):.3f} s")
    print(f"ratio: median {statistics.median(ratios):.2f}, most {max(ratios):.2f} (limit 1.5)")


if __name__ == "__main__":
    main()
