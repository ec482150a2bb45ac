"""Whatever is changed in an archive by hand, `verify` reports it."""

import os
import shutil
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from filelock import FileLock

from speccomp.archive.layout import ENTRIES, HEAD, LOCK, STAGING
from speccomp.archive.ledger import Event, entry_line, head_text, parse_line
from speccomp.archive.store import object_place
from speccomp.archive.verify import verify_archive, verify_settled
from tests.archive.scenario import CONTROLLER, Writer, approval, content_of, sign

SHARDS = 4


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("verify") / "archive"
    writer = Writer(root)
    writer.release("PD-1", "-", (writer.approve("PD-1", "-"),))
    writer.release("PD-1", "A")
    writer.withdraw("PD-1", "A")
    return root


@pytest.fixture
def copy(archive: Path, memory: Path) -> Path:
    return shutil.copytree(archive, memory / "archive")


def files_of(root: Path) -> list[Path]:
    return sorted(path for path in root.rglob("*") if path.is_file())


def rules(root: Path) -> set[str]:
    return {finding.rule.removeprefix("archive.") for finding in verify_archive(root)}


def test_an_untouched_archive_passes(archive: Path) -> None:
    assert verify_archive(archive) == ()
    assert verify_archive(archive, "PD-1") == ()


@pytest.mark.parametrize("shard", range(SHARDS))
def test_every_single_byte_change_is_reported(shard: int, memory: Path) -> None:
    root = memory / "archive"
    writer = Writer(root)
    writer.release("PD-1", "-", (writer.approve("PD-1", "-"),))
    writer.release("PD-1", "A")
    assert verify_archive(root) == ()
    missed = [place for place in changed_bytes(root, shard) if not verify_archive(root)]
    assert missed == []
    assert verify_archive(root) == ()


def changed_bytes(root: Path, shard: int) -> Iterator[tuple[Path, int]]:
    """Change each byte of each file in turn, one shard of them, and put it back afterwards."""
    for path in files_of(root):
        data = path.read_bytes()
        with path.open("r+b", buffering=0) as stream:
            for place in range(shard, len(data), SHARDS):
                os.pwrite(stream.fileno(), bytes([data[place] ^ 1]), place)
                yield path, place
                os.pwrite(stream.fileno(), data[place : place + 1], place)


def test_every_cut_or_lengthened_file_is_reported(copy: Path) -> None:
    for path in files_of(copy):
        data = path.read_bytes()
        for other in (data[:-1], data + b"\n", data + b"x", b""):
            if other != data:
                path.write_bytes(other)
                assert verify_archive(copy), f"{path}: {other[-20:]!r}"
        path.write_bytes(data)
    assert verify_archive(copy) == ()


def test_every_removed_file_is_reported(copy: Path) -> None:
    for path in files_of(copy):
        data = path.read_bytes()
        path.unlink()
        assert verify_archive(copy), path
        path.write_bytes(data)


def test_a_file_added_anywhere_is_reported(copy: Path) -> None:
    for folder in sorted(path for path in (copy, *copy.rglob("*")) if path.is_dir()):
        added = folder / "added.txt"
        added.write_text("x", encoding="utf-8")
        assert "file-added" in rules(copy), folder
        added.unlink()
        added.mkdir()
        assert "folder-added" in rules(copy), folder
        added.rmdir()


def test_any_two_swapped_files_are_reported(copy: Path) -> None:
    paths = files_of(copy)
    for index, first in enumerate(paths):
        for second in paths[index + 1 :]:
            one, other = first.read_bytes(), second.read_bytes()
            if one == other:
                continue
            first.write_bytes(other)
            second.write_bytes(one)
            assert verify_archive(copy), (first, second)
            first.write_bytes(one)
            second.write_bytes(other)


def test_a_file_exchanged_for_a_link_is_reported(copy: Path, tmp_path: Path) -> None:
    path = copy / object_place("PD-1") / "v1/content/release.json"
    shutil.move(path, tmp_path / "elsewhere")
    path.symlink_to(tmp_path / "elsewhere")
    assert "not-a-file" in rules(copy)


def test_what_somebody_is_writing_is_not_held_against_the_archive(copy: Path) -> None:
    lock, taken = FileLock(copy / LOCK), threading.Event()

    def write() -> None:
        with lock:
            (copy / STAGING).mkdir()
            taken.set()
            time.sleep(0.3)
            (copy / STAGING).rmdir()

    writing = threading.Thread(target=write)
    writing.start()
    taken.wait()
    assert rules(copy) == {"interrupted"}
    assert verify_settled(copy) == ()
    writing.join()


