"""
What the arithmetic costs: all derived numbers of a definition against its schema validation.

Both run in one process on files that are read already; the medians of
the processor's time and their ratio are printed.

    python tests/benchmarks/arithmetic_cost.py [DEFINITION ...] [--runs 25]
"""

import argparse
import statistics
import time
from collections.abc import Callable
from pathlib import Path

from speccomp.derive import derive
from speccomp.model.resolve_process import resolve_process
from speccomp.schema import FileKind, check_schema, recognise
from speccomp.source.project import Sources, load_sources
from speccomp.source.reader import find_project

ROOT = Path(__file__).resolve().parents[2]


def validate(sources: Sources) -> None:
    expected = {reference.target: FileKind(reference.kind) for reference in sources.references}
    for name, tree in sources.trees.items():
        kind = expected.get(name) or recognise(tree.data)
        if kind is not None:
            check_schema(tree, kind)


def median(work: Callable[[], object], runs: int) -> float:
    times = []
    for _ in range(runs + 1):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return statistics.median(times[1:])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("definitions", nargs="*", type=Path)
    parser.add_argument("--runs", type=int, default=25)
    arguments = parser.parse_args()
    demo = sorted((ROOT / "specs_demo" / "definitions").glob("*.yaml"))
    for path in arguments.definitions or demo:
        project = find_project(path)
        name = path.resolve().relative_to(project.root).as_posix()
        sources = load_sources(project, name).value
        process = resolve_process(sources).value if sources else None
        if sources is None or process is None:
            print(f"{path.name}: cannot be read")
            continue
        schema = median(lambda sources=sources: validate(sources), arguments.runs)
        numbers = median(lambda process=process: derive(process), arguments.runs)
        lines = len(path.read_text(encoding="utf-8").splitlines())
        print(
            f"{path.name} ({lines} lines, {len(derive(process).numbers)} numbers): "
            f"schemas {schema * 1e3:.1f} ms, arithmetic {numbers * 1e3:.1f} ms, "
            f"ratio {numbers / schema:.2f} (limit 1)"
        )


if __name__ == "__main__":
    main()
