"""A printed copy is judged, a document withdrawn and reviewed, and the register tells."""

from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from speccomp.archive.errors import ArchiveDamaged
from speccomp.archive.opening import open_archive
from speccomp.archive.verify import verify_archive
from speccomp.documents.register import cells
from speccomp.model.issue import SheetCode, parse_sheet_code
from speccomp.release import ending
from speccomp.release.ending import Declaration, review, withdraw
from speccomp.release.history import read_documents
from speccomp.release.refusal import Refused
from speccomp.release.register import build_periods, build_register
from speccomp.release.signing import Signing
from speccomp.release.site import build_site
from speccomp.release.uses import find_uses
from speccomp.release.verifying import Verdict, judge_copy
from speccomp.render.files import write_folder
from tests.release.plant import QUALITY, RELEASED, Works

pytestmark = pytest.mark.usefixtures("quick")
DAY = timedelta(days=1)
UNSIGNED = "; its approvals are unsigned"


@pytest.fixture
def digests(works: Works) -> list[str]:
    """Release A at once, and B from the 1st of May on; return the digests of their contents."""
    works.approve()
    first = works.release().record.content_sha512
    works.next_revision("B", "A")
    works.approve(at=RELEASED + DAY)
    second = works.release(at=RELEASED + DAY, effective=date(2026, 5, 1)).record.content_sha512
    return [first, second]


APRIL, MAY = datetime(2026, 4, 1, tzinfo=UTC), datetime(2026, 5, 2, tzinfo=UTC)


def verdict(works: Works, revision: str, digest: str, at: datetime, number: str = "PD-100") -> str:
    """Judge a copy; what is known of the archive says that its approvals are unsigned."""
    judged = judge_copy(works.archive, SheetCode(number, revision, digest), at)
    known = judged.verdict not in (Verdict.UNKNOWN, Verdict.FORGED)
    assert judged.sentence.endswith(UNSIGNED) == known
    return f"{judged.verdict}: {judged.sentence.removesuffix(UNSIGNED)}"


def test_a_copy_is_judged_as_of_an_instant(works: Works, digests: list[str]) -> None:
    first, second = digests
    assert verdict(works, "A", first[:12], APRIL) == (
        "current: PD-100 revision A is in force since 2026-03-03"
    )
    assert verdict(works, "B", second, APRIL) == (
        "not yet in force: PD-100 revision B is in force from 2026-05-01 on, not yet"
    )
    assert verdict(works, "A", first, MAY) == (
        "superseded: PD-100 revision A was superseded on 2026-04-30T22:00:00Z by revision B; "
        "in force is revision B"
    )
    assert verdict(works, "B", second, MAY).startswith("current: ")


def test_what_was_never_released_is_unknown_and_another_digest_forged(
    works: Works, digests: list[str]
) -> None:
    assert verdict(works, "C", digests[0], MAY) == "unknown: PD-100 revision C was never released"
    assert verdict(works, "A", digests[0], MAY, "PD-9") == (
        "unknown: the archive holds no document PD-9"
    )
    assert verdict(works, "A", digests[1], MAY).startswith("forged: ")
    assert verdict(works, "A", digests[0], RELEASED - DAY).startswith("unknown: ")


def test_a_withdrawn_copy_is_withdrawn_and_nothing_comes_back(
    works: Works, digests: list[str]
) -> None:
    declared = Declaration("PD-100", QUALITY, "quality-engineer", MAY, "the part is not made")
    withdraw(works.archive, declared, "", Signing())
    later = MAY + DAY
    assert verdict(works, "B", digests[1], later) == (
        "withdrawn: PD-100 revision B was withdrawn on 2026-05-02T00:00:00Z: the part is not made"
    )
    assert verdict(works, "B", digests[1], MAY - DAY / 2).startswith("current: ")
    assert verdict(works, "A", digests[0], later).endswith("no revision is in force")
    assert verify_archive(works.archive) == ()
    with pytest.raises(Refused, match="no revision of PD-100 is in force"):
        withdraw(works.archive, declared, "", Signing())
    with pytest.raises(Refused, match="already withdrawn"):
        withdraw(works.archive, declared, "B", Signing())


