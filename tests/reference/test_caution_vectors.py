"""
Situations of the trade, and the cautions that must be called for in them.

Beside each stands who asks for it: `read`, `from memory`, or `common practice, no source`.
"""

from collections.abc import Iterable
from pathlib import Path

import pytest

from speccomp.cautions.coverage import Coverage, Verdict, build_coverage
from speccomp.derive import derive
from speccomp.findings import Finding
from speccomp.model.process import Process
from speccomp.pipeline import Checked, caution_coverage_of, check_file
from tests.cautions import situations as s
from tests.cautions.situations import Situation, step
from tests.rules.fragments import TODAY, write_project


def checked(folder: Path, situation: Situation, more: str = "") -> Checked:
    """Check a situation; a card with a composition has no sheet, so that it is inferred."""
    fragment = situation.fragment
    path = write_project(folder, f"{more}\n{fragment}" if more else fragment)
    for name in ("powder", "liquid", "cleaner"):
        card = folder / f"{name}.yaml"
        text = card.read_text(encoding="utf-8")
        own = getattr(situation, name)
        if "composition:" in own and "hazards:" not in own:
            kept = [line for line in text.splitlines() if not line.startswith("hazards:")]
            card.write_text("\n".join(kept) + "\n", encoding="utf-8")
    result = check_file(path, TODAY, folder)
    assert result.process is not None, [f"{f.rule}: {f.message}" for f in result.findings]
    return result


def coverage(folder: Path, situation: Situation) -> Coverage:
    process = checked(folder, situation).process
    assert process is not None
    return covered(process)


def covered(process: Process) -> Coverage:
    return build_coverage(process, derive(process).boiling_point)


def called(found: Coverage) -> set[tuple[str, str]]:
    """Return what is called for, each topic with its word."""
    return {(row.topic.id, row.signal.value) for row in found.rows}


def topics(found: Coverage) -> set[str]:
    return {row.topic.id for row in found.rows}


def rules(findings: Iterable[Finding]) -> set[str]:
    return {finding.rule for finding in findings}


ACID_85 = s.holds("phosphoric-acid 85", "water 15")
WEIGH_POWDER = step("weigh", "Weigh it.", "material: powder", "with: [bench-scale]")
FAST_OVEN = step(
    "cure",
    "Start the oven.",
    "method: oven",
    "with: [oven]",
    "profile: [{ramp: {to: 150 ± 3 degC, at: 2 to 2.5 K/min}}, "
    "{hold: {at: 150 ± 3 degC, for: 1 to 2 h}}]",
    ident="cure",
)
DRIED_OVEN = step(
    "cure",
    "Start the oven.",
    "method: oven",
    "with: [oven]",
    "profile: [{hold: {at: 82 ± 3 degC, for: 16 to 17 h}}, "
    "{ramp: {to: 150 ± 3 degC, at: 0.5 to 1 K/min}}]",
    ident="cure",
)

