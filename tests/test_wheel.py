"""The wheel, installed in an empty environment, works from any folder."""

import subprocess
import sys
import venv
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
DEFINITION = ROOT / "specs_demo" / "definitions"


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check"]
    subprocess.run([*pip, "wheel", "--no-deps", "-w", folder, ROOT], check=True)
    (wheel,) = folder.glob("speccomp-*.whl")
    home = folder / "env"
    venv.create(home, with_pip=True)
    subprocess.run([home / "bin" / "python", *pip[1:], "install", wheel], check=True)
    return home / "bin"


@pytest.mark.timeout(600)
def test_installed_wheel_checks_and_compiles(installed: Path, tmp_path: Path) -> None:
    definition = sorted(DEFINITION.glob("*.yaml"))[0]
    run = subprocess.run(
        [installed / "speccomp", "compile", definition, "--out", tmp_path / "out"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert run.returncode == 0, run.stdout + run.stderr
    names = {path.name for path in (tmp_path / "out").glob("*/*/*")}
    assert names == {
        "caution-coverage.html",
        "caution-coverage.pdf",
        "work-instruction.html",
        "work-instruction.pdf",
        "control-plan.html",
        "control-plan.pdf",
        "control-plan.csv",
        "control-plan.xlsx",
    }
    where = subprocess.run(
        [installed / "python", "-c", "import speccomp.resources as r; print(r.__file__)"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=True,
    )
    assert str(ROOT) not in where.stdout
