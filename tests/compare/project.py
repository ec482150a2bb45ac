"""A small project for comparisons, and two revisions of its definition that differ by edits."""

from collections.abc import Iterable
from pathlib import Path

from speccomp.compare.change import Change, Comparison
from speccomp.compare.compare import compare
from speccomp.findings import has_errors
from speccomp.model.process import Process
from speccomp.model.resolve_process import resolve_process
from speccomp.source.project import Sources, load_sources
from speccomp.source.reader import Project

Edit = tuple[str, str, str]
"""A file, a text that stands in it once, and what replaces it."""

DEFINITION = """\
process: PD-100
title: Seal the end of a tubular heater
revision: B
date: 2026-03-02
author: {name: R. Example, role: manufacturing-engineer}
contact: Process engineering
department: Engineering
plant: plant.yaml
customer: internal
phase: production
change: {from: A, why: Gaps at the edge, summary: Longer hold, class: editorial}
history:
  - {revision: A, date: 2026-01-05, summary: First issue}
purpose: Close the end of the sheath.
scope: All tubular heaters of 8 mm.
parts:
  - {number: TH-8, name: Tubular heater, drawing: D-4410 rev 3, thickest_section: 8 mm}
materials: {powder: powder.yaml, liquid: liquid.yaml, cleaner: cleaner.yaml}
ratio:
  by: weight
  powder: 100
  liquid: {value: 26 ± 1, gauge: bench-scale}
batch: {parts: 60, loss: 5 %, cycle_time: 20 s}
protective_gear: [Safety glasses]
reactions:
  refill:
    title: Refill
    do: [Mark the part., Top up the bead from the same mix., Measure the part again.]
    responsible: operator
records:
  fill-log: {title: Fill log, keep: 5 years, where: Line office}
references:
  - {id: EN 1, edition: "2001", title: A standard, issuer: CEN}
  - {id: EN 2, edition: "2005", title: Another standard, issuer: CEN}
steps:
  - id: sweep
    operation: clean
    title: Clean the bench
    do: [Wipe the bench., Put the tools back.]
    look_for: [{what: bench, accept: No residue}]
  - id: label
    operation: clean
    title: Clean the labels
    do: Wipe the labels.
    look_for: [{what: label, accept: Text can be read}]
  - id: reblend
    use: roll.yaml
    set: {material: powder}
  - id: weigh-powder
    operation: weigh
    title: Weigh the powder
    material: powder
    do: [Tare the scale., Scoop the powder into the bowl., Read the display.]
    why: Powder goes in first.
    with: [bench-scale, bowl]
    limits:
      mass: {value: 300.0 ± 1.5 g, gauge: bench-scale, every: 2 h, sample: 5}
  - id: weigh-liquid
    operation: weigh
    title: Weigh the liquid
    material: liquid
    do: Pour the liquid into the beaker.
    with: [bench-scale]
    gear: [Goggles]
    limits:
      mass: {value: 78.0 ± 1.5 g, gauge: bench-scale, special: function}
      room temperature: {value: at most 26 degC, gauge: thermometer}
  - id: mix
    operation: mix
    title: Mix
    do: [Close the guard., Stir the paste for 5 min., Do not shake the bowl.]
    note: The paste warms up while it is mixed.
    with: [mixer, timer]
    limits:
      mixing time: {value: 3 to 5 min, validated: 2 to 8 min}
      speed: 60 ± 10 rpm
    look_for: [{what: paste, accept: "Smooth, no dry lump"}]
    record: [batch-record]
  - id: fill
    operation: dispense
    method: syringe
    title: Fill the sheath
    covered: false
    do: [Set the needle on the bottom., Fill the sheath up to the rim., Wipe the rim.]
    with: [timer]
    limits:
      time since mixing: at most 30 min
      fill level: {value: 0.5 ± 0.3 mm, gauge: caliper, reaction: refill, record: fill-log}
      parts per mix: at most 60 parts
    images:
      - {file: seal.svg, alt: A seal, caption: Fill level}
  - id: cure
    operation: cure
    method: oven
    title: Cure
    do: Put the parts into the oven.
    with: [oven]
    profile:
      - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
      - hold:
          at: 82 ± 5 degC
          for: 4 to 5 h
          validated: {at: 75 to 90 degC, for: 3 to 6 h}
          special: safety
      - hold: {at: 150 ± 5 degC, for: 2 to 3 h}
  - id: keep
    operation: retain-sample
    title: Keep a sample
    do: Put a cup on the shelf.
    limits: {amount: at least 30 g}
    keep: 2 years
  - id: look
    operation: inspect
    title: Inspect the seal
    do: Look at the seal of each part.
    look_for:
      - {what: seal, accept: No crack wider than 0.2 mm, claim: {bad: 10 %, confidence: 95 %}}
      - {what: rim, accept: Clean, method: At arm's length}
    record: [batch-record]
cautions:
  - {topic: eye-rinse}
  - {topic: dust, before: [weigh-powder, mix]}
  - {topic: hot, before: [cure]}
  - {topic: thin, before: [weigh-liquid]}
waivers:
  - finding: wording.vague
    at: look
    why: Agreed with the floor.
    by: R. Example
    until: 2027-03-31
"""

