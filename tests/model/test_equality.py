"""The model is what a definition means: layout and comments are not part of it."""

from pathlib import Path

import pytest

from tests.model.reading import clean, read_there
from tests.rules.fragments import BASE

BLOCK_STYLE = """\
# A comment.

materials:   # the cards
    powder:   "powder.yaml"
    liquid: 'liquid.yaml'
    cleaner: cleaner.yaml
ratio:
    by: weight
    powder: 100

    liquid: "26 ± 1"   # as on the card
"""


def test_layout_quotes_and_comments_make_no_difference(tmp_path: Path) -> None:
    one = clean(tmp_path / "one")
    other = clean(tmp_path / "other", BLOCK_STYLE)
    assert one == other
    assert one.materials["powder"].span == other.materials["powder"].span
    assert one.ratio is not None
    assert other.ratio is not None
    assert one.ratio.parts[1].span != other.ratio.parts[1].span


@pytest.mark.parametrize(("old", "new"), [("\n", "\r\n"), ("\n", " \n\n")])
def test_lines_make_no_difference(old: str, new: str, tmp_path: Path) -> None:
    one = clean(tmp_path / "one")
    folder = tmp_path / "other"
    clean(folder)
    text = (BASE / "definition.yaml").read_text(encoding="utf-8")
    (folder / "definition.yaml").write_text(text.replace(old, new), encoding="utf-8", newline="")
    assert read_there(folder)[0] == one


@pytest.mark.parametrize(
    "fragment",
    [
        "title: Seal the other end",
        "date: 2026-03-03",
        "scope: Some heaters.",
        "ratio: {by: weight, powder: 100, liquid: 26.0 ± 1}",
        "ratio: {by: volume, powder: 100, liquid: 26 ± 1}",
        "customer: Someone",
        "protective_gear: [Goggles]",
        "batch: {parts: 20, loss: 8 %}",
        "# plant.yaml\nelevation: 241 m",
        "# powder.yaml\ndensity: 3.5 g/cm3",
    ],
)
def test_words_and_digits_make_a_difference(fragment: str, tmp_path: Path) -> None:
    assert clean(tmp_path / "one") != clean(tmp_path / "other", fragment)


def test_the_plants_default_differs_from_the_same_words_in_the_definition(tmp_path: Path) -> None:
    mix = "steps:\n  - id: mix\n    operation: mix\n    do: Mix.\n    limits: {mixing time: "
    one = clean(tmp_path / "one", mix + "3 to 5 min}\n")
    other = clean(tmp_path / "other", mix + "{value: 3 to 5 min, every: batch}}\n")
    assert one != other
