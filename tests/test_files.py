"""A document's folder holds all of its files or none of them."""

from pathlib import Path

import pytest

from speccomp.render.files import DiskError, write_folder


def test_a_folder_is_replaced_as_a_whole(tmp_path: Path) -> None:
    target = tmp_path / "PD-1" / "A"
    write_folder(target, {"a.html": b"one", "old.csv": b"x"})
    write_folder(target, {"a.html": b"two"})
    assert {p.name: p.read_bytes() for p in target.iterdir()} == {"a.html": b"two"}
    assert [p.name for p in target.parent.iterdir()] == ["A"]


def test_a_failure_leaves_the_old_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "A"
    write_folder(target, {"a.html": b"one"})
    whole = Path.write_bytes
    written: list[Path] = []

    def full(self: Path, data: bytes) -> int:
        if written:
            raise OSError(28, "No space left on device")
        written.append(self)
        return whole(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(DiskError, match=r"cannot write .*A: No space left on device"):
        write_folder(target, {"a.html": b"two", "b.html": b"two"})
    assert {p.name: p.read_bytes() for p in target.iterdir()} == {"a.html": b"one"}
    assert [p.name for p in tmp_path.iterdir()] == ["A"]


def test_a_failed_exchange_brings_the_old_folder_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "A"
    write_folder(target, {"a.html": b"one"})
    rename = Path.replace

    def refuse(self: Path, other: Path) -> Path:
        if self.name.startswith(".A-") and not self.name.endswith(".old"):
            raise OSError(13, "Permission denied")
        return rename(self, other)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(DiskError, match="Permission denied"):
        write_folder(target, {"a.html": b"two"})
    assert (target / "a.html").read_bytes() == b"one"


def test_a_file_in_place_of_the_folder_is_a_clear_error(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("in the way")
    with pytest.raises(DiskError, match="cannot write"):
        write_folder(tmp_path / "out" / "PD-1", {"a.html": b"one"})
