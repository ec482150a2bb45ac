"""By what a limit is measured where the definition leaves it to the step."""

from pathlib import Path

import pytest

from speccomp.model.plant import Equipment
from speccomp.model.technique import COUNT, LOOK, technique_of
from tests.rules.fragments import check_fragment

PLANT = """
# plant.yaml
equipment:
  chamber: {type: vacuum-chamber, name: Vacuum chamber, range: 1 to 100 kPa}
  gun: {type: sprayer, name: Spray gun, range: 100 to 600 kPa}
  ruler: {type: gauge, name: Ruler, range: 0 to 20 mm, resolution: 1 mm}
# definition.yaml
steps:
"""


def techniques(folder: Path, step: str) -> dict[str, str | None]:
    process = check_fragment(folder, PLANT + step).process
    assert process is not None
    found = ((item.name, technique_of(step, item)) for step, item in process.characteristics())
    return {name: t.id if isinstance(t, Equipment) else t for name, t in found}


@pytest.mark.parametrize(
    ("limits", "equipment", "technique"),
    [
        ("time: 3 to 5 min", "[spatula, timer]", "timer"),
        ("time: 3 to 5 min", "[spatula]", None),
        ("part temperature: 20 to 30 degC", "[oven, thermometer]", "thermometer"),
        ("part temperature: 60 to 70 degC", "[oven]", "oven"),
        ("absolute pressure: at most 5 kPa", "[chamber]", "chamber"),
        ("atomising pressure: 200 ± 20 kPa", "[gun]", "gun"),
        ("layer thickness: 0.2 to 0.4 mm", "[spatula, caliper]", "caliper"),
        ("fill level: 30 to 40 mm", "[ruler, caliper]", "caliper"),
        ("fill level: 3 to 4 mm", "[ruler, caliper]", "ruler"),
        ("mass: 3 to 4 g", "[caliper, bench-scale]", "bench-scale"),
        ("coats: 2 to 3", "[spatula]", COUNT),
        ("speed: 60 ± 10 rpm", "[mixer]", None),
        ("speed: {value: 60 ± 10 rpm, method: Display}", "[mixer]", "Display"),
        ("time: {value: 3 to 5 min, gauge: timer, method: From the lid}", "[spatula]", "timer"),
    ],
)
def test_technique(limits: str, equipment: str, technique: str | None, tmp_path: Path) -> None:
    step = f"""\
  - id: one
    operation: inspect
    do: Look at it.
    with: {equipment}
    limits: {{{limits}}}
"""
    assert list(techniques(tmp_path, step).values()) == [technique]


def test_what_is_judged_is_looked_at(tmp_path: Path) -> None:
    step = """\
  - id: one
    operation: inspect
    do: Look at it.
    look_for:
      - {what: seal, accept: No crack}
      - {what: edge, accept: No gap, method: Under the magnifier}
"""
    assert techniques(tmp_path, step) == {"seal": LOOK, "edge": "Under the magnifier"}


def test_an_oven_cure_is_read_from_the_oven(tmp_path: Path) -> None:
    step = """\
  - id: one
    operation: cure
    method: oven
    do: Put the parts into the oven.
    with: [oven]
    profile:
      - ramp: {to: 82 ± 5 degC, at: at most 1 K/min}
      - hold: {at: 82 ± 5 degC, for: 4 to 5 h}
"""
    assert set(techniques(tmp_path, step).values()) == {"oven"}


def test_the_ratio_is_read_from_the_scale(tmp_path: Path) -> None:
    step = """\
  - id: one
    operation: weigh
    material: liquid
    do: Weigh the liquid.
    with: [bench-scale]
"""
    assert set(techniques(tmp_path, step).values()) == {"bench-scale"}