PLANT = """\
plant: test-works
name: Test works (invented)
owner: Test Heating Elements (invented)
print: {system: SI, paper: A4}
elevation: 240 m
shop: {temperature: 18 to 26 degC, humidity: at most 65 % RH}
equipment:
  bench-scale:
    type: scale
    name: Bench scale
    tag: SC-1
    readability: 0.01 g
    permissible_error: 0.02 g
    capacity: 6 kg
    calibration_due: 2027-01-31
  floor-scale:
    type: scale
    name: Floor scale
    readability: 1 g
    permissible_error: 3 g
    capacity: 60 kg
  mixer: {type: mixer, name: Planetary mixer, range: 0.1 to 6 kg, speed: 40 to 120 rpm}
  oven:
    type: oven
    name: Air oven
    tag: OV-1
    range: 40 to 300 degC
    ramp: at most 3 K/min
    non_uniformity: 2 K
    control_tolerance: 1 K
    sensor_error: 0.5 K
  oven-2:
    type: oven
    name: Other oven
    range: 40 to 300 degC
    non_uniformity: 4 K
    control_tolerance: 2 K
    sensor_error: 1 K
  caliper: {type: gauge, name: Caliper, range: 0 to 150 mm, resolution: 0.01 mm}
  micrometer: {type: gauge, name: Micrometer, range: 0 to 25 mm, resolution: 0.001 mm}
  thermometer: {type: thermometer, name: Thermometer, range: 0 to 100 degC}
  timer: {type: timer, name: Timer, resolution: 1 s}
  bowl: {type: tool, name: Bowl}
roles:
  operator: {title: Operator}
  shift-lead: {title: Shift lead}
  manufacturing-engineer: {title: Manufacturing engineer}
  quality-engineer: {title: Quality engineer}
approvals: [quality-engineer]
control_defaults:
  sample: 1
  every: batch
  reaction: hold-and-call
  responsible: operator
  record: batch-record
reactions:
  hold-and-call:
    title: Hold and call
    do: [Stop the work., Mark the batch as on hold., Call the shift lead.]
    responsible: shift-lead
  discard: {title: Discard, do: Throw the mix away., responsible: shift-lead}
records:
  batch-record: {title: Batch record, keep: 10 years, where: Quality office}
  oven-log: {title: Oven log, keep: 10 years, where: Quality office}
special_characteristics:
  safety: {title: Safety, mark: S}
  function: {title: Function, mark: F}
special_processes: [fill]
cautions:
  - topic: eye-rinse
    signal: warning
    hazard: The first seconds after a splash decide.
    consequence: A late rinse can cost the eye.
    avoid: Keep the way to the eye rinse free.
  - topic: dust
    signal: warning
    hazard: The powder holds fine silica.
    consequence: Breathing the dust scars the lungs.
    avoid: Open the can only under the running hood. Close it at once.
    gear: [Half mask, Goggles]
  - topic: hot
    signal: caution
    hazard: Trays stay hot.
    consequence: They burn the skin.
    avoid: Wear heat gloves.
  - topic: thin
    signal: notice
    hazard: Liquid beyond the ratio thins the mix.
    consequence: The body cracks.
    avoid: Add nothing.
  - topic: unused
    signal: notice
    hazard: Nothing here.
    consequence: Nothing happens.
    avoid: Do nothing.
numbering: {documents: "PD-[0-9]{3}", revisions: letters}
"""

