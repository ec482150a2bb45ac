"""The commands: what they print, what they write, and how they end."""

import json
import os
import re
import shlex
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from speccomp import pipeline
from speccomp.cli import compile as compile_module
from speccomp.cli.leftovers import OWN_NAMES
from speccomp.cli.main import main
from speccomp.render.pdf import PdfUnavailable
from speccomp.rules.facts import Facts
from speccomp.rules.table import RULES
from tests.rules.fragments import write_project

ROOT = Path(__file__).resolve().parents[2]
ON = ("--on", "2026-11-25")
VAGUE = (
    "materials: {powder: powder.yaml, liquid: liquid.yaml}\n"
    "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste thoroughly.\n"
    "    with: [mixer, timer]\n    limits: {mixing time: 3 to 5 min}\n"
    "  - {id: look, operation: inspect, do: Look at the seal., "
    "look_for: [{what: seal, accept: No crack}]}\n"
    "cautions:\n  - topic: eye-wash\n  - topic: hygiene-hands\n"
    "  - {topic: nuisance-dust, before: [mix]}\n  - {topic: alkali-splash, before: [mix]}\n"
    "  - {topic: mixer-entangle, before: [mix]}\n"
)
UNKNOWN = VAGUE.replace("with: [mixer, timer]", "with: [mixer, tmier]").replace(" thoroughly", "")
WAIVER = (
    "waivers:\n  - {finding: wording.vague, at: mix, why: Agreed with the floor., "
    "by: R. Example, until: 2027-03-31}\n"
)


def run(*arguments: str | Path) -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    # Nothing but an exit may leave a command: a traceback is a fault of our own.
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def line_of(path: Path, text: str) -> int:
    lines = path.read_text(encoding="utf-8").splitlines()
    return next(number for number, line in enumerate(lines, start=1) if text in line)


@pytest.fixture
def good(tmp_path: Path) -> Path:
    return write_project(tmp_path / "good")


@pytest.fixture
def wrong(tmp_path: Path) -> Path:
    return write_project(tmp_path / "wrong", UNKNOWN)


@pytest.fixture
def vague(tmp_path: Path) -> Path:
    return write_project(tmp_path / "vague", VAGUE)


def test_a_clean_file_ends_with_0(good: Path) -> None:
    result = run("check", *ON, "--project", good.parent, good)
    assert result.exit_code == 0
    assert result.output == "no findings\n"


def test_a_warning_ends_with_0(vague: Path) -> None:
    result = run("check", *ON, "--project", vague.parent, vague)
    assert result.exit_code == 0
    assert "wording.vague" in result.output
    assert "Mix the paste thoroughly." in result.output
    assert re.search(r"^[0-9]+ warnings?", result.output.splitlines()[-1])


def test_an_error_ends_with_1(wrong: Path) -> None:
    result = run("check", *ON, "--project", wrong.parent, wrong)
    assert result.exit_code == 1
    lines = result.output.splitlines()
    line = line_of(wrong, "tmier")
    assert lines[0].endswith(f"definition.yaml:{line}:19: error reference.unknown-equipment")
    assert lines[1] == f"   {line} |     with: [mixer, tmier]"
    assert lines[2] == "      |                   ^^^^^"
    assert "   hint: did you mean `timer`?" in lines
    assert lines[-1] == "1 error"


def test_a_missing_file_ends_with_2(good: Path) -> None:
    result = run("check", good.parent / "definitoin.yaml")
    assert result.exit_code == 2
    assert "there is no file `definitoin.yaml`" in result.output
    assert "did you mean `definition.yaml`?" in result.output


def test_a_folder_as_file_ends_with_2(good: Path) -> None:
    result = run("check", "--project", good.parent, good.parent)
    assert result.exit_code == 2
    assert "`good` is a folder, not a file" in result.output
    assert "name a file in it: `cleaner.yaml`" in result.output


def test_a_file_that_is_no_text_ends_with_2(good: Path) -> None:
    good.write_bytes(b"process: PD-1\xff\xfe\n")
    assert run("check", "--project", good.parent, good).exit_code == 2


def test_broken_yaml_ends_with_2_and_shows_the_line(good: Path) -> None:
    good.write_text("process: PD-1\n  title: [a\n", encoding="utf-8")
    result = run("check", "--project", good.parent, good)
    assert result.exit_code == 2
    assert "    2 |   title: [a" in result.output


