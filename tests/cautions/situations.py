"""
One situation for each topic of the built-in packs: a fragment, the step, the word asked for.

A fragment replaces keys of the base project; `# file.yaml` begins what is for another file.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Situation:
    """Keys for the files, the step that calls for the topic (empty: up front), and the word."""

    steps: str
    place: str
    word: str
    powder: str = ""
    liquid: str = ""
    cleaner: str = ""
    plant: str = ""

    @property
    def fragment(self) -> str:
        """All of it as one fragment."""
        parts = ["steps:\n" + self.steps]
        for name in ("powder", "liquid", "cleaner", "plant"):
            text = getattr(self, name)
            if text:
                parts.append(f"# {name}.yaml\n{text}")
        return "\n".join(parts) + "\n"


def step(operation: str, do: str = "Do the work.", *lines: str, ident: str = "s") -> str:
    """Return the text of one step."""
    rest = "".join(f"    {line}\n" for line in lines)
    return f"  - id: {ident}\n    operation: {operation}\n    do: {do}\n{rest}"


def holds(*parts: str) -> str:
    """Return a composition, each part as `substance share`."""
    pairs = (part.rsplit(" ", 1) for part in parts)
    entries = ", ".join(f"{{substance: {name}, fraction: {share} %}}" for name, share in pairs)
    return f"composition: [{entries}]"


def sheet(*codes: str) -> str:
    """Return the statements of a safety data sheet."""
    return f"hazards: {{statements: [{', '.join(codes)}], sheet_date: 2025-05-12}}"


def spatula(*features: str, material: str = "") -> str:
    """Return the plant's spatula with features, or made of something."""
    more = f", features: [{', '.join(features)}]" if features else f", material: {material}"
    return f"equipment:\n  spatula: {{type: tool, name: Steel spatula{more}}}"


def oven(*fields: str) -> str:
    """Return the plant's oven with more fields."""
    return (
        "equipment:\n  oven: {type: oven, name: Air oven, range: 40 to 300 degC, "
        "non_uniformity: 2 K, control_tolerance: 1 K, sensor_error: 0.5 K"
        + "".join(f", {field}" for field in fields)
        + "}"
    )


POT = (
    "equipment:\n"
    "  spray-pot: {type: sprayer, name: Spray pot, range: 50 to 400 kPa}\n"
    "  chamber: {type: vacuum-chamber, name: Vacuum chamber, range: 1 to 101 kPa}"
)
HEAT = "profile: [{hold: {at: 150 ± 5 degC, for: 2 to 3 h}}]"
WARM = "profile: [{hold: {at: 80 ± 4 degC, for: 2 to 3 h}}]"
IN_OVEN = ("method: oven", "with: [oven]")
MIX = step("mix", "Mix it.", "with: [mixer]", ident="mix")
BRUSH = step("apply", "Brush it on.", "method: brush", "material: liquid")
FILL = step("dispense", "Fill the part.", "method: syringe", ident="fill")
CURE = step("cure", "Start the oven.", *IN_OVEN, HEAT, ident="cure")
ACID = holds("phosphoric-acid 50", "water 50")
SILICATE = holds("potassium-silicate 40")
ALCOHOL = holds("propan-2-ol 100")
SILICA = holds("zircon 97", "crystalline-silica 3")
EPOXY = "family: organic\n" + holds("epoxy-resin 100")
PASTE = "family: air-setting\nform: paste\n" + holds("sodium-silicate 15", "alumina 60")

_WEIGH = step("weigh", "Weigh it.", "material: liquid", "with: [bench-scale]")
_WEIGH_POWDER = step("weigh", "Weigh it.", "material: powder", "with: [bench-scale]")

