"""
What a check costs: one definition against the bare start-up of the libraries it needs.

Both are whole processes, run in turn; the medians and their ratio are printed. The base line
imports yaml, jsonschema and pint and builds pint's default unit registry.

    python tests/benchmarks/check_cost.py [DEFINITION] [--runs 15]
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


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("definition", nargs="?", type=Path)
    parser.add_argument("--runs", type=int, default=15)
    arguments = parser.parse_args()
    longest = max(
        (ROOT / "specs_demo" / "definitions").glob("*.yaml"),
        key=lambda path: len(path.read_text(encoding="utf-8")),
    )
    definition = arguments.definition or longest
    lines = len(definition.read_text(encoding="utf-8").splitlines())
    check = [sys.executable, "-m", "speccomp", "check", str(definition)]
    base = [sys.executable, "-c", BASE_LINE]
    pairs = [(seconds(check), seconds(base)) for _ in range(arguments.runs + 1)][1:]
    checks, bases = zip(*pairs, strict=True)
    print(f"check of {definition.name} ({lines} lines): median {statistics.median(checks):.3f} s")
    print(f"base line: median {statistics.median(bases):.3f} s")
    ratios = [a / b for a, b in pairs]
    print(f"ratio: median {statistics.median(ratios):.2f}, most {max(ratios):.2f} (limit 2)")


if __name__ == "__main__":
    main()
