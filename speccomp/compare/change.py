"""One change between two revisions, and all of them."""

from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum

from speccomp.compare.canonical import Node
from speccomp.compare.kinds import KINDS
from speccomp.compare.paths import Path, swapped
from speccomp.compare.renaming import Renamed
from speccomp.compare.significance import RULES, Significance
from speccomp.findings import Related, Span
from speccomp.model.process import Process


class Measured(StrEnum):
    """What the size of a change is measured on."""

    BAND = "width of the band"
    MIDDLE = "middle of the limits"
    TARGET = "target"
    LOWER = "lower limit"
    UPPER = "upper limit"


@dataclass(frozen=True, slots=True)
class Size:
    """
    How far something moved: later minus earlier, in `unit` of the later value.

    `per_cent` is the same in per cent of the earlier band; None where that has no two limits.
    """

    of: Measured
    amount: Decimal
    unit: str
    per_cent: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """
    One change.

    `kind` is a name of `KINDS`. `subject` is the id of what changed, as the later revision calls
    it where it has it; `title` says it in words. `before` and `after` are the values, None where
    a revision has none. `rules` are names of the rules that decide how much it matters, the
    weightiest first. `covers` are the paths of the differences that the change is about.
    """

    kind: str
    subject: str
    title: str
    before: Node
    after: Node
    rules: tuple[str, ...]
    covers: tuple[Path, ...]
    size: Size | None = None
    before_span: Span | None = None
    after_span: Span | None = None
    note: str = ""
    related: tuple[Related, ...] = ()

    @property
    def significance(self) -> Significance:
        """How much the change matters."""
        return RULES[self.rule].significance

    @property
    def rule(self) -> str:
        """The rule that decided how much the change matters."""
        return self.rules[0]

    @property
    def words(self) -> str:
        """The kind of change in words."""
        return KINDS[self.kind].words

    @property
    def path(self) -> Path:
        """The first path the change is about."""
        return self.covers[0]


@dataclass(frozen=True, slots=True)
class Comparison:
    """
    What changed between two revisions of a definition, in the order of the later one.

    `unchanged` names the parts of the definition in which nothing changed, `renamed` what is
    called otherwise.
    """

    before: Process
    after: Process
    changes: tuple[Change, ...]
    unchanged: tuple[str, ...]
    renamed: Renamed = field(default_factory=Renamed)

    @property
    def significance(self) -> Significance | None:
        """The weightiest significance; None where nothing changed."""
        found = [change.significance for change in self.changes]
        return min(found, key=lambda one: one.rank, default=None)

    def of(self, significance: Significance) -> tuple[Change, ...]:
        """Return the changes of one significance."""
        return tuple(change for change in self.changes if change.significance is significance)


def mirrored(change: Change) -> Change:
    """
    Return a change as it is with the two revisions exchanged.

    What is measured in the unit or the band of one revision is left as it is but for its sign,
    and the rules stand: they need not be the same the other way.
    """
    return replace(
        change,
        kind=KINDS[change.kind].mirror,
        before=change.after,
        after=change.before,
        covers=tuple(swapped(path) for path in change.covers),
        size=replace(change.size, amount=-change.size.amount) if change.size else None,
        before_span=change.after_span,
        after_span=change.before_span,
    )
