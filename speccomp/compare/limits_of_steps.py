"""Changes of the limits and checks of a step, and of the segments of a cure profile."""

from collections.abc import Iterator

from speccomp.compare.change import Change
from speccomp.compare.decide import (
    limit_rules,
    mark_rules,
    process_rules,
    text_rules,
    weighing_rules,
    window_rules,
)
from speccomp.compare.differences import Difference
from speccomp.compare.limits import SAME_LIMIT, limit_change
from speccomp.compare.paths import Path, part_after
from speccomp.compare.sides import Sides
from speccomp.compare.values import lines_of, presence
from speccomp.compare.wording import text_change
from speccomp.quantities import Toleranced


def _base(sides: Sides, item: Path) -> tuple[str, ...]:
    """Return the rules by which a limit or segment belongs to a special process."""
    listed = process_rules(sides, item[:2], part_after(item[3]))
    return (*listed, *window_rules(sides, item), *weighing_rules(sides, item))


def limit_present(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a limit or check that only one revision has; one that is new forbids, and no more."""
    kind = presence("limit", found)
    marks, base = mark_rules(sides, found.path), _base(sides, found.path)
    rules = ("control-plan",) if kind == "limit-added" else (*base, "limit")
    yield sides.change(kind, found, (*marks, *rules))


def limit_requirement(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a limit, or of the words by which a person judges."""
    item = found.path[:4]
    before, after = found.before, found.after
    if isinstance(before, Toleranced) and isinstance(after, Toleranced):
        kind, size = limit_change(before, after)
        rules = limit_rules(sides, item, kind, size, _base(sides, item))
        yield sides.change(kind, found, rules, size=size)
        return
    if isinstance(before, Toleranced) or isinstance(after, Toleranced):
        kind = "limit-replaced"
    else:
        kind = text_change(lines_of(before), lines_of(after), sides.names, strict=True)
    base = _base(sides, item) or ("limit",)
    wording = kind == "wording"
    rules = ("wording",) if wording else (*mark_rules(sides, item), *base)
    yield sides.change(kind, found, rules)


def limit_name(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a limit that is called otherwise."""
    kind = text_change(lines_of(found.before), lines_of(found.after), sides.names)
    rules = text_rules("wording" if kind in ("rewritten", "wording") else kind, ())
    yield sides.change("limit-renamed", found, rules)


def limit_condition(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of when a limit holds, or of whether it is about product or process."""
    rules = (*mark_rules(sides, found.path[:4]), "control-plan")
    if found.path[4] == "product":
        yield sides.change("product-or-process", found, rules)
    else:
        base = _base(sides, found.path[:4])
        kind = presence("text", found) or "meaning"
        yield sides.change(kind, found, (*rules, *base))


def limit_validated(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a validated range, which a record of the validation has to bear out."""
    before, after = found.before, found.after
    if isinstance(before, Toleranced) and isinstance(after, Toleranced):
        kind, size = limit_change(before, after)
        if kind in SAME_LIMIT:
            yield sides.change(kind, found, ("restated",))
            return
        base = _base(sides, found.path[:4]) if kind != "limit-narrower" else ()
        yield sides.change("validated-range", found, (*base, "control-plan"), size=size)
    else:
        yield sides.change("validated-range", found, ("control-plan",))


def segment_present(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield a hold or ramp that only one revision has."""
    base = _base(sides, found.path) or ("limit",)
    rules = (*mark_rules(sides, found.path), *base)
    yield sides.change(presence("segment", found), found, rules)


def segment_limit(sides: Sides, found: Difference) -> Iterator[Change]:
    """Yield the change of a temperature, time or rate of a segment."""
    item = found.path[:4]
    before, after = found.before, found.after
    base = _base(sides, item)
    if isinstance(before, Toleranced) and isinstance(after, Toleranced):
        kind, size = limit_change(before, after)
        validated = f"validated_{found.path[4]}"
        yield sides.change(
            kind, found, limit_rules(sides, item, kind, size, base, validated), size=size
        )
    else:
        rules = (*mark_rules(sides, item), *(base or ("limit",)))
        yield sides.change(presence("limit", found) or "limit-replaced", found, rules)