# Situation, what must be called for with its word. Sources in the order of the list.
CALLED: dict[str, tuple[Situation, set[tuple[str, str]]]] = {
    # CLP Annex VI, limits of phosphoric acid (read); 29 CFR 1910.151 (c) (read).
    "acid of 85 % mixed": (
        Situation(s.MIX, "", "", liquid=ACID_85),
        {("acid-splash", "warning"), ("eye-wash", "warning")},
    ),
    # The same limits: nothing below 10 %; an acid of unknown pH still gets its caution (own rule).
    "acid of 9.9 % mixed": (
        Situation(s.MIX, "", "", liquid=s.holds("phosphoric-acid 9.9", "water 90")),
        {("acid-splash", "caution"), ("eye-wash", "warning")},
    ),
    # 29 CFR 1910.1053 (a), (b) (read); (h) (read in its twin for construction).
    "quartz of 40 % weighed and cleaned": (
        Situation(
            WEIGH_POWDER + s.MIX + step("clean", "Wipe the bench.", ident="c"),
            "",
            "",
            powder=s.holds("crystalline-silica 40", "alumina 60"),
        ),
        {("silica-dust", "warning"), ("no-dry-sweep", "warning")},
    ),
    # The same: the air counts, not the label, so that half a per cent is enough.
    "quartz of 0.5 % weighed": (
        Situation(WEIGH_POWDER, "", "", powder=s.holds("crystalline-silica 0.5", "alumina 99")),
        {("silica-dust", "warning")},
    ),
    "quartz of 5 % weighed": (
        Situation(WEIGH_POWDER, "", "", powder=s.holds("crystalline-silica 5", "alumina 95")),
        {("silica-dust", "warning")},
    ),
    # 29 CFR 1910.1053 (b), action level (read); (d) to (i) (from memory).
    "quartz of 40 % weighed under OSHA": (
        Situation(
            WEIGH_POWDER,
            "",
            "",
            powder=s.holds("crystalline-silica 40", "alumina 60"),
            plant="local_codes: us",
        ),
        {("silica-plan", "warning")},
    ),
    # CLP P261, P272, P280 (read).
    "epoxy of 30 % applied": (
        Situation(
            step("apply", "Brush it on.", "method: brush", "material: liquid"),
            "",
            "",
            liquid="family: organic\n" + s.holds("epoxy-resin 30", "alumina 70"),
        ),
        {("sensitiser-skin", "warning")},
    ),
    # CLP P284 (read); limit of MDI from memory.
    "isocyanate of 1 % applied": (
        Situation(
            step("apply", "Brush it on.", "method: brush", "material: liquid"),
            "",
            "",
            liquid="family: organic\n" + s.holds("mdi 1", "alumina 99"),
        ),
        {("isocyanate-resp", "warning")},
    ),
    # A trade guideline for cement data sheets (read in part).
    "grout with 30 % Portland cement and water": (
        Situation(
            s.MIX, "", "", powder="family: hydraulic-setting\n" + s.holds("portland-cement 30")
        ),
        {("wet-cement-burn", "warning"), ("eye-wash", "warning")},
    ),
    # Common practice, no source.
    "oven straight to 150 °C": (
        Situation(s.MIX + FAST_OVEN, "", ""),
        {("no-boil", "notice"), ("steam-eruption", "warning")},
    ),
    "oven to 150 °C after a drying hold": (
        Situation(s.MIX + DRIED_OVEN, "", ""),
        {("no-boil", "notice"), ("steam-eruption", "warning")},
    ),
    # CLP P260 (read).
    "silicate sprayed": (
        Situation(
            step("spray", "Spray it.", "material: liquid"),
            "",
            "",
            liquid=s.holds("sodium-silicate 30", "water 70"),
        ),
        {("spray-mist", "warning"), ("alkali-splash", "warning"), ("eye-wash", "warning")},
    ),
    # NIOSH Pocket Guide (read): acid makes hydrogen on metals.
    "phosphate liquid in an aluminium cup": (
        Situation(
            step("weigh", "Weigh it.", "material: liquid", "with: [bench-scale, spatula]"),
            "",
            "",
            liquid=ACID_85,
            plant=s.spatula(material="aluminium"),
        ),
        {("acid-metal-hydrogen", "warning")},
    ),
    # A maker's silicate data sheet (read): ammonium salts give off ammonia with alkalis.
    "ammonium phosphate with magnesia": (
        Situation(
            s.MIX,
            "",
            "",
            powder=s.holds("ammonium-dihydrogen-phosphate 50"),
            liquid=s.holds("magnesium-oxide 50"),
        ),
        {("ammonia-release", "warning")},
    ),
    # 29 CFR 1910.1053 (a) (read); common practice.
    "disc with quartz broken": (
        Situation(
            s.MIX + s.CURE + step("check-discs", "Break the disc."),
            "",
            "",
            powder=s.holds("crystalline-silica 3", "zircon 97"),
        ),
        {
            ("disc-break-fragments", "caution"),
            ("disc-break-dust", "warning"),
            ("disc-acceptance", "notice"),
        },
    ),
    # EN 50191 (from memory); common practice.
    "high voltage before dry-out": (
        Situation(
            s.MIX
            + step("test", "Test it.", "method: IEC 60243-1", "limits: {test voltage: 2 ± 0.1 kV}"),
            "",
            "",
        ),
        {("dielectric-after-dryout", "notice"), ("hv-test", "danger")},
    ),
    # 29 CFR 1910.1200 (f) (6), (f) (8) (read as quoted).
    "decanted without a label": (
        Situation(step("weigh", "Decant it.", "material: liquid"), "", "", liquid=s.sheet("H319")),
        {("label-secondary", "warning")},
    ),
    # 29 CFR 1910.1200 (f) (7) (read as quoted).
    "mixed in a fixed tank": (
        Situation(
            step("mix", "Mix it.", "with: [spatula]"),
            "",
            "",
            liquid=s.sheet("H319"),
            plant=s.spatula("tank"),
        ),
        {("batch-ticket-as-label", "warning")},
    ),
    # NFPA 86 (secondary source).
    "alcohol paste into an oven without exhaust": (
        Situation(
            s.BRUSH + s.CURE,
            "",
            "",
            liquid="family: air-setting\nform: paste\n" + s.holds("propan-2-ol 40", "alumina 60"),
        ),
        {("oven-solvent", "danger")},
    ),
    "alcohol paste into a vented oven": (
        Situation(
            s.BRUSH + s.CURE,
            "",
            "",
            liquid="family: air-setting\nform: paste\n" + s.holds("propan-2-ol 40", "alumina 60"),
            plant=s.oven("vented: true"),
        ),
        {("oven-solvent", "warning")},
    ),
    # Generic limit 0.3 % in force since 17 December 2022 (read).
    "borax of 1 % weighed": (
        Situation(WEIGH_POWDER, "", "", powder=s.holds("borax 1", "magnesium-oxide 60")),
        {("borate-repro", "warning")},
    ),
    # CLP Annex VI (from memory).
    "fluorosilicate beside an acid of 30 %": (
        Situation(
            WEIGH_POWDER,
            "",
            "",
            powder=s.holds("sodium-fluorosilicate 10", "alumina 90"),
            liquid=s.holds("phosphoric-acid 30", "water 70"),
        ),
        {("fluorosilicate-hf", "danger")},
    ),
    # Common practice, no source.
    "epoxy batch of 2 kg where 0.5 kg is allowed": (
        Situation(
            s.PEOPLE["exotherm-mass"].steps + step("dispose", "Put the rest in the tray."),
            "",
            "",
            liquid=s.PEOPLE["exotherm-mass"].liquid,
            powder="family: organic",
        ),
        {
            ("exotherm-mass", "warning"),
            ("batch-size", "notice"),
            ("disposal-hot-mass", "warning"),
        },
    ),
    "paste applied from an open can": (
        Situation(s.BRUSH, "", "", liquid=s.PASTE),
        {("keep-paste-covered", "notice")},
    ),
    "sealer on a wet part, then the oven": (
        Situation(
            s.MIX
            + step("apply", "Brush the sealer on.", "method: brush")
            + step(
                "cure",
                "Start the oven.",
                "method: oven",
                "with: [oven]",
                "profile: [{hold: {at: 200 ± 5 degC, for: 1 to 2 h}}]",
                ident="cure",
            ),
            "",
            "",
        ),
        {("no-seal-before-dry", "notice"), ("steam-eruption", "warning")},
    ),
    # 29 CFR 1910.134 (f), (g) (read as quoted).
    "half mask worn": (
        Situation(step("inspect", "Look.", "gear: ['Half mask EN 140']"), "", ""),
        {("respirator-program", "warning")},
    ),
    # ISO 13732-1 (from memory): metal of 55 °C burns within 10 s.
    "metal tray of 55 °C taken out": (
        Situation(
            s.FILL
            + step(
                "cure",
                "Wait.",
                "method: oven",
                "with: [oven]",
                "profile: [{hold: {at: 52 ± 3 degC, for: 1 to 2 h}}]",
            ),
            "",
            "",
        ),
        {("oven-hot-surface", "caution")},
    ),
}


