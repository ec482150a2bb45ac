"""Build the control plan: one row for each characteristic, in the order of the work."""

from collections.abc import Iterable

from speccomp.derive import Derived
from speccomp.documents.characteristics import build_characteristics, build_reactions
from speccomp.documents.common import build_history, build_title_block, build_waived
from speccomp.documents.figures import build_gaps, build_plan_figures
from speccomp.documents.views import COLUMNS, ControlPlan, ControlRow
from speccomp.documents.words import INHERITED_LEGEND, equipment_name
from speccomp.findings import Finding
from speccomp.model.issue import Issue
from speccomp.model.process import Process


def build_control_plan(
    process: Process,
    findings: Iterable[Finding],
    issue: Issue | None = None,
    derived: Derived | None = None,
) -> ControlPlan:
    """
    Return the control plan of a definition; waived findings stay visible in it.

    `derived` are the numbers that say what the samples show, which is left out without them.
    """
    printed = build_characteristics(process)
    rows = tuple(
        ControlRow(
            step_number=str(number),
            step_id=step.id,
            operation=step.title,
            equipment="; ".join(equipment_name(item) for item in step.equipment),
            characteristic=printed[item.id],
        )
        for number, step in enumerate(process.steps, start=1)
        for item in step.characteristics
    )
    inherited = any(row.characteristic.inherited for row in rows)
    return ControlPlan(
        title_block=build_title_block(process, "Control plan", issue),
        header=_header(process),
        columns=COLUMNS,
        rows=rows,
        reactions=build_reactions(process, process.steps),
        steps_without_control=_uncontrolled(process),
        history=build_history(process, issue),
        waived=build_waived(findings),
        legend="; ".join(_legend(process, inherited)),
        figures=build_plan_figures(process, derived, printed) if derived else (),
        gaps=build_gaps(derived) if derived else (),
    )


def _uncontrolled(process: Process) -> tuple[str, ...]:
    """Return the steps without a characteristic."""
    return tuple(
        f"{number} {step.title}"
        for number, step in enumerate(process.steps, start=1)
        if not step.characteristics
    )


def _header(process: Process) -> tuple[tuple[str, str], ...]:
    """Return what a control plan states beside the fields of its title block."""
    drawings = [part.drawing for part in process.parts if part.drawing]
    return (
        ("Phase", process.phase),
        ("Part numbers", ", ".join(part.number for part in process.parts)),
        ("Part names", ", ".join(part.name for part in process.parts)),
        ("Drawing, change level", ", ".join(drawings) or "not stated"),
        ("Customer", process.customer),
    )


def _legend(process: Process, inherited: bool) -> list[str]:
    used = {item.control.special for _, item in process.characteristics()}
    marks = [
        f"{special.mark} = {special.title}"
        for ident, special in process.plant.special.items()
        if ident in used
    ]
    return [*marks, *([INHERITED_LEGEND] if inherited else [])]


def build_legend(process: Process) -> str:
    """Return the legend of marks for a document that shows characteristics."""
    views = build_characteristics(process).values()
    return "; ".join(_legend(process, any(view.inherited for view in views)))
