"""Put change bars into the documents of a revision, from its comparison with an earlier one."""

from collections.abc import Mapping
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


_SECTIONS = {
    "purpose": "purpose",
    "scope": "scope",
    "parts": "parts",
    "materials": "materials",
    "ratio": "ratio",
    "equipment": "equipment",
    "figures": "batch",
    "gear": "gear",
    "cautions": "cautions",
    "hazards": "cautions",
    "first_aid": "cautions",
    "spills": "cautions",
    "records": "records",
    "references": "references",
}


def with_printed(
    marks: Marks, before: WorkInstruction, after: WorkInstruction, later: Mapping[str, str]
) -> Marks:
    """
    Return the marks of a comparison and those of all else that prints otherwise.

    A derived number on a step can move although nothing in the step did. `later` leads from the
    ids of renamed steps to the new ones.
    """
    then = {later.get(step.id, step.id): step for step in before.steps}
    steps = {step.id for step in after.steps if _as_printed(step) != _as_printed(then.get(step.id))}
    sections = {
        section
        for field, section in _SECTIONS.items()
        if getattr(before, field) != getattr(after, field)
    }
    return Marks(marks.steps | steps, marks.rows, marks.sections | sections)


def _as_printed(step: StepView | None) -> StepView | None:
    """Return a step without its number and names, which move when one is put in before it."""
    if step is None:
        return None
    limits = tuple(replace(item, id="", number="") for item in step.characteristics)
    return replace(step, id="", number="", characteristics=limits)


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
