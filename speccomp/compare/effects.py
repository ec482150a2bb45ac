"""What follows from the changes: numbers that come out otherwise, files that others share."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from speccomp.compare.renaming import GONE, Renamed
from speccomp.derive import Derived
from speccomp.derive.explain import print_number
from speccomp.derive.numbers import AnyNumber
from speccomp.quantities import PrintUnits, round_significant
from speccomp.source.project import Sources

_DIGITS = (4, 6, 9)
_NOISE = 1e-9


@dataclass(frozen=True, slots=True)
class NumberChange:
    """
    A derived number that came out otherwise; a side is empty where it is not derived there.

    `per_cent` is the difference in per cent of the earlier value; None where there is none.
    """

    name: str
    title: str
    before: str
    after: str
    per_cent: Decimal | None


def derived_changes(
    before: Derived, after: Derived, units: PrintUnits, renamed: Renamed
) -> tuple[NumberChange, ...]:
    """
    Return the derived numbers that differ, in the order of the later revision.

    Numbers of a step, limit or segment that is called otherwise are compared with what it became.
    """
    changes = []
    earlier = {renamed.number(name): number for name, number in before.numbers.items()}
    for called in dict.fromkeys((*after.numbers, *earlier)):
        name = called.replace(GONE, "")
        old, new = earlier.get(called), after.numbers.get(called)
        if old is None or new is None:
            known = old or new
            title = known.title if known else name
            texts = tuple(_printed(one, units, _DIGITS[0]) for one in (old, new))
            changes.append(NumberChange(name, title, texts[0], texts[1], None))
        elif not _agree(old, new):
            texts = _told_apart(old, new, units)
            changes.append(NumberChange(name, new.title, *texts, _per_cent(old, new)))
    return tuple(changes)


def _printed(number: AnyNumber | None, units: PrintUnits, digits: int) -> str:
    return print_number(number, units, digits) if number else ""


def _told_apart(old: AnyNumber, new: AnyNumber, units: PrintUnits) -> tuple[str, str]:
    """Print two numbers with as few digits as show that they differ."""
    texts = ("", "")
    for digits in _DIGITS:
        texts = _printed(old, units, digits), _printed(new, units, digits)
        if texts[0] != texts[1]:
            break
    return texts


def _agree(old: AnyNumber, new: AnyNumber) -> bool:
    a, b = _magnitudes(old, new)
    return abs(a - b) <= _NOISE * max(abs(a), abs(b))


def _magnitudes(old: AnyNumber, new: AnyNumber) -> tuple[float, float]:
    """Return two numbers of one name in the same base unit."""
    a, b = (
        float(value) if isinstance(value, int | float) else float(value.to_base_units().magnitude)
        for value in (old.value, new.value)
    )
    return a, b


def _per_cent(old: AnyNumber, new: AnyNumber) -> Decimal | None:
    """Return the difference in per cent; on a scale with a zero of its own it says nothing."""
    a, b = _magnitudes(old, new)
    if not a or (old.kind and old.kind == "temperature"):
        return None
    return round_significant(Fraction(100 * (b - a) / a), 3)


def changed_files(before: Sources, after: Sources) -> tuple[str, ...]:
    """
    Return the project paths of cards, blocks, packs and the plant file that say something else.

    They are those that the later revision reads; the earlier one may have read another file in
    their place.
    """
    old, new = _by_role(before), _by_role(after)
    return tuple(
        dict.fromkeys(
            target
            for role, target in new.items()
            if role in old
            and target in after.trees
            and old[role] in before.trees
            and before.trees[old[role]].data != after.trees[target].data
        )
    )


def _by_role(sources: Sources) -> dict[tuple[str, ...], str]:
    """Return the files that a definition refers to by what each is for it."""
    roles: dict[tuple[str, ...], str] = {}
    for reference in sources.references:
        name = reference.path[-1] if reference.kind == "material" else ""
        if reference.kind == "block":
            tree = sources.trees.get(reference.target)
            data = tree.data if tree else None
            name = str(data.get("block", "")) if isinstance(data, dict) else ""
        elif reference.kind == "caution-pack":
            name = reference.target
        roles[reference.kind, str(name)] = reference.target
    return roles
