"""The commands of document control, as a person types them."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from speccomp.cli.main import main
from tests.release.plant import QUALITY, Works

DIGEST = "content "


@pytest.fixture
def works(tmp_path: Path) -> Works:
    return Works(tmp_path)


def run(works: Works, *arguments: str, keys: str = "") -> Result:
    return CliRunner().invoke(
        main, arguments, env={"SPECCOMP_ARCHIVE": str(works.archive)}, input=keys
    )


def approve(works: Works, *more: str) -> Result:
    person = ("--name", QUALITY, "--role", "quality-engineer", "--at", "2026-03-02T09:00:00Z")
    return run(works, "approve", str(works.definition), *person, *more)


def approver(public: str) -> str:
    """Return the first lines of the release rules, with one approver and the key."""
    return (
        f"release:\n  approvers:\n    - {{name: {QUALITY}, role: quality-engineer,\n"
        f"       key: '{public}'}}\n"
    )


def release(works: Works, *more: str) -> Result:
    return run(
        works, "release", str(works.definition), "--by", "D. Example",
        "--at", "2026-03-03T09:00:00Z", *(more or ("--effective", "immediate")),
    )  # fmt: skip


def test_the_life_of_a_document(works: Works, tmp_path: Path) -> None:
    done = approve(works)
    assert done.exit_code == 0, done.output
    assert f"PD-100 A approved by {QUALITY} as quality-engineer, unsigned" in done.output
    done = release(works)
    assert done.exit_code == 0, done.output
    assert "PD-100 A released, in force from 2026-03-03" in done.output
    digest = done.output.rpartition(DIGEST)[2].strip()
    at = ("--at", "2026-03-04T00:00:00Z")

    shown = run(works, "register", *at)
    assert shown.exit_code == 0
    assert shown.output.splitlines()[2].split()[0] == "PD-100"
    rows = json.loads(run(works, "register", "--format", "json", *at).output)
    assert rows[0]["in_force"] == "A"
    table = run(works, "register", "--format", "csv", *at).output.splitlines()
    assert table[0] == "Number,Title,In force,Status,Since,Released,Approvals,Pending,Review due"
    card = works.project / "powder.yaml"
    used = run(works, "register", "--used", "powder.yaml", "--now", str(card), *at)
    assert "as it is now" in used.output
    used = run(works, "register", "--used", "oven", "--format", "json", *at)
    assert json.loads(used.output) == [
        {"number": "PD-100", "revision": "A", "status": "in force", "kind": "equipment",
         "what": "oven"}
    ]  # fmt: skip
    used = run(works, "register", "--used", "powder", "--format", "csv", *at)
    assert used.output == (
        "Number,Revision,Status,Kind,What\nPD-100,A,in force,material,powder.yaml\n"
    )
    every = run(works, "register", "--revisions", "--format", "json", *at)
    assert json.loads(every.output) == [
        {"number": "PD-100", "title": "Seal the end of a tubular heater", "revision": "A",
         "in_force_from": "2026-03-03", "until": "", "status": "in force",
         "approvals": "unsigned"}
    ]  # fmt: skip
    assert "uses `spoon`" in run(works, "register", "--used", "spoon", *at).output

    judged = run(works, "verify", "--code", f"PD-100 A {digest}", *at)
    assert (judged.exit_code, judged.output) == (
        0,
        "current: PD-100 revision A is in force since 2026-03-03; its approvals are unsigned\n",
    )
    assert run(works, "verify", "--code", "PD-100 B 000000000000", *at).exit_code == 1

    whole = run(works, "verify")
    assert whole.exit_code == 0
    assert whole.output.startswith("all is well; 3 entries, head ")
    assert "1 of 1 releases rest on unsigned approvals" in whole.output
    head = whole.output.splitlines()[0].split()[-1]
    assert run(works, "verify", "--head", head).exit_code == 0
    older = run(works, "verify", "--head", "0" * 64)
    assert older.exit_code == 1
    assert "archive.head-missing: the ledger holds no entry with the digest 000" in older.output
    assert run(works, "verify", "--rebuild", "PD-100/A").output == (
        "PD-100 A: every file comes out with the same bytes\n"
    )

    person = ("--name", QUALITY, "--role", "quality-engineer")
    done = run(works, "review", "PD-100", *person, "--result", "still right",
               "--at", "2027-03-01T09:00:00Z")  # fmt: skip
    assert done.output == "PD-100 reviewed; the next review is due on 2029-03-01\n"
    done = run(works, "withdraw", "PD-100", *person, "--reason", "not made any more",
               "--at", "2027-04-01T09:00:00Z")  # fmt: skip
    assert done.output == "PD-100 A withdrawn; its files stay in the archive\n"
    done = run(works, "register", "--site", str(tmp_path / "site"), "--at", "2027-05-01T00:00:00Z")
    assert done.exit_code == 0
    assert (tmp_path / "site" / "index.html").is_file()
    assert run(works, "verify", "--document", "PD-100").exit_code == 0


def test_a_site_keeps_what_others_put_there(works: Works, tmp_path: Path) -> None:
    assert approve(works).exit_code == 0
    assert release(works).exit_code == 0
    site = tmp_path / "site"
    assert run(works, "register", "--site", str(site)).exit_code == 0
    pages = {path for path in site.rglob("*") if path.is_file()}
    assert site / "documents" / "PD-100.html" in pages
    (site / "logo.svg").write_text("<svg/>", encoding="utf-8")
    earlier = run(works, "register", "--site", str(site), "--at", "2026-03-01T00:00:00Z")
    assert earlier.exit_code == 0, earlier.output
    left = {path for path in site.rglob("*") if path.is_file()}
    pages = {"index.html", "periods.html", "uses.html", "style.css"}
    assert left == {site / "logo.svg", *(site / name for name in pages)}


def test_a_refusal_says_every_reason(works: Works) -> None:
    refused = release(works)
    assert refused.exit_code == 1
    assert "refused: the approval by the role quality-engineer is missing" in refused.output


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--effective", "1.4.2026"), "is no day"),
        ((), "immediate"),
    ],
)
def test_days_are_days(works: Works, arguments: tuple[str, ...], said: str) -> None:
    done = run(works, "release", str(works.definition), "--by", "D", *arguments)
    assert done.exit_code == 2
    assert said in done.output or "--effective" in done.output


@pytest.mark.parametrize("text", ["yesterday", "2026-03-02T09:00:00"])
def test_points_of_time_have_a_zone(works: Works, text: str) -> None:
    done = run(works, "register", "--at", text)
    assert done.exit_code == 2
    assert "--at" in done.output


def test_a_code_that_cannot_be_read_is_refused(works: Works) -> None:
    done = run(works, "verify", "--code", "PD-100")
    assert done.exit_code == 2
    assert "a code holds number, revision and digest" in done.output


def test_without_an_archive_nothing_is_shown(works: Works) -> None:
    done = run(works, "register")
    assert done.exit_code == 4
    assert "does not exist" in done.output


def test_what_is_wrong_in_an_archive_is_said(works: Works) -> None:
    approve(works)
    (works.archive / "stray").write_bytes(b"")
    done = run(works, "verify")
    assert done.exit_code == 1
    assert "error archive.file-added: stray does not belong into the archive" in done.output
    found = json.loads(run(works, "verify", "--format", "json").output)
    assert found["findings"][0]["rule"] == "archive.file-added"


def test_keys_are_made_outside_of_projects(works: Works, tmp_path: Path) -> None:
    (works.project / ".speccomp").write_text("", encoding="utf-8")
    inside = run(works, "keys", str(works.project / "key"), "--no-passphrase")
    assert inside.exit_code == 1
    assert "lies inside the project" in inside.output
    made = run(works, "keys", str(tmp_path / "key"), keys="correct horse\ncorrect horse\n")
    assert made.exit_code == 0, made.output
    assert "key: ssh-ed25519 " in made.output
    assert "ENCRYPTED" not in made.output
    again = run(works, "keys", str(tmp_path / "key"), "--no-passphrase")
    assert again.exit_code == 4
    assert "a key is never replaced" in again.output


def test_a_key_with_a_passphrase_signs(works: Works, tmp_path: Path) -> None:
    run(works, "keys", str(tmp_path / "key"), keys="correct horse\ncorrect horse\n")
    public = (tmp_path / "key.pub").read_text(encoding="utf-8").strip()
    works.edit(
        "plant.yaml",
        lambda text: text.replace(
            "release:\n",
            approver(public),
        ),
    )
    person = ("--name", QUALITY, "--role", "quality-engineer", "--at", "2026-03-02T09:00:00Z")
    arguments = ("approve", str(works.definition), *person, "--key", str(tmp_path / "key"))
    assert run(works, *arguments, keys="wrong\n").exit_code == 4
    done = run(works, *arguments, keys="correct horse\n")
    assert done.exit_code == 0, done.output
    assert "signed;" in done.output


def test_a_signature_is_made_with_ssh_keygen_alone(works: Works, tmp_path: Path) -> None:
    # Referee: ssh-keygen.
    key, text = tmp_path / "id", tmp_path / "statement"
    make = ["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", str(key)]
    subprocess.run(make, check=True)
    public = key.with_suffix(".pub").read_text(encoding="utf-8").strip()
    works.edit(
        "plant.yaml",
        lambda t: t.replace("signatures: unsigned", "signatures: required").replace(
            "release:\n",
            approver(public),
        ),
    )
    written = approve(works, "--statement", str(text))
    assert written.exit_code == 0, written.output
    sign = ["ssh-keygen", "-Y", "sign", "-n", "approve@speccomp", "-f", str(key), str(text)]
    subprocess.run(sign, check=True, capture_output=True)
    done = approve(works, "--signature", f"{text}.sig")
    assert done.exit_code == 0, done.output
    assert "signed;" in done.output


def test_the_register_does_without_the_libraries_of_the_documents() -> None:
    code = (
        "import sys, speccomp.cli.main, speccomp.archive.opening, speccomp.release.register\n"
        "print([n for n in ('pint', 'weasyprint', 'jinja2', 'cryptography') if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
