"""A definition with a batch, and how a test reads one."""

import tempfile
from pathlib import Path

from speccomp.derive import Derived, derive
from speccomp.model.process import Process
from tests.model.reading import read_there
from tests.rules.fragments import without, write_project

# The base project of the rules: powder 100, liquid 26 ± 1, card 2.35 g/cm3, scale ± 0.02 g.
BATCH = """
batch: {parts: 120, loss: 8 %, cycle_time: 20 s, transfer_time: 3 min, sizes: [20, 40]}
steps:
  - id: weigh-powder
    operation: weigh
    material: powder
    do: Weigh the powder into the bowl.
    with: [bench-scale]
    limits: {mass: 200 ± 1 g}
  - id: weigh-liquid
    operation: weigh
    material: liquid
    do: Weigh the liquid into the bowl.
    with: [bench-scale]
    limits: {mass: 52.0 ± 0.5 g}
  - id: mix
    operation: mix
    do: Mix the paste at slow speed.
    with: [mixer, timer]
    limits: {mixing time: 3 to 5 min}
  - id: fill
    operation: dispense
    method: syringe
    do: Fill the sheath up to the rim.
    with: [timer]
    limits: {time since mixing: at most 30 min}
"""


def read_process(fragment: str = "", drop: str = "") -> Process:
    """Return the model of the base definition with the fragment's keys, and without one key."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        path = write_project(folder, fragment)
        if drop:
            lines = path.read_text(encoding="utf-8").splitlines()
            path.write_text("\n".join(without(lines, {drop})) + "\n", encoding="utf-8")
        process, findings = read_there(folder)
        assert findings == ()
        return process


def derived_of(fragment: str = "", drop: str = "") -> Derived:
    """Return the numbers of the base definition with the fragment's keys in it."""
    return derive(read_process(fragment, drop))


def value(derived: Derived, name: str, unit: str) -> float:
    """Return a derived quantity as a number of units."""
    number = derived.numbers[name].value
    assert not isinstance(number, (int, float))
    return float(number.m_as(unit))


def plain(derived: Derived, name: str) -> float:
    """Return a derived plain number."""
    number = derived.numbers[name].value
    assert isinstance(number, (int, float))
    return number
