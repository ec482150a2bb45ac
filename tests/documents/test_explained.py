"""Every number that a demo document prints is explained: by formula, inputs, places and source."""

import ast
import re
from datetime import date
from pathlib import Path

import pytest

from speccomp.cli.explain import show_number
from speccomp.derive import AnyNumber, Derived
from speccomp.pipeline import Checked, check_file
from tests.documents.test_figures import DEFINITIONS, DEMO, figures_of

PACKAGE = Path(__file__).resolve().parents[2] / "speccomp"
TODAY = date(2026, 11, 25)
ASSUMED = re.compile(r"assumed|^\d+ %$")


@pytest.fixture(scope="module", params=DEFINITIONS, ids=lambda path: path.stem)
def checked(request: pytest.FixtureRequest) -> Checked:
    return check_file(request.param, TODAY, DEMO)


def derived_of(checked: Checked) -> Derived:
    assert checked.derived is not None
    return checked.derived


def printed_names(checked: Checked) -> tuple[str, ...]:
    assert checked.process is not None
    figures = figures_of(checked.process, derived_of(checked))
    return tuple(dict.fromkeys(item.name for figure in figures for item in figure.printed))


def test_the_command_explains_every_printed_number(
    checked: Checked, capsys: pytest.CaptureFixture[str]
) -> None:
    path = Path("definition.yaml")
    names = printed_names(checked)
    assert names
    for name in names:
        assert show_number(path, checked, name) == 0
        out, err = capsys.readouterr()
        assert err == ""
        first, second, third, *rest = out.splitlines()
        assert ": " in first
        assert second == f"  name     {name}"
        assert re.fullmatch(r"  formula  \S.*", third)
        assert [line for line in rest if line.startswith("  source   ") and len(line) > 11]
        # A sum of nothing says so.
        said = rest[0].startswith("  from     ") or rest[-1].startswith("  note     No step ")
        assert said, f"{name} has no inputs"


def leaves(number: AnyNumber, derived: Derived, seen: tuple[str, ...] = ()) -> set[str]:
    """Return what a number is from in the end: the values of the files, as written."""
    assert number.name not in seen, f"{number.name} is from itself"
    assert number.inputs or number.note, f"{number.name} is from nothing"
    found: set[str] = set()
    for item in number.inputs:
        if item.number:
            found |= leaves(derived.numbers[item.number], derived, (*seen, number.name))
        else:
            assert item.text, (number.name, item.name)
            found.add(f"{item.name}: {item.text}")
    return found


def test_every_printed_number_leads_back_to_what_was_written(checked: Checked) -> None:
    derived = derived_of(checked)
    written = " ".join("\n".join(checked.texts.values()).split())
    for name in printed_names(checked):
        number = derived.numbers[name]
        for leaf in leaves(number, derived):
            text = " ".join(leaf.partition(": ")[2].split())
            in_file = any(part in written for part in (text, text.removesuffix(" %")))
            assert in_file or ASSUMED.search(text) or _counted(leaf), leaf


def _counted(leaf: str) -> bool:
    """Tell whether an input is a count that the arithmetic goes through, or a default in words."""
    name = leaf.partition(": ")[0]
    return name in {
        "n",
        "parts",
        "mixes",
        "stations",
        "open faces",
        "sizes",
        "confidence",
        "inspection",
    }


def test_an_explained_place_holds_what_was_written(checked: Checked) -> None:
    places = 0
    for name in printed_names(checked):
        for item in derived_of(checked).numbers[name].inputs:
            if item.number or not item.span.file:
                continue
            lines = checked.texts[item.span.file].splitlines()
            assert 1 <= item.span.line <= len(lines)
            assert item.span.column <= len(lines[item.span.line - 1])
            places += 1
    assert places


def modules(package: str) -> list[Path]:
    return sorted((PACKAGE / package).glob("*.py"))


@pytest.mark.parametrize(
    "path",
    [*modules("documents"), *modules("rules"), *modules("render")],
    ids=lambda path: f"{path.parent.name}/{path.name}",
)
def test_no_document_and_no_rule_computes_with_derived_numbers(path: Path) -> None:
    # A number that is made of two others is a derived one itself, with a name and a formula.
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.BinOp):
            both = (_reads_number(node.left), _reads_number(node.right))
            assert both != (True, True), f"line {node.lineno}: {ast.unparse(node)}"


def _reads_number(node: ast.AST) -> bool:
    return any(isinstance(n, ast.Attribute) and n.attr == "value" for n in ast.walk(node))
