"""
What a check costs: one definition against the bare start-up of the libraries it needs.

Both are whole processes, run in turn; the medians and their ratio are printed. The base line
imports yaml, jsonschema and pint and builds pint's default unit registry.

    python tests/benchmarks/check_cost.py [DEFINITION ...] [--runs 15]

Without a definition, those of the demo are taken that are next below and next above 300 lines.
"""

import argparse
import statistics
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BASE_LINE = "import yaml, jsonschema, pint; pint.UnitRegistry()"


def seconds(command: list[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, check=False, capture_output=True)
    return time.perf_counter() - start


def next_to(lines: int) -> list[Path]:
    """Return the demo's definitions next below and next above a length in lines."""
    lengths = {path: length(path) for path in (ROOT / "specs_demo" / "definitions").glob("*.yaml")}
    shorter = max((n, path) for path, n in lengths.items() if n <= lines)
    longer = min((n, path) for path, n in lengths.items() if n > lines)
    return [shorter[1], longer[1]]


def length(path: Path) -> int:
    return len(path.read_text(encoding="utf-8").splitlines())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("definitions", nargs="*", type=Path)
    parser.add_argument("--runs", type=int, default=15)
    arguments = parser.parse_args()
    base = [sys.executable, "-c", BASE_LINE]
    for definition in arguments.definitions or next_to(300):
        check = [sys.executable, "-m", "speccomp", "check", str(definition)]
        pairs = [(seconds(check), seconds(base)) for _ in range(arguments.runs + 1)][1:]
        checks, bases = zip(*pairs, strict=True)
        print(f"{definition.name} ({length(definition)} lines)")
        print(
            f"  check {statistics.median(checks):.3f} s, base line {statistics.median(bases):.3f} s"
        )
        ratios = [a / b for a, b in pairs]
        print(f"  ratio: median {statistics.median(ratios):.2f}, most {max(ratios):.2f} (limit 2)")


if __name__ == "__main__":
    main()
