"""
What a change between two revisions amounts to, held to rules from outside the program.

Each vector names the rule it follows. Conversions were computed by hand: 1 K is 1.8 °F, and
57.22 °C is 135 °F. Where a rule calls a change major and asks for validation again, the program
says `requalification needed`; where it calls it major alone, `control changed` or weightier.
"""

from datetime import date
from pathlib import Path

import pytest

from speccomp.compare.change import Change, mirrored
from speccomp.compare.change_class import check_change_note
from speccomp.compare.compare import compare
from speccomp.compare.significance import Significance
from speccomp.findings import Severity
from speccomp.pipeline import check_file
from tests.compare.project import DEFINITION, Edit, compared, only

D, P = "definition.yaml", "plant.yaml"
BENCH = "limits: {amount: at least 30 g}"
"""A step that is no special process."""

HOLD = "      - hold: {at: 150 ± 5 degC, for: 2 to 3 h}\n"
"""A hold of a cure, which is a special process."""

SPECIAL = "ISO 9001:2015, 8.5.1 f (from memory): what cannot be verified afterwards"
PROVEN = "ICH Q8(R2) (from memory): moving inside a proven range is no change of it"


def limit(text: str) -> Edit:
    return (D, BENCH, f"limits: {{part temperature: {text}}}")


def hold(at: str, validated: str = "") -> Edit:
    more = f", validated: {{at: {validated}}}" if validated else ""
    return (D, HOLD, f"      - hold: {{at: {at}, for: 2 to 3 h{more}}}\n")


def between(folder: Path, before: Edit, after: Edit) -> Change:
    """Return the one change between two texts that stand in the same place."""
    return only(compared(folder, (after[0], before[2], after[2]), before=[before]))


@pytest.mark.parametrize(
    ("before", "after", "kind", "significance", "source"),
    [
        ("60 ± 3 degC", "140 ± 5.4 degF", "restated", "document only", "3 K are 5.4 °F"),
        (
            "60 ± 3 degC",
            "140 ± 5 degF",
            "limit-narrower",
            "control changed",
            "57.22 to 62.78 °C lie inside 57 to 63 °C",
        ),
        ("55 to 65 degC", "58 to 62 degC", "limit-narrower", "control changed", PROVEN),
        ("55 to 65 degC", "60 to 70 degC", "limit-shifted", "control changed", SPECIAL),
        (
            "60 ± 3 degC",
            "60.0 ± 3.0 degC",
            "digits-changed",
            "control changed",
            "RFC 8785: a number has one form; other decimals of a limit ask for another gauge",
        ),
    ],
)
def test_a_limit_outside_special_processes(
    before: str, after: str, kind: str, significance: str, source: str, tmp_path: Path
) -> None:
    change = between(tmp_path, limit(before), limit(after))
    assert (change.kind, change.significance) == (kind, significance), source


def test_a_dwell_in_another_unit(tmp_path: Path) -> None:
    # ISO 8601: PT2H and PT120M are the same duration.
    change = only(compared(tmp_path, (D, "for: 4 to 5 h", "for: 240 to 300 min")))
    assert (change.kind, change.significance) == ("restated", Significance.DOCUMENT)


def test_a_limit_taken_away_without_a_reason(tmp_path: Path) -> None:
    # EIA-649: what touches performance or safety is major; ISO 9001:2015, 8.5.6: the result of
    # the review of a change is kept. The classes are our own reading of them.
    keep = "limits: {amount: at least 30 g, part temperature: at most 65 degC}"
    there = compared(tmp_path, (D, keep, BENCH), before=[(D, BENCH, keep)])
    change = only(there)
    assert change.kind == "limit-removed"
    assert change.significance.rank <= Significance.CONTROL.rank
    found = [finding for finding in check_change_note(there) if "removal" in finding.rule]
    assert [(finding.rule, finding.severity) for finding in found] == [
        ("revision.removal-unexplained", Severity.ERROR)
    ]
    assert "keep/part-temperature" in found[0].hint


@pytest.mark.parametrize(
    ("after", "validated", "rule"),
    [
        ("62 ± 3 degC", "55 to 65 degC", "inside-validated"),
        ("63 ± 3 degC", "55 to 65 degC", "cure"),
        ("80 ± 3 degC", "55 to 65 degC", "cure"),
        ("62 ± 3 degC", "", "cure"),
    ],
)
def test_a_special_process_and_its_validated_range(
    after: str, validated: str, rule: str, tmp_path: Path
) -> None:
    # 62 ± 3 is 59 to 65 °C and inside; 63 ± 3 reaches 66 °C and is outside. ICH Q8(R2), and
    # ISO 9001:2015, 8.5.1 f (both from memory).
    change = between(tmp_path, hold("60 ± 3 degC", validated), hold(after, validated))
    assert (change.kind, change.rule) == ("limit-shifted", rule)
    outside = rule == "cure"
    wanted = Significance.REQUALIFICATION if outside else Significance.CONTROL
    assert change.significance is wanted


