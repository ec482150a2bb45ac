"""Rules on materials against their cards, and on the order of their handling."""

from pathlib import Path

import pytest

from speccomp.findings import Severity
from speccomp.pipeline import check_file
from tests.derive.project import BATCH
from tests.rules.arithmetic import found, only, text_at
from tests.rules.fragments import TODAY, without, write_project


def ratio(liquid: str) -> str:
    return f"ratio: {{by: weight, powder: 100, liquid: {liquid}}}\n"


def card(parts: str) -> str:
    return (
        f"# powder.yaml\npartners: [{{material: potassium-silicate, by: weight, parts: {parts}}}]\n"
    )


@pytest.mark.parametrize(
    ("liquid", "parts", "count"),
    [
        ("26 ± 2", "26 ± 2", 0),
        ("27 ± 1", "26 ± 2", 0),
        ("27.1 ± 1", "26 ± 2", 1),
        ("24 to 28", "26 ± 2", 0),
        ("at most 28", "26 ± 2", 1),
        ("at most 28", "at most 28", 0),
        # A card without tolerance leaves it open, but not the target.
        ("26 ± 5", "26", 0),
        ("27 ± 5", "26", 1),
        ("25 to 27", "26", 0),
        ("27 to 28", "26", 1),
    ],
)
def test_the_ratio_lies_inside_the_cards(
    tmp_path: Path, liquid: str, parts: str, count: int
) -> None:
    assert len(found(tmp_path, "ratio.outside-card", ratio(liquid) + card(parts))) == count


def test_a_ratio_to_another_number_of_parts(tmp_path: Path) -> None:
    # 13 +- 1 to 50 are 24 to 28 to 100.
    same = "ratio: {by: weight, powder: 50, liquid: 13 ± 1}\n"
    assert found(tmp_path, "ratio.outside-card", same) == []
    finding = only(
        tmp_path, "ratio.outside-card", "ratio: {by: weight, powder: 50, liquid: 14 ± 1}\n"
    )
    assert finding.message == (
        "the ratio is 14 ± 1 of `liquid` to 50 of `powder`, and the card of `powder` allows 26 ± 2 "
        "parts of `potassium-silicate` to 100 by weight"
    )
    assert text_at(tmp_path, finding.span) == "liquid"


def test_another_basis_cannot_be_set_against_the_card(tmp_path: Path) -> None:
    fragment = "ratio: {by: volume, powder: 100, liquid: 60 ± 2}\n"
    assert found(tmp_path, "ratio.outside-card", fragment) == []
    assert only(tmp_path, "ratio.other-basis", fragment).severity is Severity.WARNING


def test_the_wrong_partner(tmp_path: Path) -> None:
    other = "# powder.yaml\npartners: [{material: acid-liquid, by: weight, parts: 26 ± 2}]\n"
    finding = only(tmp_path, "ratio.partner-not-on-card", other)
    assert "names only `acid-liquid`" in finding.message
    assert finding.related[0].span.file == "powder.yaml"


def store(limits: str, more: str = "") -> str:
    return (
        "steps:\n  - id: store\n    operation: store\n    material: powder\n"
        f"    do: Put the pails on the shelf.\n    with: [thermometer]\n{more}"
        f"    limits: {{{limits}}}\n"
    )


@pytest.mark.parametrize(
    ("limit", "count"),
    [("10 to 30 degC", 0), ("50 to 86 degF", 0), ("50 to 87 degF", 1), ("at most 30 degC", 1)],
)
def test_storage_inside_the_cards_temperature(tmp_path: Path, limit: str, count: int) -> None:
    fragment = store(f"storage temperature: {limit}")
    assert len(found(tmp_path, "storage.temperature-outside-card", fragment)) == count


@pytest.mark.parametrize(
    ("keep", "count"), [("12 months", 0), ("1 year", 0), ("13 months", 1), ("53 weeks", 1)]
)
def test_nothing_is_kept_beyond_its_shelf_life(tmp_path: Path, keep: str, count: int) -> None:
    life = "# powder.yaml\nshelf_life: 12 months\n"
    fragment = store("storage temperature: 12 to 28 degC", f"    keep: {keep}\n") + life
    assert len(found(tmp_path, "storage.longer-than-shelf-life", fragment)) == count
    timed = store("storage temperature: 12 to 28 degC, storage time: at most 400 d") + life
    assert len(found(tmp_path, "storage.longer-than-shelf-life", timed)) == 1


