"""What becomes of an interrupted change, by the state it left behind."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from speccomp.archive import ledger, transaction
from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.journal import JOURNAL, has_journal
from speccomp.archive.layout import ENTRIES, HEAD, SET_ASIDE, STAGING
from speccomp.archive.recovery import find_interrupted
from speccomp.archive.store import object_place
from speccomp.archive.verify import verify_archive
from tests.archive.scenario import CONTROLLER, Writer

LATER = "2026-01-16T08:00:00Z"


class Killed(BaseException):
    """Stands for the end of the process: nothing in the program catches it."""


@pytest.fixture
def writer(memory: Path) -> Writer:
    writer = Writer(memory / "archive")
    writer.release("PD-1", "-")
    return writer


def interrupt(
    monkeypatch: pytest.MonkeyPatch, name: str, writer: Writer, *, after: int = 0
) -> None:
    """Kill a second release at a call of a step of the change; let `after` calls of it pass."""
    real, calls = getattr(transaction, name), 0

    def step(*arguments: object) -> object:
        nonlocal calls
        calls += 1
        if calls > after:
            raise Killed
        return real(*arguments)

    with monkeypatch.context() as patch, pytest.raises(Killed):
        patch.setattr(transaction, name, step)
        writer.release("PD-1", "A")


def next_command(writer: Writer) -> str:
    with writer.archive.change(CONTROLLER, LATER) as change:
        return change.interrupted.report() if change.interrupted else ""


def actions(writer: Writer) -> list[str]:
    return [entry.event.action for entry in writer.archive.entries()]


def test_before_the_journal_the_change_is_dropped(
    monkeypatch: pytest.MonkeyPatch, writer: Writer
) -> None:
    interrupt(monkeypatch, "write_journal", writer)
    assert not has_journal(writer.root)
    found = verify_archive(writer.root)
    assert [f.message for f in found] == [
        "an interrupted change left files behind that do not count; "
        "the last change that counts is release PD-1 -"
    ]
    assert next_command(writer) == "an interrupted change that did not count yet was dropped"
    assert actions(writer) == ["start", "release"]


@pytest.mark.parametrize(
    ("step", "after"),
    [
        ("complete", 0),  # nothing moved yet
        ("_carry_out", 1),  # the version is in place, the inventory is that of before
        ("_carry_out", 2),  # the inventory is new, its sidecar is not
        ("_check_written", 0),  # all files in place, the ledger does not tell of them
    ],
)
def test_after_the_journal_the_change_is_completed_and_the_ledger_notes_it(
    monkeypatch: pytest.MonkeyPatch, writer: Writer, step: str, after: int
) -> None:
    interrupt(monkeypatch, step, writer, after=after)
    (found,) = verify_archive(writer.root)
    assert found.rule == "archive.interrupted"
    assert found.message == (
        "a change (release PD-1 A) was interrupted after it counted; "
        "the last change that counts is release PD-1 A"
    )
    assert next_command(writer) == "an interrupted change (release PD-1 A) was completed"
    assert actions(writer) == ["start", "release", "release", "recover"]
    assert verify_archive(writer.root) == ()


def test_a_change_that_lacks_nothing_but_the_head_is_completed_without_a_note(
    monkeypatch: pytest.MonkeyPatch, writer: Writer
) -> None:
    interrupt(monkeypatch, "_carry_out", writer, after=3)
    assert next_command(writer) == "an interrupted change (release PD-1 A) was completed"
    assert actions(writer) == ["start", "release", "release"]
    assert verify_archive(writer.root) == ()


def spoil_version(root: Path) -> None:
    (root / object_place("PD-1") / "v2/inventory.json").write_bytes(b"{}")


def spoil_staged_content(root: Path) -> None:
    next((root / STAGING).rglob("release.json")).write_bytes(b"{}")


def spoil_ledger(root: Path) -> None:
    with (root / ENTRIES).open("ab") as stream:
        stream.write(b"something else")


@pytest.mark.parametrize(
    ("step", "after", "spoil"),
    [
        ("_check_written", 0, spoil_version),
        ("complete", 0, spoil_staged_content),
        ("_check_written", 0, spoil_ledger),
    ],
)
def test_a_change_whose_files_are_not_those_staged_is_set_aside(
    monkeypatch: pytest.MonkeyPatch,
    writer: Writer,
    step: str,
    after: int,
    spoil: Callable[[Path], None],
) -> None:
    interrupt(monkeypatch, step, writer, after=after)
    spoil(writer.root)
    assert next_command(writer) == "an interrupted change (release PD-1 A) was set aside"
    assert actions(writer) == ["start", "release", "recover"]
    assert [f.rule for f in verify_archive(writer.root)] == ["archive.set-aside"]
    shutil.rmtree(writer.root / SET_ASIDE)
    writer.release("PD-1", "A")
    assert verify_archive(writer.root) == ()


def test_a_change_that_was_being_taken_back_is_dropped(
    monkeypatch: pytest.MonkeyPatch, writer: Writer
) -> None:
    with monkeypatch.context() as patch, pytest.raises(Killed):
        patch.setattr(transaction, "_appended_part", _raise(OSError(28, "No space left")))
        patch.setattr(transaction, "undo", _raise(Killed()))
        writer.release("PD-1", "A")
    interrupted = find_interrupted(writer.root)
    assert interrupted is not None
    assert interrupted.prospect() == (
        "a change (release PD-1 A) was interrupted while it was taken back"
    )
    assert next_command(writer) == "an interrupted change (release PD-1 A) was dropped"
    assert actions(writer) == ["start", "release"]
    assert verify_archive(writer.root) == ()


def _raise(error: BaseException) -> Callable[..., object]:
    def step(*_arguments: object) -> object:
        raise error

    return step


def test_a_journal_that_cannot_be_understood_stops_everything(
    monkeypatch: pytest.MonkeyPatch, writer: Writer
) -> None:
    interrupt(monkeypatch, "complete", writer)
    (writer.root / JOURNAL).write_bytes(b"{}")
    assert "archive.journal" in {finding.rule for finding in verify_archive(writer.root)}
    with pytest.raises(ArchiveDamaged, match="cannot be understood"):
        next_command(writer)


def test_readers_do_not_see_an_entry_that_is_being_appended(writer: Writer) -> None:
    before = writer.archive.entries()
    with (writer.root / ENTRIES).open("ab") as stream:
        stream.write(b'{"action":"release"')
    assert writer.archive.entries() == before
    with pytest.raises(ArchiveDamaged, match="does not end with a whole line"):
        writer.release("PD-1", "A")
    assert {f.rule for f in verify_archive(writer.root)} == {"archive.ledger-cut"}


def test_payloads_are_found_wherever_the_ledger_tells_of_them(
    monkeypatch: pytest.MonkeyPatch, writer: Writer
) -> None:
    for revision in "ABC":
        writer.release("PD-1", revision)
    wanted = {entry.event.payload_sha256 for entry in writer.archive.entries()}
    for size in (1, 7, 64, 1000, 1 << 16):
        monkeypatch.setattr(ledger, "_BLOCK", size)
        assert ledger.find_payloads(writer.root, {*wanted, "0" * 64}) == wanted
    assert ledger.find_payloads(writer.root, ()) == frozenset()


def test_readers_refuse_a_ledger_that_is_not_chained(writer: Writer) -> None:
    data = (writer.root / ENTRIES).read_bytes()
    (writer.root / ENTRIES).write_bytes(data.replace(b"R. Example", b"S. Example", 1))
    with pytest.raises(ArchiveDamaged, match="entry 2 of the ledger does not follow"):
        writer.archive.entries(["release"])
    assert (writer.root / HEAD).exists()
