"""The cure chart: the numbers of its table, the same bytes always, no words lost."""

import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from datetime import date
from pathlib import Path

import pytest

from speccomp.documents.figure_views import ChartView, FigureView
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.pipeline import Format, check_file, compile_documents
from speccomp.render.chart import render_chart

ROOT = Path(__file__).resolve().parents[2]
DEFINITIONS = ROOT / "specs_demo" / "definitions"
TODAY = date(2026, 11, 25)
SVG = "{http://www.w3.org/2000/svg}"

VIEW = ChartView(
    time_label="Time from the start of the step, h",
    temperature_label="Setpoint, °C",
    times=(0.0, 1.0, 1.0, 5.0, 5.0, 6.0),
    lower=(18.0, 77.0, 77.0, 77.0, 77.0, 145.0),
    nominal=(22.0, 82.0, 82.0, 82.0, 82.0, 150.0),
    upper=(26.0, 87.0, 87.0, 87.0, 87.0, 155.0),
    drying=((1.0, 5.0),),
    boiling=99.2,
    allowed=94.2,
    alt="Cure chart",
)


def drawn(svg: bytes, part: str) -> list[list[tuple[float, float]]]:
    """Return the points of the paths in the groups whose id begins so."""
    paths = []
    for group in ET.fromstring(svg).iter(f"{SVG}g"):  # made above
        if group.get("id", "").startswith(part):
            for path in group.iter(f"{SVG}path"):
                numbers = [
                    float(n) for n in path.get("d", "").replace("z", "").split() if n not in "MLQC"
                ]
                paths.append(list(zip(numbers[::2], numbers[1::2], strict=True)))
    return paths


def figure(number: str) -> FigureView:
    """Return the one figure with a chart in a definition of the demo."""
    path = next(DEFINITIONS.glob(f"{number}*"))
    checked = check_file(path, TODAY)
    assert checked.process is not None
    view = build_work_instruction(checked.process, (), derived=checked.derived)
    (found,) = [f for step in view.steps for f in step.figures if f.chart is not None]
    return found


def test_the_line_goes_through_the_corners_of_the_profile() -> None:
    lines = drawn(render_chart(VIEW), "line2d")
    (line,) = [line for line in lines if len(line) >= 4]
    xs, ys = [x for x, _ in line], [y for _, y in line]
    # Straight: equal times and temperatures lie at equal places.
    assert xs == sorted(xs)
    scale = (xs[-1] - xs[0]) / (VIEW.times[-1] - VIEW.times[0])
    corners = dict(zip(VIEW.times, VIEW.nominal, strict=True))
    tall = (ys[0] - ys[-1]) / (VIEW.nominal[-1] - VIEW.nominal[0])
    for x, y in line:
        time = round((x - xs[0]) / scale, 6)
        assert time in corners
        assert (ys[0] - y) / tall + VIEW.nominal[0] == pytest.approx(corners[time], abs=1e-3)


def test_boiling_is_drawn_only_where_it_counts() -> None:
    without = ChartView(
        **{name: getattr(VIEW, name) for name in ChartView.__slots__} | {"boiling": None},
    )
    assert len(drawn(render_chart(VIEW), "line2d")) > len(drawn(render_chart(without), "line2d"))


def test_drying_holds_are_shaded() -> None:
    bare = ChartView(
        **{name: getattr(VIEW, name) for name in ChartView.__slots__} | {"drying": ()},
    )
    assert b"<pattern" in render_chart(VIEW)
    assert b"<pattern" not in render_chart(bare)


def test_words_are_outlines_of_the_documents_type() -> None:
    svg = render_chart(VIEW)
    assert b"<text" not in svg
    assert b"SourceSansPro" in svg
    assert b"DejaVu" not in svg


CODE = """
import hashlib, sys
sys.path.insert(0, {folder!r})
from test_chart import VIEW
from speccomp.render.chart import render_chart
print(hashlib.sha256(render_chart(VIEW)).hexdigest())
"""


def test_the_same_numbers_give_the_same_bytes_anywhere(tmp_path: Path) -> None:
    prints = set()
    for zone, seed in (("UTC", "1"), ("Asia/Tokyo", "2")):
        environment = os.environ | {
            "TZ": zone,
            "PYTHONHASHSEED": seed,
            "MPLCONFIGDIR": str(tmp_path / zone.replace("/", "-")),
            "SOURCE_DATE_EPOCH": seed,
            "PYTHONPATH": str(ROOT),
        }
        run = subprocess.run(
            [sys.executable, "-c", CODE.format(folder=str(Path(__file__).parent))],
            capture_output=True,
            text=True,
            check=True,
            env=environment,
        )
        prints.add(run.stdout.strip())
    assert len(prints) == 1
    assert b"<dc:date" not in render_chart(VIEW)


@pytest.mark.parametrize("number", ["PD-117", "PD-120", "PD-140", "PD-152"])
def test_the_chart_and_its_table_say_the_same(number: str) -> None:
    found = figure(number)
    chart, table = found.chart, found.table
    assert chart is not None
    assert table is not None
    per_hour = 1 if chart.time_label.endswith(" h") else 60
    assert len(chart.times) == 2 * len(table.rows)
    for index, row in enumerate(table.rows):
        begins, ends = (text.split(":") for text in row[3].split(" – "))
        for clock, time in ((begins, chart.times[2 * index]), (ends, chart.times[2 * index + 1])):
            assert int(clock[0]) + int(clock[1]) / 60 == pytest.approx(time / per_hour, abs=0.01)
        setpoint = float(row[1].partition(" ")[0].partition("\u00a0")[0])
        assert chart.nominal[2 * index + 1] == pytest.approx(setpoint, abs=0.05)
        assert f"{row[0]}: {row[1]}, {row[2]}, {row[3]}" in chart.alt
        hold = chart.drying and (chart.times[2 * index], chart.times[2 * index + 1])
        assert ("dries" in row[0]) == (hold in chart.drying)


def test_the_axes_are_in_the_units_of_the_plant() -> None:
    celsius, fahrenheit = figure("PD-117").chart, figure("PD-152").chart
    assert celsius is not None
    assert fahrenheit is not None
    assert celsius.temperature_label == "Setpoint, °C"
    assert celsius.boiling == pytest.approx(99.2, abs=0.1)
    assert fahrenheit.temperature_label == "Setpoint, °F"
    # At 2200 m water boils at about 92.6 °C (IAPWS-IF97, from memory), which is 198.7 °F.
    assert fahrenheit.boiling == pytest.approx(198.7, abs=0.2)


def test_a_resin_has_no_boiling_line() -> None:
    chart = figure("PD-140").chart
    assert chart is not None
    assert (chart.boiling, chart.allowed, chart.drying) == (None, None, ())


def test_the_page_shows_the_chart_with_its_alternative() -> None:
    checked = check_file(DEFINITIONS / "PD-117-cartridge-heater.yaml", TODAY)
    page = compile_documents(checked, [Format.HTML])["work-instruction.html"].decode()
    assert 'alt="Cure chart; the table beside it says the same.' in page


def test_a_sheet_alone_loads_no_plotting_library() -> None:
    code = (
        "import sys; from datetime import date; from pathlib import Path;"
        "from speccomp.pipeline import Format, check_file, compile_documents;"
        f"c = check_file(Path({str(DEFINITIONS / 'PD-117-cartridge-heater.yaml')!r}),"
        " date(2026, 11, 25));"
        "compile_documents(c, [Format.CSV]);"
        "print([n for n in ('matplotlib', 'weasyprint', 'jinja2') if n in sys.modules])"
    )
    run = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )
    assert run.stdout.strip() == "[]"
