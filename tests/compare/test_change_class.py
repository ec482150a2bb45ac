"""A change note whose class makes less of the change than its content does."""

from pathlib import Path

import pytest

from speccomp.compare import compare as compare_module
from speccomp.compare.change_class import check_change_class, check_change_note
from speccomp.compare.previous import check_previous
from speccomp.compare.significance import CLASSES, Significance
from speccomp.findings import Finding, Severity
from tests.compare.project import DEFINITION, FILES, Edit, compared, resolved, write_files

D = "definition.yaml"
CURE = (D, "          at: 82 ± 5 degC", "          at: 95 ± 5 degC")
SPEED = (D, "speed: 60 ± 10 rpm", "speed: 66 ± 10 rpm")
WORDING = (D, "contact: Process engineering", "contact: Process engineers")


def said(folder: Path, class_: str, *edits: tuple[str, str, str]) -> list[Finding]:
    note = (D, "class: editorial", f"class: {class_}") if class_ != "editorial" else WORDING
    return list(check_change_class(compared(folder, note, *edits)))


def test_editorial_and_the_cure_moved(tmp_path: Path) -> None:
    (finding,) = said(tmp_path, "editorial", CURE, SPEED)
    assert (finding.severity, finding.rule) == (Severity.ERROR, "revision.class-contradicts")
    assert finding.message == (
        "the change note says `editorial`, but Cure: segment 2 (hold), temperature: limits "
        "shifted, from 82 ± 5 °C to 95 ± 5 °C (safety), and 1 more change is weightier"
    )
    assert finding.hint == "write `class: safety`, or take the change back"
    assert [(r.span.file, "Cure" in r.message) for r in finding.related] == [
        (D, True),
        (D, False),
    ]
    assert (
        (tmp_path / "after" / D)
        .read_text("utf-8")
        .splitlines()[finding.span.line - 1]
        .startswith("change:")
    )


@pytest.mark.parametrize("class_", CLASSES)
def test_a_class_may_be_weightier_than_the_content_but_not_lighter(
    class_: str, tmp_path: Path
) -> None:
    found = said(tmp_path, class_, SPEED)
    lighter = CLASSES[class_].rank > Significance.REQUALIFICATION.rank
    assert bool(found) is lighter
    if found:
        assert found[0].hint.startswith("write `class: requalification`")


def test_wording_only_is_editorial(tmp_path: Path) -> None:
    assert said(tmp_path, "editorial") == []


def test_a_note_without_class_claims_nothing(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, ", class: editorial}", "}"), CURE)
    assert list(check_change_class(there)) == []


def write_previous(folder: Path, text: str) -> tuple[Finding, ...]:
    """Check a definition whose note names a previous file with a text; none where it is empty."""
    note = "class: editorial, previous: old/B.yaml}"
    write_files(folder, [(D, "class: editorial}", note), (D, "revision: B", "revision: C")])
    definition = folder / D
    definition.write_text(
        definition.read_text("utf-8").replace("{from: A", "{from: B"), encoding="utf-8"
    )
    (folder / "old").mkdir()
    if text:
        (folder / "old" / "B.yaml").write_text(text, encoding="utf-8")
    process, sources = resolved(folder)
    return tuple(check_previous(sources, process))


def previous(**edits: str) -> str:
    """Return the present definition as it stands one folder deeper, with some keys replaced."""
    text = DEFINITION
    for name in FILES:
        text = text.replace(f" {name}", f" ../{name}")
    for old, new in edits.items():
        line = next(line for line in text.splitlines() if line.startswith(f"{old}:"))
        text = text.replace(line, f"{old}: {new}")
    return text


def test_the_previous_file_is_compared_with_while_checking(tmp_path: Path) -> None:
    text = previous().replace("at: 82 ± 5 degC\n", "at: 80 ± 5 degC\n")
    assert [f.rule for f in write_previous(tmp_path, text)] == ["revision.class-contradicts"]


def test_nothing_is_said_where_only_the_document_changed(tmp_path: Path) -> None:
    assert write_previous(tmp_path, previous(contact="Somebody else")) == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "there is no file"),
        (FILES["powder.yaml"], "it is not a process definition"),
        (previous() + "no such key: 1\n", "no such key"),
        (previous(plant="nowhere.yaml"), "nowhere.yaml"),
        ("- a\n", "holds a list"),
    ],
)
def test_a_previous_file_that_cannot_be_read_is_a_warning(
    text: str, words: str, tmp_path: Path
) -> None:
    (finding,) = write_previous(tmp_path, text)
    assert (finding.severity, finding.rule) == (Severity.WARNING, "revision.previous-unread")
    assert words in finding.message


