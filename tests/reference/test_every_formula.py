"""Every formula is held by a published value or another library."""

import ast
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).resolve().parent
# What reads, checks and words a value is no formula.
PLUMBING = {"errors", "limits", "magnitudes", "__init__", "sampling_tables"}
WORDS = {"given", "written"}


def formulas() -> dict[str, str]:
    """Return the public functions of the arithmetic, by name, with their modules."""
    found = {}
    for path in sorted((ROOT / "speccomp" / "calc").glob("*.py")):
        if path.stem in PLUMBING:
            continue
        for node in ast.parse(path.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
                found[node.name] = path.stem
    return {name: module for name, module in found.items() if name not in WORDS}


def called() -> set[str]:
    """Return the names of all functions that the reference tests call."""
    return {
        node.func.id
        for path in HERE.glob("test_*.py")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }


def test_every_formula_has_a_reference() -> None:
    # The names of the functions are read from the source, so that a new one cannot be forgotten.
    assert len(formulas()) > 60
    missing = {name: module for name, module in formulas().items() if name not in called()}
    assert missing == {}


def test_every_reference_says_where_its_numbers_are_from() -> None:
    # A law that holds for any input needs no source; a worked number does. The procedures, whole
    # documents, name theirs in their files.
    bare = []
    for path in HERE.glob("test_*.py"):
        text = path.read_text(encoding="utf-8")
        if "from speccomp.calc" not in text or path.stem == "test_procedures":
            continue
        lines = text.splitlines()
        for node in ast.parse(text).body:
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                drawn = any("given" in ast.unparse(one) for one in node.decorator_list)
                first = min([node.lineno, *(one.lineno for one in node.decorator_list)])
                said = ast.get_docstring(node) or any(
                    "# " in one for one in lines[first - 1 : node.end_lineno]
                )
                if not drawn and not said:
                    bare.append(f"{path.name}: {node.name}")
    assert bare == []
