"""Checking starts quickly: what only documents need is loaded for documents only."""

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
DEFINITION = ROOT / "specs_demo" / "definitions" / "PD-146-sensor-seal.yaml"
HEAVY = {"weasyprint", "matplotlib", "xlsxwriter", "jinja2", "markdown_it"}

# Pint tries NumPy, SciPy and uncertainties wherever they happen to be installed. They are taken
# away here, so that only an import of our own can miss them.
CHECK = """
import sys
sys.modules |= dict.fromkeys(("numpy", "scipy", "uncertainties"))
from speccomp.cli.main import main
loaded = {name.partition(".")[0] for name in sys.modules}
try:
    main(sys.argv[1:])
except SystemExit as end:
    status = end.code
loaded |= {name.partition(".")[0] for name in sys.modules}
print("status", status, *sorted(loaded))
"""


def loaded_by(*arguments: str) -> tuple[str, set[str]]:
    """Return the exit status of a command and the packages that it loads."""
    run = subprocess.run(
        [sys.executable, "-c", CHECK, *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    word, status, *names = run.stdout.splitlines()[-1].split()
    assert word == "status"
    return status, set(names)


def test_check_loads_no_library_that_only_documents_need() -> None:
    status, names = loaded_by("check", "--on", "2026-11-25", str(DEFINITION))
    assert status == "0"
    assert {"yaml", "jsonschema", "pint"} <= names
    assert names & HEAVY == set()


def test_findings_for_programs_load_none_either() -> None:
    status, names = loaded_by("check", "--format", "sarif", str(DEFINITION))
    assert status == "0"
    assert names & HEAVY == set()


def test_compile_loads_what_it_is_asked_for(tmp_path: Path) -> None:
    out = str(tmp_path / "out")
    status, names = loaded_by("compile", "--format", "csv", "--out", out, str(DEFINITION))
    assert status == "0"
    assert names & {"weasyprint", "matplotlib", "xlsxwriter"} == set()
