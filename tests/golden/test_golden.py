"""
Whole documents of two small definitions, to be read and reviewed.

`expected` holds the views as JSON and the pages as text. After a change that is meant, run the
test with UPDATE_GOLDEN=1 in the environment, and review the difference before it is committed.
"""

import dataclasses
import json
import os
import re
from datetime import date
from pathlib import Path

import pytest

from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.pipeline import Checked, Format, check_file, compile_documents
from tests.documents.pages import Page

HERE = Path(__file__).resolve().parent
EXPECTED = HERE / "expected"
NAMES = ("fill", "inspect-us")


def plain(value: object) -> object:
    """Return a view as JSON data; what is empty is left out, so that the file stays short."""
    if dataclasses.is_dataclass(value):
        fields = {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
        return {name: entry for name, entry in fields.items() if entry not in ("", [], {}, None)}
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    return value


def as_json(view: object) -> str:
    return json.dumps(plain(view), ensure_ascii=False, indent=1).replace("\u00a0", " ") + "\n"


def as_text(html: bytes) -> str:
    """Return what a page says, a line for each row, item, heading and paragraph."""
    text = html.decode()
    text = re.sub(r"<(style|script|svg)\b.*?</\1>", "", text, flags=re.DOTALL)
    text = re.sub(r"\s+", " ", text)
    text = text.replace('<span class="line">', '<span class="line"> · ')
    text = re.sub(r"</(td|th)>\s*(?=<t[dh])", " | ", text)
    text = re.sub(r"</(tr|li|p|h\d|caption|dt|dd|div|section|figcaption)>", "</\\1>\n", text)
    lines = (re.sub(r"\s+", " ", Page(line).body.text) for line in text.split("\n"))
    return "\n".join(line for line in lines if line) + "\n"


def documents(checked: Checked) -> dict[str, str]:
    process, findings, derived = checked.process, checked.findings, checked.derived
    assert process is not None
    pages = compile_documents(checked, [Format.HTML, Format.CSV])
    return {
        "work-instruction.json": as_json(
            build_work_instruction(process, findings, derived=derived)
        ),
        "control-plan.json": as_json(build_control_plan(process, findings, derived=derived)),
        "work-instruction.txt": as_text(pages["work-instruction.html"]),
        "control-plan.txt": as_text(pages["control-plan.html"]),
        "caution-coverage.txt": as_text(pages["caution-coverage.html"]),
        "control-plan.csv": pages["control-plan.csv"].decode().replace("\r\n", "\n"),
    }


@pytest.mark.parametrize("name", NAMES)
def test_the_documents_read_as_reviewed(name: str) -> None:
    checked = check_file(HERE / "project" / f"{name}.yaml", date(2026, 3, 2), HERE / "project")
    assert checked.passed, [finding.message for finding in checked.findings]
    made = documents(checked)
    folder = EXPECTED / name
    if os.environ.get("UPDATE_GOLDEN"):
        folder.mkdir(parents=True, exist_ok=True)
        for file, text in made.items():
            (folder / file).write_text(text, encoding="utf-8")
    assert {path.name for path in folder.iterdir()} == set(made)
    for file, text in made.items():
        assert text == (folder / file).read_text(encoding="utf-8"), file
