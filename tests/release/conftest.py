"""Documents are compiled once for all tests that only ask what is refused or shown."""

from pathlib import Path

import pytest

from speccomp.release import releasing
from tests.release.plant import Works


@pytest.fixture
def works(tmp_path: Path) -> Works:
    return Works(tmp_path)


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave out the making of PDF files where a test is not about the documents."""
    real = releasing.compile_documents

    def compile_html(checked: object, _formats: object, issue: object) -> dict[str, bytes]:
        return real(checked, [releasing.Format.HTML], issue)  # type: ignore[arg-type]

    monkeypatch.setattr(releasing, "compile_documents", compile_html)
