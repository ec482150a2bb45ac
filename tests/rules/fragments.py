"""Build a small project: the base definition with the top-level keys of a fragment in it."""

import re
import shutil
from datetime import date
from pathlib import Path

from speccomp.findings import Finding
from speccomp.pipeline import Checked, check_file

BASE = Path(__file__).resolve().parents[1] / "cases" / "base"
TODAY = date(2026, 11, 25)
_SECTION = re.compile(r"^# ([a-z]+\.yaml)$")
_KEY = re.compile(r"""^(['"]?)([A-Za-z_<-]+)\1:(?: |$)""")


def split_sections(fragment: str) -> dict[str, list[str]]:
    """Return the lines of a fragment by the file they are for."""
    sections: dict[str, list[str]] = {}
    name = "definition.yaml"
    for line in fragment.splitlines():
        found = _SECTION.match(line)
        if found:
            name = found[1]
            continue
        sections.setdefault(name, []).append(line)
    return sections


def without(lines: list[str], keys: set[str]) -> list[str]:
    """Return the lines of a file without the entries of some top-level keys."""
    kept, keep = [], True
    for line in lines:
        key = _KEY.match(line)
        if key:
            keep = key[2] not in keys
        if keep:
            kept.append(line)
    return kept


def write_project(folder: Path, fragment: str = "") -> Path:
    """Write the base project with the fragment's keys in it; return the path of the definition."""
    shutil.copytree(BASE, folder, dirs_exist_ok=True)
    for name, lines in split_sections(fragment).items():
        path = folder / name
        keys = {match[2] for line in lines if (match := _KEY.match(line))}
        base = path.read_text(encoding="utf-8").splitlines()
        # The cautions of the base are about its own steps.
        keys |= {"cautions"} if "steps" in keys else set()
        # What a fragment says of a piece of equipment replaces that piece alone.
        added = merged_equipment(base, lines) if "equipment" in keys else lines
        path.write_text("\n".join([*without(base, keys), *added]) + "\n", encoding="utf-8")
    return folder / "definition.yaml"


def merged_equipment(base: list[str], lines: list[str]) -> list[str]:
    start = base.index("equipment:") + 1
    block = base[start : next(n for n in range(start, len(base)) if base[n][0] != " ")]
    names = {line.split(":")[0] for line in lines if re.match(r"^  [a-z]", line)}
    kept, keep = [], True
    for line in block:
        if re.match(r"^  [a-z]", line):
            keep = line.split(":")[0] not in names
        if keep:
            kept.append(line)
    where = lines.index("equipment:") + 1
    return [*lines[:where], *kept, *lines[where:]]


def check_fragment(
    folder: Path, fragment: str = "", today: date = TODAY, *, complete: bool | None = None
) -> Checked:
    """
    Check a fragment in the base.

    The cautions that its steps call for are pasted, so that it is about nothing but its own fault;
    left out, that is for fragments without cautions of their own.
    """
    path = write_project(folder, fragment)
    checked = check_file(path, today, folder)
    if complete is None:
        complete = "cautions:" not in fragment
    pasted = complete and paste_cautions(path, checked)
    return check_file(path, today, folder) if pasted else checked


def paste_cautions(path: Path, checked: Checked) -> bool:
    """Paste what the findings about missing cautions give to paste; tell whether there was any."""
    missing = [f.paste for f in checked.findings if f.rule == "caution.missing"]
    entries = [line for paste in missing for line in paste.splitlines() if line != "cautions:"]
    lines = path.read_text(encoding="utf-8").splitlines()
    if "cautions:" not in lines:
        lines.append("cautions:")
    where = lines.index("cautions:") + 1
    lines[where:where] = entries
    if entries:
        path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return bool(entries)


def findings_of(folder: Path, fragment: str = "", today: date = TODAY) -> tuple[Finding, ...]:
    return check_fragment(folder, fragment, today).findings


def rules_of(folder: Path, fragment: str = "", today: date = TODAY) -> list[str]:
    return [finding.rule for finding in findings_of(folder, fragment, today)]
