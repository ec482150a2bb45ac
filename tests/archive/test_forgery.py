"""
A forger who can write to the archive and keeps digests and chain consistent.

What the records, the approved content and the signatures still give away.
"""

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from speccomp.archive.digests import Json, canonical_json, parse_object, sha512
from speccomp.archive.layout import ENTRIES, HEAD
from speccomp.archive.ledger import Event, entry_line, head_text, parse_line
from speccomp.archive.release_record import CONTENT, RELEASE, SOURCES, ReleaseRecord
from speccomp.archive.statements import Record, Statement
from speccomp.archive.store import NewVersion, object_place
from speccomp.archive.verify import verify_archive
from tests.archive.scenario import (
    CONTROLLER,
    SOURCE,
    START,
    Writer,
    approval,
    approver,
    content_of,
    release_record,
    sign,
    signer,
)


@pytest.fixture
def writer(memory: Path) -> Writer:
    writer = Writer(memory / "archive")
    writer.release("PD-1", "-", (writer.approve("PD-1", "-"),))
    return writer


def messages(writer: Writer) -> list[str]:
    return [finding.message for finding in verify_archive(writer.root)]


def rewrite_last_entry(root: Path, change: Callable[[Event], Event]) -> None:
    lines = (root / ENTRIES).read_bytes().splitlines()
    last = parse_line(lines[-1])
    lines[-1] = entry_line(change(last.event), last.seq, last.prev)
    (root / ENTRIES).write_bytes(b"".join(line + b"\n" for line in lines))
    (root / HEAD).write_bytes(head_text(last.seq, parse_line(lines[-1]).sha256))


def append_entry(root: Path, event: Event) -> None:
    lines = (root / ENTRIES).read_bytes().splitlines()
    last = parse_line(lines[-1])
    line = entry_line(event, last.seq + 1, last.sha256)
    with (root / ENTRIES).open("ab") as stream:
        stream.write(line + b"\n")
    (root / HEAD).write_bytes(head_text(last.seq + 1, parse_line(line).sha256))


@pytest.mark.parametrize(
    "name", ["title", "content_sha512", "effective_at", "effective_from", "approvals", "uses"]
)
def test_what_the_register_reads_must_be_what_the_record_says(writer: Writer, name: str) -> None:
    # The last entry has none after it whose `prev` would give the edit away.
    def other(event: Event) -> Event:
        return replace(event, details={**event.details, name: "2020-01-01T00:00:00Z"})

    rewrite_last_entry(writer.root, other)
    (message,) = messages(writer)
    assert message.endswith(f"the ledger tells of another `{name}` than the record")


@pytest.mark.parametrize("details", [{}, {"payload": RELEASE}, {"version": 2}, {"version": True}])
@pytest.mark.parametrize("action", ["release", "withdraw", "review", "approve"])
def test_an_entry_without_a_record_is_reported(
    writer: Writer, action: str, details: dict[str, Json]
) -> None:
    event = Event(action, CONTROLLER, "PD-1", "A", "0" * 64, START, details)
    append_entry(writer.root, event)
    assert any("stands behind it" in message for message in messages(writer))


@pytest.mark.parametrize("action", ["delete", "start", "recover", ""])
def test_an_action_that_is_none_is_reported(writer: Writer, action: str) -> None:
    append_entry(writer.root, Event(action, CONTROLLER, "PD-1", "A", "0" * 64, START, {}))
    assert "archive.ledger-event" in {finding.rule for finding in verify_archive(writer.root)}


def forge(
    writer: Writer,
    revision: str = "A",
    record: Callable[[ReleaseRecord], ReleaseRecord] = lambda record: record,
    files: dict[str, bytes] | None = None,
    approvals: tuple[Record, ...] = (),
) -> None:
    """Release with another record or other files than the program would write."""
    with writer.archive.change(CONTROLLER, START) as change:
        made = record(release_record(change, "PD-1", revision, approvals, "-"))
        written = {
            RELEASE: made.text(),
            CONTENT: content_of("PD-1", revision),
            f"{SOURCES}seal.yaml": SOURCE,
            **(files or {}),
        }
        event = Event("release", "", "PD-1", revision, "", "", made.details())
        change.add_version(event, "PD-1", NewVersion(written, RELEASE, 1, made.reason))


def test_the_forgery_itself_is_sound(writer: Writer) -> None:
    forge(writer)
    assert messages(writer) == []


def test_another_source_than_the_approved_one_is_reported(writer: Writer) -> None:
    forge(writer, files={f"{SOURCES}seal.yaml": b"process: other\n"})
    assert messages(writer)[0].endswith("the source seal.yaml is not the one its content names")


def test_a_source_beside_the_approved_ones_is_reported(writer: Writer) -> None:
    forge(writer, files={f"{SOURCES}more.yaml": b"process: other\n"})
    assert messages(writer)[0].endswith("the source more.yaml is not the one its content names")


def test_the_content_of_another_revision_is_reported(writer: Writer) -> None:
    content = content_of("PD-1", "-")
    forge(
        writer,
        record=lambda record: replace(record, content_sha512=sha512(content)),
        files={CONTENT: content},
    )
    assert messages(writer)[0].endswith("its content is PD-1 revision -")


def test_a_record_with_the_key_of_the_forger_is_reported(writer: Writer) -> None:
    record = writer.approve("PD-1", "A", key_number=2)
    forge(writer, record=lambda r: replace(r, approvers=(signer(2),)), approvals=(record,))
    assert messages(writer)[0].endswith("its rules for signatures are not those of the plant file")