@pytest.mark.parametrize(
    ("action", "count"),
    [
        ("Turn each pail over every 4 weeks.", 0),
        ("Roll every container end for end every 4 weeks.", 0),
        ("Invert the cans every 4 weeks.", 0),
        ("Turn the labels to the front.", 1),
        ("Put the pails on the shelf.", 1),
    ],
)
def test_containers_that_are_turned_over(tmp_path: Path, action: str, count: int) -> None:
    turned = "# powder.yaml\nstorage: {temperature: 10 to 30 degC, turn_over: 4 weeks}\n"
    fragment = store("storage temperature: 12 to 28 degC").replace(
        "Put the pails on the shelf.", action
    )
    assert len(found(tmp_path, "storage.no-turn-over", fragment + turned)) == count
    assert found(tmp_path, "storage.no-turn-over", fragment) == []


REBLEND = (
    "  - id: roll\n    operation: reblend\n    material: powder\n    do: Roll it.\n"
    "    with: [timer]\n    limits: {rolling time: 8 to 10 min}\n"
)
SEGREGATES = "# powder.yaml\nsegregates: true\n"


def test_what_segregates_is_reblended_first(tmp_path: Path) -> None:
    finding = only(tmp_path, "reblend.missing", BATCH + SEGREGATES)
    assert text_at(tmp_path, finding.span) == "weigh-powder"
    before = BATCH.replace("  - id: weigh-powder", REBLEND + "  - id: weigh-powder") + SEGREGATES
    assert found(tmp_path, "reblend.missing", before) == []
    late = BATCH.replace("  - id: weigh-liquid", REBLEND + "  - id: weigh-liquid") + SEGREGATES
    assert len(found(tmp_path, "reblend.missing", late)) == 1


def test_the_order_of_addition(tmp_path: Path) -> None:
    def first(which: str) -> str:
        return card(f"26 ± 2, mixed_density: 2.35 g/cm3, first: {which}")

    assert found(tmp_path, "order.addition-reversed", BATCH + first("this")) == []
    finding = only(tmp_path, "order.addition-reversed", BATCH + first("partner"))
    assert finding.message == (
        "`weigh-powder` comes before `weigh-liquid`, and by the card of `powder` "
        "`potassium-silicate` goes into the container first"
    )


def test_an_addition_counts_before_a_weighing(tmp_path: Path) -> None:
    # Both are weighed, the powder last, but it is added to the liquid in the bowl.
    add = "  - id: {0}\n    operation: add\n    material: {0}\n    do: Pour it in.\n" + (
        "    look_for: [{{what: bowl, accept: Empty}}]\n"
    )
    swapped = add.format("liquid") + add.format("powder")
    fragment = BATCH.replace("  - id: mix\n", swapped + "  - id: mix\n")
    finding = only(tmp_path, "order.addition-reversed", fragment)
    assert text_at(tmp_path, finding.span) == "liquid"


THIN = (
    "  - id: thin\n    operation: add\n    material: {0}\n    do: Add a spoon.\n"
    "    look_for: [{{what: mix, accept: Runs off}}]\n"
)


def test_nothing_is_added_to_a_mix_in_use(tmp_path: Path) -> None:
    finding = only(tmp_path, "mix.retempering", BATCH + THIN.format("liquid"))
    assert finding.message == "`thin` adds `liquid` after `mix`, while the mix is being used"


