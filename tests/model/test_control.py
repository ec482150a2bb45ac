"""How a limit is controlled: what it says itself, its step, the definition, the plant."""

from pathlib import Path

from speccomp.model.process import Hold, Ramp
from speccomp.model.shared import Setting
from speccomp.quantities import Toleranced
from tests.model.reading import clean, limit, step

MIX = "steps:\n  - id: mix\n    operation: mix\n    do: Mix the paste.\n"
STOP = "reactions: {stop: {title: Stop, do: Stop., responsible: shift-lead}}\n"


def test_what_nobody_says_comes_from_the_plant(tmp_path: Path) -> None:
    process = clean(tmp_path, MIX + "    limits: {mixing time: 3 to 5 min}\n")
    control = limit(process, "mix/mixing-time").control
    expected = {
        "sample": "1",
        "every": "batch",
        "reaction": "hold-and-call",
        "responsible": "operator",
        "record": "batch-record",
    }
    for key, value in expected.items():
        setting = getattr(control, key)
        assert setting == Setting(value, inherited=True)
        assert setting.span.file == "plant.yaml"


def test_what_the_limit_says_is_not_inherited(tmp_path: Path) -> None:
    said = "sample: 5, every: 2 h, reaction: stop, responsible: shift-lead, record: batch-record"
    fragment = STOP + MIX + f"    limits: {{mixing time: {{value: 3 to 5 min, {said}}}}}\n"
    control = limit(clean(tmp_path, fragment), "mix/mixing-time").control
    assert control.sample == Setting("5")
    assert control.every == Setting("2 h")
    assert control.reaction == Setting("stop")
    assert control.responsible == Setting("shift-lead")
    assert control.record == Setting("batch-record")


def test_the_same_value_said_is_not_inherited(tmp_path: Path) -> None:
    fragment = MIX + "    limits: {mixing time: {value: 3 to 5 min, every: batch}}\n"
    assert limit(clean(tmp_path, fragment), "mix/mixing-time").control.every == Setting("batch")


def test_the_step_speaks_for_its_limits(tmp_path: Path) -> None:
    fragment = (
        STOP
        + MIX
        + (
            "    reaction: stop\n    responsible: shift-lead\n"
            "    limits: {mixing time: 3 to 5 min, speed: {value: 60 ± 10 rpm, reaction: "
            "hold-and-call, responsible: operator}}\n"
            "    look_for: [{what: paste, accept: Smooth}]\n"
        )
    )
    process = clean(tmp_path, fragment)
    for name in ("mixing-time", "paste"):
        control = limit(process, f"mix/{name}").control
        assert control.reaction == Setting("stop")
        assert control.responsible == Setting("shift-lead")
    own = limit(process, "mix/speed").control
    assert own.reaction == Setting("hold-and-call")
    assert own.responsible == Setting("operator")
    assert step(process, "mix").responsible == Setting("shift-lead")


def test_a_step_of_a_block_speaks_for_its_limits(tmp_path: Path) -> None:
    fragment = (
        STOP + "steps:\n  - {id: r, use: roll.yaml}\n# roll.yaml\nblock: roll\ntitle: Roll\n"
        "steps:\n  - id: roll\n    operation: mix\n    do: Roll.\n    reaction: stop\n"
        "    limits: {time: 3 to 5 min}\nparameters: {}\n"
    )
    assert limit(clean(tmp_path, fragment), "r.roll/time").control.reaction == Setting("stop")


def test_the_operation_tells_product_from_process(tmp_path: Path) -> None:
    fragment = (
        "steps:\n  - id: mix\n    operation: mix\n    do: Mix.\n"
        "    limits: {mixing time: 3 to 5 min, bead: {value: 2 to 3 mm, characteristic: product}}\n"
        "  - id: look\n    operation: inspect\n    do: Look.\n"
        "    limits: {bond gap: 2 to 3 mm, light: {value: 3 to 5 s, characteristic: process}}\n"
    )
    process = clean(tmp_path, fragment)
    products = {item.id: item.product for _, item in process.characteristics()}
    assert products == {
        "mix/mixing-time": False,
        "mix/bead": True,
        "look/bond-gap": True,
        "look/light": False,
    }