def test_a_record_that_says_signatures_are_not_required_is_reported(writer: Writer) -> None:
    forge(writer, record=lambda r: replace(r, signatures="unsigned"))
    assert "rules for signatures" in messages(writer)[0]


def test_an_approval_that_the_plant_wants_and_the_release_lacks_is_reported(
    writer: Writer,
) -> None:
    plain = parse_object(content_of("PD-1", "A"))
    release = {"signatures": "required", "approvers": [approver(signer())]}
    plain["meaning"] = {"plant": {"approvals": ["quality"], "release": release}}
    content = canonical_json(plain)
    forge(
        writer,
        record=lambda record: replace(record, content_sha512=sha512(content)),
        files={CONTENT: content},
    )
    assert messages(writer)[0].endswith("it lacks the approval by the role quality")


@pytest.mark.parametrize("previous", ["", "C"])
def test_a_revision_that_does_not_follow_the_last_one_is_reported(
    writer: Writer, previous: str
) -> None:
    forge(writer, record=lambda record: replace(record, previous=previous))
    assert messages(writer)[0].endswith(f"it follows {previous}, the last one released is -")


def test_a_revision_released_twice_is_reported(writer: Writer) -> None:
    forge(writer, "-")
    rules = {finding.rule for finding in verify_archive(writer.root)}
    assert "archive.released-twice" in rules


def test_an_approval_dated_after_the_release_is_reported(writer: Writer) -> None:
    later = sign(approval("PD-1", "A", content_of("PD-1", "A"), "2026-01-15T09:30:01Z"))
    forge(writer, approvals=(later,))
    assert any("is dated after the release" in message for message in messages(writer))


def statement(action: str, revision: str = "-", **more: str) -> Statement:
    made = approval("PD-1", revision, content_of("PD-1", revision))
    return replace(made, action=action, **more)


def withdraw(writer: Writer, record: Record, more: dict[str, bytes]) -> None:
    with writer.archive.change(CONTROLLER, START) as change:
        paths = writer.archive.files("PD-1", 1)
        files = {name: path.read_bytes() for name, path in paths.items()}
        files |= {"withdrawal.json": record.text(), **more}
        subject = ("PD-1", record.statement.revision)
        event = Event("withdraw", "", *subject, "", "", record.details())
        change.add_version(event, "PD-1", NewVersion(files, "withdrawal.json", 1, "gone"))


def test_a_withdrawal_without_the_signature_that_is_required_is_reported(writer: Writer) -> None:
    withdraw(writer, Record(statement("withdraw")), {})
    assert messages(writer)[0].endswith("the withdrawal of Q. Example is not signed")


def test_a_withdrawal_by_another_key_is_reported(writer: Writer) -> None:
    withdraw(writer, sign(statement("withdraw"), 2), {})
    assert messages(writer)[0].endswith("is not a known one")


def test_a_withdrawal_that_changes_the_files_is_reported(writer: Writer) -> None:
    withdraw(writer, sign(statement("withdraw")), {"documents/x.pdf": b"other"})
    assert messages(writer)[0].endswith("its files are not those of the revision it withdraws")


def test_a_sound_withdrawal_passes(writer: Writer) -> None:
    withdraw(writer, sign(statement("withdraw")), {})
    assert messages(writer) == []


@pytest.mark.parametrize(
    ("record", "said"),
    [
        (sign(statement("review", review_due="2027-01-15")), ""),
        (sign(statement("review"), 2), "is not a known one"),
        (Record(statement("review")), "the review of Q. Example is not signed"),
        (sign(statement("review", "A")), "no sound release stands behind it"),
        (sign(statement("review", time="2026-01-15T09:30:01Z")), "is dated after its entry"),
    ],
)
def test_a_review_counts_only_if_its_signature_does(
    writer: Writer, record: Record, said: str
) -> None:
    with writer.archive.change(CONTROLLER, START) as change:
        writer.add_statement(change, record)
    found = messages(writer)
    assert len(found) == bool(said)
    assert all(message.endswith(said) for message in found)


def test_the_day_of_the_next_review_is_under_the_signature(writer: Writer) -> None:
    record = sign(statement("review", review_due="2027-01-15"))
    with writer.archive.change(CONTROLLER, START) as change:
        writer.add_statement(change, record)
    rewrite_last_entry(
        writer.root, lambda e: replace(e, details={**e.details, "review_due": "2099-01-15"})
    )
    assert messages(writer)[0].endswith("the ledger tells of another `review_due` than the record")


def test_a_folder_exchanged_for_a_link_is_reported(writer: Writer, tmp_path: Path) -> None:
    folder = writer.root / object_place("PD-1") / "v1"
    shutil.move(folder, tmp_path / "elsewhere")
    folder.symlink_to(tmp_path / "elsewhere")
    assert "archive.file-added" in {finding.rule for finding in verify_archive(writer.root)}


def test_an_older_copy_of_the_archive_is_sound_in_itself(writer: Writer, tmp_path: Path) -> None:
    """Nothing inside can show that the end is missing; a head noted elsewhere does."""
    older = shutil.copytree(writer.root, tmp_path / "older")
    writer.release("PD-1", "A")
    noted = writer.archive.entries()[-1].sha256
    assert verify_archive(older) == ()
    assert noted not in {entry.sha256 for entry in Writer(older).archive.entries()}
