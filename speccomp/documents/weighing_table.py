"""The weighing table: what a component may weigh, by the actual reading of the reference."""

from collections.abc import Iterator
from itertools import chain

from speccomp.derive import Number
from speccomp.derive.measuring import error_name
from speccomp.derive.mixes import PartPlan
from speccomp.derive.stated_masses import INSTRUCTED
from speccomp.derive.weighing import ComponentWeighing, WeighingAt, Window
from speccomp.documents.figure_views import FigureView
from speccomp.documents.number_print import Printer
from speccomp.documents.views import Table
from speccomp.documents.words import equipment_name, listed, sentence_case
from speccomp.model.process import Process, Step
from speccomp.quantities import Kind

_NONE = "–"


def weighing_step(process: Process, weighing: ComponentWeighing) -> Step:
    """Return the step at which both readings are known: the later one of the two components."""
    balance = weighing.balance
    places = {step.id: place for place, step in enumerate(process.steps)}
    portions = (balance.reference.portions[-1], balance.own.portions[-1])
    return max((portion.step for portion in portions), key=lambda step: places[step.id])


def build_weighing_table(
    process: Process, weighing: ComponentWeighing, plans: tuple[PartPlan, ...]
) -> FigureView | None:
    """
    Return the table of a component; None where no reading holds its ratio.

    It goes by the mass that the steps state; where they state none, by every size of mix.
    """
    printer = Printer(process.plant.units)
    stated = [at for at in weighing.at if at.label == INSTRUCTED]
    names = {
        sized.size.label: (sized.parts, plan.needs.part.number)
        for plan in plans
        for sized in plan.sizes
    }
    shown = stated or weighing.at
    rows = tuple(chain.from_iterable(_rows(printer, weighing, at, names) for at in shown))
    if not rows:
        return None
    own, reference = (
        sentence_case(side.component.key)
        for side in (weighing.balance.own, weighing.balance.reference)
    )
    lead: tuple[str, ...] = () if stated else ("For",)
    figures = tuple(range(len(lead), len(lead) + 4))
    table = Table(
        (*lead, f"{reference} reads", f"{own}, at least", "Aim at", "At most"),
        tuple(row[-len(lead) - 4 :] for row in rows),
        figures,
        f"{own} to {_verb(weighing)}, by the reading of the {reference.lower()}",
    )
    sentences = _sentences(weighing, bool(stated))
    return printer.figure("window", table, sentences, (), figures[1:])


def _verb(weighing: ComponentWeighing) -> str:
    return "weigh" if weighing.balance.own.kind is Kind.MASS else "measure out"


def _rows(
    printer: Printer,
    weighing: ComponentWeighing,
    at: WeighingAt,
    names: dict[str, tuple[Number[int], str]],
) -> Iterator[tuple[str, ...]]:
    windows = at.rows or ((at.window,) if at.window else ())
    for window in windows:
        number = names.get(at.label)
        label = f"{printer.value(number[0])} × {number[1]}" if number else ""
        yield (label, *_row(printer, weighing, window))


def _row(printer: Printer, weighing: ComponentWeighing, window: Window) -> tuple[str, ...]:
    step, other = weighing.balance.own.readability, weighing.balance.reference.readability
    lower, upper = window.lower, window.upper
    return (
        printer.reading(window.reference, other, "nearest"),
        _NONE if lower is None else printer.reading(lower, step, "up"),
        printer.reading(window.target, step, "nearest"),
        _NONE if upper is None else printer.reading(upper, step, "down"),
    )


def _sentences(weighing: ComponentWeighing, stated: bool) -> Iterator[str]:
    errors: dict[str, dict[str, None]] = {}
    for measured in (weighing.balance.reference, weighing.balance.own):
        for portion in measured.portions:
            names = errors.setdefault(error_name(portion.instrument), {})
            names[equipment_name(portion.instrument)] = None
    held = [f"the {what} of {listed(list(names))}" for what, names in errors.items()]
    verb = "is" if len(held) == 1 else "are"
    yield f"{sentence_case(listed(held))} {verb} in it."
    if weighing.balance.converted:
        yield "So are the limits of the densities on the cards."
    yield "For a reading between two rows, keep to the limits of both rows."
    if stated and weighing.balance.own.portions[-1].amount is not None:
        yield f"The {weighing.balance.own.kind} limit of this step counts too."
