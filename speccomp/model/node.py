"""A place in a file that the schema has accepted, and how its fields are read."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.quantities import Kind, QuantityError, Toleranced, parse_toleranced
from speccomp.source.yaml_tree import Path, Plain, Tree

_PARAMETER = re.compile(r"\$\(([a-z0-9-]+)\)")


@dataclass(frozen=True, slots=True)
class Binding:
    """The value of a step block's parameter and where it was given."""

    value: str
    span: Span


@dataclass(frozen=True, slots=True)
class Node:
    """
    One value of a tree with its path.

    `found` collects what is wrong with the values, for the stage that reads them. `bindings` are
    the parameters of the step block the node stands in, None outside of one; texts have them
    filled in.
    """

    tree: Tree
    found: list[Finding]
    path: Path = ()
    bindings: Mapping[str, Binding] | None = None

    @property
    def data(self) -> Plain:
        """The plain value."""
        value: Plain = self.tree.data
        for part in self.path:
            if isinstance(value, dict):
                value = value[str(part)]
            elif isinstance(value, list):
                value = value[int(part)]
        return value

    @property
    def span(self) -> Span:
        """Where the value stands."""
        return self.tree.span(self.path)

    @property
    def key_span(self) -> Span:
        """Where the key of the value stands."""
        return self.tree.key_span(self.path)

    def child(self, part: str | int) -> "Node":
        """Return the node of a field or an item that exists."""
        return Node(self.tree, self.found, (*self.path, part), self.bindings)

    def get(self, key: str) -> "Node | None":
        """Return the node of a field, or nothing where the mapping lacks it."""
        data = self.data
        return self.child(key) if isinstance(data, dict) and key in data else None

    def items(self, key: str) -> Iterator["Node"]:
        """Go through the items of a list field; nothing where it is missing or no list."""
        node = self.get(key)
        if node and isinstance(node.data, list):
            yield from node.elements()

    def elements(self) -> Iterator["Node"]:
        """Go through the items of a list; what is no list is its own only item."""
        data = self.data
        if isinstance(data, list):
            for index in range(len(data)):
                yield self.child(index)
        else:
            yield self

    def entries(self, key: str) -> Iterator[tuple[str, "Node"]]:
        """Go through the names and values of a mapping field; nothing where it is missing."""
        node = self.get(key)
        data = node.data if node else {}
        if node and isinstance(data, dict):
            for name in data:
                yield name, node.child(name)

    def string(self) -> str:
        """Return the node's own text with the block's parameters filled in."""
        data = self.data
        text = data if isinstance(data, str) else ""
        return _PARAMETER.sub(self._fill, text) if "$(" in text else text

    def parameters(self) -> list[str]:
        """Return the names of the block's parameters that the node's own text holds."""
        data = self.data
        return _PARAMETER.findall(data) if isinstance(data, str) else []

    def is_unfilled(self) -> bool:
        """Tell whether a parameter in the text has no value, which is reported where it lacks."""
        bindings = self.bindings
        return bindings is not None and any(name not in bindings for name in self.parameters())

    def text(self, key: str, default: str = "") -> str:
        """Return the text of a field, or the default where it is missing."""
        node = self.get(key)
        return node.string() if node else default

    def texts(self, key: str) -> tuple[str, ...]:
        """Return the texts of a field that holds one text or a list of them."""
        node = self.get(key)
        if node and isinstance(node.data, str):
            return (node.string(),)
        return tuple(item.string() for item in self.items(key))

    def flag(self, key: str) -> bool | None:
        """Return true, false, or nothing where the field is missing."""
        return {"true": True, "false": False}.get(self.text(key))

    def value(self, key: str, kind: Kind | None) -> Toleranced | None:
        """Parse a value field; what is wrong with it is collected, at the column."""
        node = self.get(key)
        return node.parse_value(kind) if node else None

    def parse_value(self, kind: Kind | None) -> Toleranced | None:
        """Parse the node's own text as a toleranced value."""
        text = self.string()
        try:
            return parse_toleranced(text, kind)
        except QuantityError as error:
            self.report(
                "value.malformed",
                error.message,
                error.hint,
                span=self.span_inside(error.start, error.end),
            )
            return None

    def day(self, key: str) -> date | None:
        """Parse a date field; a day that no calendar has is collected."""
        node = self.get(key)
        if node is None:
            return None
        try:
            return date.fromisoformat(node.string())
        except ValueError:
            node.report(
                "value.no-such-date",
                f"the calendar has no {node.string()}",
                "write year-month-day, for example 2026-11-25",
            )
            return None

    def span_inside(self, start: int, end: int) -> Span:
        """Return the place of a part of the text; all of it where parameters were filled in."""
        if self.string() != self.data:
            return self.span
        return self.tree.span_inside(self.path, start, end)

    def report(
        self,
        rule: str,
        message: str,
        hint: str = "",
        *,
        span: Span | None = None,
        severity: Severity = Severity.ERROR,
        subject: str = "",
    ) -> None:
        """Collect a finding about this node, unless its text waits for a parameter."""
        if self.is_unfilled():
            return
        place = span or self.span
        self.found.append(Finding(severity, rule, place, message, hint, self.set_at(), subject))

    def set_at(self) -> tuple[Related, ...]:
        """Return where the parameters in the node's own text got their values."""
        bindings = self.bindings or {}
        return tuple(
            Related(bindings[name].span, f"`{name}` is set here")
            for name in self.parameters()
            if name in bindings
        )

    def _fill(self, match: re.Match[str]) -> str:
        binding = (self.bindings or {}).get(match.group(1))
        return binding.value if binding else match.group(0)
