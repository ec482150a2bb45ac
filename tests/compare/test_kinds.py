"""Each kind of change, made by one edit: what it is called, how much it matters, and why."""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from speccomp.compare.cautions import SAFETY
from speccomp.compare.change import Comparison, mirrored
from speccomp.compare.compare import compare
from speccomp.compare.kinds import KINDS
from speccomp.compare.significance import RULES
from speccomp.rules import waivers
from tests.compare.project import Edit, compared, resolved

D, P, C, B = "definition.yaml", "plant.yaml", "powder.yaml", "roll.yaml"

Expected = tuple[str, str, str]
"""Subject, kind and deciding rule of a change."""

HOLD_AT = "          at: 82 ± 5 degC"

CASES: dict[str, tuple[list[Edit], list[Expected]]] = {
    "restated": (
        [(D, "mixing time: {value: 3 to 5 min", "mixing time: {value: 180 to 300 s")],
        [("mix/mixing-time", "restated", "restated")],
    ),
    "shifted": (
        [(D, "speed: 60 ± 10 rpm", "speed: 66 ± 10 rpm")],
        [("mix/speed", "limit-shifted", "mix")],
    ),
    "wider": (
        [(D, "speed: 60 ± 10 rpm", "speed: 60 ± 12 rpm")],
        [("mix/speed", "limit-wider", "mix")],
    ),
    "narrower": (
        [(D, "speed: 60 ± 10 rpm", "speed: 60 ± 8 rpm")],
        [("mix/speed", "limit-narrower", "narrower")],
    ),
    "wider inside the validated range": (
        [(D, "3 to 5 min, validated", "3 to 6 min, validated")],
        [("mix/mixing-time", "limit-wider", "inside-validated")],
    ),
    "wider than the validated range": (
        [(D, "3 to 5 min, validated", "3 to 9 min, validated")],
        [("mix/mixing-time", "limit-wider", "mix")],
    ),
    "target moved": (
        [(D, "speed: 60 ± 10 rpm", "speed: 62 +8/-12 rpm")],
        [("mix/speed", "target-moved", "mix")],
    ),
    "value changed": (
        [(C, "time: 60 min", "time: 50 min")],
        [("powder", "value-changed", "material")],
    ),
    "side added": (
        [(D, "at most 26 degC", "18 to 26 degC")],
        [("weigh-liquid/room-temperature", "limit-side-added", "narrower")],
    ),
    "side removed": (
        [(D, "speed: 60 ± 10 rpm", "speed: at most 70 rpm")],
        [("mix/speed", "limit-side-removed", "mix")],
    ),
    "reversed": (
        [(D, "amount: at least 30 g", "amount: at most 30 g")],
        [("keep/amount", "limit-reversed", "limit")],
    ),
    "replaced by another kind": (
        [(D, "amount: at least 30 g", "amount: {value: at least 30 cm3, kind: volume}")],
        [("keep/amount", "limit-replaced", "limit")],
    ),
    "wording": (
        [(D, "Stir the paste for 5 min.", "Stir paste for 5 min.")],
        [("mix", "wording", "wording")],
    ),
    "negation lost": (
        [(D, "Do not shake the bowl.", "Do shake the bowl.")],
        [("mix", "meaning", "mix")],
    ),
    "rewritten": (
        [(D, "do: Wipe the labels.", "do: Scrape old paper off.")],
        [("label", "meaning", "work")],
    ),
    "rewritten without guard words": (
        [(D, "do: Pour the liquid into the beaker.", "do: Tip the silicate across.")],
        [("weigh-liquid", "meaning", "work")],
    ),
    "rewritten purpose": (
        [(D, "purpose: Close the end of the sheath.", "purpose: Hold the terminal pins.")],
        [("purpose", "meaning", "explanation")],
    ),
    "rewritten title": (
        [(D, "title: Clean the labels", "title: Polish name plates")],
        [("label", "meaning", "explanation")],
    ),
    "actions in another order": (
        [(D, "[Wipe the bench., Put the tools back.]", "[Put the tools back., Wipe the bench.]")],
        [("sweep", "actions-reordered", "work")],
    ),
    "text added": (
        [(D, "    do: Wipe the labels.\n", "    do: Wipe the labels.\n    why: Ink fades.\n")],
        [("label", "text-added", "explanation")],
    ),
    "text removed": (
        [(D, "    note: The paste warms up while it is mixed.\n", "")],
        [("mix", "text-removed", "explanation")],
    ),
    "method": (
        [(D, "method: syringe", "method: squeeze-bottle")],
        [("fill", "method-replaced", "special-process")],
    ),
    "setting": (
        [(D, "covered: false", "covered: true")],
        [("fill", "step-setting", "special-process")],
    ),
    "label of a container": (
        [(D, "covered: false", "covered: false\n    containers: [{name: cup, label: Paste}]")],
        [("fill", "step-setting", "caution")],
    ),
    "operation": (
        [(D, "  - id: sweep\n    operation: clean", "  - id: sweep\n    operation: inspect")],
        [
            ("sweep", "operation-replaced", "work"),
            ("sweep/bench", "product-or-process", "control-plan"),
        ],
    ),
    "material of a step": (
        [
            (
                D,
                "title: Weigh the powder\n    material: powder",
                "title: Weigh the powder\n    material: liquid",
            )
        ],
        [("weigh-powder", "step-material", "material")],
    ),
    "renamed": (
        [
            (D, "  - id: weigh-powder", "  - id: weigh-solids"),
            (D, "before: [weigh-powder, mix]", "before: [weigh-solids, mix]"),
        ],
        [("weigh-solids", "step-renamed", "document-data")],
    ),
    "equipment replaced": (
        [(D, "with: [oven]", "with: [oven-2]")],
        [("cure", "equipment-replaced", "equipment-of-special-process")],
    ),
    "equipment added and removed": (
        [(D, "with: [bench-scale, bowl]", "with: [bench-scale, timer]")],
        [
            ("weigh-powder", "equipment-removed", "work"),
            ("weigh-powder", "equipment-added", "work"),
        ],
    ),
    "gear of a step": (
        [(D, "gear: [Goggles]", "gear: [Face shield]")],
        [("weigh-liquid", "gear-removed", "caution"), ("weigh-liquid", "gear-added", "caution")],
    ),
    "gear of the document": (
        [(D, "[Safety glasses]", "[Safety glasses, Gloves]")],
        [("protective_gear", "gear-added", "caution")],
    ),
    "records of a step": (
        [
            (
                D,
                'Smooth, no dry lump"}]\n    record: [batch-record]',
                'Smooth, no dry lump"}]\n    record: [fill-log]',
            )
        ],
        [("mix", "record-removed", "control-plan"), ("mix", "record-added", "control-plan")],
    ),
    "kept longer": (
        [(D, "keep: 2 years", "keep: 30 months")],
        [("keep", "kept-longer", "control-plan")],
    ),
    "kept shorter": (
        [(D, "keep: 5 years", "keep: 4 years")],
        [("fill-log", "kept-shorter", "control-plan")],
    ),
    "limit added": (
        [
            (
                D,
                "limits: {amount: at least 30 g}",
                "limits: {amount: at least 30 g, time: at most 5 min}",
            )
        ],
        [("keep/time", "limit-added", "control-plan")],
    ),
    "limit removed": (
        [(D, "      speed: 60 ± 10 rpm\n", "")],
        [("mix/speed", "limit-removed", "mix")],
    ),
    "limit renamed": (
        [(D, "      speed: 60 ± 10 rpm\n", "      paddle speed: 60 ± 10 rpm\n")],
        [("mix/paddle-speed", "limit-renamed", "wording")],
    ),
    "limit moved": (
        [
            (D, "      parts per mix: at most 60 parts\n", ""),
            (
                D,
                "limits: {amount: at least 30 g}",
                "limits: {amount: at least 30 g, parts per mix: at most 60 parts}",
            ),
        ],
        [("keep/parts-per-mix", "limit-moved", "special-process")],
    ),
    "special made": (
        [(D, "speed: 60 ± 10 rpm", "speed: {value: 60 ± 10 rpm, special: function}")],
        [("mix/speed", "special-added", "special-characteristic")],
    ),
    "special replaced": (
        [(D, "special: function", "special: safety")],
        [("weigh-liquid/mass", "special-replaced", "safety-characteristic")],
    ),
    "special lost": (
        [(D, "          special: safety\n", "")],
        [("cure/hold-2", "special-removed", "safety-characteristic")],
    ),
    "special characteristic wider": (
        [(D, "78.0 ± 1.5 g", "78.0 ± 1.6 g")],
        [("weigh-liquid/mass", "limit-wider", "special-characteristic")],
    ),
    "gauge replaced": (
        [(D, "0.5 ± 0.3 mm, gauge: caliper", "0.5 ± 0.3 mm, gauge: micrometer")],
        [("fill/fill-level", "gauge-replaced", "control-plan")],
    ),
    "gauge removed": (
        [(D, "0.5 ± 0.3 mm, gauge: caliper", "0.5 ± 0.3 mm")],
        [("fill/fill-level", "gauge-removed", "control-plan")],
    ),
    "technique": (
        [(D, "method: At arm's length", "method: Under the magnifier")],
        [("look/rim", "technique-replaced", "control-plan")],
    ),
    "sample smaller": (
        [(D, "sample: 5}", "sample: 3}")],
        [("weigh-powder/mass", "sample-smaller", "control-plan")],
    ),
    "less often": (
        [(D, "every: 2 h", "every: 4 h")],
        [("weigh-powder/mass", "less-often", "control-plan")],
    ),
    "more often": (
        [(D, "every: 2 h", "every: 90 min")],
        [("weigh-powder/mass", "more-often", "control-plan")],
    ),
    "another frequency": (
        [(D, "every: 2 h", "every: start of shift")],
        [("weigh-powder/mass", "frequency-changed", "control-plan")],
    ),
    "sampling plan": (
        [(D, "bad: 10 %", "bad: 8 %")],
        [("look/seal", "sampling-plan", "control-plan")],
    ),
    "reaction replaced": (
        [(D, "reaction: refill,", "reaction: discard,")],
        [("fill/fill-level", "reaction-replaced", "control-plan")],
    ),
    "reaction says something else": (
        [(D, "Measure the part again.", "Measure the part twice again.")],
        [("refill", "reaction-content", "control-plan")],
    ),
    "reaction added": (
        [
            (
                D,
                "records:\n  fill-log",
                "  scrap: {title: Scrap, do: Bin it., responsible: operator}\nrecords:\n  fill-log",
            )
        ],
        [("scrap", "reaction-added", "not-used-here")],
    ),
    "stated here": (
        [(D, "speed: 60 ± 10 rpm", "speed: {value: 60 ± 10 rpm, every: batch}")],
        [("mix/speed", "stated-here", "restated")],
    ),
    "responsible": (
        [(D, "speed: 60 ± 10 rpm", "speed: {value: 60 ± 10 rpm, responsible: shift-lead}")],
        [("mix/speed", "responsible-replaced", "control-plan")],
    ),
    "record of a limit": (
        [(D, "record: fill-log}", "record: oven-log}")],
        [("fill/fill-level", "record-replaced", "control-plan")],
    ),
    "record described otherwise": (
        [(D, "where: Line office", "where: Quality office")],
        [("fill-log", "record-content", "control-plan")],
    ),
    "record added": (
        [(D, "references:\n", "  tool-log: {title: Tool log, keep: 1 year}\nreferences:\n")],
        [("tool-log", "record-added", "not-used-here")],
    ),
    "validated range": (
        [(D, "validated: 2 to 8 min", "validated: 2 to 9 min")],
        [("mix/mixing-time", "validated-range", "mix")],
    ),
    "control default removed": (
        [(P, "control_defaults:\n  sample: 1\n", "control_defaults:\n")],
        [("plant", "plant-default", "safety-characteristic")],
    ),
    "hold added": (
        [
            (
                D,
                "      - hold: {at: 150 ± 5 degC, for: 2 to 3 h}\n",
                "      - hold: {at: 150 ± 5 degC, for: 2 to 3 h}\n"
                "      - hold: {at: 60 ± 5 degC, for: 1 to 2 h}\n",
            )
        ],
        [("cure/hold-4", "segment-added", "cure")],
    ),
    "hold shifted": (
        [(D, "      - hold: {at: 150 ± 5 degC", "      - hold: {at: 160 ± 5 degC")],
        [("cure/hold-3", "limit-shifted", "cure")],
    ),
    "hold shifted inside its validated range, marked safety": (
        [(D, HOLD_AT, "          at: 83 ± 5 degC")],
        [("cure/hold-2", "limit-shifted", "safety-characteristic")],
    ),
    "material replaced": (
        [(D, "liquid: liquid.yaml", "liquid: other-liquid.yaml")],
        [("liquid", "material-replaced", "material"), ("files", "other-file", "document-data")],
    ),
    "material added": (
        [(D, "cleaner: cleaner.yaml}", "cleaner: cleaner.yaml, other: other-liquid.yaml}")],
        [("other", "material-added", "hazard-data")],
    ),
    "card": (
        [(C, "family: chemical-setting", "family: hydraulic-setting")],
        [("powder", "material-data", "material")],
    ),
    "card value added": (
        [(C, "shelf_life", "diffusivity: 3e-9 m2/s\nshelf_life")],
        [("powder", "value-added", "material")],
    ),
    "ratio of the card": (
        [(C, "parts: 26 ± 2", "parts: 28 ± 2")],
        [("powder", "limit-shifted", "ratio")],
    ),
    "hazards": ([(C, "[H373]", "[H372]")], [("powder", "hazard-data", "hazard-data")]),
    "sheet of the same content": (
        [(C, "sheet_date: 2025-05-12", "sheet_date: 2026-05-12")],
        [("powder", "hazard-data", "document-data")],
    ),
    "ratio": (
        [(D, "liquid: {value: 26 ± 1", "liquid: {value: 27 ± 1")],
        [("ratio", "limit-shifted", "ratio")],
    ),
    "ratio restated": (
        [(D, "powder: 100\n  liquid: {value: 26 ± 1", "powder: 50\n  liquid: {value: 13 ± 0.5")],
        [("ratio", "restated", "restated"), ("ratio", "restated", "restated")],
    ),
    "reference of the ratio": (
        [(D, "powder: 100\n", "powder: 90\n")],
        [("ratio", "value-changed", "ratio")],
    ),
    "basis of the ratio": ([(D, "by: weight", "by: volume")], [("ratio", "ratio-basis", "ratio")]),
    "part": ([(D, "rev 3", "rev 4")], [("TH-8", "part-data", "reference")]),
    "section": ([(D, "section: 8 mm", "section: 9 mm")], [("TH-8", "value-changed", "part")]),
    "part added": (
        [(D, "materials: {powder", "  - {number: TH-9, name: Other}\nmaterials: {powder")],
        [("TH-9", "part-added", "part")],
    ),
    "batch": ([(D, "parts: 60,", "parts: 80,")], [("batch", "value-changed", "work")]),
    "oven described otherwise": (
        [(P, "control_tolerance: 1 K", "control_tolerance: 2 K")],
        [("oven", "value-changed", "equipment-of-special-process")],
    ),
    "oven with another number": (
        [(P, "tag: OV-1", "tag: OV-7")],
        [("oven", "equipment-replaced", "equipment-of-special-process")],
    ),
    "scale named otherwise": (
        [(P, "name: Bench scale", "name: Scale on the bench")],
        [("bench-scale", "equipment-data", "document-data")],
    ),
    "equipment that is not used": (
        [(P, "capacity: 60 kg", "capacity: 50 kg")],
        [("floor-scale", "equipment-data", "not-used-here")],
    ),
    "another plant": (
        [(P, "plant: test-works", "plant: far-works")],
        [("plant", "plant-replaced", "site")],
    ),
    "elevation": ([(P, "240 m", "1240 m")], [("plant", "value-changed", "climate")]),
    "way to the eye rinse": (
        [(P, "elevation: 240 m", "elevation: 240 m\nemergency: {eye_rinse: 8 s}")],
        [("plant", "value-added", "caution")],
    ),
    "approvals": (
        [(P, "approvals: [quality-engineer]", "approvals: [shift-lead]")],
        [("plant", "plant-data", "plant-policy")],
    ),
    "name of the plant": (
        [(P, "name: Test works", "name: Trial works")],
        [("plant", "plant-data", "document-data")],
    ),
    "caution offered": (
        [(P, "hazard: Nothing here.", "hazard: Nothing there.")],
        [("unused", "caution-library", "not-used-here")],
    ),
    "caution added": (
        [(D, "waivers:\n", "  - {topic: unused, signal: warning}\nwaivers:\n")],
        [("unused", "caution-added", "caution")],
    ),
    "caution removed": (
        [(D, "  - {topic: hot, before: [cure]}\n", "")],
        [("hot", "caution-removed", "caution")],
    ),
    "notice removed": (
        [(D, "  - {topic: thin, before: [weigh-liquid]}\n", "")],
        [("thin", "caution-removed", "product-caution")],
    ),
    "signal word lowered": (
        [(D, "  - {topic: dust,", "  - {topic: dust, signal: caution,")],
        [("dust", "caution-weakened", "caution")],
    ),
    "signal word raised": (
        [(D, "  - {topic: hot,", "  - {topic: hot, signal: danger,")],
        [("hot", "caution-strengthened", "caution")],
    ),
    "avoidance shortened": (
        [(P, "running hood. Close it at once.", "running hood.")],
        [("dust", "caution-weakened", "caution"), ("dust", "caution-library", "not-used-here")],
    ),
    "caution reworded": (
        [(D, "  - {topic: hot,", "  - {topic: hot, avoid: Use the tongs.,")],
        [("hot", "caution-reworded", "caution")],
    ),
    "caution after its step": (
        [(D, "  - {topic: hot, before: [cure]}", "  - {topic: hot, before: [look]}")],
        [("hot", "caution-later", "caution")],
    ),
    "caution before an earlier step": (
        [(D, "  - {topic: hot, before: [cure]}", "  - {topic: hot, before: [mix]}")],
        [("hot", "caution-earlier", "caution")],
    ),
    "caution off a step": (
        [(D, "before: [weigh-powder, mix]", "before: [weigh-powder]")],
        [("dust", "caution-off-step", "caution")],
    ),
    "caution before one step more": (
        [(D, "before: [weigh-powder, mix]", "before: [weigh-powder, mix, keep]")],
        [("dust", "caution-before-step", "caution")],
    ),
    "waiver extended": (
        [(D, "until: 2027-03-31", "until: 2028-03-31")],
        [("wording.vague@look", "waiver-extended", "waiver")],
    ),
    "waiver shortened": (
        [(D, "until: 2027-03-31", "until: 2027-01-31")],
        [("wording.vague@look", "waiver-shortened", "waiver")],
    ),
    "waiver reworded": (
        [(D, "Agreed with the floor.", "Agreed.")],
        [("wording.vague@look", "waiver-reworded", "waiver")],
    ),
    "waiver added": (
        [
            (
                D,
                "waivers:\n",
                "waivers:\n"
                "  - {finding: caution.missing, at: mix, "
                "why: No., by: R. Example, until: 2027-01-01}\n",
            )
        ],
        [("caution.missing@mix", "waiver-added", "safety-waiver")],
    ),
    "title": (
        [(D, "title: Seal the end", "title: Close the end")],
        [("title", "document-data", "document-data")],
    ),
    "phase": (
        [(D, "phase: production", "phase: pre-launch")],
        [("phase", "document-data", "control-plan")],
    ),
    "change note": (
        [(D, "summary: Longer hold", "summary: Hold made longer")],
        [("change", "change-note", "document-data")],
    ),
    "history": (
        [(D, "summary: First issue", "summary: First release")],
        [("A", "history", "document-data")],
    ),
    "edition": (
        [(D, 'edition: "2001"', 'edition: "2026"')],
        [("EN 1", "reference-edition", "reference")],
    ),
    "reference removed": (
        [(D, '  - {id: EN 2, edition: "2005", title: Another standard, issuer: CEN}\n', "")],
        [("EN 2", "reference-removed", "reference")],
    ),
    "references in another order": (
        [
            (D, '  - {id: EN 1, edition: "2001", title: A standard, issuer: CEN}\n', ""),
            (
                D,
                "issuer: CEN}\nsteps:",
                "issuer: CEN}\n"
                '  - {id: EN 1, edition: "2001", title: A standard, issuer: CEN}\nsteps:',
            ),
        ],
        [("references", "listed-otherwise", "document-data")],
    ),
    "picture replaced": (
        [(D, "file: seal.svg", "file: other.svg")],
        [("fill", "picture-removed", "work"), ("fill", "picture-added", "work")],
    ),
    "picture shows something else": (
        [("seal.svg", "9v9", "7v7")],
        [("fill", "picture-replaced", "work")],
    ),
    "block described otherwise": (
        [(B, "title: Roll a container\n", "title: Roll a can\n")],
        [("blocks", "block-text", "document-data")],
    ),
    "block called otherwise": (
        [(B, "block: roll\n", "block: roll-can\n")],
        [("reblend.roll", "block-replaced", "document-data")],
    ),
}


