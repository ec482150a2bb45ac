"""Each kind of fact that a caution hangs on: the topic is called for with it, and not without."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.cautions import situations as s
from tests.cautions.situations import Situation, step
from tests.reference.test_caution_vectors import coverage, topics

WEIGH = step("weigh", "Weigh it.", "material: liquid", "with: [bench-scale]")
WEIGH_POWDER = step("weigh", "Weigh it.", "material: powder", "with: [bench-scale]")
PLAIN = "name: Liquid seven\nmaterial: liquid-seven\n"


def of(steps: str, **files: str) -> Situation:
    return Situation(steps, "", "", **files)


def oven_at(temperature: str) -> str:
    profile = f"profile: [{{hold: {{at: {temperature}, for: 2 to 3 h}}}}]"
    return step("cure", "Start.", "method: oven", "with: [oven]", profile, ident="cure")


def weighed(grams: str) -> str:
    mass = f"limits: {{mass: {grams}}}"
    return (
        step("weigh", "Weigh it.", "material: powder", mass, ident="a")
        + step("weigh", "Weigh it.", "material: liquid", "limits: {mass: 50 ± 1 g}", ident="b")
        + s.MIX
    )


ALCOHOL_PASTE = "family: air-setting\nform: paste\n" + s.holds("propan-2-ol 40", "alumina 60")
RESIN = {"liquid": s.EPOXY, "powder": "family: organic"}

# Kind of fact, topic, with it, without it.
PAIRS: dict[str, tuple[str, Situation, Situation]] = {
    "hazard code": (
        "eye-wash",
        of(WEIGH, liquid=PLAIN + s.sheet("H318")),
        of(WEIGH, liquid=PLAIN + s.sheet("H302")),
    ),
    "hazard class by composition": (
        "borate-repro",
        of(WEIGH_POWDER, powder=s.holds("borax 0.3", "zircon 99")),
        of(WEIGH_POWDER, powder=s.holds("borax 0.29", "zircon 99")),
    ),
    "physical form": (
        "nuisance-dust",
        of(WEIGH_POWDER, powder=s.holds("alumina 100")),
        of(WEIGH_POWDER, powder="form: paste\n" + s.holds("alumina 100")),
    ),
    "operation": (
        "spray-mist",
        of(step("spray", "Spray it.")),
        of(step("apply", "Brush it on.", "method: brush")),
    ),
    "temperature": ("oven-hot-surface", of(oven_at("46 ± 2 degC")), of(oven_at("44 ± 2 degC"))),
    "pressure": (
        "pressure-pot-open",
        of(step("clean", "Open the lid.", "with: [spray-pot]"), plant=s.POT),
        of(
            step("clean", "Open the lid.", "with: [spray-pot]"),
            plant=s.POT.replace("50 to 400 kPa", "5 to 20 kPa"),
        ),
    ),
    "kind of mixer": (
        "drill-mixer-kick",
        of(step("mix", "Mix it.", "with: [spatula]"), plant=s.spatula("hand-held")),
        of(step("mix", "Mix it.", "with: [spatula]"), plant=s.spatula("rotating")),
    ),
    "grinding": (
        "silica-dust-cured",
        of(s.MIX + s.CURE + step("inspect", "Grind the edge."), powder=s.SILICA),
        of(s.MIX + s.CURE + step("inspect", "Look at the edge."), powder=s.SILICA),
    ),
    "breaking": (
        "disc-break-fragments",
        of(s.MIX + s.CURE + step("check-discs", "Break the disc.")),
        of(s.MIX + s.CURE + step("check-discs", "Judge the disc.")),
    ),
    "mass lifted": (
        "lift-23kg",
        of(
            step("store", "Put it away.", "material: powder"),
            powder="packs: [{name: bag, holds: 22 kg}]",
        ),
        of(
            step("store", "Put it away.", "material: powder"),
            powder="packs: [{name: bag, holds: 21 kg}]",
        ),
    ),
    "water near hot parts": (
        "no-water-on-hot",
        of(s.FILL + oven_at("105 ± 4 degC") + step("cool", "Wait.")),
        of(s.FILL + oven_at("90 ± 4 degC") + step("cool", "Wait.")),
    ),
    "compressed air": (
        "air-blowoff-30psi",
        of(step("clean", "Blow the bench free with compressed air.")),
        of(step("clean", "Wipe the bench.")),
    ),
    "amount of a batch": (
        "exotherm-mass",
        of(weighed("600 ± 5 g"), **RESIN),
        of(weighed("300 ± 5 g"), **RESIN),
    ),
    "amount of a liquid": (
        "safety-shower",
        of(WEIGH, liquid=s.sheet("H314") + "\npacks: [{name: can, holds: 5 L}]"),
        of(WEIGH, liquid=s.sheet("H314") + "\npacks: [{name: can, holds: 4 L}]"),
    ),
    "voltage": (
        "hv-test",
        of(step("test", "Test it.", "limits: {test voltage: 500 ± 20 V}", "method: by drawing")),
        of(step("test", "Test it.", "limits: {test voltage: 24 ± 2 V}", "method: by drawing")),
    ),
    "material of a vessel": (
        "silicate-reactive-metal",
        of(
            step("weigh", "Weigh it.", "material: liquid", "with: [spatula]"),
            liquid=s.SILICATE,
            plant=s.spatula(material="galvanised steel"),
        ),
        of(
            step("weigh", "Weigh it.", "material: liquid", "with: [spatula]"),
            liquid=s.SILICATE,
            plant=s.spatula(material="stainless steel"),
        ),
    ),
    "wet part": (
        "dielectric-after-dryout",
        of(
            s.MIX
            + step("test", "Test it.", "limits: {test voltage: 500 ± 20 V}", "method: by drawing")
        ),
        of(
            s.MIX
            + s.CURE
            + step("test", "Test it.", "limits: {test voltage: 500 ± 20 V}", "method: by drawing")
        ),
    ),
    "local codes": (
        "silica-plan",
        of(WEIGH_POWDER, powder=s.SILICA, plant="local_codes: us"),
        of(WEIGH_POWDER, powder=s.SILICA, plant="local_codes: eu"),
    ),
    "what stands beside": (
        "silicate-acid-contact",
        of(WEIGH, liquid=s.SILICATE, cleaner=s.ACID),
        of(WEIGH, liquid=s.SILICATE, cleaner=s.ALCOHOL),
    ),
}


@pytest.mark.parametrize("kind", PAIRS)
def test_a_topic_hangs_on_the_fact(kind: str, tmp_path: Path) -> None:
    topic, with_it, without = PAIRS[kind]
    found = []
    for name, situation in (("with", with_it), ("without", without)):
        folder = tmp_path / name
        folder.mkdir()
        found.append(topic in topics(coverage(folder, situation)))
    assert found == [True, False]


def test_a_vented_oven_makes_solvent_less_grave(tmp_path: Path) -> None:
    words = []
    for vented in (False, True):
        situation = of(s.BRUSH + s.CURE, liquid=ALCOHOL_PASTE)
        if vented:
            situation = replace(situation, plant=s.oven("vented: true"))
        folder = tmp_path / str(vented)
        folder.mkdir()
        rows = coverage(folder, situation).of_topic("oven-solvent")
        words.append([row.signal.value for row in rows])
    assert words == [["danger"], ["warning"]]
