"""Place the derived numbers where they are read: at the steps, in what is needed, in the plan."""

from collections.abc import Iterator, Mapping

from speccomp.derive import Derived
from speccomp.documents.batch_table import build_batch_tables
from speccomp.documents.cure_table import build_cure_figures
from speccomp.documents.figure_views import FigureView
from speccomp.documents.inspection_numbers import (
    Shown,
    build_decisions,
    build_discs,
    build_samples,
    build_specimen,
)
from speccomp.documents.mix_clock import build_mix_clock
from speccomp.documents.mix_count import build_mix_count
from speccomp.documents.weighing_table import build_weighing_table, weighing_step
from speccomp.model.process import Process

Placed = Iterator[tuple[str, FigureView]]


def build_step_figures(
    process: Process, derived: Derived, shown: Shown
) -> Mapping[str, tuple[FigureView, ...]]:
    """
    Return the figures of every step that has some, by step.

    What is made stands at the first step of it, the windows where a component is weighed, the
    clock where its time begins, the cure table where the oven is started, the readings that decide
    where they are taken.
    """
    figures: dict[str, list[FigureView]] = {}
    for step, figure in _placed(process, derived, shown):
        figures.setdefault(step, []).append(figure)
    return {step: tuple(found) for step, found in figures.items()}


def _placed(process: Process, derived: Derived, shown: Shown) -> Placed:
    making = derived.making
    if making is not None:
        count = build_mix_count(process, making)
        if count is not None:
            yield count
        for weighing in making.weighing:
            table = build_weighing_table(process, weighing, making.plans)
            if table is not None:
                yield weighing_step(process, weighing).id, table
        mix = next((step.id for step in process.steps if step.operation.name == "mix"), None)
        if mix is not None:
            for figure in build_mix_clock(process, making):
                yield mix, figure
    yield from build_cure_figures(process, derived.cures, derived.water).items()
    yield from _checks(process, derived, shown)


def _checks(process: Process, derived: Derived, shown: Shown) -> Placed:
    for step in process.steps:
        fits = [fit for fit in derived.gauges if fit.step is step]
        sizes = [item for item in derived.disc_limits if item.step is step]
        losses = [item for item in derived.mass_losses if item.step is step]
        for figure in (
            build_decisions(process, fits, shown),
            build_discs(process, sizes, losses),
        ):
            if figure is not None:
                yield step.id, figure
    for check in derived.specimens:
        yield check.step.id, build_specimen(process, check)


def build_needed_figures(process: Process, derived: Derived) -> tuple[FigureView, ...]:
    """Return the batch tables; none where nothing is mixed or applied."""
    return build_batch_tables(process, derived.making) if derived.making else ()


def build_plan_figures(process: Process, derived: Derived, shown: Shown) -> tuple[FigureView, ...]:
    """Return what the samples show, for the control plan."""
    figure = build_samples(process, derived.sampling, shown)
    return (figure,) if figure is not None else ()


def build_gaps(derived: Derived) -> tuple[str, ...]:
    """Return what was not calculated and why, one sentence each."""
    return tuple(f"{gap.name}: {gap.reason.rstrip('.')}." for gap in derived.gaps)