def test_the_ratio_lands_on_the_step_that_weighs(tmp_path: Path) -> None:
    process = clean(
        tmp_path,
        "ratio: {by: weight, powder: 100, liquid: {value: 26 ± 1, every: mix, special: safety}}",
    )
    item = limit(process, "weigh-liquid/ratio")
    assert item.name == "parts by weight to 100 parts of powder"
    assert isinstance(item.requirement, Toleranced)
    assert item.requirement.text == "26 ± 1"
    assert item.control.every == Setting("mix")
    assert item.control.special == "safety"
    assert not item.product
    assert [c.id for _, c in process.characteristics() if "ratio" in c.id] == [item.id]


def test_a_measured_ratio_that_nobody_weighs_lands_on_the_mix(tmp_path: Path) -> None:
    gauge = "  cylinder: {type: gauge, name: Cylinder, range: 0 to 100 mL, resolution: 1 mL, "
    process = clean(
        tmp_path,
        "ratio: {by: volume, powder: 100, liquid: {value: 100 ± 4, gauge: cylinder}}\n"
        + MIX
        + "    limits: {mixing time: 3 to 5 min}\n    look_for: [{what: paste, accept: Smooth}]\n"
        + "  - {id: again, operation: mix, do: Mix again.}\n"
        + f"# plant.yaml\nequipment:\n{gauge}uncertainty: 1 mL}}\n",
    )
    names = [item.id for item in step(process, "mix").characteristics]
    assert names == ["mix/mixing-time", "mix/ratio-liquid", "mix/paste"]
    item = limit(process, "mix/ratio-liquid")
    assert item.name == "parts of liquid by volume to 100 parts of powder"
    assert item.control.gauge is process.plant.equipment["cylinder"]
    assert step(process, "again").characteristics == ()


def test_a_measured_ratio_that_is_added_lands_there(tmp_path: Path) -> None:
    process = clean(
        tmp_path,
        "ratio: {by: weight, powder: 100, liquid: {value: 26 ± 1, method: Read the pump}}\n"
        + MIX
        + "  - {id: pour, operation: add, material: liquid, do: Pour.}\n",
    )
    assert [item.id for item in step(process, "pour").characteristics] == ["pour/ratio-liquid"]
    assert step(process, "mix").characteristics == ()


CURE = """\
steps:
  - id: cure
    operation: cure
    method: oven
    do: Start the oven.
    with: [oven]
    profile:
      - ramp: {to: 82 ± 5 degC, at: at most 1 K/min, every: cure run}
      - hold: {at: 82 ± 5 degC, for: 4 to 5 h, gauge: GAUGE}
"""


def test_the_segments_of_a_profile_are_limits(tmp_path: Path) -> None:
    process = clean(tmp_path, CURE.replace(", gauge: GAUGE", ""))
    cure = step(process, "cure")
    ramp, hold = cure.profile
    assert isinstance(ramp, Ramp)
    assert isinstance(hold, Hold)
    assert cure.characteristics == (ramp.to, ramp.rate, hold.at, hold.time)
    assert [(item.id, item.name) for item in cure.characteristics] == [
        ("cure/1-end-temperature", "ramp 1, end temperature"),
        ("cure/1-rate", "ramp 1, rate"),
        ("cure/2-temperature", "hold 2, temperature"),
        ("cure/2-time", "hold 2, time"),
    ]
    assert ramp.rate is not None
    assert ramp.rate.control.every == Setting("cure run")
    assert hold.time is not None
    assert hold.time.control.every == Setting("batch", inherited=True)


def test_the_gauge_of_a_segment_reads_what_it_can(tmp_path: Path) -> None:
    cure = step(clean(tmp_path / "a", CURE.replace("GAUGE", "thermometer")), "cure")
    gauges = {c.name: c.control.gauge and c.control.gauge.id for c in cure.characteristics[2:]}
    assert gauges == {"hold 2, temperature": "thermometer", "hold 2, time": None}
    cure = step(clean(tmp_path / "b", CURE.replace("GAUGE", "timer")), "cure")
    gauges = {c.name: c.control.gauge and c.control.gauge.id for c in cure.characteristics[2:]}
    assert gauges == {"hold 2, temperature": None, "hold 2, time": "timer"}


def test_a_gauge_that_fits_neither_stays_for_the_rules_to_see(tmp_path: Path) -> None:
    cure = step(clean(tmp_path, CURE.replace("GAUGE", "caliper")), "cure")
    assert [c.control.gauge and c.control.gauge.id for c in cure.characteristics] == [
        None,
        None,
        "caliper",
        "caliper",
    ]
