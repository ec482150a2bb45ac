"""The computed numbers in the documents: never wider than computed, and each with its name."""

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from speccomp.derive import AnyNumber, Derived, derive, explain_number
from speccomp.documents.characteristics import build_characteristics
from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.figure_views import FigureView, Printed
from speccomp.documents.number_print import beginnings, kind_of, print_plain
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.model.process import Process
from speccomp.pipeline import Checked, check_file
from speccomp.quantities import Kind, parse_toleranced, quantity
from speccomp.render.sheet import render_xlsx
from tests.documents.pages import flat
from tests.model.reading import clean

DEMO = Path(__file__).resolve().parents[2] / "specs_demo"
TODAY = date(2026, 11, 25)
DEFINITIONS = sorted([*(DEMO / "definitions").glob("*.yaml"), *(DEMO / "limits").glob("*.yaml")])


@dataclass(frozen=True)
class Shown:
    """A definition with the figures of both of its documents."""

    checked: Checked
    process: Process
    derived: Derived
    figures: tuple[FigureView, ...]


def figures_of(process: Process, derived: Derived) -> Iterator[FigureView]:
    instruction = build_work_instruction(process, (), derived=derived)
    yield from instruction.figures
    for step in instruction.steps:
        yield from step.figures
    yield from build_control_plan(process, (), derived=derived).figures


@pytest.fixture(
    scope="module",
    params=DEFINITIONS,
    ids=lambda path: path.stem,
)
def shown(request: pytest.FixtureRequest) -> Shown:
    checked = check_file(request.param, TODAY, DEMO)
    process, derived = checked.process, checked.derived
    assert process is not None
    assert derived is not None
    return Shown(checked, process, derived, tuple(figures_of(process, derived)))


def texts(figure: FigureView) -> Iterator[str]:
    yield from figure.lead
    yield from figure.sentences
    if figure.table:
        yield from figure.table.columns
        yield figure.table.caption
        yield from (cell for row in figure.table.rows for cell in row)


NUMBER = re.compile(r"\d+(?:[.,:]\d+)*")


def test_every_number_in_a_figure_is_a_derived_one_or_one_of_the_files(shown: Shown) -> None:
    written = set(NUMBER.findall("\n".join(shown.checked.texts.values())))
    making = shown.derived.making
    # Tables count their rows, a plan's points are at 95 % and 10 %.
    counted = {str(number) for number in range(1, 30)} | {"95", "10"}
    for item in build_characteristics(shown.process).values():
        counted.add(item.number)
    if making and making.pot_life and making.pot_life.middle:
        # The middle of the shop's range, as the sentence about the pot life names it.
        middle = making.pot_life.middle.temperature
        text = print_plain(middle, Kind.TEMPERATURE, shown.process.plant.units)
        counted |= set(NUMBER.findall(text))
    for figure in shown.figures:
        printed = {token for item in figure.printed for token in NUMBER.findall(item.text)}
        for text in texts(figure):
            unexplained = set(NUMBER.findall(text)) - printed - written - counted
            assert unexplained == set(), text


def test_every_printed_number_stands_in_its_figure(shown: Shown) -> None:
    for figure in shown.figures:
        whole = " ".join(texts(figure))
        for item in figure.printed:
            # The unit may stand once behind a range.
            assert NUMBER.findall(item.text)[0] in whole, item


def test_a_name_beside_the_figure_leads_to_every_number_in_it(shown: Shown) -> None:
    units = shown.process.plant.units
    for figure in shown.figures:
        assert figure.printed
        assert 1 <= len(figure.names) <= 6
        explained = "\n".join(explain_number(shown.derived, name, units) for name in figure.names)
        listed = set(re.findall(r"^(\S+): ", explained, re.MULTILINE))
        listed |= set(re.findall(r"^  name     (\S+)$", explained, re.MULTILINE))
        for item in figure.printed:
            assert item.name in listed
            one = explain_number(shown.derived, item.name, units)
            assert f"  name     {item.name}\n  formula  " in one
            assert "\n  source   " in one


def test_every_kind_of_figure_is_in_the_demo() -> None:
    kinds, words = set(), ""
    for path in sorted((DEMO / "definitions").glob("*.yaml")):
        checked = check_file(path, TODAY, DEMO)
        assert checked.process is not None
        assert checked.derived is not None
        for figure in figures_of(checked.process, checked.derived):
            kinds.add(figure.kind)
            words += " ".join(texts(figure))
    assert kinds == {
        *("mixes", "batch", "window", "use", "clock", "life", "cure", "check", "samples")
    }
    for sentence in (
        "n = 5, c = 0 finds a lot that is 45.1\u00a0% bad with 95\u00a0% confidence",
        "Plan: lot ",
        "Claim: a lot ",
        "Strength = ",
        "has shrunk by",
        "Water boils at ",
        "Free water left",
        "Equivalent age ",
        "Use a mix within ",
    ):
        assert sentence in words, sentence


