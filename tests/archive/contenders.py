"""Processes that release in one archive at the same time; each is this module as a program."""

import json
import subprocess
import sys
from pathlib import Path

from speccomp.archive.errors import Overtaken
from tests.archive.scenario import CONTROLLER, Writer

ROOT = Path(__file__).resolve().parents[2]


def document(name: str, turn: int) -> str:
    """In every other round all release the same document, in the others each one its own."""
    return f"PD-ALL-{turn % 10}" if turn % 2 else f"PD-{name}"


def compete(root: Path, name: str, rounds: int) -> int:
    """
    Release a document in each round; return how often another was faster.

    What a release holds is read before the lock is taken, as a person prepares it; whoever finds
    that another was faster prepares it again.
    """
    writer, overtaken = Writer(root), 0
    for turn in range(rounds):
        number = document(name, turn)
        mark = {"documents/mark.txt": f"{name} {turn} {number}".encode()}
        while not release(writer, number, mark):
            overtaken += 1
    return overtaken


def release(writer: Writer, number: str, mark: dict[str, bytes]) -> bool:
    inventory = writer.archive.inventory(number)
    there = inventory.head if inventory else 0
    try:
        with writer.archive.change(CONTROLLER, writer.time) as change:
            writer.add_release(change, number, str(there + 1), there, (), mark)
    except Overtaken:
        return False
    return True


def run(root: Path, processes: int, rounds: int) -> list[int]:
    """Start the processes, wait for all; return how often each one was overtaken."""
    Writer(root)
    command = [sys.executable, "-m", "tests.archive.contenders", str(root)]
    children = [
        subprocess.Popen([*command, name, str(rounds)], cwd=ROOT, stdout=subprocess.PIPE, text=True)
        for name in map(str, range(processes))
    ]
    results = [child.communicate()[0] for child in children]
    assert [child.returncode for child in children] == [0] * processes
    return [json.loads(result) for result in results]


if __name__ == "__main__":
    sys.stdout.write(json.dumps(compete(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]))))
