"""Check all files that belong to a main file, each as what it is named for."""

from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.schema.registry import FileKind, recognise
from speccomp.schema.validate import check_schema
from speccomp.source.project import Reference, Sources
from speccomp.source.yaml_tree import Tree

_KIND_WORDS = {
    FileKind.PROCESS: "process definition",
    FileKind.MATERIAL: "material card",
    FileKind.PLANT: "plant file",
    FileKind.BLOCK: "step block",
    FileKind.PACK: "caution pack",
}


def check_files(sources: Sources) -> tuple[Finding, ...]:
    """Compare the main file with the schema of its kind, and the others with that of their use."""
    kind = recognise(sources.main.data)
    if kind is None:
        keys = ", ".join(f"`{known.key}:`" for known in FileKind)
        message = "the file does not say what it is"
        hint = f"one of these keys must be at its top: {keys}"
        place = Span(sources.main.file)
        return (Finding(Severity.ERROR, "schema.unknown-kind", place, message, hint),)
    return (*check_schema(sources.main, kind), *_check_named(sources))


def _check_named(sources: Sources) -> Iterator[Finding]:
    # A file that is named as more than one kind has to be each of them.
    uses = {(reference.target, reference.kind): reference for reference in sources.references}
    for (name, use), reference in uses.items():
        tree, kind = sources.trees.get(name), FileKind(use)
        if tree is None:
            continue  # why it could not be read is said already
        said = recognise(tree.data)
        if said in (None, kind):
            yield from check_schema(tree, kind)
        else:
            yield _other_kind(sources.trees[reference.from_file], reference, kind, said)


def _other_kind(asking: Tree, reference: Reference, kind: FileKind, said: FileKind) -> Finding:
    wanted, found = _KIND_WORDS[kind], _KIND_WORDS[said]
    return Finding(
        Severity.ERROR,
        "schema.unknown-kind",
        asking.span(reference.path),
        f"`{reference.target}` is a {found}; a {wanted} is wanted here",
        f"name a file that has `{kind.key}:` at its top",
        (Related(Span(reference.target), "the file begins here"),),
    )