# Which way a number is safe: a lower limit printed higher, an upper one lower.
SAFE = {
    "up": (
        "window.lower",
        "accept-from",
        "reject-above",
        "smallest-mix",
        "smallest-diameter",
        ".force",
        ".required",
        ".start",
        ".oven-error",
        ".detects",
        ".accepted-at-10",
        "-loss.uncertainty",
        "shrinkage.uncertainty",
    ),
    "down": (
        "window.upper",
        "accept-to",
        "reject-below",
        ".use-by",
        ".discard-at",
        ".usable",
        ".credited",
        ".spare",
        ".highest-setpoint",
        "curing.allowed",
        "water.boiling-point",
        ".shrinkage",
        "pot-life.shop-high",
        ".reached",
        ".accepted-at-95",
    ),
}
ALSO = {
    "up": re.compile(r"\.row-\d+\.lower$|^curing\..*\.highest$"),
    "down": re.compile(r"\.row-\d+\.upper$"),
}


def read_back(item: Printed, number: AnyNumber) -> float:
    """Return a printed text as a number in the unit of the number that it prints."""
    text = flat(item.text).partition(" [")[0].replace("−", "-")
    value = number.value
    if isinstance(value, int):
        return float(text)
    if isinstance(value, float):
        return float(text.removesuffix(" %")) / 100
    unit = value.units
    clock = re.fullmatch(r"(\d+):(\d\d)(?: h)?", text)
    if clock:
        return float(quantity(60 * int(clock[1]) + int(clock[2]), "min").m_as(unit))
    return float(parse_toleranced(text, kind_of(number)).nominal_quantity.m_as(unit))


def direction_of(name: str) -> str | None:
    for direction, endings in SAFE.items():
        if name.endswith(endings) or ALSO[direction].search(name):
            return direction
    return None


def test_no_limit_is_printed_outside_the_computed_one(shown: Shown) -> None:
    seen = 0
    for figure in shown.figures:
        for item in figure.printed:
            direction = direction_of(item.name)
            if direction is None:
                continue
            number = shown.derived.numbers[item.name]
            value = number.value
            exact = float(value if isinstance(value, int | float) else value.magnitude)
            back, slack = read_back(item, number), 1e-9 * max(1.0, abs(exact))
            seen += 1
            if direction == "up":
                assert back >= exact - slack, item
            else:
                assert back <= exact + slack, item
    assert seen >= 2


def test_a_printed_number_is_close_to_the_computed_one(shown: Shown) -> None:
    for figure in shown.figures:
        for item in figure.printed:
            number = shown.derived.numbers[item.name]
            value = number.value
            exact = float(value if isinstance(value, int | float) else value.magnitude)
            minute = 0.0
            if not isinstance(value, int | float) and number.kind is Kind.TIME:
                minute = float(quantity(1.001, "min").m_as(value.units))
            room = max(0.06 * abs(exact), minute, 0.2)
            assert abs(read_back(item, number) - exact) <= room, item


def test_the_smaller_of_two_times_leaves_no_more_between_start_and_use_by(shown: Shown) -> None:
    making = shown.derived.making
    printed = {item.name: item for figure in shown.figures for item in figure.printed}
    for plan in making.plans if making else ():
        for row in plan.clock:
            start, use_by = (printed[number.name] for number in (row.start, row.use_by))
            left = read_back(use_by, row.use_by) - read_back(start, row.start)
            assert left <= (row.use_by.value - row.start.value).m_as("s") + 1e-6


def test_the_workbook_holds_what_the_samples_show(shown: Shown) -> None:
    plan = build_control_plan(shown.process, (), derived=shown.derived)
    book = openpyxl.load_workbook(io.BytesIO(render_xlsx(plan)))
    wanted = [figure.table for figure in plan.figures if figure.table]
    assert wanted
    for table in wanted:
        rows = [tuple(cell or "" for cell in row) for row in book[table.caption].values]
        assert rows[0] == table.columns
        assert rows[1:] == list(table.rows)


def numbers(tmp_path: Path, fragment: str = "") -> tuple[FigureView, ...]:
    process = clean(tmp_path, fragment)
    return tuple(figures_of(process, derive(process)))


def of_kind(figures: tuple[FigureView, ...], kind: str) -> list[FigureView]:
    return [figure for figure in figures if figure.kind == kind]


BATCH = "batch: {parts: 120, loss: 8 %, cycle_time: 20 s, sizes: [20, 40]}\n"


def test_without_a_stated_mass_the_windows_go_by_the_size_of_the_mix(tmp_path: Path) -> None:
    (window,) = of_kind(numbers(tmp_path, BATCH), "window")
    assert window.table is not None
    assert window.table.columns[0] == "For"
    labels = list(dict.fromkeys(row[0] for row in window.table.rows))
    assert labels[:2] == ["20 × TH-8", "40 × TH-8"]
    assert window.strong == {2, 3, 4}


