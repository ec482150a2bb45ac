"""The compare command and `compile --since`: forms, places and exit status."""

import json
import subprocess
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from speccomp.cli.main import main
from speccomp.documents.control_plan import build_control_plan
from speccomp.pipeline import check_file, content_of
from speccomp.render.attachments import build_attachments
from speccomp.render.html import render_control_plan
from speccomp.render.pdf import render_pdf
from tests.rules.fragments import write_project

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
BEFORE = DEMO / "revisions/PD-117/B.yaml"
AFTER = DEMO / "definitions/PD-117-cartridge-heater.yaml"
ON = ("--on", "2026-11-25")


def run(*arguments: str | Path) -> Result:
    return CliRunner().invoke(main, [str(argument) for argument in arguments])


def test_the_terminal_shows_each_change_with_both_values() -> None:
    result = run("compare", BEFORE, AFTER, *ON)
    assert result.exit_code == 0
    assert "PD-117 Seal cartridge heaters, revision B → C" in result.output
    assert "Dry and cure: segment 2 (hold), time: limits shifted" in result.output
    assert "[3] to [4] h" in result.output
    assert "«4» to «5» h" in result.output


def test_json_can_be_read() -> None:
    result = run("compare", BEFORE, AFTER, "--format", "json", *ON)
    data = json.loads(result.output)
    assert data["before"] == {"number": "PD-117", "revision": "B"}
    assert data["significance"] == "safety"
    kinds = {change["kind"] for change in data["changes"]}
    assert {"limit-shifted", "step-added", "waiver-extended"} <= kinds


@pytest.mark.parametrize(("pair", "status"), [((BEFORE, AFTER), 1), ((AFTER, AFTER), 0)])
def test_the_exit_status_tells_whether_anything_changed(
    pair: tuple[Path, Path], status: int
) -> None:
    assert run("compare", *pair, "--exit-code", *ON).exit_code == status
    assert run("compare", *pair, *ON).exit_code == 0


def test_reports_are_written_to_files(tmp_path: Path) -> None:
    before = write_project(tmp_path / "before")
    after = write_project(tmp_path / "after", "revision: B\n")
    for form, start in (("html", b"<!DOCTYPE html>"), ("pdf", b"%PDF-"), ("text", b"PD-100")):
        out = tmp_path / f"report.{form}"
        result = run("compare", before, after, "--format", form, "--out", out, *ON)
        assert (result.exit_code, result.output.strip()) == (0, str(out))
        assert out.read_bytes().startswith(start)


def test_a_pdf_is_not_thrown_at_a_terminal() -> None:
    result = run("compare", BEFORE, AFTER, "--format", "pdf", *ON)
    assert result.exit_code == 2
    assert "needs --out" in result.output


def test_what_cannot_be_read_is_named(tmp_path: Path) -> None:
    result = run("compare", BEFORE, tmp_path / "nowhere.yaml", *ON)
    assert result.exit_code == 2
    assert "there is no file" in result.output


def test_a_file_with_errors_is_shown_with_them() -> None:
    result = run("compare", BEFORE, DEMO / "wrong/wrong-unit.yaml", "--exit-code", *ON)
    assert result.exit_code == 2
    assert "value.malformed" in result.output
    assert "cannot be compared" in result.output


def test_a_disk_that_refuses_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    out = tmp_path / "file" / "report.html"
    result = run("compare", BEFORE, AFTER, "--format", "html", "--out", out, *ON)
    assert result.exit_code == 4
    assert "cannot write" in result.output


def pdf_of(path: Path, target: Path) -> None:
    """Write the control plan of a definition as PDF, as `compile` does."""
    checked = check_file(path, date(2026, 11, 25), path.parent)
    assert checked.process is not None
    plan = build_control_plan(checked.process, ())
    attached = build_attachments(content_of(checked), None)
    target.write_bytes(render_pdf(render_control_plan(plan), plan.title_block, attached))


def test_pdf_files_are_compared_by_the_sources_they_carry(tmp_path: Path) -> None:
    before = write_project(tmp_path / "before")
    after = write_project(tmp_path / "after", "revision: B\n")
    card = after.parent / "powder.yaml"
    card.write_text(card.read_text("utf-8").replace("26 ± 2", "27 ± 2"), encoding="utf-8")
    for path, name in ((before, "a.pdf"), (after, "b.pdf")):
        pdf_of(path, tmp_path / name)
        (path.parent / "powder.yaml").unlink()
    result = run("compare", tmp_path / "a.pdf", tmp_path / "b.pdf", "--format", "json", *ON)
    kinds = {change["title"]: change["kind"] for change in json.loads(result.output)["changes"]}
    assert kinds == {
        "Revision": "document-data",
        "Material Zircon powder (invented), mixed with, potassium-silicate": "limit-shifted",
    }


def test_documents_bear_bars_since_a_file(tmp_path: Path) -> None:
    result = run("compile", AFTER, "--since", BEFORE, "--format", "html", "--out", tmp_path, *ON)
    assert result.exit_code == 0, result.output
    page = (tmp_path / "PD-117/C/work-instruction.html").read_text("utf-8")
    assert 'class="step revised" id="step-dry-and-cure"' in page
    assert "marks what changed since revision B" in page


def test_documents_bear_bars_since_a_git_revision(tmp_path: Path) -> None:
    top = tmp_path / "top"
    command = ["git", "-C", str(tmp_path), "init", "-q", str(top)]
    subprocess.run(command, check=True, capture_output=True)
    subprocess.run(["cp", "-r", str(DEMO), str(top / "demo")], check=True)
    identity = ["-c", "user.name=R. Example", "-c", "user.email=r@example.invalid"]
    for arguments in (["add", "."], ["commit", "-q", "-m", "first"]):
        subprocess.run(["git", "-C", str(top), *identity, *arguments], check=True)
    path = top / "demo/definitions" / AFTER.name
    path.write_text(path.read_text("utf-8").replace("60 ± 10 rpm", "60 ± 9 rpm"), encoding="utf-8")
    out = tmp_path / "out"
    result = run("compile", path, "--since", "HEAD", "--format", "html", "--out", out, *ON)
    assert result.exit_code == 0, result.output
    plan = (out / "PD-117/C/control-plan.html").read_text("utf-8")
    assert plan.count("revised") - plan.split("</head>")[0].count("revised") == 1


def test_a_since_that_cannot_be_read_stops(tmp_path: Path) -> None:
    result = run("compile", AFTER, "--since", "no-such-revision", "--out", tmp_path / "out", *ON)
    assert result.exit_code == 2
    assert not (tmp_path / "out").exists()