POWDER = """\
material: zircon-powder
name: Zircon powder (invented)
family: chemical-setting
form: powder
density: 3.4 g/cm3
partners:
  - {material: potassium-silicate, by: weight, parts: 26 ± 2, mixed_density: 2.35 g/cm3}
pot_life: {time: 60 min, at: 23 degC}
cure:
  - {name: oven, section: 9 mm, dry: {at: 82 degC, for: 4 h}, ramp: at most 1 K/min}
shelf_life: 12 months
storage: {temperature: 10 to 30 degC, note: Keep it dry.}
packs: [{name: can, holds: 4 lb}]
hazards: {statements: [H373], signal: warning, sheet_date: 2025-05-12}
declarations:
  reach: {status: conforms, date: 2026-02-16, evidence: Maker's letter}
source: {title: Data sheet (invented), date: 2025-05-12}
"""

LIQUID = """\
material: potassium-silicate
name: Potassium silicate (invented)
family: chemical-setting
form: liquid
density: 1.4 g/cm3
storage: {temperature: 10 to 30 degC}
hazards: {statements: [], signal: none, sheet_date: 2025-05-12}
source: {title: Data sheet (invented), date: 2025-05-12}
"""

OTHER_LIQUID = LIQUID.replace("potassium", "sodium").replace("Potassium", "Sodium")

CLEANER = """\
material: cleaner
name: Wipe cleaner (invented)
family: auxiliary
form: liquid
storage: {temperature: 10 to 30 degC}
hazards: {statements: [], signal: none, sheet_date: 2025-05-12}
source: {title: Data sheet (invented), date: 2025-05-12}
"""

BLOCK = """\
block: roll
title: Roll a container
parameters:
  material: {description: Material in the container}
steps:
  - id: roll
    operation: reblend
    title: Roll the container
    material: $(material)
    do: Roll the closed container on the floor.
    with: [timer]
    limits: {rolling time: 3 to 5 min}
"""

PICTURE = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><path d="M0 0h9v9z"/></svg>\n'
)

FILES = {
    "definition.yaml": DEFINITION,
    "plant.yaml": PLANT,
    "powder.yaml": POWDER,
    "liquid.yaml": LIQUID,
    "other-liquid.yaml": OTHER_LIQUID,
    "cleaner.yaml": CLEANER,
    "roll.yaml": BLOCK,
    "seal.svg": PICTURE,
    "other.svg": PICTURE.replace("9v9", "8v8"),
}


def write_files(folder: Path, edits: Iterable[Edit] = ()) -> Path:
    """Write the project with edits; return the path of the definition."""
    files = dict(FILES)
    for name, old, new in edits:
        assert files[name].count(old) == 1, f"{old!r} stands {files[name].count(old)} times"
        files[name] = files[name].replace(old, new)
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "definition.yaml"


_read: dict[tuple[object, ...], tuple[Process, Sources]] = {}
"""What was read before, by the name of the definition and all files of its project."""


def resolved(folder: Path, name: str = "definition.yaml") -> tuple[Process, Sources]:
    """Read a definition of a folder; it has to be one that can be understood."""
    paths = sorted(path for path in folder.rglob("*") if path.is_file())
    files = tuple((str(path.relative_to(folder)), path.read_bytes()) for path in paths)
    if (name, files) not in _read:
        _read[name, files] = _resolved(folder, name)
    return _read[name, files]


def _resolved(folder: Path, name: str) -> tuple[Process, Sources]:
    loaded = load_sources(Project(folder), name)
    assert loaded.value is not None, loaded.findings
    outcome = resolve_process(loaded.value)
    assert outcome.value is not None
    assert not has_errors(outcome.findings), outcome.findings
    return outcome.value, loaded.value


def compared(folder: Path, *edits: Edit, before: Iterable[Edit] = ()) -> Comparison:
    """Compare the project, edited by `before`, with the one edited by `edits` as well."""
    write_files(folder / "before", before)
    write_files(folder / "after", (*before, *edits))
    (old, old_sources), (new, new_sources) = (
        resolved(folder / "before"),
        resolved(folder / "after"),
    )
    return compare(old, new, (old_sources, new_sources))


def only(comparison: Comparison) -> Change:
    """Return the one change of a comparison."""
    assert len(comparison.changes) == 1, [(c.kind, c.title) for c in comparison.changes]
    return comparison.changes[0]
