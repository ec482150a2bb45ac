"""Read a step block: its parameters, and the values that a definition sets for them."""

from collections.abc import Iterator, Mapping

from speccomp.findings import Finding
from speccomp.model.lookup import nearest
from speccomp.model.node import Binding, Node
from speccomp.source.yaml_tree import Tree


def check_block(tree: Tree, found: list[Finding]) -> None:
    """Report each parameter that the steps of a block name and the block does not have."""
    block = Node(tree, found)
    parameters = dict(block.entries("parameters"))
    for node in _texts(block.child("steps")):
        for name in node.parameters():
            if name not in parameters:
                _report_unknown(block, node, name, parameters)


def resolve_bindings(use: Node, block: Node) -> dict[str, Binding]:
    """Match the values a definition sets with the parameters of the block it uses."""
    parameters = dict(block.entries("parameters"))
    given = dict(use.entries("set"))
    for name, entry in given.items():
        if name not in parameters:
            _report_unknown(block, entry, name, parameters)
    bindings: dict[str, Binding] = {}
    for name, entry in parameters.items():
        source = given.get(name) or entry.get("default")
        if source is None:
            use.child("use").report(
                "reference.missing-parameter",
                f"the block `{block.text('block')}` needs a value for `{name}`",
                f"add under set: `{name}: …` ({entry.text('description')})",
            )
        else:
            bindings[name] = Binding(source.string(), source.span)
    return bindings


def _report_unknown(block: Node, node: Node, name: str, known: Mapping[str, Node]) -> None:
    node.report(
        "reference.unknown-parameter",
        f"the block `{block.text('block')}` has no parameter `{name}`",
        nearest(name, known),
        span=node.key_span if node.path[-2:-1] == ("set",) else node.span,
    )


def _texts(node: Node) -> Iterator[Node]:
    """Go through all texts in a node."""
    match node.data:
        case str():
            yield node
        case dict() as data:
            for name in data:
                yield from _texts(node.child(name))
        case list() as data:
            for index in range(len(data)):
                yield from _texts(node.child(index))