def test_another_hardener(tmp_path: Path) -> None:
    # AMC 20-29 (2010), Appendix 3; AS9102B, 4.6: a change of material.
    there = compared(tmp_path, (D, "liquid: liquid.yaml", "liquid: other-liquid.yaml"))
    replaced = next(change for change in there.changes if change.kind == "material-replaced")
    assert replaced.significance is Significance.REQUALIFICATION


def test_a_ratio_of_100_to_12_made_100_to_13(tmp_path: Path) -> None:
    # World Health Organization, GMP training modules: composition is a reason to revalidate.
    ratio = "  liquid: {value: 26 ± 1, gauge: bench-scale}"
    change = only(
        compared(
            tmp_path,
            (D, "value: 12 ± 1", "value: 13 ± 1"),
            before=[(D, ratio, ratio.replace("26", "12"))],
        )
    )
    assert (change.kind, change.rule) == ("limit-shifted", "ratio")
    assert change.significance is Significance.REQUALIFICATION
    assert change.size is not None
    assert (change.size.amount, change.size.per_cent) == (1, 50)


@pytest.mark.parametrize(
    ("edit", "kind"),
    [
        ((D, "  - {topic: hot, before: [cure]}\n", ""), "caution-removed"),
        ((D, "  - {topic: dust,", "  - {topic: dust, signal: caution,"), "caution-weakened"),
    ],
)
def test_a_caution_deleted_or_lowered(edit: Edit, kind: str, tmp_path: Path) -> None:
    # ANSI Z535.6: the signal word tells how badly people can get hurt.
    change = only(compared(tmp_path, edit))
    assert (change.kind, change.significance) == (kind, Significance.SAFETY)


def steps(*operations: tuple[str, str]) -> str:
    return "".join(
        f"  - {{id: {ident}, operation: {operation}, title: Step {ident}, do: Do {ident}.}}\n"
        for ident, operation in operations
    )


@pytest.mark.parametrize(
    ("b", "c", "significance"),
    [
        ("clean", "inspect", Significance.CONTROL),
        ("de-air", "dispense", Significance.REQUALIFICATION),
    ],
)
def test_two_of_four_steps_changed_places(
    b: str, c: str, significance: Significance, tmp_path: Path
) -> None:
    # A longest increasing subsequence of a c b d keeps three, so one step has moved; whether it
    # matters is the processing route of AMC 20-29, Appendix 3 (from memory).
    body = DEFINITION[DEFINITION.index("  - id: sweep") : DEFINITION.index("cautions:")]
    rest = DEFINITION[DEFINITION.index("cautions:") :]
    names = [("a", "clean"), ("b", b), ("c", c), ("d", "clean")]
    old, new = steps(*names), steps(names[0], names[2], names[1], names[3])
    change = only(compared(tmp_path, (D, old, new), before=[(D, body, old), (D, rest, "")]))
    assert (change.kind, change.significance) == ("step-moved", significance)
    assert change.subject in ("b", "c")


def test_a_sample_of_five_per_lot_made_three(tmp_path: Path) -> None:
    # IATF 16949:2016, Annex A: sample size and frequency belong to the control plan.
    change = only(compared(tmp_path, (D, "sample: 5}", "sample: 3}")))
    assert (change.kind, change.significance) == ("sample-smaller", Significance.CONTROL)


def test_an_inspection_removed_that_something_still_cites(tmp_path: Path) -> None:
    # IATF 16949:2016, 8.5.1.1: a control plan is updated when inspection changes; 9.1.1.1: what
    # refers to a control agrees with it. What cites a check here is a waiver.
    row = "      - {what: rim, accept: Clean, method: At arm's length}\n"
    waiver = ("  - finding: wording.vague\n    at: look\n", "    at: look/rim\n")
    cited = (D, waiver[0], waiver[0].splitlines()[0] + "\n" + waiver[1])
    there = compared(tmp_path, (D, row, ""), before=[cited])
    change = only(there)
    assert change.kind == "limit-removed"
    assert change.significance.rank <= Significance.CONTROL.rank
    rules = {finding.rule for finding in check_change_note(there)}
    assert "revision.removal-unexplained" in rules
    after = check_file(tmp_path / "after" / D, date(2026, 3, 2), tmp_path / "after")
    assert "waiver.pointless" in {finding.rule for finding in after.findings}