def outcome(comparison: Comparison) -> list[Expected]:
    return [(change.subject, change.kind, change.rule) for change in comparison.changes]


@pytest.fixture(scope="module")
def case(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Comparison]:
    """Compare the two revisions of a case, once for all tests that look at it."""
    return cache(lambda name: compared(tmp_path_factory.mktemp("case"), *CASES[name][0]))


@pytest.mark.parametrize("name", CASES)
def test_a_change_is_called_by_its_kind(name: str, case: Callable[[str], Comparison]) -> None:
    expected = CASES[name][1]
    found = outcome(case(name))
    assert sorted(found) == sorted(expected)


@pytest.mark.parametrize("name", CASES)
def test_exchanged_revisions_give_the_mirrored_changes(
    name: str, case: Callable[[str], Comparison]
) -> None:
    there = case(name)
    back = compare(there.after, there.before)

    def bare(comparison: Comparison, *, mirror: bool) -> list[str]:
        kept = (c for c in comparison.changes if c.covers[0][0] not in ("files", "blocks"))
        changes = (mirrored(change) if mirror else change for change in kept)
        return sorted(
            repr((c.kind, c.before, c.after, sorted(map(repr, c.covers)))) for c in changes
        )

    assert bare(back, mirror=False) == bare(there, mirror=True)


