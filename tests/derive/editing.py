"""Find the values in a model and put others in their place."""

from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from types import MappingProxyType
from typing import Any

from speccomp.findings import Span
from speccomp.quantities import Toleranced

Place = tuple[str | int, ...]
_COUNTS = {"parts", "stations", "sizes", "open_faces", "lot"}


def values_of(node: object, path: Place = ()) -> Iterator[tuple[Place, object]]:
    """Go through the toleranced values and counts of a model with their paths."""
    if isinstance(node, Toleranced) or _is_number(node, path):
        yield path, node
    elif is_dataclass(node) and not isinstance(node, (type, Span)):
        for field in fields(node):
            yield from values_of(getattr(node, field.name), (*path, field.name))
    elif isinstance(node, Mapping):
        for key, value in node.items():
            yield from values_of(value, (*path, key))
    elif isinstance(node, tuple):
        for number, value in enumerate(node):
            yield from values_of(value, (*path, number))


def _is_number(node: object, path: Place) -> bool:
    if isinstance(node, float):
        return True
    named = [part for part in path if isinstance(part, str)]
    return isinstance(node, int) and not isinstance(node, bool) and named[-1] in _COUNTS


def edited(node: Any, path: Place, value: object) -> Any:
    """Return the model with another value at a path."""
    if not path:
        return value
    first, rest = path[0], path[1:]
    if isinstance(node, Mapping):
        return MappingProxyType({**node, first: edited(node[first], rest, value)})
    if isinstance(node, tuple):
        number = int(first)
        return (*node[:number], edited(node[number], rest, value), *node[number + 1 :])
    return replace(node, **{str(first): edited(getattr(node, str(first)), rest, value)})
