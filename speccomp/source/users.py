"""Which definitions of a project read a file."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from speccomp.source.project import written_references
from speccomp.source.reader import Project, read_source, resolve_reference
from speccomp.source.tree import Plain, Tree
from speccomp.source.yaml_tree import parse_tree

MOST_FILES = 2000
"""Most files of a project that are looked at."""


@dataclass(frozen=True, slots=True)
class _Definition:
    number: str
    revision: str
    path: str
    reads: frozenset[str]
    previous: str


def find_users(project: Project, targets: Sequence[str], but: str) -> Mapping[str, tuple[str, ...]]:
    """
    Return the definitions that read each file, as `number revision (path)`.

    `targets` are project paths, `but` the number of a document to leave out. A file that another
    names as its previous revision is left out too, and so is what cannot be read. Folders whose
    name starts with a dot are not entered.
    """
    found = [one for one in _definitions(project) if one.number != but] if targets else []
    earlier = {one.previous for one in found}
    users: dict[str, tuple[str, ...]] = {}
    for target in targets:
        reading = [one for one in found if target in one.reads and one.path not in earlier]
        if reading:
            users[target] = tuple(f"{one.number} {one.revision} ({one.path})" for one in reading)
    return users


def _definitions(project: Project) -> Iterator[_Definition]:
    """Yield the definitions of a project in the order of their paths."""
    found = (path for pattern in ("*.yaml", "*.yml") for path in project.root.rglob(pattern))
    names = (path.relative_to(project.root) for path in found)
    shown = sorted(name.as_posix() for name in names if not _hidden(name.parts))
    for path in shown[:MOST_FILES]:
        source = read_source(project, path, None).value
        tree = parse_tree(source.text, path).value if source else None
        if tree is not None and isinstance(tree.data, dict) and "process" in tree.data:
            yield _definition(project, tree, tree.data)


def _hidden(parts: Sequence[str]) -> bool:
    return any(part.startswith(".") for part in parts)


def _definition(project: Project, tree: Tree, data: dict[str, Plain]) -> _Definition:
    reads = (
        resolve_reference(project, tree.file, text, tree.span(path)).value
        for path, _, text in written_references(data)
    )
    note = data.get("change")
    previous = note.get("previous") if isinstance(note, dict) else None
    earlier = (
        resolve_reference(project, tree.file, previous, tree.span(("change", "previous"))).value
        if isinstance(previous, str)
        else None
    )
    return _Definition(
        str(data["process"]),
        str(data.get("revision", "")),
        tree.file,
        frozenset(target for target in reads if target is not None),
        earlier or "",
    )
