"""Lines to paste that belong to one place: given once, together, instead of one by one."""

from collections.abc import Iterable
from dataclasses import dataclass

from speccomp.findings import Finding

_KEY = "cautions:"


@dataclass(frozen=True, slots=True)
class Paste:
    """The lines that cure several findings of one rule in one file, and where they go."""

    file: str
    rule: str
    where: str
    count: int
    lines: str


def join_pastes(findings: Iterable[Finding]) -> tuple[Paste, ...]:
    """Return what can be pasted at once; a paste that stands alone, or edits an entry, is none."""
    groups: dict[tuple[str, str, str], list[str]] = {}
    for finding in findings:
        if place_of(finding) is not None:
            groups.setdefault((finding.span.file, finding.rule, finding.hint), []).append(
                finding.paste
            )
    return tuple(
        Paste(file, rule, where, len(pastes), _joined(pastes))
        for (file, rule, where), pastes in groups.items()
        if len(pastes) > 1
    )


def place_of(finding: Finding) -> tuple[str, str, str] | None:
    """Return what findings share whose lines go to one place: file, rule, hint."""
    lines = finding.paste.splitlines()
    if not lines or finding.waived or not lines[0].lstrip().startswith(("- ", "{", _KEY)):
        return None
    return finding.span.file, finding.rule, finding.hint


def _joined(pastes: list[str]) -> str:
    if pastes[0].startswith("{"):
        return ", ".join(pastes)
    bodies = [paste.removeprefix(f"{_KEY}\n") for paste in pastes]
    return "\n".join([_KEY, *bodies] if pastes[0].startswith(_KEY) else bodies)
