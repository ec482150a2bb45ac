"""The demo project is clean, and its wrong files are wrong in the way they promise."""

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from speccomp.findings import Severity
from speccomp.pipeline import Checked, Format, check_file, compile_documents
from speccomp.source.yaml_tree import parse_tree

DEMO = Path(__file__).resolve().parent.parent / "specs_demo"
TODAY = date(2026, 11, 25)
AFRESH = "# read afresh\n"
DEFINITIONS = sorted((DEMO / "definitions").glob("*.yaml"))
LIMITS = sorted((DEMO / "limits").glob("*.yaml"))
PARTS = sorted(
    [*(DEMO / "materials").glob("*.yaml"), *(DEMO / "blocks").glob("*.yaml"), *DEMO.glob("*.yaml")]
)

# The rule that each wrong file is to show, as its comment says in words, and the faulty line.
WRONG = {
    "cure-without-profile.yaml": [("step.missing-profile", "  - id: cure")],
    "dry-at-2200-m.yaml": [("cure.steam", "      - hold: {at: 82 ± 4 degC, for: 2 to 3 h}")],
    "duplicate-key.yaml": [("source.duplicate-key", "      mixing time: 6 to 8 min")],
    "expired-waiver.yaml": [
        ("wording.vague", "    do: Mix the paste thoroughly."),
        ("waiver.expired", "  - finding: wording.vague"),
    ],
    "fill-18-mm.yaml": [
        ("cure.drying-too-short", "      - hold: {at: 82 ± 5 degC, for: 4 to 5 h}")
    ],
    "inverted-range.yaml": [("value.malformed", "      mixing time: 5 to 3 min")],
    "missing-caution.yaml": [
        ("caution.missing", "  - id: mix"),
        ("caution.too-weak", "  - {topic: alkali-splash, signal: caution, before: [mix]}"),
        ("caution.late", "  - {topic: mixer-entangle, before: [inspect]}"),
    ],
    "mistyped-key.yaml": [
        ("schema.unknown-key", "    look for:"),
        ("schema.unknown-key", "    operatoin: inspect"),
    ],
    "mix-without-end.yaml": [("step.no-end-condition", "  - id: mix")],
    "outside-project.yaml": [
        ("source.outside-project", "  powder: ../../elsewhere/zircon-powder.yaml")
    ],
    "unknown-equipment.yaml": [("reference.unknown-equipment", "    with: [bench-scales]")],
    "vague-words.yaml": [
        ("wording.vague", "      - Mix the paste thoroughly."),
        ("wording.vague", "      - Scrape the bowl if necessary."),
        ("wording.vague", "      - {what: bead, accept: Properly filled}"),
    ],
    "weigh-on-coarse-scale.yaml": [
        (
            "batch.order-too-small",
            "batch: {parts: 12, loss: 10 %, cycle_time: 20 s}",
        ),
        ("gauge.cannot-accept", "      mass: 20.00 ± 0.10 g"),
        ("gauge.too-coarse", "      mass: 20.00 ± 0.10 g"),
        ("weigh.window-empty", "  - id: weigh-liquid"),
        ("gauge.cannot-accept", "      mass: 6.40 ± 0.10 g"),
        ("gauge.too-coarse", "      mass: 6.40 ± 0.10 g"),
    ],
    "wrong-unit.yaml": [("value.malformed", "      mass: 78 mm")],
}


@pytest.fixture(scope="module")
def checked() -> dict[str, Checked]:
    return {path.name: check_file(path, TODAY, DEMO) for path in DEFINITIONS}


@pytest.mark.parametrize("name", [path.name for path in DEFINITIONS])
def test_a_definition_has_waived_findings_at_most(name: str, checked: dict[str, Checked]) -> None:
    result = checked[name]
    assert [f"{f.rule}: {f.message}" for f in result.findings if not f.waived] == []
    assert result.passed
    assert result.process is not None
    assert name.startswith(result.process.number + "-")


def test_the_demo_shows_a_waiver(checked: dict[str, Checked]) -> None:
    assert [f for result in checked.values() for f in result.findings if f.waived]


def test_a_waiver_of_the_demo_ends(checked: dict[str, Checked]) -> None:
    waivers = {
        name: [waiver.until for waiver in result.process.waivers]
        for name, result in checked.items()
        if result.process and result.process.waivers
    }
    for name, days in waivers.items():
        last = max(day for day in days if day)
        later = check_file(DEMO / "definitions" / name, date(last.year + 1, 1, 1), DEMO)
        assert "waiver.expired" in [finding.rule for finding in later.findings]
        assert not later.passed


@pytest.mark.parametrize("path", [*LIMITS, *PARTS], ids=lambda p: p.name)
def test_what_is_within_the_limits_and_a_card_block_or_plant_file_has_no_finding(
    path: Path,
) -> None:
    assert check_file(path, TODAY, DEMO).findings == ()


def test_every_wrong_file_is_known_here() -> None:
    assert {path.name for path in (DEMO / "wrong").iterdir()} == set(WRONG)


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_file_shows_its_fault_and_no_other_error(name: str) -> None:
    path = DEMO / "wrong" / name
    result = check_file(path, TODAY, DEMO)
    lines = path.read_text(encoding="utf-8").splitlines()
    assert {finding.span.file for finding in result.findings} == {f"wrong/{name}"}
    promised = {rule for rule, _ in WRONG[name]}
    found = [
        (finding.rule, lines[finding.span.line - 1])
        for finding in result.findings
        if finding.rule in promised or finding.severity is Severity.ERROR
    ]
    assert found == WRONG[name]
    for finding in result.findings:
        assert finding.hint
        assert not finding.waived


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_file_says_what_is_wrong(name: str) -> None:
    text = (DEMO / "wrong" / name).read_text(encoding="utf-8")
    assert re.search(r"^# Wrong on purpose: .+\.$", text, re.MULTILINE)


def test_only_the_vague_words_are_no_error() -> None:
    severities = {
        name: {f.severity for f in check_file(DEMO / "wrong" / name, TODAY, DEMO).findings}
        for name in WRONG
    }
    mild = [name for name, found in severities.items() if Severity.ERROR not in found]
    assert mild == ["vague-words.yaml"]


def test_the_demo_covers_the_families_and_the_ways_of_working(
    checked: dict[str, Checked],
) -> None:
    processes = [result.process for result in checked.values() if result.process]
    families = {m.family.value for process in processes for m in process.materials.values()}
    assert families >= {"air-setting", "chemical-setting", "hydraulic-setting", "organic"}
    methods = {step.method for process in processes for step in process.steps}
    assert methods >= {"oven", "ambient", "spatula", "squeeze-bottle", "syringe", "metered"}
    assert len({process.plant.id for process in processes}) == 2


@pytest.mark.parametrize("path", sorted(DEMO.rglob("*.yaml")), ids=lambda p: p.name)
def test_a_file_says_that_it_is_invented(path: Path) -> None:
    second = path.read_text(encoding="utf-8").splitlines()[1]
    assert second.startswith("# Invented scenario:")


def test_reading_is_shared_and_nobody_changes_what_was_read() -> None:
    # A tree is kept for the next definition that reads the same file, so nobody may write in it.
    first, second = (check_file(path, TODAY) for path in DEFINITIONS[:2])
    assert first.sources is not None and second.sources is not None
    compile_documents(first, list(Format))
    plant = "plant.yaml"
    assert first.sources.trees[plant] is second.sources.trees[plant]
    for name, tree in first.sources.trees.items():
        assert parse_tree(tree.text + AFRESH, name).value == replace(tree, text=tree.text + AFRESH)