@pytest.mark.parametrize("name", CALLED)
def test_what_a_situation_calls_for(name: str, tmp_path: Path) -> None:
    situation, expected = CALLED[name]
    assert expected <= called(coverage(tmp_path, situation))


# Source: NIOSH Publication 94-110, load constant 23 kg or 51 lb (read): at the limit it is allowed.
LIFTED = [("25 kg", True), ("23 kg", False), ("20 kg", False), ("51 lb", True), ("50 lb", False)]


@pytest.mark.parametrize(("mass", "heavy"), LIFTED)
def test_lifting(mass: str, heavy: bool, tmp_path: Path) -> None:
    text = step("weigh", "Weigh it.", "material: powder", f"limits: {{mass: at most {mass}}}")
    assert ("lift-23kg" in topics(coverage(tmp_path, Situation(text, "", "")))) is heavy


# Order, and the topic that forbids it. Sources: 29 CFR 1926.1153 (f) (1) and 29 CFR 1910.242 (b)
# (read); the others common practice, no source.
FORBIDDEN = [
    (
        Situation(
            s.MIX + step("clean", "Sweep up the dust."),
            "",
            "",
            powder=s.holds("crystalline-silica 3", "zircon 97"),
        ),
        "no-dry-sweep",
    ),
    (Situation(step("clean", "Blow off the bench with 90 psi."), "", ""), "air-blowoff-30psi"),
    (
        Situation(
            step("weigh", "Weigh it and thin with a little water.", "material: liquid"), "", ""
        ),
        "no-extra-water",
    ),
    (
        Situation(
            s.MIX
            + step("dispense", "Add liquid and re-mix after the pot life.", "method: syringe"),
            "",
            "",
        ),
        "no-retemper",
    ),
    (
        Situation(s.CURE + step("cool", "Quench the parts in the tub."), "", ""),
        "no-water-on-hot",
    ),
]


