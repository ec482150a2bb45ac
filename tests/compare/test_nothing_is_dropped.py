"""What no rule knows is shown as a raw difference, and nothing is ever left out."""

import copy
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from speccomp.compare import compare as module
from speccomp.compare.compare import compare, uncovered
from speccomp.compare.differences import find_differences
from speccomp.compare.sides import put_side_by_side
from speccomp.compare.significance import Significance
from speccomp.compare.table import FIELDS, GROUPS
from speccomp.findings import has_errors
from speccomp.model.resolve_process import resolve_process
from speccomp.source.project import Sources
from speccomp.source.tree import Path as FilePath
from speccomp.source.tree import Plain
from tests.compare.project import compared, resolved, write_files

D = "definition.yaml"


def test_a_difference_that_no_rule_knows_is_shown_raw(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "_FIELDS", ())
    (change,) = compared(tmp_path, (D, "do: Wipe the labels.", "do: Wipe all labels.")).changes
    assert (change.kind, change.rule) == ("raw", "unknown")
    assert change.significance is Significance.CONTROL
    assert (change.before, change.after) == (("Wipe the labels.",), ("Wipe all labels.",))


def test_a_group_that_leaves_a_difference_out_leaves_it_raw(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        module, "_GROUPS", [(pattern, lambda *_: ()) for pattern, _ in module._GROUPS]
    )
    there = compared(tmp_path, ("powder.yaml", "density: 3.4", "density: 3.5"))
    assert [change.kind for change in there.changes] == ["raw"]


def leaves(data: Plain, path: FilePath = ()) -> Iterator[tuple[FilePath, str]]:
    if isinstance(data, dict):
        for key, value in data.items():
            yield from leaves(value, (*path, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from leaves(value, (*path, index))
    else:
        yield path, data


def other(text: str) -> str:
    """Return a text that is not the same, and most often still a value of its field."""
    if text in ("true", "false"):
        return {"true": "false", "false": "true"}[text]
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text):
        return f"{int(text[:4]) + 1}{text[4:]}"
    numbers = list(re.finditer(r"\d+", text))
    if numbers:
        last = numbers[-1]
        return f"{text[: last.start()]}{int(last[0]) + 1}{text[last.end() :]}"
    return f"{text}x"


def edited(sources: Sources, file: str, path: FilePath) -> Sources:
    """Return the sources with one text of one file changed."""
    tree = sources.trees[file]
    data = copy.deepcopy(tree.data)
    inner: Plain = data
    for part in path[:-1]:
        inner = inner[part]  # type: ignore
    inner[path[-1]] = other(inner[path[-1]])  # type: ignore
    changed = replace(tree, data=data)
    main = changed if file == sources.main.file else sources.main
    return replace(sources, main=main, trees={**sources.trees, file: changed})


def places(sources: Sources) -> list[tuple[str, FilePath]]:
    """Return where each text of each file stands; paths to files are left out."""
    references = {(one.from_file, one.path) for one in sources.references}
    return [
        (file, path)
        for file, tree in sources.trees.items()
        for path, _ in leaves(tree.data)
        if (file, path) not in references and path[-1] != "file"
    ]


# The schemas refuse any other word here, so the model need not tell such words apart.
CHOICES = {"first", "characteristic", "system", "paper"}


def test_every_text_of_every_file_matters(tmp_path: Path) -> None:
    write_files(tmp_path)
    process, sources = resolved(tmp_path)
    missed = []
    for file, path in places(sources):
        try:
            changed = edited(sources, file, path)
            outcome = resolve_process(changed)
        except (ValueError, KeyError):
            # Not one of the words the schema allows: `check_files` comes before the model.
            continue
        if outcome.value is None or has_errors(outcome.findings) or path[-1] in CHOICES:
            continue
        if not compare(process, outcome.value, (sources, changed)).changes:
            missed.append((file, path))
    assert missed == []


def test_each_change_covers_differences_and_each_difference_is_covered(tmp_path: Path) -> None:
    there = compared(
        tmp_path,
        (D, "speed: 60 ± 10 rpm", "speed: 66 ± 10 rpm"),
        (D, "  - {topic: hot, before: [cure]}\n", ""),
        ("plant.yaml", "elevation: 240 m", "elevation: 2400 m"),
    )
    sides = put_side_by_side(there.before, there.after, None)
    differences = find_differences(sides.before.form, sides.after.form)
    assert uncovered(differences, there.changes) == ()
    assert {p for c in there.changes for p in c.covers} == {d.path for d in differences}


def test_the_table_has_each_pattern_once() -> None:
    patterns = [pattern for pattern, _ in (*FIELDS, *GROUPS)]
    assert len(patterns) == len(set(patterns))


def test_what_did_not_change_is_listed_by_name(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, "speed: 60 ± 10 rpm", "speed: 66 ± 10 rpm"))
    assert "Step: Mix" not in there.unchanged
    assert {"Step: Cure", "Purpose", "Cautions", "Mixing ratio", "Plant file"} <= set(
        there.unchanged
    )


def test_key_order_and_comments_are_no_change(tmp_path: Path) -> None:
    there = compared(
        tmp_path,
        (
            D,
            "contact: Process engineering\ndepartment: Engineering\n",
            "# who to ask\ndepartment: Engineering\ncontact: Process engineering\n",
        ),
        (
            D,
            "customer: internal\nphase: production\n",
            "phase: production\ncustomer: internal\n",
        ),
    )
    assert there.changes == ()
