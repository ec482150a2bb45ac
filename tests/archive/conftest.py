"""Folders for tests that write many files."""

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest


@pytest.fixture
def memory(tmp_path: Path) -> Iterator[Path]:
    """Return a folder in memory where there is one: waiting for a disk shows nothing more."""
    shared = Path("/dev/shm")
    folder = Path(tempfile.mkdtemp(dir=shared if shared.is_dir() else tmp_path))
    yield folder
    shutil.rmtree(folder)
