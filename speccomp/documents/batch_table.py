"""The batch table: what a mix of each size weighs, and what the order takes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from speccomp.derive import Making, Number
from speccomp.derive.mix_sizes import SizedMix
from speccomp.derive.mixes import PartPlan
from speccomp.derive.weighing import ComponentWeighing, WeighingAt
from speccomp.documents.figure_views import FigureView
from speccomp.documents.mix_count import mixes_text, weighs_mix
from speccomp.documents.number_print import Printer, span
from speccomp.documents.views import Table
from speccomp.documents.words import sentence_case
from speccomp.model.process import Process
from speccomp.quantities import Kind, Quantity

_MOST_COLUMNS = 5
_NONE = "–"


@dataclass(frozen=True, slots=True)
class _Column:
    """One mix of the table; both None for the mix that the steps weigh."""

    plan: PartPlan | None
    sized: SizedMix | None

    @property
    def label(self) -> str:
        """How its weighings are named."""
        return self.sized.size.label if self.sized else "instructed"


def build_batch_tables(process: Process, making: Making) -> tuple[FigureView, ...]:
    """Return the tables of the mixes and of the order; none where no mass is known."""
    columns: list[_Column] = []
    if making.instructed is not None and weighs_mix(making):
        columns.append(_Column(None, None))
    columns += [_Column(plan, sized) for plan in making.plans for sized in plan.sizes]
    figures = []
    for start in range(0, len(columns), _MOST_COLUMNS):
        last = start + _MOST_COLUMNS >= len(columns)
        figures.append(_mixes(process, making, columns[start : start + _MOST_COLUMNS], last))
    if making.plans:
        figures.append(_orders(process, making))
    return tuple(figures)


def _mixes(process: Process, making: Making, columns: Sequence[_Column], last: bool) -> FigureView:
    printer = Printer(process.plant.units)
    rows = [
        row
        for row in (
            _masses(printer, making, columns),
            _fills(printer, columns),
            *_components(printer, making, columns),
            _parts(printer, making, columns),
            _times(printer, columns),
        )
        if any(cell != _NONE for cell in row[1:])
    ]
    table = Table(
        ("For one mix", *(_heading(printer, column) for column in columns)),
        tuple(rows),
        tuple(range(1, len(columns) + 1)),
        "Batch table",
    )
    return printer.figure("batch", table, _notes(printer, making) if last else ())


def _heading(printer: Printer, column: _Column) -> str:
    if column.plan is None or column.sized is None:
        return "As weighed in the steps"
    return f"{printer.value(column.sized.parts)} × {column.plan.needs.part.number}"


def _masses(printer: Printer, making: Making, columns: Sequence[_Column]) -> tuple[str, ...]:
    cells = []
    for column in columns:
        number = column.sized.size.mass if column.sized else making.instructed
        cells.append(_NONE if number is None else printer.value(number))
    return ("Mass", *cells)


def _fills(printer: Printer, columns: Sequence[_Column]) -> tuple[str, ...]:
    cells = []
    for column in columns:
        size = column.sized.size if column.sized else None
        if size is None or size.lowest is None or size.highest is None:
            cells.append(_NONE)
        else:
            cells.append(span(printer.value(size.lowest), printer.value(size.highest)))
    return ("Mass at the smallest and largest fill", *cells)


def _components(
    printer: Printer, making: Making, columns: Sequence[_Column]
) -> Iterator[tuple[str, ...]]:
    """Go through the rows of the components: as read on the scale where one weighs them."""
    components = making.mixture.components
    if len(components) == 1:
        return
    weighed: dict[str, ComponentWeighing] = {}
    if weighs_mix(making):
        weighed = {item.balance.own.component.key: item for item in making.weighing}
    for index, component in enumerate(components):
        name = sentence_case(component.key)
        own = weighed.get(component.key) if index else next(iter(weighed.values()), None)
        targets, windows = [], []
        for column in columns:
            at = _at(own, column)
            targets.append(_target(printer, own, at, column, index))
            windows.append(_window(printer, own, at) if index else _NONE)
        yield (f"{name}, {_verb(own, index)}" if own else f"{name}, mass", *targets)
        yield (f"{name}, allowed with it", *windows)


def _verb(own: ComponentWeighing, index: int) -> str:
    """Say how a component is measured out; the reference comes first."""
    measured = own.balance.own if index else own.balance.reference
    return "weigh" if measured.kind is Kind.MASS else "measure out"


def _at(own: ComponentWeighing | None, column: _Column) -> WeighingAt | None:
    if own is None:
        return None
    return next((at for at in own.at if at.label == column.label), None)


def _target(
    printer: Printer,
    own: ComponentWeighing | None,
    at: WeighingAt | None,
    column: _Column,
    index: int,
) -> str:
    if own is not None and at is not None and index == 0:
        return printer.reading(at.reference, own.balance.reference.readability, "nearest")
    if own is not None and at is not None and at.window is not None:
        return printer.reading(at.window.target, own.balance.own.readability, "nearest")
    shares: tuple[Number[Quantity], ...] = column.sized.size.components if column.sized else ()
    return printer.value(shares[index], 4) if index < len(shares) else _NONE


def _window(printer: Printer, own: ComponentWeighing | None, at: WeighingAt | None) -> str:
    if own is None or at is None or at.window is None:
        return _NONE
    step, window = own.balance.own.readability, at.window
    low = printer.reading(window.lower, step, "up") if window.lower else ""
    high = printer.reading(window.upper, step, "down") if window.upper else ""
    if low and high:
        return span(low, high)
    return f"at least {low}" if low else f"at most {high}" if high else _NONE


def _parts(printer: Printer, making: Making, columns: Sequence[_Column]) -> tuple[str, ...]:
    cells = []
    for column in columns:
        if column.sized is not None:
            cells.append(_NONE)
            continue
        filled = [
            f"{printer.value(count)} × {part}"
            for part, count in making.instructed_parts.items()
            if count.value
        ]
        cells.append(" or ".join(filled) or _NONE)
    return ("Fills for certain", *cells)


def _times(printer: Printer, columns: Sequence[_Column]) -> tuple[str, ...]:
    cells = []
    for column in columns:
        time = column.sized.time if column.sized else None
        cells.append(_NONE if time is None else printer.duration(time, "up"))
    return ("From the start of mixing to the last part", *cells)


def _notes(printer: Printer, making: Making) -> Iterator[str]:
    weighs = weighs_mix(making)
    if making.smallest_mix is not None and weighs:
        least = printer.value(making.smallest_mix, toward="up")
        yield f"The scales hold the ratio in mixes of {least} and more."
    for item in making.weighing if weighs else ():
        yield from _spread(printer, item, making.mixture.measured_by)
    density = making.mixture.density
    if density is not None and making.plans:
        source = "from the card" if making.mixture.density_from_card else "by ideal mixing"
        extra = making.plans[0].needs.extra
        yield (
            f"Density {printer.value(density)}, {source}; discs and retained sample take "
            f"{printer.value(extra)} of each mix."
        )


def _spread(printer: Printer, item: ComponentWeighing, by: str) -> Iterator[str]:
    """Say how well the smallest mix shown holds the ratio: worst case beside uncertainty."""
    shown = [at for at in item.at if at.worst is not None and at.uncertainty is not None]
    worst = min(shown, key=lambda at: at.reference.value.m_as("g"), default=None)
    if worst is None or worst.worst is None or worst.uncertainty is None:
        return
    own, reference = item.balance.own.component.key, item.balance.reference.component.key
    low = printer.value(worst.worst[0], 4, "down")
    high = printer.value(worst.worst[1], 4, "up")
    mass = printer.reading(worst.reference, item.balance.reference.readability, "nearest")
    spread = printer.value(worst.uncertainty, 2, "up")
    yield (
        f"With {mass} of {reference} and the {own} at its target, the {own} is {span(low, high)} "
        f"of the {reference} by {by} in the worst case, ± {spread} of it by expanded uncertainty "
        "(k = 2)."
    )


def _orders(process: Process, making: Making) -> FigureView:
    printer = Printer(process.plant.units)
    rows: list[tuple[str, ...]] = []
    for plan in making.plans:
        lead = f"{plan.ordered} × {plan.needs.part.number}, {mixes_text(printer, plan)}"
        order = plan.order
        if not order.components:
            rows.append((lead, "all", printer.value(order.mass, toward="up"), _NONE))
        for component, share in zip(making.mixture.components, order.components, strict=False):
            packs = [
                f"{printer.value(pack.count)} {pack.pack}"
                for pack in order.containers
                if pack.component == component.key
            ]
            mass = printer.value(share, toward="up")
            rows.append((lead, sentence_case(component.key), mass, " or ".join(packs) or _NONE))
    columns = ("Order", "Material", "Mass in all", "Whole containers")
    return printer.figure("batch", Table(columns, tuple(rows), (2,), "What the order takes"))