def test_after_a_withdrawal_the_next_revision_can_be_released(
    works: Works, digests: list[str]
) -> None:
    declared = Declaration("PD-100", QUALITY, "quality-engineer", MAY, "the part is not made")
    withdraw(works.archive, declared, "", Signing())
    works.next_revision("C", "B")
    works.approve(at=MAY + DAY)
    works.release(at=MAY + DAY)
    assert build_register(open_archive(works.archive), MAY + 2 * DAY).rows[0].revision == "C"
    assert digests


def test_the_register_tells_what_is_in_force(works: Works, digests: list[str]) -> None:
    archive = open_archive(works.archive)
    (row,) = build_register(archive, APRIL).rows
    assert cells(row) == (
        "PD-100",
        "Seal the end of a tubular heater",
        "A",
        "in force",
        "2026-03-03",
        "2026-03-03",
        "unsigned",
        "B from 2026-05-01",
        "2028-03-03",
    )
    (row,) = build_register(archive, MAY).rows
    assert (row.revision, row.pending) == ("B", "")
    assert build_register(archive, RELEASED - DAY).rows == ()
    assert build_register(archive, datetime(2028, 3, 5, tzinfo=UTC)).rows[0].overdue
    assert digests


def test_a_review_moves_the_day_of_the_next(works: Works, digests: list[str]) -> None:
    declared = Declaration("PD-100", QUALITY, "quality-engineer", MAY, "still right")
    assert review(works.archive, declared, None, Signing()) == date(2028, 5, 2)
    assert build_register(open_archive(works.archive), MAY).rows[0].due == "2028-05-02"
    assert build_register(open_archive(works.archive), MAY - DAY / 2).rows[0].due == "2028-03-04"
    assert verify_archive(works.archive) == ()
    with pytest.raises(Refused, match="is not after this one"):
        review(works.archive, declared, date(2026, 5, 1), Signing())
    assert digests


def test_the_periods_tell_what_was_in_force_on_a_day(works: Works, digests: list[str]) -> None:
    documents = read_documents(open_archive(works.archive)).values()

    def periods(at: datetime) -> list[tuple[str, str, str]]:
        return [(p.revision, p.since, p.until) for p in build_periods(documents, at)]

    assert periods(APRIL) == [("A", "2026-03-03", ""), ("B", "2026-05-01", "")]
    assert periods(MAY) == [("A", "2026-03-03", "2026-05-01"), ("B", "2026-05-01", "")]
    assert periods(RELEASED - DAY) == []
    declared = Declaration("PD-100", QUALITY, "quality-engineer", MAY, "the part is not made")
    withdraw(works.archive, declared, "", Signing())
    documents = read_documents(open_archive(works.archive)).values()
    assert periods(MAY)[1] == ("B", "2026-05-01", "2026-05-02")
    assert digests


def test_a_revision_that_never_came_into_force_has_no_period(works: Works) -> None:
    works.approve()
    works.release(effective=date(2026, 6, 1))
    works.next_revision("B", "A")
    works.approve(at=RELEASED + DAY)
    works.release(at=RELEASED + DAY, effective=date(2026, 5, 1))
    documents = read_documents(open_archive(works.archive)).values()
    (first, second) = build_periods(documents, MAY)
    assert (first.since, first.until, first.status) == (
        "", "", "superseded before it came into force",
    )  # fmt: skip
    assert second.since == "2026-05-01"


