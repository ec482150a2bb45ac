"""The cure table and chart of a step: setpoints, clock, how hot a part can get, boiling."""

from collections.abc import Iterator, Mapping

from speccomp.derive import Number
from speccomp.derive.cure import CureSegment, CureStep
from speccomp.derive.histories import History, QualifiedHold
from speccomp.derive.steam import SteamCheck
from speccomp.derive.water import Water
from speccomp.documents.figure_views import ChartView, FigureView
from speccomp.documents.number_print import Printer
from speccomp.documents.views import Table
from speccomp.documents.words import printed
from speccomp.findings import Span
from speccomp.model.process import Hold, Process
from speccomp.quantities import Kind, Quantity, Toleranced, quantity
from speccomp.quantities.units import pint_name

TENTH = quantity(0.1, "K")
"""Temperatures are printed to the place of a tenth of a kelvin."""

_COLUMNS = (
    "Segment",
    "Setpoint",
    "Time or rate",
    "From – to",
    "Part at most",
    "Steam margin",
    "Highest setpoint",
)
_DRY = "dry by then"
_NONE = "–"
_SIGNS = {"degC": "°C", "degF": "°F"}
_LONG_HOURS = 3.0


def build_cure_figures(
    process: Process, histories: tuple[History, ...], water: Water | None
) -> Mapping[str, FigureView]:
    """
    Return the figure of every step whose profile is more than one hold at ambient, by step.

    What holds for the whole cure of the parts stands at its first figure.
    """
    figures: dict[str, FigureView] = {}
    for history in histories:
        first = True
        for step in history.steps:
            if step.at_ambient and len(step.segments) == 1:
                continue
            figures[step.step.id] = _figure(process, history, step, water, first)
            first = False
    return figures


def _figure(
    process: Process, history: History, step: CureStep, water: Water | None, first: bool
) -> FigureView:
    printer = Printer(process.plant.units)
    checks = {check.place[1].segment.span: check for check in history.steam}
    rows = tuple(_row(process, printer, history, step, item, checks) for item in step.segments)
    columns = _COLUMNS if history.steam else _COLUMNS[:5]
    table = Table(
        columns,
        tuple(row[: len(columns)] for row in rows),
        (),
        "Cure table; from – to in hours:minutes after the start of the step, at nominal times",
    )
    sentences = [*_step_sentences(printer, step)]
    if first:
        sentences += [*_water(printer, history, water), *_history(printer, history)]
    chart = _chart(printer, history, step, water, table)
    return printer.figure("cure", table, sentences, (), (1, 2), chart)


def _row(
    process: Process,
    printer: Printer,
    history: History,
    step: CureStep,
    item: CureSegment,
    checks: Mapping[Span, SteamCheck],
) -> tuple[str, ...]:
    check = checks.get(item.segment.span)
    drying = history.drying is not None and (step, item) in history.drying.holds
    segment = item.segment
    value = segment.time if isinstance(segment, Hold) else segment.rate
    return (
        f"{item.number} {'hold' if item.leg.holds else 'ramp'}{', dries' if drying else ''}",
        _written(process, item.temperature.requirement if item.temperature else ""),
        _written(process, value.requirement if value else ""),
        f"{printer.clock(item.starts)} – {printer.clock(item.ends)}",
        printer.to_step(item.highest, TENTH, "up"),
        printer.to_step(check.spare, TENTH, "down") if check else _DRY,
        printer.to_step(check.highest_setpoint, TENTH, "down") if check else _NONE,
    )


def _written(process: Process, requirement: Toleranced | str) -> str:
    if isinstance(requirement, str):
        return requirement
    return printed(requirement, process.plant)