@pytest.mark.parametrize(
    ("before", "after"),
    [("Do not shake the bowl.", "Shake the bowl."), ("for 5 min.", "for 6 min.")],
)
def test_a_negation_or_a_number_in_a_text_is_no_wording(
    before: str, after: str, tmp_path: Path
) -> None:
    # Common practice, no source: a text is edited only if numbers and negations stay.
    change = only(compared(tmp_path, (D, before, after)))
    assert change.kind == "meaning"
    assert change.significance.rank <= Significance.CONTROL.rank


def test_key_order_and_comments_only(tmp_path: Path) -> None:
    # RFC 8785: the order of the keys of an object says nothing.
    old = "    title: Clean the labels\n    do: Wipe the labels.\n"
    new = "    do: Wipe the labels. # all of them\n    title: Clean the labels\n"
    assert compared(tmp_path, (D, old, new)).changes == ()


def test_a_newer_edition_of_a_standard(tmp_path: Path) -> None:
    # IATF 16949:2016, 7.5.3.2.2: a changed specification is reviewed before it is implemented.
    change = only(compared(tmp_path, (D, 'edition: "2001"', 'edition: "2024"')))
    assert (change.kind, change.significance) == ("reference-edition", Significance.CONTROL)


OVENS = (D, "with: [oven]", "with: [oven-2]")
ALIKE = (
    P,
    "    non_uniformity: 4 K\n    control_tolerance: 2 K\n    sensor_error: 1 K\n",
    "    ramp: at most 3 K/min\n    non_uniformity: 2 K\n    control_tolerance: 1 K\n"
    "    sensor_error: 0.5 K\n",
)
STATED = (
    D,
    "class: editorial}",
    "class: control, like_for_like: [{equipment: oven-2, replaces: oven, why: Same model}]}",
)


def test_another_oven(tmp_path: Path) -> None:
    # World Health Organization, GMP training modules: equipment is a reason to qualify again.
    change = only(compared(tmp_path, OVENS))
    assert (change.kind, change.rule) == ("equipment-replaced", "equipment-of-special-process")
    assert change.significance is Significance.REQUALIFICATION


def test_another_oven_that_is_stated_to_be_alike(tmp_path: Path) -> None:
    # World Health Organization, GMP training modules: equipment other than like for like is a
    # reason to validate again; the same piece in place of another is qualified by itself.
    there = compared(tmp_path, OVENS, STATED, before=[ALIKE])
    change = next(change for change in there.changes if change.kind == "equipment-replaced")
    assert (change.rules, change.significance) == (("like-for-like",), Significance.CONTROL)
    assert change.note == "like for like: Same model"
    assert list(check_change_note(there)) == []


def test_another_oven_that_is_stated_to_be_alike_and_is_not(tmp_path: Path) -> None:
    there = compared(tmp_path, OVENS, STATED)
    change = next(change for change in there.changes if change.kind == "equipment-replaced")
    assert change.rule == "equipment-of-special-process"
    assert change.note == (
        "the change note calls it like for like, but these differ: ramp, non uniformity, "
        "control tolerance, sensor error"
    )
    assert "revision.class-contradicts" in {f.rule for f in check_change_note(there)}


def test_another_site(tmp_path: Path) -> None:
    # GHTF/SG3/N99-10:2004, 6.4: transfer of a process to another site.
    change = only(compared(tmp_path, (P, "plant: test-works", "plant: far-works")))
    assert (change.kind, change.significance) == (
        "plant-replaced",
        Significance.REQUALIFICATION,
    )


def test_wider_one_way_is_narrower_the_other(tmp_path: Path) -> None:
    there = compared(tmp_path, (D, "speed: 60 ± 10 rpm", "speed: 60 ± 12 rpm"))
    back = compare(there.after, there.before)
    assert [only(there).kind, only(back).kind] == ["limit-wider", "limit-narrower"]
    assert mirrored(only(there)).size is not None


def test_a_revision_and_itself(tmp_path: Path) -> None:
    assert compared(tmp_path).changes == ()


def test_a_text_that_is_still_in_the_other_language(tmp_path: Path) -> None:
    # IATF 16949:2016, 8.5.1.2 (from memory): instructions are in the language of those who follow
    # them. A definition has one language, so a translation is a definition of its own.
    german = (D, "title: Seal the end of a tubular heater\n", "language: de\ntitle: Seal\n")
    stale = compared(tmp_path / "1", german)
    assert "revision.language-stale" in {finding.rule for finding in check_change_note(stale)}
    assert {c.significance for c in stale.changes if c.subject == "language"} == {
        Significance.CONTROL
    }
    translated = (D, "do: Wipe the labels.", "do: Die Etiketten abwischen.")
    there = compared(tmp_path / "2", german, translated)
    assert "revision.language-stale" not in {finding.rule for finding in check_change_note(there)}