def test_a_rule_that_fails_ends_with_3(good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(_: Facts) -> None:
        raise ZeroDivisionError

    name = next(name for name, rule in RULES.items() if rule.check is not None)
    monkeypatch.setitem(RULES, name, replace(RULES[name], check=crash))  # type: ignore[arg-type]
    result = run("check", "--project", good.parent, good)
    assert result.exit_code == 3
    assert "internal.rule-crashed" in result.output
    compiled = run("compile", "--project", good.parent, "--out", good.parent / "out", good)
    assert compiled.exit_code == 3
    assert not (good.parent / "out").exists()


def test_an_unknown_option_ends_with_2(good: Path) -> None:
    result = run("check", "--fromat", "json", good)
    assert result.exit_code == 2
    assert "--format" in result.output


def test_no_file_at_all_ends_with_2() -> None:
    assert run("check").exit_code == 2


def test_help_says_what_each_command_does() -> None:
    for command in ("check", "compile", "explain"):
        result = run(command, "--help")
        assert result.exit_code == 0
        assert f"Usage: main {command}" in result.output
        assert command in run("--help").output


def test_several_files_share_one_report(good: Path, wrong: Path) -> None:
    result = run("check", *ON, good, wrong, good.parent / "none.yaml")
    assert result.exit_code == 2
    assert "reference.unknown-equipment" in result.output
    assert "source.not-found" in result.output
    assert "2 errors" in result.output


def test_a_fault_in_a_shared_file_is_shown_once(good: Path) -> None:
    other = good.parent / "other.yaml"
    other.write_text(good.read_text(encoding="utf-8"), encoding="utf-8")
    plant = good.parent / "plant.yaml"
    text = plant.read_text(encoding="utf-8").replace("elevation: 240 m", "elevation: 240 kg")
    plant.write_text(text, encoding="utf-8")
    result = run("check", "--project", good.parent, good, other)
    assert result.exit_code == 1
    assert result.output.splitlines()[-1] == "1 error"


def test_json_for_programs(wrong: Path) -> None:
    result = run("check", *ON, "--format", "json", "--project", wrong.parent, wrong)
    assert result.exit_code == 1
    report = json.loads(result.stdout)
    assert report["summary"] == {"errors": 1, "warnings": 0, "notes": 0, "waived": 0}
    (finding,) = report["findings"]
    assert Path(finding.pop("file")).name == "definition.yaml"
    assert finding == {
        "severity": "error",
        "rule": "reference.unknown-equipment",
        "line": line_of(wrong, "tmier"),
        "column": 19,
        "end_line": line_of(wrong, "tmier"),
        "end_column": 24,
        "message": "the plant file has no equipment `tmier`",
        "hint": "did you mean `timer`?",
        "related": [],
        "waived": False,
        "subject": "tmier",
        "waiver": None,
    }


def test_json_of_a_clean_file(good: Path) -> None:
    result = run("check", *ON, "--format", "json", "--project", good.parent, good)
    assert json.loads(result.stdout)["findings"] == []
    assert result.stdout.endswith("}\n")
    assert not result.stdout.endswith("\n\n")


def test_sarif_for_editors(wrong: Path) -> None:
    # Required members by SARIF 2.1.0 (OASIS), 3.13, 3.14, 3.18, 3.27, from memory.
    result = run("check", *ON, "--format", "sarif", "--project", wrong.parent, wrong)
    assert result.exit_code == 1
    log = json.loads(result.stdout)
    assert log["version"] == "2.1.0"
    (one,) = log["runs"]
    rules = one["tool"]["driver"]["rules"]
    assert one["tool"]["driver"]["name"] == "speccomp"
    assert {rule["id"] for rule in rules} >= set(RULES)
    (found,) = one["results"]
    assert found["level"] in ("none", "note", "warning", "error")
    assert rules[found["ruleIndex"]]["id"] == found["ruleId"] == "reference.unknown-equipment"
    assert found["message"]["text"]
    place = found["locations"][0]["physicalLocation"]
    assert place["region"] == {
        "startLine": line_of(wrong, "tmier"),
        "startColumn": 19,
        "endLine": line_of(wrong, "tmier"),
        "endColumn": 24,
    }
    assert place["artifactLocation"]["uri"].endswith("definition.yaml")


def test_a_waiver_holds_until_its_day(tmp_path: Path) -> None:
    path = write_project(tmp_path, VAGUE + WAIVER)
    on_time = run("check", "--on", "2027-03-31", "--project", tmp_path, path)
    assert on_time.exit_code == 0
    assert "1 waived" in on_time.output
    assert "Agreed with the floor." in on_time.output
    too_late = run("check", "--on", "2027-04-01", "--project", tmp_path, path)
    assert too_late.exit_code == 1
    assert "waiver.expired" in too_late.output
    assert "ended on 2027-03-31, 1 day ago" in too_late.output


@pytest.mark.parametrize("day", ["2027-02-30", "tomorrow", "31.03.2027"])
def test_a_day_that_is_none(day: str, good: Path) -> None:
    result = run("check", "--on", day, good)
    assert result.exit_code == 2
    assert day in result.output


def test_the_project_folder_is_the_limit(tmp_path: Path) -> None:
    path = write_project(tmp_path / "part", "plant: ../plant.yaml\n")
    plant = tmp_path / "part" / "plant.yaml"
    plant.rename(tmp_path / "plant.yaml")
    inside = run("check", *ON, "--project", tmp_path / "part", path)
    assert inside.exit_code == 2
    assert "source.outside-project" in inside.output
    wider = run("check", *ON, "--project", tmp_path, path)
    assert wider.exit_code == 0, wider.output


def test_a_project_folder_that_is_none(good: Path) -> None:
    assert run("check", "--project", good, good).exit_code == 2
    assert run("check", "--project", good.parent / "none", good).exit_code == 2


def test_a_file_outside_the_project(good: Path, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    result = run("check", "--project", tmp_path / "empty", good)
    assert result.exit_code == 2
    assert "source." in result.output


def test_paths_are_shown_as_seen_from_here(wrong: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(wrong.parent)
    place = f"{line_of(wrong, 'tmier')}:19: "
    assert run("check", "definition.yaml").output.startswith(f"definition.yaml:{place}")
    monkeypatch.chdir(wrong.parent.parent)
    shown = Path("wrong") / "definition.yaml"
    assert run("check", shown).output.startswith(f"{shown}:{place}")


def test_a_rule_is_explained() -> None:
    result = run("explain", "wording.vague")
    assert result.exit_code == 0
    for word in ("wording.vague", "Why", "Source", "Bad", "Good"):
        assert word in result.output


def test_the_cautions_are_shown_with_what_answers_them(good: Path) -> None:
    result = run("check", *ON, "--cautions", "--project", good.parent, good)
    assert result.exit_code == 0
    assert result.output.startswith("no findings\n\nPD-100 A  ")
    assert re.search(r"^Before step \d+, ", result.output, re.MULTILINE)
    assert re.search(r"WARNING +mixer-entangle +covered", result.output)
    assert "OPEN" not in result.output
    assert "\x1b" not in result.output


def test_an_open_caution_is_told_by_a_word(vague: Path) -> None:
    text = vague.read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if "mixer-entangle" not in line]
    vague.write_text("\n".join(kept) + "\n", encoding="utf-8")
    result = run("check", *ON, "--cautions", "--project", vague.parent, vague)
    assert result.exit_code == 1
    assert re.search(r"WARNING +mixer-entangle +OPEN: missing", result.output)
    assert "\n  - topic: mixer-entangle\n    before: [mix]\n" in result.output


def test_the_lines_to_paste_are_in_the_hint_of_json(vague: Path) -> None:
    text = vague.read_text(encoding="utf-8")
    kept = [line for line in text.splitlines() if "mixer-entangle" not in line]
    vague.write_text("\n".join(kept) + "\n", encoding="utf-8")
    result = run("check", *ON, "--format", "json", "--project", vague.parent, vague)
    found = [f for f in json.loads(result.output)["findings"] if f["rule"] == "caution.missing"]
    assert [f["hint"] for f in found] == [
        "add to `cautions`:\n  - topic: mixer-entangle\n    before: [mix]"
    ]


def test_the_cautions_are_shown_as_text_only(good: Path) -> None:
    result = run("check", "--cautions", "--format", "json", good)
    assert result.exit_code == 2
    assert "--cautions is for --format text" in result.output


def test_cautions_of_a_card_are_none(good: Path) -> None:
    result = run("check", *ON, "--cautions", "--project", good.parent, good.parent / "powder.yaml")
    assert (result.exit_code, result.output) == (0, "no findings\n")


def test_an_unknown_rule_is_suggested() -> None:
    result = run("explain", "wording.vage")
    assert result.exit_code == 2
    assert "there is no rule `wording.vage`; did you mean `wording.vague`?" in result.output


def files_under(folder: Path) -> set[str]:
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_documents_go_to_number_and_revision(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "new" / "deep" / "out"
    formats = ("--format", "html", "--format", "csv", "--format", "xlsx")
    result = run("compile", *ON, *formats, "--project", good.parent, "--out", out, good)
    assert result.exit_code == 0, result.output
    assert files_under(out) == {
        "PD-100/A/work-instruction.html",
        "PD-100/A/control-plan.html",
        "PD-100/A/caution-coverage.html",
        "PD-100/A/control-plan.csv",
        "PD-100/A/control-plan.xlsx",
    }
    assert str(out / "PD-100" / "A") in result.output


def test_compiling_again_gives_the_same_bytes(good: Path, tmp_path: Path) -> None:
    contents = []
    for name in ("one", "two"):
        formats = ("--format", "html", "--format", "csv", "--format", "xlsx")
        assert run("compile", *ON, *formats, "--out", tmp_path / name, good).exit_code == 0
        folder = tmp_path / name / "PD-100" / "A"
        contents.append({path.name: path.read_bytes() for path in folder.iterdir()})
    assert contents[0] == contents[1]


def test_nothing_is_written_for_a_definition_with_errors(wrong: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run("compile", *ON, "--format", "html", "--out", out, wrong)
    assert result.exit_code == 1
    assert "reference.unknown-equipment" in result.output
    assert not out.exists()


def test_the_others_are_written(good: Path, wrong: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run("compile", *ON, "--format", "csv", "--out", out, wrong, good)
    assert result.exit_code == 1
    assert files_under(out) == {"PD-100/A/control-plan.csv"}


def test_a_warning_does_not_stop_the_documents(vague: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run("compile", *ON, "--format", "csv", "--out", out, vague)
    assert result.exit_code == 0
    assert files_under(out)


def test_only_definitions_are_compiled(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    result = run("compile", "--format", "csv", "--out", out, good.parent / "powder.yaml")
    assert result.exit_code == 4
    assert "powder.yaml is no process definition; there is nothing to compile" in result.output
    assert not out.exists()


def test_two_definitions_of_one_number_do_not_overwrite_each_other(
    good: Path, tmp_path: Path
) -> None:
    other = write_project(tmp_path / "other", "title: Something else\n")
    out = tmp_path / "out"
    result = run("compile", *ON, "--format", "html", "--out", out, good, other)
    assert result.exit_code == 4
    assert f"{other} has number and revision of {good}" in result.output
    page = out / "PD-100" / "A" / "work-instruction.html"
    assert "Seal the end of a tubular heater" in page.read_text(encoding="utf-8")


def test_a_file_given_twice_is_compiled_once(good: Path, tmp_path: Path) -> None:
    result = run("compile", *ON, "--format", "csv", "--out", tmp_path / "out", good, good)
    assert result.exit_code == 0
    assert result.output.count("control-plan.csv") == 1


def test_a_file_in_place_of_the_output_folder(good: Path, tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine", encoding="utf-8")
    result = run("compile", *ON, "--format", "csv", "--out", taken, good)
    assert result.exit_code == 2
    assert "taken" in result.output


def test_a_file_in_place_of_a_folder_of_documents(good: Path, tmp_path: Path) -> None:
    taken = tmp_path / "out" / "PD-100"
    taken.parent.mkdir()
    taken.write_text("mine", encoding="utf-8")
    result = run("compile", *ON, "--format", "csv", "--out", tmp_path / "out", good)
    assert result.exit_code == 4
    assert "error: cannot write" in result.output
    assert taken.read_text(encoding="utf-8") == "mine"


def test_a_file_in_place_of_a_parent_folder(good: Path, tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine", encoding="utf-8")
    result = run("compile", *ON, "--format", "csv", "--out", taken / "out", good)
    assert result.exit_code == 4
    assert "error: cannot write" in result.output


def test_the_other_formats_are_written_where_no_pdf_can_be(
    good: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real: Callable[..., dict[str, bytes]] = pipeline.compile_documents

    def without_pdf(
        checked: pipeline.Checked, formats: list[pipeline.Format], **more: object
    ) -> dict[str, bytes]:
        if pipeline.Format.PDF in formats:
            raise PdfUnavailable("the library Pango is missing")
        return real(checked, formats, **more)

    monkeypatch.setattr(compile_module, "compile_documents", without_pdf)
    formats = ("--format", "pdf", "--format", "html")
    result = run("compile", *ON, *formats, "--out", tmp_path / "out", good)
    assert result.exit_code == 4
    assert "the library Pango is missing" in result.output
    assert files_under(tmp_path / "out") == {
        "PD-100/A/work-instruction.html",
        "PD-100/A/control-plan.html",
        "PD-100/A/caution-coverage.html",
    }
    only_pdf = run("compile", *ON, "--format", "pdf", "--out", tmp_path / "none", good)
    assert only_pdf.exit_code == 4
    assert files_under(tmp_path) & {"none/PD-100/A"} == set()
    assert not (tmp_path / "none").exists()


def command(*arguments: str | Path) -> list[str]:
    return [sys.executable, "-m", "speccomp", *map(str, arguments)]


def test_the_program_runs_as_a_process(wrong: Path) -> None:
    done = subprocess.run(
        command("check", *ON, wrong),
        cwd=ROOT,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 1
    assert done.stderr == ""
    assert "did you mean `timer`?" in done.stdout
    assert "\x1b" not in done.stdout


def test_a_reader_that_goes_away_gets_one_line(good: Path) -> None:
    # Enough findings to fill a pipe that nobody empties.
    steps = "".join(
        f"  - {{id: s-{n}, operation: mix, do: Mix the paste thoroughly.}}\n" for n in range(900)
    )
    path = write_project(good.parent, "steps:\n" + steps)
    # Unbuffered, Python itself does not notice that only a part was taken.
    environment = {key: v for key, v in os.environ.items() if key != "PYTHONUNBUFFERED"}
    process = subprocess.Popen(
        command("check", *ON, path),
        cwd=ROOT,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    assert process.stdout is not None
    assert process.stderr is not None
    process.stdout.readline()
    process.stdout.close()
    complaint = process.stderr.read().decode()
    process.stderr.close()
    assert process.wait(timeout=60) == 4
    assert complaint == "error: the output cannot be written: broken pipe\n"


@pytest.mark.parametrize("arguments", [("check", "GOOD"), ("check", "--help"), ("--version",)])
def test_a_full_disk_behind_the_output_is_one_line(arguments: tuple[str, ...], good: Path) -> None:
    words = [str(good) if word == "GOOD" else word for word in arguments]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            command(*words), cwd=ROOT, stdout=full, stderr=subprocess.PIPE, check=False
        )
    assert done.returncode == 4
    assert done.stderr == b"error: the output cannot be written: no space left on device\n"


def test_a_closed_output_leaves_the_exit_status(wrong: Path) -> None:
    line = " ".join(map(shlex.quote, command("check", *ON, wrong)))
    done = subprocess.run(
        ["sh", "-c", f"{line} >&-"], cwd=ROOT, stderr=subprocess.PIPE, check=False
    )
    assert (done.returncode, done.stderr) == (1, b"")


# Two moments: before a module of ours is loaded, and while a command is at work.
@pytest.mark.parametrize("where", ["click", "speccomp.pipeline"])
def test_an_interrupt_ends_in_one_line(where: str, good: Path) -> None:
    script = f"""
import sys
from importlib.abc import MetaPathFinder
class Interrupt(MetaPathFinder):
    def find_spec(self, name, path, target=None):
        if name == {where!r}:
            raise KeyboardInterrupt
sys.meta_path.insert(0, Interrupt())
sys.argv = ["speccomp", "check", {str(good)!r}]
from speccomp.cli.start import start
start()
"""
    done = subprocess.run(
        [sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=False
    )
    assert (done.returncode, done.stdout) == (130, b"")
    assert done.stderr == b"error: interrupted before it was done\n"


@pytest.mark.parametrize("form", ["text", "json", "sarif"])
def test_a_file_that_cannot_be_read_is_a_finding(
    form: str, good: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Root may read everything, so the refusal is put where the system would make it.
    whole, access = os.open, os.access

    def refuse(path: str | Path, *rest: int) -> int:
        if str(path) == str(good):
            raise PermissionError(13, "Permission denied", str(path))
        return whole(path, *rest)

    monkeypatch.setattr(os, "open", refuse)
    monkeypatch.setattr(os, "access", lambda path, *rest: path != str(good) and access(path, *rest))
    result = run("check", *ON, "--format", form, "--project", good.parent, good)
    assert result.exit_code == 2
    assert "source.not-readable" in result.output
    assert "`definition.yaml` cannot be read: permission denied" in result.output
    if form != "text":
        json.loads(result.stdout)


@pytest.mark.parametrize("form", ["json", "sarif"])
def test_a_missing_file_is_a_finding_for_programs(form: str, good: Path) -> None:
    result = run("check", *ON, "--format", form, good.parent / "none.yaml")
    assert result.exit_code == 2
    assert "source.not-found" in json.dumps(json.loads(result.stdout))


def test_output_that_cannot_show_a_sign(wrong: Path) -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    text = wrong.read_text(encoding="utf-8").replace("tmier", "µ-timer")
    wrong.write_text(text, encoding="utf-8")
    done = subprocess.run(
        command("check", *ON, wrong), cwd=ROOT, capture_output=True, check=False, env=environment
    )
    assert done.returncode == 1
    assert b"Traceback" not in done.stderr


def test_files_of_others_stay_beside_the_documents(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run("compile", *ON, "--format", "csv", "--out", out, good).exit_code == 0
    (out / "PD-100" / "A" / "signed-off.txt").write_text("mine", encoding="utf-8")
    assert run("compile", *ON, "--format", "csv", "--out", out, good).exit_code == 0
    assert files_under(out) == {"PD-100/A/signed-off.txt", "PD-100/A/control-plan.csv"}


def test_documents_that_are_up_to_date_stay(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run("compile", *ON, "--out", out, good).exit_code == 0
    before = {path.name: path.read_bytes() for path in (out / "PD-100" / "A").iterdir()}
    assert set(before) == set(OWN_NAMES)
    again = run("compile", *ON, "--format", "csv", "--out", out, good)
    assert (again.exit_code, again.output) == (0, f"{out}/PD-100/A: control-plan.csv\n")
    after = {path.name: path.read_bytes() for path in (out / "PD-100" / "A").iterdir()}
    assert after == before


def test_documents_that_are_out_of_date_go(good: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    assert run("compile", *ON, "--out", out, good).exit_code == 0
    text = good.read_text(encoding="utf-8")
    good.write_text(text.replace("tubular heater", "flat heater"), encoding="utf-8")
    again = run("compile", *ON, "--format", "csv", "--out", out, good)
    gone = sorted(set(OWN_NAMES) - {"control-plan.csv"})
    assert again.exit_code == 0
    assert again.output.splitlines()[1] == (
        f"{out}/PD-100/A: removed as out of date: {', '.join(gone)}"
    )
    assert files_under(out) == {"PD-100/A/control-plan.csv"}


def test_two_files_of_one_number_and_revision(good: Path, tmp_path: Path) -> None:
    other = write_project(tmp_path / "other", "title: Something else\n")
    result = run("check", *ON, good, other, good)
    assert result.exit_code == 1
    assert result.output.splitlines()[-1] == "1 error"
    report = json.loads(run("check", *ON, "--format", "json", good, other).stdout)
    (finding,) = report["findings"]
    assert finding["rule"] == "revision.duplicate"
    assert Path(finding["file"]).resolve() == other
    (related,) = finding["related"]
    assert (Path(related["file"]).resolve(), related["line"]) == (good, line_of(good, "process:"))
    assert run("check", *ON, good, good).exit_code == 0


def test_a_path_that_goes_up_and_comes_back(good: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(good.parent)
    assert run("check", *ON, f"../{good.parent.name}/definition.yaml").exit_code == 0
    folder = run("check", f"../{good.parent.name}")
    assert folder.exit_code == 2
    assert f"`{good.parent.name}` is a folder, not a file" in folder.output


def test_a_fault_of_our_own_is_one_line_and_ends_with_3(
    good: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(pipeline, "resolve_process", broken)
    result = run("check", good)
    assert result.exit_code == 3
    assert result.output.startswith(
        "error: a fault of speccomp, please report it: ZeroDivisionError: by nothing (test_comm"
    )
    assert result.output.count("\n") == 1


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("nothing.yaml", "the folder holds `cleaner.yaml`, `definition.yaml`, `liquid.yaml`"),
        ("plnat.yml", "did you mean `plant.yaml`?"),
        ("plant", "did you mean `plant.yaml`?"),
    ],
)
def test_only_a_name_that_is_near_is_suggested(name: str, hint: str, good: Path) -> None:
    result = run("check", good.parent / name)
    assert result.exit_code == 2
    assert f"hint: {hint}" in result.output


def test_a_family_of_rules_is_listed() -> None:
    result = run("explain", "wording")
    assert result.exit_code == 2
    assert "rules of that family: wording.vague, wording.should" in result.output


def test_a_missing_file_to_explain_is_no_rule(good: Path) -> None:
    result = run("explain", good.parent / "definitoin.yaml")
    assert result.exit_code == 2
    assert "did you mean `definition.yaml`?" in result.output