def test_nothing_beyond_the_ratio_is_added(tmp_path: Path) -> None:
    before = BATCH.replace("  - id: fill\n", THIN.format("cleaner") + "  - id: fill\n")
    finding = only(tmp_path, "mix.retempering", before)
    assert finding.message == "`thin` adds `cleaner` after `mix`, which is not in the ratio"
    # The rest of the ratio may go into the running mixer.
    stage = BATCH.replace("  - id: fill\n", THIN.format("liquid") + "  - id: fill\n")
    assert found(tmp_path, "mix.retempering", stage) == []
    # But not on top of what was weighed for it.
    more = THIN.format("liquid") + "    limits: {mass: 5 to 6 g}\n"
    finding = only(
        tmp_path, "mix.retempering", BATCH.replace("  - id: fill\n", f"{more}  - id: fill\n")
    )
    assert finding.message == (
        "`thin` adds `liquid` after `mix`, of which the ratio has all it asks for"
    )


REST = (
    "  - id: rest\n    operation: rest\n    do: Leave it.\n    with: [timer]\n{0}"
    "    limits: {{rest time: 4 to 5 min}}\n"
)


@pytest.mark.parametrize(
    ("covered", "said"),
    [
        ("", "the mix waits in `rest`, and nothing says that it is covered"),
        ("    covered: false\n", "the mix waits in `rest`, uncovered"),
        ("    covered: true\n", None),
    ],
)
def test_a_mix_waits_under_cover(tmp_path: Path, covered: str, said: str | None) -> None:
    fragment = BATCH.replace("  - id: fill\n", REST.format(covered) + "  - id: fill\n")
    messages = [finding.message for finding in found(tmp_path, "wait.uncovered", fragment)]
    assert messages == ([] if said is None else [said])


def test_a_filled_part_may_wait_in_the_open(tmp_path: Path) -> None:
    assert found(tmp_path, "wait.uncovered", BATCH + REST.format("")) == []


PASTE = """
materials: {paste: powder.yaml, liquid: liquid.yaml}
ratio: {by: weight, paste: 100, liquid: 26 ± 1}
steps:
  - id: keep
    operation: store
    material: paste
    do: Put the can on the shelf.
    with: [thermometer]
    covered: false
    limits: {storage temperature: 12 to 28 degC}
# powder.yaml
family: air-setting
form: paste
"""


def test_a_paste_that_dries_in_air_is_stored_under_cover(tmp_path: Path) -> None:
    finding = only(tmp_path, "wait.uncovered", PASTE)
    assert finding.message == "`paste`, which dries in air, waits in `keep`, uncovered"
    covered = PASTE.replace("covered: false", "covered: true")
    assert found(tmp_path, "wait.uncovered", covered) == []


def test_a_paste_that_dries_in_air_rests_under_cover(tmp_path: Path) -> None:
    steps = (
        "steps:\n"
        + REST.format("")
        + (
            "  - id: coat\n    operation: apply\n    method: brush\n    material: powder\n"
            "    do: Brush it on.\n    look_for: [{what: coat, accept: Closed}]\n"
        )
    )
    air = "# powder.yaml\nfamily: air-setting\nform: paste\n"
    path = write_project(tmp_path, steps + air)
    lines = path.read_text(encoding="utf-8").splitlines()
    path.write_text("\n".join(without(lines, {"ratio"})) + "\n", encoding="utf-8")
    checked = check_file(path, TODAY, tmp_path)
    messages = [f.message for f in checked.findings if f.rule == "wait.uncovered"]
    assert messages == [
        "`powder`, which dries in air, waits in `rest`, and nothing says that it is covered"
    ]


def test_declarations_that_the_plant_requires(tmp_path: Path) -> None:
    plant = "# plant.yaml\nrequired_declarations: [rohs, reach]\n"
    conforms = "{status: conforms, date: 2026-01-01, evidence: Letter}"
    cards = "".join(
        f"# {name}.yaml\ndeclarations: {{rohs: {conforms}, reach: {conforms}}}\n"
        for name in ("liquid", "cleaner")
    )
    half = f"# powder.yaml\ndeclarations: {{rohs: {conforms}}}\n"
    finding = only(tmp_path, "declaration.missing", plant + cards + half)
    assert finding.message == "the card of `powder` does not declare reach"
    assert finding.severity is Severity.ERROR
    negative = half.replace("rohs: {status: conforms", "rohs: {status: does not conform")
    finding = only(tmp_path, "declaration.negative", plant + cards + negative)
    assert finding.message == "`powder` does not conform to rohs (Letter)"
