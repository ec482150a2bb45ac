"""What rows and derived numbers of the earlier revision are called in the later one."""

from collections.abc import Mapping
from dataclasses import dataclass, field

GONE = "#"
"""Ends a name of the earlier revision that the later one has nothing for."""

_FAMILIES = frozenset({"curing", "gauges", "samples"})
"""First words of the names of derived numbers that go on with a step."""


@dataclass(frozen=True, slots=True)
class Renamed:
    """
    Names of the earlier revision and what they became in the later one.

    `steps` has the steps that are called otherwise. `parts` has, by the earlier id of a step, its
    limits and segments that are called otherwise or are gone, and `moved` the limits, as
    step/limit, that stand in another step.
    """

    steps: Mapping[str, str] = field(default_factory=dict)
    parts: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    moved: Mapping[str, str] = field(default_factory=dict)

    def row(self, ident: str) -> str:
        """Return the id of a limit, as step/limit, in the later revision."""
        if ident in self.moved:
            return self.moved[ident]
        step, _, limit = ident.rpartition("/")
        return f"{self.steps.get(step, step)}/{self._part(step, limit)}"

    def number(self, name: str) -> str:
        """Return the name of a derived number in the later revision."""
        family, _, rest = name.partition(".")
        if family not in _FAMILIES:
            return name
        for old, new in self.moved.items():
            if rest.startswith(f"{old.replace('/', '.')}."):
                return f"{family}.{new.replace('/', '.')}{rest[len(old) :]}"
        for step in sorted({*self.steps, *self.parts}, key=len, reverse=True):
            if rest.startswith(f"{step}."):
                part, dot, end = rest[len(step) + 1 :].partition(".")
                return f"{family}.{self.steps.get(step, step)}.{self._part(step, part)}{dot}{end}"
        return name

    def _part(self, step: str, part: str) -> str:
        """Return a limit or segment of a step; limits of a segment begin with its number."""
        known = self.parts.get(step, {})
        if part in known:
            return known[part]
        number, dash, rest = part.partition("-")
        return f"{known[number]}{dash}{rest}" if number in known else part
