"""A document's folder holds all of its files or none of them, and keeps those of others."""

import subprocess
import sys
from pathlib import Path

import pytest

from speccomp.render import files as files_module
from speccomp.render.files import DiskError, write_file, write_folder

ROOT = Path(__file__).resolve().parent.parent


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_a_folder_appears_with_all_its_files_and_nothing_else(tmp_path: Path) -> None:
    target = tmp_path / "PD-1" / "A"
    write_folder(target, {"a.html": b"one", "deep/b.csv": b"x"})
    assert contents(tmp_path) == {"PD-1/A/a.html": b"one", "PD-1/A/deep/b.csv": b"x"}
    assert target.stat().st_mode & 0o777 == 0o755
    assert (target / "a.html").stat().st_mode & 0o777 == 0o644


def test_files_of_others_stay(tmp_path: Path) -> None:
    target = tmp_path / "A"
    write_folder(target, {"a.html": b"one", "old.csv": b"x"})
    (target / "notes.txt").write_bytes(b"signed off by the shift")
    (target / "photos").mkdir()
    (target / "photos" / "1.jpg").write_bytes(b"\xff")
    write_folder(target, {"a.html": b"two"}, gone={"old.csv", "never-there.pdf"})
    assert contents(tmp_path) == {
        "A/a.html": b"two",
        "A/notes.txt": b"signed off by the shift",
        "A/photos/1.jpg": b"\xff",
    }
    assert [path.name for path in target.iterdir() if path.name.startswith(".")] == []


def test_a_full_disk_leaves_the_old_files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "A"
    write_folder(target, {"a.html": b"one"})
    write = files_module._write

    def full(path: Path, data: bytes) -> None:
        if path.name == "b.html":
            write(path, data[:1])
            raise OSError(28, "No space left on device")
        write(path, data)

    monkeypatch.setattr(files_module, "_write", full)
    with pytest.raises(DiskError, match=r"cannot write .*A: No space left on device"):
        write_folder(target, {"a.html": b"two", "b.html": b"two"})
    with pytest.raises(DiskError, match="No space left on device"):
        write_folder(tmp_path / "B", {"a.html": b"two", "b.html": b"two"})
    assert contents(tmp_path) == {"A/a.html": b"one"}
    assert [path.name for path in tmp_path.iterdir()] == ["A"]


@pytest.mark.parametrize("stop", [OSError(13, "Permission denied"), KeyboardInterrupt()])
@pytest.mark.parametrize("nth", range(5))
def test_an_exchange_that_stops_brings_the_old_files_back(
    nth: int, stop: BaseException, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "A"
    before = {"a.html": b"one", "b.html": b"one", "c.csv": b"one"}
    write_folder(target, before)
    rename, count = Path.replace, 0

    def refuse(self: Path, other: Path) -> Path:
        nonlocal count
        count += 1
        if count == nth + 1:
            raise stop
        return rename(self, other)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises((DiskError, KeyboardInterrupt)):
        write_folder(target, {"a.html": b"two", "b.html": b"two"}, gone={"c.csv"})
    monkeypatch.undo()
    assert contents(target) == before


@pytest.mark.parametrize("nth", range(4))
def test_a_killed_program_leaves_files_of_one_time_only(nth: int, tmp_path: Path) -> None:
    target = tmp_path / "A"
    write_folder(target, {"a.html": b"one", "b.html": b"one"})
    script = f"""
import os
from pathlib import Path
from speccomp.render.files import write_folder
rename, count = Path.replace, 0
def killed(self, other):
    global count
    if count == {nth}:
        os._exit(9)
    count += 1
    return rename(self, other)
Path.replace = killed
write_folder(Path({str(target)!r}), {{"a.html": b"two", "b.html": b"two"}})
"""
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, check=False)
    assert done.returncode == 9
    seen = {path.name: path.read_bytes() for path in target.iterdir() if path.is_file()}
    assert len(set(seen.values())) <= 1
    write_folder(target, {"a.html": b"three"})
    assert (target / "a.html").read_bytes() == b"three"
    assert not list(target.glob(".*"))


@pytest.mark.parametrize("place", ["out", "out/PD-1", "out/PD-1/A"])
def test_a_file_in_place_of_the_folder_is_a_clear_error(place: str, tmp_path: Path) -> None:
    taken = tmp_path / place
    taken.parent.mkdir(parents=True, exist_ok=True)
    taken.write_text("mine")
    message = f"a file stands where the folder {taken} should be; move it away"
    with pytest.raises(DiskError, match=message):
        write_folder(tmp_path / "out" / "PD-1" / "A", {"a.html": b"one"})
    assert taken.read_text() == "mine"


def test_a_folder_in_place_of_a_file_is_a_clear_error(tmp_path: Path) -> None:
    (tmp_path / "A" / "a.html" / "mine").mkdir(parents=True)
    with pytest.raises(DiskError, match=r"a folder stands where the file a\.html should be"):
        write_folder(tmp_path / "A", {"a.html": b"one"})
    assert (tmp_path / "A" / "a.html" / "mine").is_dir()


def test_a_link_that_leads_nowhere_is_a_clear_error(tmp_path: Path) -> None:
    (tmp_path / "A").symlink_to(tmp_path / "none")
    with pytest.raises(DiskError, match="a link that leads nowhere stands where the folder"):
        write_folder(tmp_path / "A", {"a.html": b"one"})
    assert not (tmp_path / "none").exists()


def test_a_file_is_replaced_through_its_link(tmp_path: Path) -> None:
    (tmp_path / "kept.html").write_bytes(b"one")
    (tmp_path / "link.html").symlink_to("kept.html")
    write_file(tmp_path / "link.html", b"two")
    assert (tmp_path / "kept.html").read_bytes() == b"two"
    assert (tmp_path / "link.html").is_symlink()


def test_what_is_no_file_is_written_to_and_stays(tmp_path: Path) -> None:
    link = tmp_path / "null"
    link.symlink_to("/dev/null")
    write_file(link, b"two")
    assert Path("/dev/null").is_char_device()
    with pytest.raises(DiskError, match="Is a directory"):
        write_file(tmp_path, b"two")
