"""The layers of the package: imports go down, one module for each library, short modules."""

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "speccomp"
MODULES = sorted(PACKAGE.rglob("*.py"))

LAYERS = {
    "findings": 0,
    "quantities": 0,
    "resources": 0,
    "source": 1,
    "schema": 2,
    "model": 2,
    "calc": 3,
    "derive": 4,
    "cautions": 4,
    "rules": 5,
    "compare": 5,
    "documents": 6,
    "render": 7,
    "archive": 7,
    "inputs": 8,
    "pipeline": 8,
    "release": 9,
    "cli": 10,
    "__main__": 11,
    "__init__": 0,
}
# The only modules that may import a library.
HOMES = {
    "yaml": {"source/"},
    "jsonschema": {"schema/"},
    "referencing": {"schema/"},
    "pint": {"quantities/"},
    "jinja2": {"render/html.py"},
    "markdown_it": {"render/markdown.py"},
    "weasyprint": {"render/pdf.py"},
    "xlsxwriter": {"render/sheet.py"},
    "matplotlib": {"render/chart.py"},
    "click": {"cli/"},
    "pypdf": {"inputs/"},
}


def imports(path: Path) -> list[str]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are written in full"
            names.append(node.module or "")
    return names


def package_of(path: Path) -> str:
    return path.relative_to(PACKAGE).parts[0].removesuffix(".py")


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_go_to_a_lower_layer(path: Path) -> None:
    own = package_of(path)
    for name in imports(path):
        if name.startswith("speccomp."):
            other = name.split(".")[1]
            assert other == own or LAYERS[other] < LAYERS[own], f"{own} must not import {name}"


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_a_library_is_imported_in_its_home_only(path: Path) -> None:
    place = path.relative_to(PACKAGE).as_posix()
    for name in imports(path):
        homes = HOMES.get(name.split(".")[0])
        assert homes is None or any(place.startswith(home) for home in homes), (
            f"{place} must not import {name}"
        )


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_modules_are_short(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 350


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_only_the_command_line_prints_exits_or_reads_the_clock(path: Path) -> None:
    if package_of(path) == "cli":
        return
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            called = ast.unparse(node.func)
            assert called not in {"print", "sys.exit", "exit", "quit", "breakpoint"}, called
            assert not called.endswith((".today", ".now", ".utcnow", "time.time")), called
