"""The earlier revisions of the demo can be read, and together they show every kind of change."""

from datetime import date
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from speccomp.compare.change import Comparison
from speccomp.compare.change_class import check_change_note
from speccomp.compare.compare import compare
from speccomp.compare.kinds import KINDS
from speccomp.compare.significance import RULES, Significance
from speccomp.findings import has_errors
from speccomp.pipeline import Checked, check_file

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)

REVISIONS = {
    "PD-117": (
        "revisions/PD-117/A.yaml",
        "revisions/PD-117/B.yaml",
        "definitions/PD-117-cartridge-heater.yaml",
    ),
    "PD-120": (
        "revisions/PD-120/initial.yaml",
        "revisions/PD-120/A.yaml",
        "definitions/PD-120-braking-resistor.yaml",
    ),
    "PD-124": (
        "revisions/PD-124/initial.yaml",
        "revisions/PD-124/A.yaml",
        "definitions/PD-124-igniter.yaml",
    ),
}
FILES = [name for names in REVISIONS.values() for name in names]
PAIRS = [pair for names in REVISIONS.values() for pair in pairwise(names)]


@cache
def checked(name: str) -> Checked:
    return check_file(DEMO / name, TODAY, DEMO)


@cache
def compared(before: str, after: str) -> Comparison:
    old, new = checked(before), checked(after)
    assert old.process
    assert old.sources
    assert new.process
    assert new.sources
    return compare(old.process, new.process, (old.sources, new.sources))


@pytest.mark.parametrize("name", FILES)
def test_a_revision_has_no_error(name: str) -> None:
    result = checked(name)
    assert not has_errors(result.findings), [f.message for f in result.findings]
    assert result.process is not None


def test_the_revisions_show_every_kind_of_change() -> None:
    shown = {change.kind for pair in PAIRS for change in compared(*pair).changes}
    # A raw difference is one that no rule knows; there must be none here.
    assert shown == set(KINDS) - {"raw"}


def test_the_revisions_show_every_significance() -> None:
    shown = {change.significance for pair in PAIRS for change in compared(*pair).changes}
    assert shown == set(Significance)


def test_nearly_every_rule_decides_something() -> None:
    shown = {rule for pair in PAIRS for change in compared(*pair).changes for rule in change.rules}
    assert set(RULES) - shown <= {
        "unknown",
        "climate",
        "safety-waiver",
        "like-for-like",
        "language",
    }


@pytest.mark.parametrize("pair", PAIRS)
def test_each_change_note_is_true(pair: tuple[str, str]) -> None:
    assert list(check_change_note(compared(*pair))) == []


@pytest.mark.parametrize("number", REVISIONS)
def test_the_histories_agree(number: str) -> None:
    processes = [checked(name).process for name in REVISIONS[number]]
    for earlier, later in pairwise(processes):
        assert earlier
        assert later
        assert later.change
        assert earlier.number == later.number == number
        assert later.change.from_revision == earlier.revision
        last = later.history[-1]
        assert (last.revision, last.date) == (earlier.revision, earlier.date)
        assert later.history[:-1] == earlier.history


def test_a_ratio_that_moved_because_the_card_moved_is_shown_as_such() -> None:
    changes = compared(*PAIRS[1]).changes
    ratio = next(change for change in changes if change.subject == "ratio")
    assert ratio.note == "the card moved from 25 ± 2 to 26 ± 2"
    (related,) = ratio.related
    assert related.span.file == "materials/zircon-powder.yaml"
    line = (
        (DEMO / related.span.file).read_text(encoding="utf-8").splitlines()[related.span.line - 1]
    )
    assert line.strip() == "- material: potassium-silicate"
    card = next(change for change in changes if "potassium-silicate" in change.title)
    assert card.note == "the definition’s own ratio moved too"