@pytest.mark.parametrize(
    ("situation", "topic"), FORBIDDEN, ids=lambda v: v if isinstance(v, str) else ""
)
def test_an_order_that_a_topic_forbids(situation: Situation, topic: str, tmp_path: Path) -> None:
    findings = [
        f for f in checked(tmp_path, situation).findings if f.rule == "caution.contradicted"
    ]
    assert topic in {finding.subject.rpartition("/")[2] for finding in findings}


def test_an_instruction_not_to_is_no_order(tmp_path: Path) -> None:
    text = Situation(
        s.MIX + step("clean", "Never sweep the bench."),
        "",
        "",
        powder=s.holds("crystalline-silica 3", "zircon 97"),
    )
    assert "caution.contradicted" not in rules(checked(tmp_path, text).findings)


def test_a_pot_is_opened_without_a_word_about_its_pressure(tmp_path: Path) -> None:
    # Source: 29 CFR 1910.169 (from memory).
    text = Situation(step("clean", "Open the lid.", "with: [spray-pot]"), "", "", plant=s.POT)
    missing = [f for f in checked(tmp_path, text).findings if f.rule == "caution.missing"]
    assert "pressure-pot-open" in {finding.subject for finding in missing}


def test_a_notice_about_burnt_skin_is_refused(tmp_path: Path) -> None:
    # Source: ANSI Z535.6 (secondary source): notice is not about people.
    more = (
        "cautions:\n  - {topic: rim, signal: notice, hazard: The rim is hot., "
        "consequence: It may burn the skin., avoid: Wear gloves., before: [s]}"
    )
    found = checked(tmp_path, Situation(step("inspect", "Look."), "", ""), more)
    assert "caution.text-against-word" in rules(found.findings)


