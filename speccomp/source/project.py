"""Which files belong to a main file, each read once."""

from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.findings import Finding, Outcome, Span
from speccomp.source.reader import Project, SourceFile, read_source, resolve_reference
from speccomp.source.refusal import refuse
from speccomp.source.tree import Path, Plain, Tree
from speccomp.source.yaml_tree import parse_tree

MAX_FILES = 200
"""Most files that a main file may draw in, itself included."""


@dataclass(frozen=True, slots=True)
class Reference:
    """
    A path written in a file, and the project path of the file it means.

    `path` leads to it in the tree of `from_file`; `kind` is `plant`, `material`, `block` or
    `caution-pack`.
    """

    from_file: str
    path: Path
    kind: str
    target: str


@dataclass(frozen=True, slots=True)
class Sources:
    """A main file and all it refers to; `trees` and `files` go by project path, main included."""

    project: Project
    main: Tree
    trees: dict[str, Tree]
    files: dict[str, SourceFile]
    references: tuple[Reference, ...]

    def referred(self, file: str, kind: str) -> tuple[Tree, ...]:
        """Return the trees of the files of one kind that a file refers to, in its order."""
        targets = (
            reference.target
            for reference in self.references
            if reference.from_file == file and reference.kind == kind
        )
        return tuple(self.trees[target] for target in targets if target in self.trees)


def load_sources(project: Project, main_path: str) -> Outcome[Sources]:
    """
    Read a main file and the files it refers to.

    `main_path` is a project path; `Project.path_of` gives it. There is no result where the main
    file has no tree; a file referred to that has none is missing from `trees`, with the findings
    that say why. Findings: those of `read_source`, `resolve_reference` and `parse_tree`;
    `source.block-nesting`, `source.too-many-files`.
    """
    files: dict[str, SourceFile] = {}
    trees: dict[str, Tree] = {}
    findings = list(_load(project, main_path, None, files, trees))
    if (main := trees.get(main_path)) is None:
        return Outcome(None, tuple(findings))
    references: list[Reference] = []
    tried = {main_path}
    waiting = [(main, (*written_references(main.data), *_packs(main.data)))]
    for tree, written in waiting:
        for path, kind, text in written:
            asked_at = tree.span(path)
            target = resolve_reference(project, tree.file, text, asked_at)
            findings.extend(target.findings)
            if target.value is None:
                continue
            references.append(Reference(tree.file, path, kind, target.value))
            if target.value in tried:
                continue
            if len(tried) == MAX_FILES:
                findings.append(_too_many_files(asked_at))
                break
            tried.add(target.value)
            findings.extend(_load(project, target.value, asked_at, files, trees))
            plant = trees.get(target.value) if kind == "plant" else None
            if plant is not None:
                waiting.append((plant, tuple(_packs(plant.data))))
    findings.extend(_check_blocks(main, trees, references))
    return Outcome(Sources(project, main, trees, files, tuple(references)), tuple(findings))


def _load(
    project: Project,
    path: str,
    asked_at: Span | None,
    files: dict[str, SourceFile],
    trees: dict[str, Tree],
) -> tuple[Finding, ...]:
    """Read one file into `files` and `trees`, as far as it can be read."""
    source = read_source(project, path, asked_at)
    if source.value is None:
        return source.findings
    files[path] = source.value
    tree = parse_tree(source.value.text, path)
    if tree.value is not None:
        trees[path] = tree.value
    return tree.findings


def written_references(data: Plain) -> Iterator[tuple[Path, str, str]]:
    """Yield path, kind and text of each reference of a process definition; others have none."""
    if not isinstance(data, dict) or "process" not in data:
        return
    if isinstance(plant := data.get("plant"), str):
        yield ("plant",), "plant", plant
    if isinstance(materials := data.get("materials"), dict):
        for name, material in materials.items():
            if isinstance(material, str):
                yield ("materials", name), "material", material
    for path, block in _uses(data):
        if isinstance(block, str):
            yield path, "block", block


def _packs(data: Plain) -> Iterator[tuple[Path, str, str]]:
    """Yield path, kind and text of each caution pack that a plant file refers to."""
    packs = data.get("caution_packs") if isinstance(data, dict) and "plant" in data else None
    for index, pack in enumerate(packs if isinstance(packs, list) else ()):
        if isinstance(pack, str):
            yield ("caution_packs", index), "caution-pack", pack


def _uses(data: Plain) -> Iterator[tuple[Path, Plain]]:
    """Yield path and value of the key `use` of each step that has one."""
    steps = data.get("steps") if isinstance(data, dict) else None
    for index, step in enumerate(steps if isinstance(steps, list) else ()):
        if isinstance(step, dict) and "use" in step:
            yield ("steps", index, "use"), step["use"]


def _check_blocks(
    main: Tree, trees: dict[str, Tree], references: list[Reference]
) -> Iterator[Finding]:
    """Refuse step blocks that use step blocks."""
    blocks = {reference.target for reference in references if reference.kind == "block"}
    if isinstance(main.data, dict) and "block" in main.data:
        blocks.add(main.file)
    for file, tree in trees.items():
        for path, _ in _uses(tree.data) if file in blocks else ():
            message = "a step block uses another step block, which is not possible"
            hint = "write the steps out here, or use both blocks in the process definition"
            yield refuse("block-nesting", tree.key_span(path), message, hint)


def _too_many_files(asked_at: Span) -> Finding:
    message = f"the files drawn in here are more than {MAX_FILES}; this one and the rest are left"
    return refuse("too-many-files", asked_at, message, "divide the process definition")
