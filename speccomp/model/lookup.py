"""Resolve names to what they stand for, with a suggestion where they stand for nothing."""

from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from typing import TypeVar

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.model.node import Node
from speccomp.quantities import Kind

T = TypeVar("T")


def nearest(name: str, known: Iterable[str]) -> str:
    """Return a hint: the nearest known name, or all of them."""
    names = sorted(known)
    near = get_close_matches(name, names, n=1, cutoff=0.6)
    if near:
        return f"did you mean `{near[0]}`?"
    return "known: " + ", ".join(names) if names else "none is described yet"


def resolve_name(
    node: Node, known: Mapping[str, T], what: str, where: str, described_at: Span | None = None
) -> T | None:
    """Return what the node's text names; an unknown name is collected as a finding."""
    name = node.string()
    found = known.get(name)
    if found is None and not node.is_unfilled():
        slug = what.replace(" ", "-")
        related = (Related(described_at, f"{where} begins here"),) if described_at else ()
        node.found.append(
            Finding(
                Severity.ERROR,
                f"reference.unknown-{slug}",
                node.span,
                f"{where} has no {what} `{name}`",
                nearest(name, known),
                (*node.set_at(), *related),
                name,
            )
        )
    return found


def resolve_kind(node: Node) -> Kind | None:
    """Return the kind that the node's text names; an unknown one is collected as a finding."""
    name = node.string().replace("_", " ")
    kind = next((k for k in Kind if k.value == name), None)
    if kind is None:
        node.report("value.unknown-kind", f"there is no kind `{name}`", nearest(name, list(Kind)))
    return kind