PEOPLE: dict[str, Situation] = {
    "silica-dust": Situation(_WEIGH_POWDER, "s", "warning", powder=SILICA),
    "silica-dust-cured": Situation(
        MIX + CURE + step("inspect", "Grind the edge flat."), "s", "warning", powder=SILICA
    ),
    "disc-break-dust": Situation(
        MIX + CURE + step("check-discs", "Break the disc."), "s", "warning", powder=SILICA
    ),
    "nuisance-dust": Situation(_WEIGH_POWDER, "s", "caution", powder=holds("alumina 100")),
    "sanding-dust": Situation(step("prepare-surface", "Sand the face."), "s", "caution"),
    "silica-plan": Situation(_WEIGH_POWDER, "", "warning", powder=SILICA, plant="local_codes: us"),
    "no-dry-sweep": Situation(
        MIX + step("clean", "Wipe the bench."), "s", "warning", powder=SILICA
    ),
    "no-air-on-dust": Situation(
        MIX + step("clean", "Blow the dust off the bench."), "s", "warning", powder=SILICA
    ),
    "fibre-dust": Situation(
        _WEIGH_POWDER, "s", "warning", powder=holds("refractory-ceramic-fibre 100")
    ),
    "respirator-program": Situation(
        step("inspect", "Look at it.", "gear: ['Half mask EN 140']"), "", "warning"
    ),
    "alkali-splash": Situation(_WEIGH, "s", "warning", liquid=SILICATE),
    "silicate-sharp-film": Situation(
        FILL + step("dispose", "Put the rest in the drum."), "s", "caution", liquid=SILICATE
    ),
    "silicate-skin-drying": Situation(FILL, "", "caution", liquid=SILICATE),
    "silicate-reactive-metal": Situation(
        step("weigh", "Weigh it.", "material: liquid", "with: [bench-scale, spatula]"),
        "s",
        "warning",
        liquid=SILICATE,
        plant=spatula(material="aluminium"),
    ),
    "silicate-acid-contact": Situation(_WEIGH, "", "warning", liquid=SILICATE, cleaner=ACID),
    "wet-cement-burn": Situation(MIX, "mix", "warning", powder="family: hydraulic-setting"),
    "cement-cr6": Situation(_WEIGH_POWDER, "s", "caution", powder=holds("portland-cement 100")),
    "acid-splash": Situation(_WEIGH, "s", "warning", liquid=ACID + "\n" + sheet("H314")),
    "acid-into-water": Situation(
        step("add", "Dilute the acid.", "material: liquid"), "s", "warning", liquid=ACID
    ),
    "acid-metal-hydrogen": Situation(
        _WEIGH, "s", "warning", liquid=ACID + "\n" + sheet("H290", "H314")
    ),
    "acid-carbonate-foam": Situation(
        MIX, "mix", "caution", liquid=ACID, powder=holds("calcium-carbonate 100")
    ),
    "bleach-ammonia-mix": Situation(
        MIX + step("clean", "Wash the bench with bleach."), "s", "warning", liquid=ACID
    ),
    "acid-hot-fume": Situation(
        MIX
        + step(
            "cure",
            "Start the oven.",
            *IN_OVEN,
            "profile: [{hold: {at: 205 ± 5 degC, for: 2 to 3 h}}]",
        ),
        "s",
        "warning",
        liquid=ACID,
    ),
    "ammonia-release": Situation(
        MIX,
        "mix",
        "warning",
        powder=holds("ammonium-dihydrogen-phosphate 60"),
        liquid=SILICATE,
    ),
    "fluorosilicate-hf": Situation(
        _WEIGH_POWDER, "s", "danger", powder=holds("sodium-fluorosilicate 20"), liquid=ACID
    ),
    "borate-repro": Situation(_WEIGH_POWDER, "s", "warning", powder=holds("borax 1")),
    "sensitiser-skin": Situation(_WEIGH, "s", "warning", liquid=EPOXY),
    "amine-corrosive": Situation(
        _WEIGH, "s", "warning", liquid="family: organic\n" + sheet("H314")
    ),
    "isocyanate-resp": Situation(_WEIGH, "s", "warning", liquid=holds("mdi 1")),
    "silicone-cure-vapour": Situation(
        FILL + CURE, "cure", "warning", liquid=holds("oxime-silicone 100")
    ),
    "silicone-hot-formaldehyde": Situation(
        FILL + CURE, "cure", "warning", liquid=holds("addition-silicone 100")
    ),
    "exotherm-mass": Situation(
        step("weigh", "Weigh it.", "material: powder", "limits: {mass: 1.50 ± 0.01 kg}", ident="a")
        + step("weigh", "Weigh it.", "material: liquid", "limits: {mass: 500 ± 5 g}", ident="b")
        + MIX,
        "mix",
        "warning",
        liquid=EPOXY + "\nlargest_batch: 0.5 kg",
        powder="family: organic",
    ),
    "disposal-hot-mass": Situation(
        MIX + step("dispose", "Put the rest in the tray."), "s", "warning", liquid=EPOXY
    ),
    "flammable-ignition": Situation(
        step("clean", "Wipe it with the cleaner."), "s", "warning", cleaner=ALCOHOL
    ),
    "flammable-bonding": Situation(
        step("weigh", "Weigh it.", "material: cleaner"),
        "s",
        "warning",
        cleaner=sheet("H225") + "\npacks: [{name: drum, holds: 60 L}]",
    ),
    "oven-solvent": Situation(
        FILL + CURE, "cure", "danger", liquid=holds("propan-2-ol 30", "alumina 70")
    ),
    "spray-flammable-booth": Situation(
        step("spray", "Spray it.", "material: cleaner"), "s", "warning", cleaner=ALCOHOL
    ),
    "oven-hot-surface": Situation(FILL + CURE, "cure", "warning"),
    "oven-fume": Situation(FILL + CURE, "cure", "warning", liquid=EPOXY),
    "steam-eruption": Situation(MIX + CURE, "cure", "warning"),
    "sealed-container-heat": Situation(
        step("cure", "Put the closed can in.", *IN_OVEN, HEAT), "s", "warning"
    ),
    "no-water-on-hot": Situation(
        FILL + CURE + step("cool", "Wait.", "limits: {part temperature: at most 40 degC}"),
        "s",
        "warning",
    ),
    "oven-unattended": Situation(
        step("cure", "Start.", *IN_OVEN, "profile: [{hold: {at: 80 ± 4 degC, for: 10 to 12 h}}]"),
        "",
        "caution",
    ),
    "walk-in-oven": Situation(CURE, "cure", "danger", plant=oven("features: [walk-in]")),
    "spray-mist": Situation(step("spray", "Spray it."), "s", "warning"),
    "airless-injection": Situation(
        step("spray", "Spray it.", "with: [spatula]"), "s", "danger", plant=spatula("airless")
    ),
    "pressure-pot-open": Situation(
        step("clean", "Open the lid.", "with: [spray-pot]"), "s", "warning", plant=POT
    ),
    "pressure-pot-relief": Situation(
        step("spray", "Spray it.", "with: [spray-pot]"), "", "warning", plant=POT
    ),
    "hose-whip": Situation(
        step("clean", "Disconnect the hose.", "with: [spray-pot]"), "s", "caution", plant=POT
    ),
    "air-blowoff-30psi": Situation(step("clean", "Clean it with compressed air."), "s", "warning"),
    "vacuum-implosion": Situation(
        step("de-air", "Start the pump.", "with: [chamber]"), "s", "warning", plant=POT
    ),
    "mixer-entangle": Situation(MIX, "mix", "warning"),
    "mixer-lockout": Situation(MIX + step("clean", "Wash bowl and beater."), "s", "danger"),
    "drill-mixer-kick": Situation(
        step("mix", "Mix it.", "with: [spatula]"), "s", "caution", plant=spatula("hand-held")
    ),
    "robot-motion": Situation(
        step("dispense", "Fill it.", "method: metered", "with: [spatula]"),
        "s",
        "warning",
        plant=spatula("robot"),
    ),
    "electric-wet": Situation(step("clean", "Rinse the mixer.", "with: [mixer]"), "s", "warning"),
    "energise-wet": Situation(
        MIX + step("test", "Test it.", "limits: {test voltage: 500 ± 20 V}", "method: by drawing"),
        "s",
        "warning",
    ),
    "hv-test": Situation(
        step("test", "Test it.", "limits: {test voltage: 500 ± 20 V}", "method: by drawing"),
        "s",
        "danger",
    ),
    "glass-breakage": Situation(
        step("mix", "Mix it.", "with: [spatula]"), "s", "caution", plant=spatula("glass")
    ),
    "disc-break-fragments": Situation(step("check-discs", "Break the disc."), "s", "caution"),
    "grind-wheel": Situation(step("demould", "Grind off the burr."), "s", "warning"),
    "blade-cut": Situation(step("inspect", "Cut one disc in half."), "s", "caution"),
    "noise": Situation(
        step("compact", "Start it.", "with: [spatula]"), "s", "caution", plant=spatula("vibrating")
    ),
    "hand-arm-vibration": Situation(
        step("compact", "Hold it.", "with: [spatula]"),
        "s",
        "caution",
        plant=spatula("hand-vibration"),
    ),
    "lift-23kg": Situation(
        step("store", "Put it away.", "material: powder"),
        "s",
        "caution",
        powder="packs: [{name: pail, holds: 50 lb}]",
    ),
    "drum-crush": Situation(
        step("store", "Put it away.", "material: powder"),
        "s",
        "caution",
        powder="packs: [{name: drum, holds: 120 kg}]",
    ),
    "stack-fall": Situation(
        step("store", "Stack the pails.", "material: powder"),
        "s",
        "caution",
        powder="packs: [{name: pail, holds: 20 kg}]",
    ),
    "slip-spill": Situation(_WEIGH, "", "caution", liquid="packs: [{name: can, holds: 1 gal}]"),
    "eye-wash": Situation(_WEIGH, "", "warning", liquid=sheet("H314")),
    "safety-shower": Situation(
        _WEIGH, "", "warning", liquid=sheet("H314") + "\npacks: [{name: can, holds: 20 L}]"
    ),
    "hygiene-hands": Situation(_WEIGH, "", "caution", liquid=sheet("H315")),
    "contaminated-clothing": Situation(_WEIGH, "", "caution", liquid=sheet("H317")),
    "first-aid-line": Situation(_WEIGH, "", "warning", liquid=sheet("H319")),
    "spill-corrosive": Situation(
        _WEIGH, "", "warning", liquid=sheet("H314") + "\npacks: [{name: can, holds: 1 L}]"
    ),
    "sds-access": Situation(_WEIGH, "", "notice", liquid=sheet("H319")),
    "glove-limits": Situation(
        step("inspect", "Look at it.", "gear: ['Nitrile gloves']"), "", "notice"
    ),
    "label-secondary": Situation(
        step("weigh", "Decant it.", "material: liquid"), "s", "warning", liquid=sheet("H319")
    ),
    "batch-ticket-as-label": Situation(
        step("mix", "Mix it.", "with: [spatula]"),
        "s",
        "warning",
        liquid=sheet("H319"),
        plant=spatula("tank"),
    ),
    "incompatible-storage": Situation(
        step("store", "Put it away.", "material: liquid"),
        "s",
        "warning",
        liquid=ACID,
        cleaner=SILICATE,
    ),
    "disposal": Situation(
        MIX + step("dispose", "Put it in the drum."), "s", "caution", liquid=SILICATE
    ),
    "confined-cure": Situation(
        step("apply", "Brush it on inside the tank.", "method: brush"), "s", "warning"
    ),
}
PRODUCT: dict[str, Situation] = {
    "no-extra-water": Situation(_WEIGH, "s", "notice"),
    "ratio-by-mass": Situation(_WEIGH, "s", "notice"),
    "scale-check": Situation(_WEIGH, "s", "notice"),
    "powder-first": Situation(MIX, "mix", "notice"),
    "reblend-powder": Situation(_WEIGH_POWDER, "s", "notice"),
    "stir-liquid": Situation(BRUSH, "s", "notice", liquid=PASTE),
    "mix-time-speed": Situation(MIX, "mix", "notice"),
    "air-entrain": Situation(MIX, "mix", "notice"),
    "scrape-transfer": Situation(
        step("mix", "Mix it.", "with: [spatula]"), "s", "notice", liquid=EPOXY
    ),
    "ratio-drift-purge": Situation(
        step("dispense", "Fill it.", "method: metered", "with: [pump]"),
        "s",
        "notice",
        liquid=EPOXY,
        plant="equipment:\n  pump: {type: dispenser, name: Metering pump}",
    ),
    "batch-size": Situation(
        step("weigh", "Weigh it.", "material: powder", "limits: {mass: 1.50 ± 0.01 kg}", ident="a")
        + step("weigh", "Weigh it.", "material: liquid", "limits: {mass: 500 ± 5 g}", ident="b")
        + MIX,
        "mix",
        "notice",
        liquid=EPOXY,
        powder="family: organic",
    ),
    "pot-life": Situation(MIX + FILL, "fill", "notice"),
    "no-retemper": Situation(MIX + FILL, "fill", "notice"),
    "discard-set": Situation(MIX + FILL, "fill", "notice"),
    "clean-tools-between": Situation(MIX, "mix", "notice"),
    "dedicated-tools": Situation(_WEIGH, "", "notice", liquid=SILICATE, cleaner=ACID),
    "keep-agitated": Situation(
        step("dip", "Dip it.", "material: liquid"), "s", "notice", liquid=PASTE
    ),
    "rotate-containers": Situation(
        step("store", "Put it away.", "material: liquid"), "s", "notice", liquid=EPOXY
    ),
    "fifo-lot": Situation(step("store", "Put it away.", "material: liquid"), "s", "notice"),
    "shelf-life-check": Situation(_WEIGH, "s", "notice"),
    "storage-temperature": Situation(
        step("store", "Put it away.", "material: liquid"), "s", "notice"
    ),
    "reseal-container": Situation(_WEIGH, "s", "notice", liquid=SILICATE),
    "keep-paste-covered": Situation(BRUSH, "s", "notice", liquid=PASTE),
    "no-return-to-tin": Situation(BRUSH, "s", "notice", liquid=PASTE),
    "surface-clean": Situation(FILL, "fill", "notice"),
    "prewet-porous": Situation(BRUSH, "s", "notice", liquid=PASTE),
    "ambient-window": Situation(MIX, "mix", "notice"),
    "layer-thickness": Situation(BRUSH, "s", "notice", liquid=PASTE),
    "no-disturb-set": Situation(
        FILL
        + step(
            "cure",
            "Wait.",
            "method: ambient",
            "profile: [{hold: {at: 22 ± 4 degC, for: 18 to 24 h}}]",
        ),
        "s",
        "notice",
    ),
    "no-boil": Situation(FILL + CURE, "cure", "notice"),
    "ramp-rate": Situation(FILL + CURE, "cure", "notice"),
    "no-seal-before-dry": Situation(
        FILL + step("apply", "Brush the sealer on.", "method: brush"), "s", "notice"
    ),
    "load-thermocouple": Situation(FILL + CURE, "cure", "notice"),
    "max-temp": Situation(
        step("cure", "Start.", *IN_OVEN, "profile: [{ramp: {to: 80 ± 4 degC, at: 1 to 2 K/min}}]"),
        "s",
        "notice",
    ),
    "slow-cool": Situation(
        step(
            "cure",
            "Start.",
            *IN_OVEN,
            "profile: [{hold: {at: 205 ± 5 degC, for: 2 to 3 h}}]",
            ident="cure",
        )
        + step("cool", "Wait."),
        "s",
        "notice",
    ),
    "no-quench-quality": Situation(CURE + step("cool", "Wait."), "s", "notice"),
    "keep-moist-cure": Situation(MIX + CURE, "cure", "notice", powder="family: hydraulic-setting"),
    "water-soluble-until-cured": Situation(FILL + CURE, "cure", "notice", liquid=SILICATE),
    "amine-blush": Situation(
        MIX + step("apply", "Brush it on.", "method: brush"), "s", "notice", liquid=EPOXY
    ),
    "cure-inhibition": Situation(_WEIGH, "s", "notice", liquid=holds("addition-silicone 100")),
    "metal-gas-bondline": Situation(
        MIX + step("apply", "Brush it on.", "method: brush", "with: [spatula]"),
        "s",
        "notice",
        liquid=SILICATE,
        plant=spatula(material="aluminium"),
    ),
    "dielectric-after-dryout": Situation(
        MIX + step("test", "Test it.", "limits: {test voltage: 500 ± 20 V}", "method: by drawing"),
        "s",
        "notice",
    ),
    "retained-sample": Situation(step("pack", "Pack it."), "s", "notice"),
    "disc-from-batch": Situation(step("cast-discs", "Fill the mould."), "s", "notice"),
    "disc-acceptance": Situation(step("check-discs", "Judge it."), "s", "notice"),
    "deviation-hold": Situation(step("inspect", "Look at it."), "s", "notice"),
    "instrument-calibration": Situation(
        step("inspect", "Measure it.", "with: [caliper]"), "s", "notice"
    ),
    "nozzle-flush": Situation(step("spray", "Spray it."), "s", "notice"),
}
SITUATIONS = {**PEOPLE, **PRODUCT}
