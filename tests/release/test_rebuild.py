"""A release that was not made from its sources does not come out again."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta

import pytest

from speccomp.archive.opening import open_archive
from speccomp.archive.verify import verify_archive
from speccomp.model.issue import Issue
from speccomp.release import releasing, verifying
from speccomp.release.previous import Compared
from speccomp.release.verifying import rebuild
from tests.release.plant import RELEASED, Works

pytestmark = pytest.mark.usefixtures("quick")
LATER = RELEASED + timedelta(days=1)


@pytest.fixture
def works(works: Works, monkeypatch: pytest.MonkeyPatch) -> Works:
    """Release A; whatever is compiled for the comparison is HTML only, like what is released."""
    monkeypatch.setattr(verifying, "compile_documents", releasing.compile_documents)
    works.approve()
    works.release()
    works.next_revision("B", "A")
    works.approve(at=LATER)
    return works


def differing(works: Works) -> tuple[str, ...]:
    """Release B, and compile it again; by itself the archive is sound."""
    works.release(at=LATER)
    assert verify_archive(works.archive) == ()
    return rebuild(open_archive(works.archive), "PD-100", "B")


def test_what_was_made_from_its_sources_comes_out_again(works: Works) -> None:
    assert differing(works) == ()
    assert rebuild(open_archive(works.archive), "PD-100", "A") == ()


def test_a_document_exchanged_for_another_is_named(
    works: Works, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = releasing.compile_documents

    def other(checked: object, formats: object, issue: object) -> Mapping[str, bytes]:
        made = real(checked, formats, issue)  # type: ignore[arg-type]
        return {**made, "work-instruction.html": made["control-plan.html"], "more.html": b""}

    monkeypatch.setattr(releasing, "compile_documents", other)
    assert differing(works) == ("documents/more.html", "documents/work-instruction.html")


def test_another_comparison_is_named(works: Works, monkeypatch: pytest.MonkeyPatch) -> None:
    real = releasing.compare_with

    def other(*arguments: object) -> Compared:
        return replace(real(*arguments), changes=(), page=b"nothing")  # type: ignore[arg-type]

    monkeypatch.setattr(releasing, "compare_with", other)
    assert differing(works) == ("comparison.html", "comparison.json")


def test_another_day_on_the_documents_is_named(
    works: Works, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = releasing._issue

    def other(prepared: releasing.Prepared) -> Issue:
        return replace(real(prepared), effective_from=date(2026, 1, 1))

    monkeypatch.setattr(releasing, "_issue", other)
    assert differing(works) == ("issue.json",)
