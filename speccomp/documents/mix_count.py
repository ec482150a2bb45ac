"""How much is made: the parts of the order and its mixes, to be read before the first one."""

from collections.abc import Iterator, Sequence

from speccomp.derive import Making
from speccomp.derive.mixes import PartPlan
from speccomp.derive.mixture import APPLYING
from speccomp.documents.figure_views import FigureView
from speccomp.documents.number_print import Printer
from speccomp.documents.words import listed
from speccomp.model.process import Process


def weighs_mix(making: Making) -> bool:
    """Tell whether the steps weigh the mix, and not a shot that checks the ratio of a dispenser."""
    counts = making.instructed_parts.values()
    return not counts or any(count.value for count in counts)


def made_in_mixes(making: Making) -> bool:
    """Tell whether mixes are made that have a size and an age, and not shots of a dispenser."""
    if making.instructed is not None:
        return weighs_mix(making)
    return not making.plans or any(plan.clock for plan in making.plans)


def mixes_text(printer: Printer, plan: PartPlan) -> str:
    """Return the mixes of an order in words: 3 mixes of 60 and 1 mix of 20."""
    return " and ".join(
        f"{printer.value(count)} {'mix' if count.value == 1 else 'mixes'} of {printer.value(parts)}"
        for parts, count in plan.groups
    )


def build_mix_count(process: Process, making: Making) -> tuple[str, FigureView] | None:
    """
    Return how much is made, and the step that says so: the first one that weighs, mixes or fills.

    None where nobody knows how many parts are made, or no step does any of that.
    """
    by_mixes = made_in_mixes(making)
    step = _first(process, ("weigh", "mix") if by_mixes else ("mix", *APPLYING))
    if step is None or not making.plans:
        return None
    printer = Printer(process.plant.units)
    lead = [*_mixes(printer, making)] if by_mixes else []
    if by_mixes and making.instructed is not None:
        mass = printer.value(making.instructed)
        lead.append(f"Weighed as the steps say, one mix is {mass}.")
    else:
        lead += _orders(printer, making)
    return step, printer.figure("mixes", None, (), lead)


def _first(process: Process, operations: Sequence[str]) -> str | None:
    fitting = (step.id for step in process.steps if step.operation.name in operations)
    return next(fitting, None)


def _mixes(printer: Printer, making: Making) -> Iterator[str]:
    """Say how many mixes an order takes; parts with the same mixes in one sentence."""
    orders: dict[tuple[int, ...], list[PartPlan]] = {}
    for plan in making.plans:
        orders.setdefault(tuple(parts.value for parts in plan.mixes), []).append(plan)
    for plans in orders.values():
        mixes, parts = mixes_text(printer, plans[0]), [plan.needs.part.number for plan in plans]
        yield f"Make {mixes} parts for an order of {plans[0].ordered} × {listed(parts, 'or')}."


def _orders(printer: Printer, making: Making) -> Iterator[str]:
    """Say what each order takes in all, loss and samples included."""
    materials = listed([component.key for component in making.mixture.components])
    for plan in making.plans:
        mass = printer.value(plan.order.mass, toward="up")
        order = f"{plan.ordered} × {plan.needs.part.number}"
        yield f"An order of {order} takes {mass} of {materials} in all."
