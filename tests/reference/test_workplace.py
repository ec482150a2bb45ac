"""
Eye rinse, safety shower and the labels of containers in the work place.

Beside each check stands who asks for it: `read`, `from memory`, or `common practice, no source`.
"""

from pathlib import Path

import pytest

from tests.cautions import situations as s
from tests.cautions.situations import Situation, step
from tests.reference.test_caution_vectors import checked, rules

# Walk to the eye rinse, and whether it is near enough. Source: ANSI/ISEA Z358.1, 10 s (secondary
# source); 29 CFR 1910.151 (c) asks for it where corrosives are handled.
WALKS = [("20 s", False), ("10.5 s", False), ("10 s", True), ("at most 12 s", False)]


@pytest.mark.parametrize(("walk", "near"), WALKS)
def test_distance_of_the_eye_rinse(walk: str, near: bool, tmp_path: Path) -> None:
    text = step("weigh", "Weigh it.", "material: liquid", "with: [bench-scale]")
    plant = f"emergency: {{eye_rinse: {walk}}}"
    corrosive = checked(tmp_path, Situation(text, "", "", liquid=s.sheet("H314"), plant=plant))
    assert ("caution.emergency-too-far" in rules(corrosive.findings)) is not near


def test_no_eye_rinse_is_asked_for_where_nothing_needs_it(tmp_path: Path) -> None:
    text = step("inspect", "Look at it.")
    liquid = "name: Oil\nmaterial: oil\n" + s.holds("alumina 100")
    plant = "emergency: {eye_rinse: 60 s}"
    found = checked(tmp_path, Situation(text, "", "", liquid=liquid, plant=plant))
    assert "caution.emergency-too-far" not in rules(found.findings)


def test_the_safety_shower_is_asked_for_by_large_amounts(tmp_path: Path) -> None:
    # Source: ANSI/ISEA Z358.1, 10 s (secondary source).
    text = step("weigh", "Weigh it.", "material: liquid", "with: [bench-scale]")
    liquid = s.sheet("H314") + "\npacks: [{name: can, holds: 20 L}]"
    plant = "emergency: {eye_rinse: 5 s, safety_shower: 30 s}"
    found = checked(tmp_path, Situation(text, "", "", liquid=liquid, plant=plant))
    far = [f for f in found.findings if f.rule == "caution.emergency-too-far"]
    assert [f.subject for f in far] == ["safety-shower"]


BURNS = s.sheet("H314", "H290")
# What stands on a container, and what is found. Source: 29 CFR 1910.1200 (f) (6) name and general
# hazards, (f) (7) ticket on a stationary vessel, (f) (8) immediate use by who filled it (read).
LABELS = [
    ("", "container.unlabelled"),
    (", same_person: true", ""),
    (", same_person: false", "container.unlabelled"),
    (", label: Liquid 7", "container.label-without-hazards"),
    (", label: Liquid 7. Burns skin and eyes.", ""),
    (", ticket: batch-record, label: Liquid 7. Burns skin and eyes.", "container.unlabelled"),
]
TICKETS = [
    (", ticket: batch-record", "container.unlabelled"),
    (", ticket: batch-record, label: Liquid 7", "container.label-without-hazards"),
    (", ticket: batch-record, label: Liquid 7. Burns skin and eyes.", ""),
]


def found_on(folder: Path, said: str, plant: str) -> set[str]:
    text = step(
        "weigh",
        "Decant it.",
        "material: liquid",
        "with: [bench-scale, spatula]",
        f"containers: [{{name: bottle{said}}}]",
    )
    found = checked(folder, Situation(text, "", "", liquid=BURNS, plant=plant))
    return {rule for rule in rules(found.findings) if rule.startswith("container.")}


@pytest.mark.parametrize(("said", "rule"), LABELS)
def test_the_label_of_what_is_decanted(said: str, rule: str, tmp_path: Path) -> None:
    assert found_on(tmp_path, said, "") == ({rule} if rule else set())


@pytest.mark.parametrize(("said", "rule"), TICKETS)
def test_the_ticket_of_a_fixed_tank(said: str, rule: str, tmp_path: Path) -> None:
    assert found_on(tmp_path, said, s.spatula("tank")) == ({rule} if rule else set())


def test_a_label_of_a_mixture_names_the_hazards_of_each_part(tmp_path: Path) -> None:
    text = step("mix", "Mix it.", "containers: [{name: pail, label: Paste. Burns the eyes.}]")
    situation = Situation(
        text,
        "",
        "",
        powder=s.holds("crystalline-silica 40", "alumina 60"),
        liquid=s.sheet("H318", "H317"),
    )
    (found,) = [f for f in checked(tmp_path, situation).findings if f.rule.startswith("container")]
    assert "says nothing of the organs" in found.message
    assert "allergy" in found.message
    assert "inferred" in found.message


def test_solvent_in_an_oven_without_a_posted_limit(tmp_path: Path) -> None:
    # Source: NFPA 86 (secondary source): what an oven bears is posted on it.
    paste = "family: air-setting\nform: paste\n" + s.holds("propan-2-ol 40", "alumina 60")
    for number, (fields, found) in enumerate(
        [((), True), (("vented: true",), True), (("solvent_limit: 250 mL",), False)]
    ):
        situation = Situation(s.BRUSH + s.CURE, "", "", liquid=paste, plant=s.oven(*fields))
        folder = tmp_path / str(number)
        folder.mkdir()
        assert ("caution.no-solvent-limit" in rules(checked(folder, situation).findings)) is found


CEMENT = [
    ("portland-cement 30", "", True),
    ("portland-cement 30", "shelf_life: 6 months\n", False),
    ("portland-cement-with-chromate 30", "", False),
    ("calcium-aluminate-cement 30", "", False),
]


@pytest.mark.parametrize(("content", "card", "found"), CEMENT)
def test_how_long_cement_stays_without_chromate(
    content: str, card: str, found: bool, tmp_path: Path
) -> None:
    # Source: CLP Annex II 2.3 (read).
    powder = f"{card}family: hydraulic-setting\n" + s.holds(content, "alumina 60")
    text = step("weigh", "Weigh it.", "material: powder", "with: [bench-scale]")
    result = checked(tmp_path, Situation(text, "", "", powder=powder))
    assert ("hazard.no-cement-life" in rules(result.findings)) is found
