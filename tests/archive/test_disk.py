"""A disk that is full or read-only, a busy archive, a folder that is none: clear errors."""

import os
import resource
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock

from speccomp.archive.errors import (
    ArchiveBusy,
    ArchiveDamaged,
    ArchiveError,
    ArchiveUnwritable,
    NotAnArchive,
    Overtaken,
)
from speccomp.archive.layout import ENTRIES, HEAD, LOCK
from speccomp.archive.opening import open_archive, start_archive
from speccomp.archive.store import Archive, object_place
from speccomp.archive.verify import verify_archive
from tests.archive.scenario import CONTROLLER, START, Writer

SIZE = 20_000


@pytest.fixture
def writer(memory: Path) -> Writer:
    writer = Writer(memory / "archive")
    writer.release("PD-1", "-", (writer.approve("PD-1", "-"),))
    return writer


def snapshot(root: Path) -> dict[str, bytes | None]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes() if path.is_file() else None
        for path in root.rglob("*")
    }


def in_child(work: Callable[[], None]) -> str:
    """Do something in a process of its own; return the message of its ArchiveError, or nothing."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            work()
            said = ""
        except ArchiveError as error:
            said = f"{type(error).__name__}: {error}"
        except BaseException as error:
            said = f"unexpected {error!r}"
        os.write(write, said.encode())
        os._exit(0)
    os.close(write)
    os.waitpid(child, 0)
    with os.fdopen(read, encoding="utf-8") as stream:
        return stream.read()


def release_with_large_file(writer: Writer, limit: int) -> None:
    def work() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        with writer.archive.change(CONTROLLER, START) as change:
            writer.add_release(change, "PD-1", "A", 1, (), {"documents/x.pdf": os.urandom(SIZE)})

    said = in_child(work)
    if limit > SIZE:
        assert said == ""
        return
    assert said.startswith("ArchiveUnwritable: ")
    assert said.endswith("file too large; nothing in it was changed")


def test_a_limit_on_the_size_of_files_leaves_the_archive_as_it_was(writer: Writer) -> None:
    before = snapshot(writer.root)
    ledger = (writer.root / ENTRIES).stat().st_size
    for limit in (0, 1, 100, 500, 1000, 2000, ledger - 1, ledger, ledger + 10, 5000, SIZE - 1):
        release_with_large_file(writer, limit)
        assert snapshot(writer.root) == before, limit
    release_with_large_file(writer, SIZE + 1)
    assert verify_archive(writer.root) == ()


def test_a_read_only_archive_is_left_alone(writer: Writer) -> None:
    before = snapshot(writer.root)
    for path in (writer.root, *writer.root.rglob("*")):
        path.chmod(0o555 if path.is_dir() else 0o444)

    def work() -> None:
        os.chdir(writer.root.parent)
        if os.getuid() == 0:  # permissions do not bind the superuser
            os.chmod(".", 0o755)  # noqa: PTH101  # the folder the process stands in
            os.setgid(65534)
            os.setuid(65534)
        archive = Archive(Path("archive"))
        assert verify_archive(Path("archive")) == ()
        assert len(archive.entries()) == 3
        with archive.change(CONTROLLER, START):
            raise AssertionError("it must not come to a change")

    try:
        said = in_child(work)
    finally:
        for path in (writer.root, *writer.root.rglob("*")):
            path.chmod(0o755 if path.is_dir() else 0o644)
    assert said == (
        "ArchiveUnwritable: the archive archive cannot be written to: permission denied; "
        "nothing in it was changed"
    )
    assert snapshot(writer.root) == before


def test_an_archive_in_use_makes_others_wait_and_then_give_up(writer: Writer) -> None:
    refused = pytest.raises(ArchiveBusy, match="somebody else has been writing")
    taking = writer.archive.change(CONTROLLER, START, wait=0.1)
    with FileLock(writer.root / LOCK), refused, taking:
        pass


def test_nothing_is_added_to_a_damaged_ledger(writer: Writer) -> None:
    (writer.root / HEAD).write_bytes(b"{}\n")
    before = snapshot(writer.root)
    with pytest.raises(ArchiveDamaged, match="does not name the last entry"):
        writer.release("PD-1", "A")
    assert snapshot(writer.root) == before


def test_nothing_is_added_to_a_damaged_object(writer: Writer) -> None:
    path = writer.root / object_place("PD-1") / "inventory.json"
    path.write_bytes(path.read_bytes().replace(b"first issue", b"FIRST issue"))
    before = snapshot(writer.root)
    with pytest.raises(ArchiveDamaged, match="the inventory of PD-1 is not the one"):
        writer.release("PD-1", "A")
    assert snapshot(writer.root) == before


def test_a_damaged_file_is_not_handed_out(writer: Writer) -> None:
    path = writer.archive.files("PD-1", 1)["content.json"]
    path.write_bytes(b"other")
    with pytest.raises(ArchiveDamaged, match="is not what was written to it"):
        writer.archive.read("PD-1", 1, "content.json")
    with pytest.raises(ArchiveDamaged, match="holds no `other`"):
        writer.archive.read("PD-1", 1, "other")
    with pytest.raises(ArchiveDamaged, match="no version 2 of PD-1"):
        writer.archive.read("PD-1", 2, "content.json")


def test_a_version_somebody_else_has_made_is_not_made_again(writer: Writer) -> None:
    early = pytest.raises(Overtaken, match="PD-1 has 1 versions, not 0")
    with writer.archive.change(CONTROLLER, START) as change, early:
        writer.add_release(change, "PD-1", "-", 0)
    with pytest.raises(Overtaken, match="already stated exactly this"):
        writer.approve("PD-1", "-")


def test_a_folder_that_is_no_archive_is_not_taken_for_one(tmp_path: Path) -> None:
    (tmp_path / "thesis.txt").write_text("x", encoding="utf-8")
    for opener in (open_archive, lambda root: start_archive(root, CONTROLLER, START)):
        with pytest.raises(NotAnArchive, match="is no archive"):
            opener(tmp_path)
    with pytest.raises(NotAnArchive, match="does not exist"):
        open_archive(tmp_path / "missing")
    with pytest.raises(ArchiveUnwritable, match="no archive can be started"):
        start_archive(tmp_path / "thesis.txt" / "archive", CONTROLLER, START)


def test_time_in_the_ledger_never_goes_back(writer: Writer) -> None:
    with writer.archive.change(CONTROLLER, "2020-01-01T00:00:00Z") as change:
        assert change.time == START
