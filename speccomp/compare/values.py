"""Changes of a single value, text, list of names or setting, whatever it belongs to."""

from collections.abc import Iterable, Iterator, Sequence

from speccomp.compare.canonical import Node
from speccomp.compare.change import Change
from speccomp.compare.decide import limit_rules, text_rules
from speccomp.compare.differences import Difference
from speccomp.compare.frequency import period_change
from speccomp.compare.limits import limit_change
from speccomp.compare.sides import Sides
from speccomp.compare.wording import text_change
from speccomp.model.shared import Setting
from speccomp.quantities import Toleranced


def value_changes(sides: Sides, found: Difference, base: Iterable[str]) -> Iterator[Change]:
    """Yield the change of a value that belongs to something that follows the rules `base`."""
    before, after = found.before, found.after
    if isinstance(before, Toleranced) and isinstance(after, Toleranced):
        kind, size = limit_change(before, after)
        rules = limit_rules(sides, found.path[:-1], kind, size, base)
        yield sides.change(kind, found, rules, size=size)
    else:
        kind = presence("value", found) or "value-changed"
        yield sides.change(kind, found, tuple(base) or ("limit",))


def text_changes(
    sides: Sides, found: Difference, base: Iterable[str], *, strict: bool = False
) -> Iterator[Change]:
    """Yield the change of a text, or of a list of actions; `strict` where it asks for something."""
    before, after = lines_of(found.before), lines_of(found.after)
    kind = presence("text", found) or text_change(before, after, sides.names, strict=strict)
    yield sides.change(kind, found, text_rules(kind, base))


def period_changes(sides: Sides, found: Difference, rules: Iterable[str]) -> Iterator[Change]:
    """Yield the change of the time for which something is kept or holds."""
    kind = presence("value", found)
    kind = kind or period_change(str(found.before), str(found.after))
    yield sides.change(kind, found, ("restated",) if kind == "restated" else rules)


def list_changes(
    sides: Sides, found: Difference, noun: str, rules: Sequence[str]
) -> Iterator[Change]:
    """Yield what was added to a list of names and what was removed from it."""
    before, after = lines_of(found.before), lines_of(found.after)
    gone = [name for name in before if name not in after]
    new = [name for name in after if name not in before]
    for name in gone:
        yield sides.change(f"{noun}-removed", found, rules, values=(name, None))
    for name in new:
        yield sides.change(f"{noun}-added", found, rules, values=(None, name))
    if [name for name in before if name in after] != [name for name in after if name in before]:
        yield sides.change("listed-otherwise", found, ("document-data",))


def presence(noun: str, found: Difference) -> str:
    """Return the kind for something that only one revision has; empty where both have it."""
    if found.before is None:
        return f"{noun}-added"
    return f"{noun}-removed" if found.after is None else ""


def lines_of(node: Node) -> tuple[str, ...]:
    """Return a text or a list of texts as lines."""
    if isinstance(node, tuple):
        return node
    return (node,) if isinstance(node, str) else ()


def setting_values(found: Difference) -> tuple[str, str]:
    """Return what a setting says in the two revisions; empty where it says nothing."""
    before, after = (
        node.value if isinstance(node, Setting) else node if isinstance(node, str) else ""
        for node in (found.before, found.after)
    )
    return before, after
