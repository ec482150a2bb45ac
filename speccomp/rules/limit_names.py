"""Names of limits that are one slip away from those the operations know."""

from collections.abc import Iterator

from speccomp.findings import Finding, Severity
from speccomp.model.operations import LIMIT_KINDS
from speccomp.quantities import Toleranced
from speccomp.rules.facts import Facts

_SHORTEST = 6


def mistyped_limit(facts: Facts) -> Iterator[Finding]:
    """
    A limit has a name that is one slip away from one that the operations know.

    Why: the name is printed as it stands, and what is asked of `mixing time` is not asked of it.
    Source: own rule of the file format.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixng time: 3 to 5 min}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    """
    for _, item in facts.process.characteristics():
        value, name = item.requirement, item.name.lower()
        if not isinstance(value, Toleranced) or name in LIMIT_KINDS or len(name) < _SHORTEST:
            continue
        meant = [n for n, kind in LIMIT_KINDS.items() if kind is value.kind and _slip(name, n)]
        if meant:
            yield Finding(
                Severity.WARNING,
                "step.mistyped-limit",
                item.span,
                f"`{item.name}` is no limit that the operations know",
                f"did you mean `{meant[0]}`?",
                subject=item.id,
            )


def _slip(written: str, meant: str) -> bool:
    """Tell whether one letter is missing, doubled or added, or two neighbours are exchanged."""
    if len(written) == len(meant):
        odd = [n for n, (a, b) in enumerate(zip(written, meant, strict=True)) if a != b]
        return len(odd) == 2 and odd[1] == odd[0] + 1 and _swapped(written, odd[0]) == meant
    short, long = sorted((written, meant), key=len)
    if len(long) != len(short) + 1 or long == f"{short}s":
        return False  # one of something and several are both good names
    return any(long[:n] + long[n + 1 :] == short for n in range(len(long)))


def _swapped(text: str, at: int) -> str:
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]
