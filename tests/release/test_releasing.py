"""What a release refuses, each with its reason; and what it writes."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from speccomp import pipeline
from speccomp.archive.errors import SignatureFault
from speccomp.archive.opening import open_archive
from speccomp.archive.release_record import RELEASE, parse_release
from speccomp.archive.statements import Record
from speccomp.archive.verify import verify_archive
from speccomp.release.approve import approve, build_approval
from speccomp.release.ending import Declaration, review
from speccomp.release.refusal import Refused
from speccomp.release.signing import Signing
from speccomp.release.trust import check_against_plant
from tests.release.plant import APPROVED, QUALITY, RELEASED, Works, key_pair

pytestmark = pytest.mark.usefixtures("quick")


def reasons(act: Callable[[], object]) -> tuple[str, ...]:
    with pytest.raises(Refused) as refusal:
        act()
    return refusal.value.reasons


def test_an_approved_definition_is_released(works: Works) -> None:
    works.approve()
    done = works.release()
    assert done.remarks == ()
    record = done.record
    assert (record.document, record.revision, record.previous) == ("PD-100", "A", "")
    assert record.released_at == "2026-03-03T09:00:00Z"
    assert record.effective_from == "2026-03-03"
    assert record.review_due == "2028-03-03"
    assert [item.statement.name for item in record.approvals] == [QUALITY]
    assert {use.kind for use in record.uses} == {"definition", "plant", "material"}
    assert verify_archive(works.archive) == ()
    kept = open_archive(works.archive).files("PD-100", 1)
    assert {"release.json", "content.json", "issue.json", "sources/definition.yaml"} <= kept.keys()


def test_without_an_approval_nothing_is_released(works: Works) -> None:
    assert reasons(works.release) == ("the approval by the role quality-engineer is missing",)


@pytest.mark.parametrize("name", ["definition.yaml", "plant.yaml", "powder.yaml"])
def test_any_change_of_the_content_makes_an_approval_void(works: Works, name: str) -> None:
    works.approve()
    works.edit(name, lambda text: text + "# a remark\n")
    assert reasons(works.release) == (
        f"the approval of {QUALITY} as quality-engineer is void: the content has changed since",
    )


def test_another_version_of_the_program_makes_an_approval_void(
    works: Works, monkeypatch: pytest.MonkeyPatch
) -> None:
    works.approve()
    monkeypatch.setattr(pipeline, "__version__", "99")
    assert reasons(works.release) == (
        f"the approval of {QUALITY} as quality-engineer is void: the content has changed since",
    )


def test_errors_of_the_check_refuse_approval_and_release(works: Works) -> None:
    works.edit("definition.yaml", lambda text: text.replace("mixing time: 3 to 5 min", "speed: 1"))
    (reason,) = reasons(works.approve)
    assert reason.startswith("the check finds ")
    assert reasons(works.release) == (reason,)


def test_the_author_may_not_approve_unless_the_plant_says_so(works: Works) -> None:
    assert reasons(lambda: works.approve("r.  EXAMPLE")) == (
        "r.  EXAMPLE is the author; the plant wants somebody else to approve",
    )
    works.edit(
        "plant.yaml", lambda t: t.replace("release:\n", "release:\n  author_may_approve: true\n")
    )
    works.approve("R. Example")
    works.release()


def test_a_role_that_need_not_approve_is_refused(works: Works) -> None:
    build = lambda: build_approval(works.check(), QUALITY, "operator", APPROVED)  # noqa: E731
    assert reasons(build) == (
        "the plant wants no approval by the role `operator`; it wants quality-engineer",
    )


def test_the_plant_must_say_how_it_releases(works: Works) -> None:
    works.edit("plant.yaml", lambda text: text[: text.index("release:")])
    assert reasons(works.approve) == (
        "the plant file does not say how it releases: it lacks `release: time_zone`",
    )


def test_a_first_revision_is_the_first(works: Works) -> None:
    works.edit(
        "definition.yaml",
        lambda t: t.replace("revision: A", "revision: C\nchange: {from: B, why: Y, summary: Z}"),
    )
    works.approve()
    (reason,) = reasons(works.release)
    assert reason.startswith("revision C cannot be the first of PD-100")
    assert works.release(takes_over=True).record.previous == "B"


def released(works: Works) -> None:
    works.approve()
    works.release()


@pytest.mark.parametrize(
    ("revision", "before", "reason"),
    [
        ("C", "B", "after A, the last one released, comes B, not C"),
        ("A", "-", "after A, the last one released, comes B, not A"),
    ],
)
def test_the_next_revision_follows_the_last_one(
    works: Works, revision: str, before: str, reason: str
) -> None:
    released(works)
    works.next_revision(revision, "A")
    works.edit("definition.yaml", lambda t: t.replace("from: 'A'", f"from: '{before}'"))
    at = RELEASED + timedelta(days=1)
    if revision != "A":
        works.approve(at=at)
    assert reason in reasons(lambda: works.release(at=at))


def test_a_next_revision_without_a_reason_is_refused(works: Works) -> None:
    released(works)
    works.edit("definition.yaml", lambda t: t.replace("revision: A", "revision: B"))
    found = reasons(lambda: works.release(at=RELEASED + timedelta(days=1)))
    assert any("change note" in reason or "check finds" in reason for reason in found)


def test_the_next_revision_is_compared_with_the_one_before(works: Works) -> None:
    released(works)
    works.next_revision("B", "A")
    works.edit("definition.yaml", lambda t: t.replace("for: 4 to 5 h", "for: 5 to 6 h"))
    at = RELEASED + timedelta(days=1)
    works.approve(at=at)
    record = works.release(at=at).record
    assert record.change_class == "requalification"
    changes = open_archive(works.archive).read("PD-100", 2, "comparison.json").decode()
    assert "4 to 5 h" in changes
    assert "5 to 6 h" in changes


def test_a_class_that_the_comparison_contradicts_is_refused(works: Works) -> None:
    released(works)
    works.next_revision("B", "A", ", class: editorial")
    works.edit("definition.yaml", lambda t: t.replace("for: 4 to 5 h", "for: 5 to 6 h"))
    at = RELEASED + timedelta(days=1)
    works.approve(at=at)
    (reason,) = reasons(lambda: works.release(at=at))
    assert reason.startswith("the change note says `editorial`, but ")


def test_a_revision_is_not_in_force_before_it_is_approved(works: Works) -> None:
    works.approve()
    early = date(2026, 3, 1)
    assert reasons(lambda: works.release(effective=early)) == (
        f"2026-03-01 lies before the approval of {QUALITY} on 2026-03-02: "
        "a revision cannot be in force before it is approved",
    )
    assert works.release(effective=date(2026, 4, 1)).record.effective_at == "2026-03-31T22:00:00Z"


def test_a_revision_is_not_in_force_before_it_is_released(works: Works) -> None:
    works.approve()
    later = RELEASED + timedelta(days=7)
    (reason,) = reasons(lambda: works.release(at=later, effective=date(2026, 3, 5)))
    assert reason.startswith("2026-03-05 lies before the release on 2026-03-10")
    assert works.release(at=later, effective=date(2026, 3, 10)).record.effective_at == (
        "2026-03-10T09:00:00Z"
    )


def take_over(works: Works, revision: str, before: str) -> None:
    """Begin in the archive with a revision late in the life of the document."""
    note = f"change: {{from: {before}, why: Y, summary: Z}}"
    works.edit(
        "definition.yaml", lambda t: t.replace("revision: A", f"revision: {revision}\n{note}")
    )
    works.approve()
    works.release(takes_over=True)


# ASME Y14.35: no I, O, Q, S, X, Z; after Y comes AA, from memory.
NEXT = [("V", "W", "Y", "X"), ("W", "Y", "AA", "Z"), ("G", "H", "J", "I"), ("M", "N", "P", "O")]


@pytest.mark.parametrize(("before", "last", "right", "wrong"), NEXT)
def test_the_letters_of_revisions(
    works: Works, before: str, last: str, right: str, wrong: str
) -> None:
    take_over(works, last, before)
    at = RELEASED + timedelta(days=1)
    works.next_revision(wrong, last)
    found = reasons(lambda: works.release(at=at))
    assert any(wrong in reason for reason in found), found
    old = f"revision: {wrong}\n"
    works.edit("definition.yaml", lambda t: t.replace(old, f"revision: {right}\n"))
    works.approve(at=at)
    assert works.release(at=at).record.previous == last


def test_an_approval_put_into_the_archive_by_hand_is_refused(works: Works) -> None:
    works.approve(at=APPROVED - timedelta(days=1))
    statement = build_approval(works.check(), QUALITY, "quality-engineer", APPROVED)
    forged = Record(statement)
    path = works.archive / forged.place()
    path.write_bytes(forged.text())
    assert reasons(works.release) == (
        f"the ledger does not tell of the approval of {QUALITY}: it was put into the archive by "
        "hand",
    )
    path.unlink()
    works.release()


def test_an_approval_from_the_future_is_refused(works: Works) -> None:
    works.approve(at=RELEASED + timedelta(hours=1))
    assert reasons(works.release) == (f"the approval of {QUALITY} is dated after the release",)


def test_a_change_about_safety_does_not_wait(works: Works) -> None:
    released(works)
    works.next_revision("B", "A", ", class: safety")
    at = RELEASED + timedelta(days=1)
    works.approve(at=at)
    (reason,) = reasons(lambda: works.release(at=at))
    assert "does not wait for lots to be finished" in reason
    assert works.release(at=at, lots="hold").record.lots == "hold"


def test_a_revision_that_waits_and_is_overtaken_is_said(works: Works) -> None:
    works.approve()
    works.release(effective=date(2026, 6, 1))
    works.next_revision("B", "A")
    at = RELEASED + timedelta(days=1)
    works.approve(at=at)
    (remark,) = works.release(at=at, effective=date(2026, 5, 1)).remarks
    assert remark.startswith("revision A will never come into force: B comes first")


def test_a_released_revision_is_neither_approved_nor_released_again(works: Works) -> None:
    released(works)
    assert reasons(lambda: works.approve(at=RELEASED)) == ("PD-100 revision A is already released",)
    assert reasons(works.release) == ("after A, the last one released, comes B, not A",)


class TestSigned:
    """The plant requires signatures."""

    @pytest.fixture
    def works(self, tmp_path: Path) -> Works:
        return Works(tmp_path, required=True)

    def test_an_unsigned_archive_is_not_what_such_a_plant_file_asks_for(
        self, works: Works, tmp_path: Path
    ) -> None:
        other = Works(tmp_path / "other")
        other.approve()
        other.release()
        review(
            other.archive,
            Declaration("PD-100", QUALITY, "quality-engineer", RELEASED, "still right"),
            None,
            Signing(),
        )
        (works.project / ".speccomp").write_text("", encoding="utf-8")
        found = check_against_plant(open_archive(other.archive), works.project / "plant.yaml")
        assert [finding.message for finding in found] == [
            f"release PD-100 A, entry 3: the statement of {QUALITY} is not signed",
            f"review PD-100 A, entry 4: the statement of {QUALITY} is not signed",
        ]

    def test_signed_approvals_are_kept_with_the_release(self, works: Works) -> None:
        works.approve()
        works.release()
        record = parse_release(open_archive(works.archive).read("PD-100", 1, RELEASE))
        assert record.signatures == "required"
        assert all(item.signed for item in record.approvals)
        assert verify_archive(works.archive) == ()

    def test_an_unsigned_approval_is_refused(self, works: Works) -> None:
        checked = works.check()
        statement = build_approval(checked, QUALITY, "quality-engineer", APPROVED)
        found = reasons(lambda: approve(checked, statement, Signing(), works.archive))
        assert found == (f"the plant requires signatures; sign as {QUALITY} with --key",)

    def test_another_key_is_refused(self, works: Works) -> None:
        checked = works.check()
        statement = build_approval(checked, QUALITY, "quality-engineer", APPROVED)
        signing = Signing(works.key_file("Somebody Else"))
        found = reasons(lambda: approve(checked, statement, signing, works.archive))
        assert found == (f"the key of the signature of {QUALITY} is not a known one",)

    def test_somebody_who_is_no_approver_is_refused(self, works: Works) -> None:
        assert reasons(lambda: works.approve("S. Other")) == (
            "S. Other is not among the approvers of the plant file as quality-engineer; "
            f"known: {QUALITY}",
        )

    def test_before_the_first_day_of_a_key_nobody_may_approve(self, works: Works) -> None:
        early = datetime(2025, 12, 31, 12, 0, tzinfo=UTC)
        assert reasons(lambda: works.approve(at=early)) == (
            f"{QUALITY} may not approve as quality-engineer on 2025-12-31",
        )

    def test_a_signature_made_elsewhere_is_accepted(self, works: Works) -> None:
        from speccomp.archive.keys import sign_statement

        checked = works.check()
        statement = build_approval(checked, QUALITY, "quality-engineer", APPROVED)
        made = sign_statement(statement, works.key_file(), b"")
        signing = Signing(signature=made.signature)
        assert approve(checked, statement, signing, works.archive).signed
        later = replace(statement, time="2026-03-02T10:00:00Z")
        found = reasons(lambda: approve(checked, later, signing, works.archive))
        assert found == (f"the signature was not made by {QUALITY} over exactly this statement",)

    def test_only_the_keys_of_a_plant_file_kept_elsewhere_count(self, works: Works) -> None:
        kept = works.root / "kept"
        shutil.copytree(works.project, kept)
        (kept / ".speccomp").write_text("", encoding="utf-8")
        works.approve()
        works.release()
        archive = open_archive(works.archive)
        assert check_against_plant(archive, kept / "plant.yaml") == []
        plant = (kept / "plant.yaml").read_text(encoding="utf-8")
        other = plant.replace(key_pair(QUALITY)[1], key_pair("Somebody Else")[1])
        (kept / "plant.yaml").write_text(other, encoding="utf-8")
        (found,) = check_against_plant(archive, kept / "plant.yaml")
        assert found.rule == "archive.unknown-signer"
        assert "is not a known one" in found.message
        with pytest.raises(Refused, match="is no plant file"):
            check_against_plant(archive, kept / "powder.yaml")

    def test_a_key_inside_the_archive_is_refused(self, works: Works) -> None:
        works.approve()
        checked = works.check()
        statement = build_approval(checked, QUALITY, "quality-engineer", RELEASED)
        inside = works.archive / "key"
        inside.write_bytes(works.key_file().read_bytes())
        with pytest.raises(SignatureFault, match="inside the archive"):
            approve(checked, statement, Signing(inside), works.archive)