def test_every_kind_and_rule_is_one_that_the_tables_name() -> None:
    for name, (_, expected) in CASES.items():
        for _, kind, rule in expected:
            assert kind in KINDS, name
            assert rule in RULES, name


def test_waivers_and_comparison_agree_on_what_is_about_safety() -> None:
    assert waivers._SAFETY == SAFETY


def test_the_mirror_of_a_mirror_is_the_kind_itself() -> None:
    for kind in KINDS.values():
        assert KINDS[KINDS[kind.mirror].mirror] == kind


def test_a_definition_does_not_differ_from_itself(tmp_path: Path) -> None:
    assert compared(tmp_path).changes == ()


def test_spans_lead_to_the_field_in_both_files(tmp_path: Path) -> None:
    (change,) = compared(tmp_path, (D, HOLD_AT, "          at: 84 ± 5 degC")).changes
    for span, text in ((change.before_span, "82 ± 5 degC"), (change.after_span, "84 ± 5 degC")):
        assert span is not None
        folder = tmp_path / ("before" if text.startswith("82") else "after")
        line = (folder / span.file).read_text(encoding="utf-8").splitlines()[span.line - 1]
        assert line[span.column - 1 : span.end_column - 1] == text


def test_without_the_sources_a_change_is_placed_at_its_object(tmp_path: Path) -> None:
    there = compared(tmp_path, (C, "density: 3.4", "density: 3.5"))
    change = compare(there.before, there.after).changes[0]
    assert change.after_span is not None
    assert change.after_span.file == "powder.yaml"
    assert replace(change.after_span, line=1, column=1) != there.changes[0].after_span


def test_the_earlier_revision_may_be_read_from_another_file(tmp_path: Path) -> None:
    compared(tmp_path)
    same = resolved(tmp_path / "before")[0], resolved(tmp_path / "after")[0]
    assert compare(*same).changes == ()
