"""Put change bars into the documents of a revision, from its comparison with an earlier one."""

from dataclasses import dataclass, replace

from speccomp.compare.marks import Marks
from speccomp.documents.views import CharacteristicView, ControlPlan, StepView, WorkInstruction
from speccomp.model.issue import Changed


@dataclass(frozen=True, slots=True)
class Since:
    """What changed since an earlier revision."""

    revision: str
    marks: Marks


def changed_of(since: Since) -> Changed:
    """Return what changed as the issue of a revision keeps it."""
    marks = since.marks
    steps, rows, sections = (tuple(sorted(n)) for n in (marks.steps, marks.rows, marks.sections))
    return Changed(since.revision, steps, rows, sections)


def since_of(changed: Changed) -> Since:
    """Return what changed as the documents mark it."""
    lists = (frozenset(names) for names in (changed.steps, changed.rows, changed.sections))
    return Since(changed.since, Marks(*lists))


def mark_work_instruction(view: WorkInstruction, since: Since) -> WorkInstruction:
    """Return a work instruction with bars at what changed, and a legend that says since when."""
    return replace(
        view,
        steps=tuple(_step(step, since.marks) for step in view.steps),
        changed=since.marks.sections,
        legend=_legend(view.legend, since),
    )


def mark_control_plan(view: ControlPlan, since: Since) -> ControlPlan:
    """Return a control plan with bars at the rows that changed, and a legend."""
    rows = tuple(
        replace(row, characteristic=_characteristic(row.characteristic, since.marks))
        for row in view.rows
    )
    return replace(view, rows=rows, legend=_legend(view.legend, since))


def _step(step: StepView, marks: Marks) -> StepView:
    characteristics = tuple(_characteristic(item, marks) for item in step.characteristics)
    return replace(step, characteristics=characteristics, changed=step.id in marks.steps)


def _characteristic(item: CharacteristicView, marks: Marks) -> CharacteristicView:
    return replace(item, changed=item.id in marks.rows)


def _legend(legend: str, since: Since) -> str:
    bar = f"a bar at the left edge marks what changed since revision {since.revision}"
    return f"{legend}; {bar}" if legend else bar[0].upper() + bar[1:]