def test_a_warning_without_hazard_and_consequence_is_refused(tmp_path: Path) -> None:
    # Source: ANSI Z535.6 and IEC/IEEE 82079-1 (secondary sources): hazard, consequence, avoidance.
    more = "cautions:\n  - {topic: rim, signal: warning, avoid: Wear gloves.}\n"
    path = write_project(tmp_path, more)
    assert "caution.incomplete" in rules(check_file(path, TODAY, tmp_path).findings)


def test_steam_is_refused_and_warned_of(tmp_path: Path) -> None:
    # Common practice, no source; boiling point by IAPWS-IF97 at the plant's elevation.
    found = checked(tmp_path, Situation(s.MIX + FAST_OVEN, "", ""))
    assert "cure.steam" in rules(found.findings)
    assert found.process is not None
    rows = covered(found.process).of_topic("steam-eruption")
    assert [(row.place, row.verdict) for row in rows] == [("cure", Verdict.MISSING)]


# Longest time from mixing by the limit of a step, and whether a plant's topic from 20 min is called
# for. Common practice, no source: a mix in the nozzle or the cup gets hotter the longer it stands.
AGES = [
    ("at most 25 min", True),
    ("20 ± 1 min", True),
    ("at most 19.5 min", False),
    ("at most 0.5 h", True),
]


@pytest.mark.parametrize(("age", "old"), AGES)
def test_time_from_mixing(age: str, old: bool, tmp_path: Path) -> None:
    text = s.MIX + step(
        "dispense", "Fill it.", "method: syringe", f"limits: {{time since mixing: {age}}}"
    )
    more = (
        "# plant.yaml\ncaution_packs: [pack.yaml]\n# pack.yaml\ncaution_pack: own\ntitle: Own\n"
        "topics:\n  - {topic: old-mix, title: Old mix, signal: caution, stands: before each step, "
        "when: [{since_mixing: at least 20 min}], hazard: The mix is hot., "
        "consequence: It burns the skin., avoid: Use a cold tray., source: own}\n"
    )
    fragment = Situation(text, "", "").fragment + more
    path = write_project(tmp_path, fragment)
    process = check_file(path, TODAY, tmp_path).process
    assert process is not None
    assert ("old-mix" in topics(covered(process))) is old


def test_steam_is_warned_of_also_where_the_drying_hold_is_right(tmp_path: Path) -> None:
    # Common practice, no source: shortened by anyone, the hold no longer protects.
    situation = Situation(s.MIX + DRIED_OVEN, "", "")
    assert "cure.steam" not in rules(checked(tmp_path, situation).findings)
    rows = coverage(tmp_path, situation).of_topic("steam-eruption")
    assert [row.verdict for row in rows] == [Verdict.MISSING]


def test_high_voltage_before_dry_out_is_refused(tmp_path: Path) -> None:
    # Common practice, no source; the danger of the voltage by EN 50191 (from memory).
    steps = CALLED["high voltage before dry-out"][0].steps + s.CURE
    found = checked(tmp_path, Situation(steps, "", ""))
    assert "test.electrical-before-dry" in rules(found.findings)


def test_ventilation_that_nobody_states_is_an_assumption(tmp_path: Path) -> None:
    # A maker's silicate data sheet (read), common practice: ammonia is worse where no air moves.
    found = checked(tmp_path, CALLED["ammonium phosphate with magnesia"][0])
    (said,) = [one for one in caution_coverage_of(found).assumptions if "ventilated" in one]
    assert said.startswith("Ammonia gas: ")
    other = checked(tmp_path, CALLED["disc with quartz broken"][0])
    assert not any("ventilated" in one for one in caution_coverage_of(other).assumptions)