def test_a_lock_that_holds_something_is_reported_and_left(copy: Path) -> None:
    (copy / LOCK).write_bytes(b"x")
    assert [finding.span.file for finding in verify_settled(copy)] == [LOCK]
    (copy / LOCK).unlink()
    assert [finding.span.file for finding in verify_settled(copy)] == [LOCK]
    assert not (copy / LOCK).exists()


def lines_of(root: Path) -> list[bytes]:
    return (root / ENTRIES).read_bytes().splitlines()


def write_lines(root: Path, lines: list[bytes], *, head: bool = True) -> None:
    (root / ENTRIES).write_bytes(b"".join(line + b"\n" for line in lines))
    if head:
        last = parse_line(lines[-1])
        (root / HEAD).write_bytes(head_text(last.seq, last.sha256))


def test_a_ledger_with_an_entry_dropped_edited_or_moved_is_reported(copy: Path) -> None:
    lines = lines_of(copy)
    for place in range(len(lines)):
        write_lines(copy, lines[:place] + lines[place + 1 :])
        assert rules(copy), f"dropped {place}"
        write_lines(
            copy, [*lines[:place], lines[place].replace(b'"R. ', b'"S. '), *lines[place + 1 :]]
        )
        assert rules(copy), f"edited {place}"
    for place in range(len(lines) - 1):
        moved = list(lines)
        moved[place : place + 2] = reversed(moved[place : place + 2])
        write_lines(copy, moved)
        assert {"ledger-order", "ledger-chain"} <= rules(copy), f"moved {place}"
    write_lines(copy, lines)
    assert rules(copy) == set()


def test_a_dropped_last_entry_is_reported_even_with_a_forged_head(copy: Path) -> None:
    # The chain alone still holds; the version it no longer tells of gives it away.
    write_lines(copy, lines_of(copy)[:-1])
    assert "file-added" in rules(copy)


def test_a_ledger_written_anew_contradicts_the_records(copy: Path) -> None:
    """Every line chained again after an edit: the releases repeat the head they followed."""
    previous, rewritten = "0" * 64, []
    for number, line in enumerate(lines_of(copy), 1):
        event = parse_line(line).event
        actor = "S. Other" if number == 2 else event.actor
        changed = Event(
            event.action,
            actor,
            event.object,
            event.revision,
            event.payload_sha256,
            event.time,
            event.details,
        )
        rewritten.append(entry_line(changed, number, previous))
        previous = parse_line(rewritten[-1]).sha256
    write_lines(copy, rewritten)
    assert rules(copy) == {"record-false"}


def test_an_approval_signed_by_another_key_is_reported(tmp_path: Path) -> None:
    writer = Writer(tmp_path / "archive")
    writer.release("PD-1", "-", (writer.approve("PD-1", "-", key_number=2),))
    found = verify_archive(tmp_path / "archive")
    assert [finding.rule for finding in found] == ["archive.record-false"]
    assert "is not a known one" in found[0].message


def test_an_approval_of_another_revision_is_reported(tmp_path: Path) -> None:
    # A valid signature of one revision, attached to another.
    writer = Writer(tmp_path / "archive")
    record = writer.approve("PD-1", "-")
    writer.release("PD-1", "-", (record,))
    writer.release("PD-1", "A", (record,))
    found = verify_archive(tmp_path / "archive")
    assert [finding.message.split(": ")[1] for finding in found] == [
        "the approval of Q. Example is about another content"
    ]


def test_an_approval_the_ledger_does_not_know_is_reported(tmp_path: Path) -> None:
    writer = Writer(tmp_path / "archive")
    record = sign(approval("PD-1", "-", content_of("PD-1", "-")))
    writer.release("PD-1", "-", (record,))
    found = verify_archive(tmp_path / "archive")
    assert "the ledger does not tell of the approval" in found[0].message


def test_a_statement_whose_signature_does_not_fit_is_reported(tmp_path: Path) -> None:
    writer = Writer(tmp_path / "archive")
    right = sign(approval("PD-1", "-", content_of("PD-1", "-")))
    other = sign(approval("PD-1", "A", content_of("PD-1", "A")))
    with writer.archive.change(CONTROLLER, writer.time) as change:
        writer.add_statement(change, replace(right, signature=other.signature))
    assert rules(tmp_path / "archive") == {"statement"}


def test_verifying_one_document_finds_what_is_wrong_with_it(copy: Path) -> None:
    (copy / object_place("PD-1") / "v2" / "stray").write_bytes(b"")
    assert {f.rule for f in verify_archive(copy, "PD-1")} == {"archive.file-added"}
    assert {f.rule for f in verify_archive(copy, "PD-9")} == {"archive.unknown-document"}
