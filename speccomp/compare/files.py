"""Changes in the files of a definition that its model does not hold."""

from collections.abc import Iterator, Sequence

from speccomp.compare.change import Change
from speccomp.compare.differences import Difference
from speccomp.compare.sides import Side, Sides
from speccomp.source.tree import Plain


def file_changes(sides: Sides) -> Iterator[Change]:
    """
    Yield what the files say beside the model: which file is read, and what blocks are called.

    Nothing where the sources of the revisions are not known.
    """
    yield from _between(sides, "files", "other-file", [_files(side) for side in sides.both])
    yield from _between(sides, "blocks", "block-text", [_block_texts(side) for side in sides.both])


def _between(
    sides: Sides, section: str, kind: str, texts: Sequence[dict[str, tuple[str, ...]]]
) -> Iterator[Change]:
    """Yield the entries that both revisions have and that differ."""
    for name in texts[1]:
        before, after = (text.get(name) for text in texts)
        if before is not None and before != after:
            found = Difference((section, name), before, after)
            yield sides.change(kind, found, ("document-data",))


def _files(side: Side) -> dict[str, tuple[str, ...]]:
    """Return the file that is read for each material, the plant and each use of a block."""
    sources = side.places.sources
    found: dict[str, tuple[str, ...]] = {}
    for reference in sources.references if sources else ():
        if reference.kind in ("plant", "material"):
            found[str(reference.path[-1])] = (reference.target,)
        elif reference.kind == "block" and sources:
            steps = sources.trees[reference.from_file].data
            found[_use_of(steps, reference.path)] = (reference.target,)
    return found


def _use_of(data: Plain, path: Sequence[str | int]) -> str:
    """Return the id of the step that uses a block."""
    steps = data["steps"] if isinstance(data, dict) else []
    step = steps[int(path[1])] if isinstance(steps, list) else {}
    return str(step.get("id", "")) if isinstance(step, dict) else ""


def _block_texts(side: Side) -> dict[str, tuple[str, ...]]:
    """Return the title and the parameters of each block by its id, one line each."""
    sources = side.places.sources
    found: dict[str, tuple[str, ...]] = {}
    for reference in sources.references if sources else ():
        tree = sources.trees.get(reference.target) if sources else None
        data = tree.data if tree and reference.kind == "block" else None
        if isinstance(data, dict):
            rest = {key: value for key, value in data.items() if key not in ("block", "steps")}
            found[str(data["block"])] = tuple(_plain_lines(rest, ""))
    return found


def _plain_lines(data: Plain, head: str) -> Iterator[str]:
    entries: Sequence[tuple[str, Plain]] = list(data.items()) if isinstance(data, dict) else []
    if isinstance(data, list):
        entries = [(str(number), item) for number, item in enumerate(data)]
    for name, value in entries:
        yield from _plain_lines(value, f"{head} / {name}" if head else name)
    if isinstance(data, str):
        yield f"{head}: {data}"