def test_two_cannot_withdraw_or_review_the_same_past_each_other(
    works: Works, digests: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second one is refused although it looked at the archive before the first wrote."""
    declared = Declaration("PD-100", QUALITY, "quality-engineer", MAY, "the part is not made")
    real = ending._sign

    def sign_slowly(*arguments: object) -> object:
        monkeypatch.setattr(ending, "_sign", real)
        withdraw(works.archive, declared, "", Signing())
        return real(*arguments)  # type: ignore[arg-type]

    monkeypatch.setattr(ending, "_sign", sign_slowly)
    with pytest.raises(Refused, match="already withdrawn"):
        withdraw(works.archive, declared, "", Signing())
    assert verify_archive(works.archive) == ()
    assert digests


def test_nothing_is_withdrawn_before_it_was_released(works: Works, digests: list[str]) -> None:
    early = Declaration("PD-100", QUALITY, "quality-engineer", RELEASED - DAY, "never made")
    with pytest.raises(Refused, match="was not released before 2026-03-03T09:00:00Z"):
        withdraw(works.archive, early, "A", Signing())
    assert digests


def test_where_things_are_used_and_whom_a_change_affects(works: Works, digests: list[str]) -> None:
    import hashlib

    card = works.project / "powder.yaml"
    documents = read_documents(open_archive(works.archive)).values()

    def used(name: str, data: bytes = b"") -> list[tuple[str, str, str]]:
        digest = hashlib.sha256(data).hexdigest() if data else ""
        rows = find_uses(documents, APRIL, name, digest)
        return [(row.revision, row.kind, row.changed) for row in rows]

    assert used("powder.yaml", card.read_bytes()) == [
        ("A", "material", "as it is now"),
        ("B", "material", "as it is now"),
    ]
    assert used("powder.yaml", b"changed") == [
        ("A", "material", "changed since"),
        ("B", "material", "changed since"),
    ]
    assert used("powder") == [("A", "material", ""), ("B", "material", "")]
    assert used("oven") == [("A", "equipment", ""), ("B", "equipment", "")]
    assert used("owder.yaml") == []
    assert digests


def test_the_site_holds_a_page_for_each_document_and_its_files(
    works: Works, digests: list[str]
) -> None:
    files = build_site(open_archive(works.archive), MAY)
    assert {"index.html", "documents/PD-100.html", "files/PD-100/A/work-instruction.html"} <= set(
        files
    )
    page = files["documents/PD-100.html"].decode()
    assert "In force: revision B since 2026-05-01" in page
    assert "unsigned" in page
    assert "Rim wiped twice" in page
    assert 'href="../files/PD-100/B/comparison.html">Comparison with revision A' in page
    report = files["files/PD-100/B/comparison.html"].decode()
    assert "Rim wiped twice" in report
    assert str(works.root) not in report
    assert "files/PD-100/A/comparison.html" not in files
    for name in ("index", "periods", "uses"):
        assert "unsigned" in files[f"{name}.html"].decode() or name == "uses"
    for text in (page, *(files[f"{name}.html"].decode() for name in ("index", "periods", "uses"))):
        assert "http://" not in text
        assert "https://" not in text.replace("https://register.invalid/", "")
    assert all(digest in files["index.html"].decode() for digest in digests)


@pytest.mark.parametrize(
    "text",
    [
        "PD-100 A 0123456789ab",
        "PD-100/A/0123456789AB",
        "https://register.invalid/#PD-100/A/0123456789ab",
        "  PD-100  A  0123456789ab ",
    ],
)
def test_a_code_is_read_scanned_or_typed(text: str) -> None:
    assert parse_sheet_code(text) == SheetCode("PD-100", "A", "0123456789ab")


def test_a_code_survives_odd_numbers() -> None:
    code = SheetCode("PD 1/2#x", "-", "ab" * 64)
    assert parse_sheet_code(code.text("https://register.invalid/")) == code
    assert parse_sheet_code(code.text()) == code


@pytest.mark.parametrize("text", ["", "PD-100", "PD-100 A", "PD-100 A 0123", "PD-100 A xyz" * 4])
def test_what_is_no_code_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        parse_sheet_code(text)


def test_every_verdict_has_been_seen() -> None:
    assert {verdict.value for verdict in Verdict} == {
        "current", "not yet in force", "superseded", "withdrawn", "unknown", "forged",
    }  # fmt: skip


def test_a_site_with_a_damaged_document_is_not_written(
    works: Works, digests: list[str], tmp_path: Path
) -> None:
    archive = open_archive(works.archive)
    files = build_site(archive, MAY)
    assert len(list(files)) == len(files) == len(set(files))
    archive.files("PD-100", 1)["documents/work-instruction.html"].write_bytes(b"other")
    with pytest.raises(ArchiveDamaged, match="is not what was written to it"):
        write_folder(tmp_path / "site", files)
    assert not (tmp_path / "site").exists()
    assert digests