def test_a_scale_in_another_unit_shows_its_own_reading_in_brackets(tmp_path: Path) -> None:
    scale = (
        "# plant.yaml\nequipment:\n  bench-scale: {type: scale, name: Bench scale, "
        "readability: 0.001 oz, permissible_error: 0.002 oz, capacity: 200 oz}\n"
    )
    (window,) = of_kind(numbers(tmp_path, BATCH + scale), "window")
    assert window.table is not None
    for row in window.table.rows:
        for cell in row[1:]:
            assert re.fullmatch(r"[\d.]+ g \[[\d.]+ oz\]", flat(cell)), cell


def test_a_clock_of_many_mixes_shows_the_first_and_the_last(tmp_path: Path) -> None:
    many = "batch: {parts: 800, loss: 8 %, cycle_time: 60 s}\n"
    clocks = [figure for figure in of_kind(numbers(tmp_path, many), "clock") if figure.table]
    (clock,) = clocks
    assert clock.table is not None
    assert len(clock.table.rows) == 12
    last = int(clock.table.rows[-1][0])
    assert last > 12
    assert f"Mixes 12 to {last - 1} follow in the same rhythm." in clock.sentences


def test_the_form_of_the_pot_life_is_named(tmp_path: Path) -> None:
    card = "# powder.yaml\npot_life: {time: 60 min, at: 23 degC, activation_energy: 50 kJ/mol}\n"
    assert "by the Q10 form" in of_kind(numbers(tmp_path / "q", BATCH), "life")[0].sentences[0]
    arrhenius = of_kind(numbers(tmp_path / "a", BATCH + card), "life")[0].sentences[0]
    assert "by the Arrhenius form" in arrhenius


def test_without_a_batch_the_reason_is_a_gap_and_no_table(tmp_path: Path) -> None:
    process = clean(tmp_path)
    derived = derive(process)
    view = build_work_instruction(process, (), derived=derived)
    assert view.figures == ()
    assert [gap for gap in view.gaps if gap.startswith("batch: ")]
    assert view.gaps == build_control_plan(process, (), derived=derived).gaps


def test_a_part_of_unknown_thickness_says_that_drying_is_not_calculated(tmp_path: Path) -> None:
    part = "parts: [{number: TH-8, name: Heater, drawing: D-1, fill_volume: 6.2 ± 0.4 cm3}]\n"
    (cure,) = of_kind(numbers(tmp_path, part), "cure")
    assert "Drying is not calculated: no part gives its thickest section." in cure.sentences


DISCS = """steps:
  - id: cast
    operation: cast-discs
    do: Fill the disc mould.
    with: [disc-mould, caliper]
    limits: {discs: 3, disc diameter: 50 ± 1 mm, disc thickness: 6 ± 1 mm}
  - id: judge
    operation: check-discs
    do: Measure the discs.
    limits:
      shrinkage: {value: at most 0.5 %, gauge: caliper}
      mass loss: {value: at most 2.0 %, gauge: bench-scale}
"""


def test_the_readings_that_decide_about_discs_are_printed(tmp_path: Path) -> None:
    # 49.75 ± 0.03 x sqrt(1 + 0.995^2) mm; 2.0 ± 0.101 %, inward.
    (figure,) = of_kind(numbers(tmp_path, DISCS), "check")
    said = " ".join(figure.sentences).replace("\u00a0", " ")
    assert "mould and disc together to ± 0.043 mm: accept a disc from 49.80 mm, reject" in said
    assert "reject one below 49.70 mm; in between it cannot judge." in said
    assert "A fresh disc weighs about 27.7 g." in said
    assert "known to ± 0.11 %: accept a loss up to 1.89 %, reject one above 2.11 %" in said
    printed = {item.name for item in figure.printed}
    assert {"discs.judge.shrinkage.accept-from", "discs.judge.mass-loss.accept-to"} <= printed


def test_a_gauge_that_proves_no_disc_is_told(tmp_path: Path) -> None:
    tight = DISCS.replace("0.5 %", "0.05 %").replace("2.0 %", "0.1 %")
    (figure,) = of_kind(numbers(tmp_path, tight), "check")
    said = " ".join(figure.sentences)
    assert "no disc is accepted for certain, reject one below" in said
    assert "no loss is accepted for certain, reject one above" in said
    assert not [item for item in figure.printed if "accept" in item.name]


def test_without_the_numbers_there_is_no_figure(tmp_path: Path) -> None:
    process = clean(tmp_path, BATCH)
    view = build_work_instruction(process, ())
    assert (view.figures, view.gaps) == ((), ())
    assert all(step.figures == () for step in view.steps)


@pytest.mark.parametrize(
    ("names", "found"),
    [
        (["a.b.c"], ["a.b.c"]),
        (["a.b.c", "a.b.d"], ["a.b"]),
        (["a.b", "a.b.c"], ["a"]),
        (["a.b.c", "a.d"], ["a.b.c", "a.d"]),
        (["a.b", "a.c", "a.d", "a.e"], ["a"]),
        (["a.b.c", "x.y", "a.b.d"], ["a.b", "x.y"]),
    ],
)
def test_the_beginnings_of_names_are_few(names: list[str], found: list[str]) -> None:
    assert list(beginnings(names)) == found