@pytest.mark.parametrize(("key", "value"), [("revision", "A"), ("process", "PD-200")])
def test_the_previous_file_is_the_revision_that_the_note_names(
    key: str, value: str, tmp_path: Path
) -> None:
    (finding,) = write_previous(tmp_path, previous(**{key: value}))
    assert (finding.severity, finding.rule) == (Severity.ERROR, "revision.previous-differs")
    assert value in finding.message
    line = (tmp_path / D).read_text("utf-8").splitlines()[finding.span.line - 1]
    assert line[finding.span.column - 1 : finding.span.end_column - 1] == "old/B.yaml"


def test_a_comparison_that_fails_does_not_look_like_one_that_passed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise ZeroDivisionError("by nothing")

    monkeypatch.setattr(compare_module, "compare", fails)
    (finding,) = write_previous(tmp_path, previous())
    assert (finding.severity, finding.rule) == (Severity.ERROR, "internal.rule-crashed")
    assert "ZeroDivisionError: by nothing" in finding.message


def test_nothing_is_read_without_a_previous_file(tmp_path: Path) -> None:
    write_files(tmp_path)
    process, sources = resolved(tmp_path)
    assert list(check_previous(sources, process)) == []


KEEP = "limits: {amount: at least 30 g}"
MORE = "limits: {amount: at least 30 g, part temperature: at most 65 degC}"


def note(more: str) -> Edit:
    return (D, "class: editorial}", f"class: safety, {more}}}")


def test_a_reason_is_shown_with_the_change_it_is_for(tmp_path: Path) -> None:
    for at in ("keep/part-temperature", "keep"):
        reasons = note(f"reasons: [{{at: {at}, why: The shelf is cool now.}}]")
        there = compared(tmp_path / at, (D, MORE, KEEP), reasons, before=[(D, KEEP, MORE)])
        assert list(check_change_note(there)) == []
        removed = next(change for change in there.changes if change.kind == "limit-removed")
        assert removed.note == "reason given: The shelf is cool now."


def test_a_side_or_a_segment_that_is_removed_needs_a_reason_too(tmp_path: Path) -> None:
    side = (D, "speed: 60 ± 10 rpm", "speed: at most 70 rpm")
    segment = (D, "      - hold: {at: 150 ± 5 degC, for: 2 to 3 h}\n", "")
    found = list(check_change_note(compared(tmp_path, note("previous: x"), side, segment)))
    assert [finding.rule for finding in found] == ["revision.removal-unexplained"] * 2
    assert {finding.hint.split(",")[0] for finding in found} == {
        "add `{at: mix/speed",
        "add `{at: cure/hold-3",
    }
    assert all(finding.related[0].span.file == D for finding in found)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ("reasons: [{at: mix, why: x}]", "a reason for `mix`, where nothing changed"),
        (
            "like_for_like: [{equipment: oven-2, replaces: oven, why: x}]",
            "the statement that `oven-2` replaces `oven`, which no change shows",
        ),
    ],
)
def test_a_statement_that_fits_nothing_is_a_warning(more: str, words: str, tmp_path: Path) -> None:
    (finding,) = check_change_note(compared(tmp_path, note(more)))
    assert (finding.severity, finding.rule) == (Severity.WARNING, "revision.statement-unmatched")
    assert finding.message == f"the change note gives {words}"


def test_a_gauge_and_a_tag_may_be_stated_to_be_alike(tmp_path: Path) -> None:
    gauges = note("like_for_like: [{equipment: micrometer, replaces: caliper, why: x}]")
    there = compared(tmp_path / "1", gauges, (D, "gauge: caliper", "gauge: micrometer"))
    (change,) = [change for change in there.changes if change.kind == "gauge-replaced"]
    assert change.note.startswith("the change note calls it like for like, but these differ: range")
    tag = note("like_for_like: [{equipment: oven, replaces: oven, why: Same model}]")
    there = compared(tmp_path / "2", tag, ("plant.yaml", "tag: OV-1", "tag: OV-7"))
    (change,) = [change for change in there.changes if change.kind == "equipment-replaced"]
    assert (change.rule, change.note) == ("like-for-like", "like for like: Same model")
    assert list(check_change_note(there)) == []


def test_the_finding_stands_at_the_class(tmp_path: Path) -> None:
    (finding,) = said(tmp_path, "editorial", CURE)
    line = (tmp_path / "after" / D).read_text("utf-8").splitlines()[finding.span.line - 1]
    assert line[finding.span.column - 1 : finding.span.end_column - 1] == "editorial"