def _step_sentences(printer: Printer, step: CureStep) -> Iterator[str]:
    longest = step.longest
    most = f", {printer.duration(longest, 'up')} at the longest" if longest else ""
    yield (
        f"The step takes {printer.duration(step.nominal)}, "
        f"{printer.duration(step.shortest, 'down')} at the shortest{most}."
    )
    if step.oven is not None:
        error = printer.to_step(step.error, TENTH, "up")
        yield (
            f"A part can be {error} hotter than the setpoint: control tolerance, non-uniformity "
            "and sensor error of the oven together."
        )


def _water(printer: Printer, history: History, water: Water | None) -> Iterator[str]:
    if not history.steam or history.allowed is None or water is None:
        return
    boiling = printer.to_step(water.boiling_point, TENTH, "down")
    pressure = printer.value(water.pressure, 3, "down")
    allowed = printer.to_step(history.allowed, TENTH, "down")
    yield (
        f"Water boils at {boiling} here ({pressure}). A part that is not dry must stay below "
        f"{allowed}; the steam margin is the distance to that."
    )


def _history(printer: Printer, history: History) -> Iterator[str]:
    yield from _drying(printer, history)
    yield from _held(printer, "Set at ambient", history.ambient)
    yield from _held(printer, "Final cure", history.final)
    if history.ages is not None:
        yield (
            f"Equivalent age {printer.value(history.ages.ours)}, of the card’s cure "
            f"{printer.value(history.ages.qualified)}. Advice, no acceptance."
        )


def _drying(printer: Printer, history: History) -> Iterator[str]:
    drying = history.drying
    if drying is None:
        if history.why_unknown:
            yield f"Drying is not calculated: {history.why_unknown}."
        return
    met = ""
    if drying.met_in is not None:
        met = f", reached in {drying.met_in[1].name} of “{drying.met_in[0].step.title}”"
    needed = printer.duration(drying.need.required, "up")
    given = printer.duration(drying.credited, "down")
    yield (
        f"Drying: {drying.need.part.number} needs {needed} at the card’s temperature; the holds "
        f"give {given} at their shortest{met}."
    )
    if drying.water_left is not None:
        ours, card = (printer.value(left, 2, "up") for left in drying.water_left)
        yield (
            f"Free water left by the slab series: {ours}, after the card’s own hold {card}. "
            "Advice, no limit."
        )


def _held(printer: Printer, what: str, hold: QualifiedHold | None) -> Iterator[str]:
    if hold is not None:
        yield (
            f"{what}: the card asks for {printer.duration(hold.required, 'up')}; the holds give "
            f"{printer.duration(hold.credited, 'down')} at their shortest."
        )


def _chart(
    printer: Printer, history: History, step: CureStep, water: Water | None, table: Table
) -> ChartView:
    unit = printer.units.unit_for(Kind.TEMPERATURE, "degC")
    time_unit = "h" if step.chart[-1].elapsed.m_as("h") >= _LONG_HOURS else "min"

    def times(value: Quantity) -> float:
        return float(value.m_as(time_unit))

    def temperature(value: Quantity) -> float:
        return float(value.m_as(pint_name(unit)))

    def limit(number: Number[Quantity] | None) -> float | None:
        return temperature(number.value) if number is not None and history.steam else None

    drying = history.drying.holds if history.drying else ()
    return ChartView(
        time_label=f"Time from the start of the step, {time_unit}",
        temperature_label=f"Setpoint, {_SIGNS[unit]}",
        times=tuple(times(point.elapsed) for point in step.chart),
        lower=tuple(temperature(point.lower) for point in step.chart),
        nominal=tuple(temperature(point.nominal) for point in step.chart),
        upper=tuple(temperature(point.upper) for point in step.chart),
        drying=tuple(
            (times(item.starts.value), times(item.ends.value))
            for owner, item in drying
            if owner is step
        ),
        boiling=limit(water.boiling_point if water else None),
        allowed=limit(history.allowed),
        alt=_alt(table),
    )


def _alt(table: Table) -> str:
    parts = (f"{row[0]}: {row[1]}, {row[2]}, {row[3]}" for row in table.rows)
    return f"Cure chart; the table beside it says the same. {'; '.join(parts)}."
