"""Build the work instruction: what is needed, the cautions, the steps, acceptance, records."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from speccomp.derive import Derived
from speccomp.documents.characteristics import build_characteristics, build_reactions
from speccomp.documents.common import build_history, build_title_block, build_waived
from speccomp.documents.control_plan import build_legend
from speccomp.documents.figures import build_gaps, build_needed_figures, build_step_figures
from speccomp.documents.safety import (
    build_first_aid,
    build_hazards,
    build_signal_words,
    build_spills,
    gear_of_step,
)
from speccomp.documents.views import (
    CautionView,
    CharacteristicView,
    ImageView,
    StepView,
    Table,
    WorkInstruction,
)
from speccomp.documents.words import (
    STANDING_NOTE,
    equipment_figures,
    equipment_name,
    operation_name,
    printed,
    role_title,
)
from speccomp.findings import Finding
from speccomp.model.issue import Issue
from speccomp.model.material import Material
from speccomp.model.plant import Equipment
from speccomp.model.process import Container, Process, Step
from speccomp.model.shared import Caution
from speccomp.model.technique import technique_of


def build_work_instruction(
    process: Process,
    findings: Iterable[Finding],
    issue: Issue | None = None,
    derived: Derived | None = None,
) -> WorkInstruction:
    """
    Return the work instruction of a definition; waived findings stay visible in it.

    `derived` are the numbers for its tables and charts, which are left out without them.
    """
    view = _without_numbers(process, findings, issue)
    if derived is None:
        return view
    figures = build_step_figures(process, derived, build_characteristics(process))
    return replace(
        view,
        steps=tuple(replace(step, figures=figures.get(step.id, ())) for step in view.steps),
        figures=build_needed_figures(process, derived),
        gaps=build_gaps(derived),
    )


def _without_numbers(
    process: Process, findings: Iterable[Finding], issue: Issue | None
) -> WorkInstruction:
    shown = build_characteristics(process)
    return WorkInstruction(
        title_block=build_title_block(process, "Work instruction", issue),
        purpose=process.purpose,
        scope=process.scope,
        parts=_parts(process),
        materials=_materials(process),
        ratio=_ratio(process),
        equipment=_equipment(process),
        gear=_gear(process),
        standing_note=STANDING_NOTE,
        cautions=tuple(
            _caution(process, caution)
            for caution in sorted(process.cautions, key=lambda caution: caution.signal.rank)
            if not caution.before
        ),
        steps=tuple(
            _step(process, step, number, shown)
            for number, step in enumerate(process.steps, start=1)
        ),
        acceptance=_acceptance(process, shown),
        records=_records(process),
        references=Table(
            ("Document", "Edition", "Title", "Issuer"),
            tuple((r.id, r.edition, r.title, r.issuer) for r in process.references),
        ),
        history=build_history(process, issue),
        waived=build_waived(findings),
        legend=build_legend(process),
        hazards=build_hazards(process),
        first_aid=build_first_aid(process),
        spills=build_spills(process),
        signal_words=build_signal_words([caution.signal for caution in process.cautions]),
    )


def _parts(process: Process) -> Table:
    rows = tuple(
        (
            part.number,
            part.name,
            part.drawing,
            printed(part.fill_volume, process.plant),
            printed(part.thickest_section, process.plant),
        )
        for part in process.parts
    )
    return Table(("Part", "Name", "Drawing", "Fill volume", "Thickest section"), rows)


def _materials(process: Process) -> Table:
    columns = ("Material", "Called here", "Form", "Store at", "Shelf life", "Pot life", "Sheet")
    rows = tuple(_material(process, material) for material in process.materials.values())
    return Table(columns, rows)


def _material(process: Process, material: Material) -> tuple[str, ...]:
    plant = process.plant
    storage = [
        printed(material.storage_temperature, plant),
        printed(material.storage_humidity, plant),
    ]
    life = material.shelf_life
    if material.opened_life:
        life = f"{life}; {material.opened_life} once opened" if life else material.opened_life
    pot = material.pot_life
    pot_life = f"{printed(pot.time, plant)} at {printed(pot.at, plant)}" if pot else ""
    hazards = material.hazards
    sheet = (
        f"safety data sheet {hazards.sheet_date.isoformat()}"
        if hazards and hazards.sheet_date
        else "no safety data sheet on the card; see Hazards of the materials"
    )
    where = ", ".join(text for text in storage if text)
    note = f"{where}. {material.storage_note}" if material.storage_note else where
    return (material.name, material.key, material.form, note, life, pot_life, sheet)


def _ratio(process: Process) -> str:
    ratio = process.ratio
    if ratio is None:
        return ""
    parts = [
        f"{printed(part.parts, process.plant)} {process.materials[part.material].name}"
        for part in ratio.parts
        if part.material in process.materials
    ]
    return f"By {ratio.by}: " + " to ".join(parts)


def _equipment(process: Process) -> Table:
    used = {item.id: item for step in process.steps for item in _used(step)}
    rows = tuple(
        (
            equipment_name(item),
            equipment_figures(item, process.plant),
            item.calibration_due.isoformat() if item.calibration_due else "",
        )
        for item in used.values()
    )
    return Table(("Equipment", "What it can do", "Calibration due"), rows)


def _used(step: Step) -> tuple[Equipment, ...]:
    """Return what a step uses: what it names, then what its limits are read from."""
    read = [technique_of(step, item) for item in step.characteristics]
    items = (*step.equipment, *(item for item in read if isinstance(item, Equipment)))
    return tuple({item.id: item for item in items}.values())


def _gear(process: Process) -> tuple[str, ...]:
    steps = (gear for step in process.steps for gear in step.gear)
    cautions = (gear for caution in process.cautions for gear in caution.gear)
    return tuple(dict.fromkeys((*process.protective_gear, *steps, *cautions)))


def _caution(process: Process, caution: Caution, *, up_front: bool = True) -> CautionView:
    """Return a caution as printed; before a step, what is worn stands once below all cautions."""
    topic = process.plant.topics.get(caution.topic)
    return CautionView(
        caution.topic,
        caution.signal.value,
        caution.signal.value.upper(),
        caution.hazard,
        caution.consequence,
        caution.avoid,
        caution.gear if up_front else (),
        topic.sign if topic is not None else "",
    )


def _step(
    process: Process, step: Step, number: int, shown: Mapping[str, CharacteristicView]
) -> StepView:
    places = {step.id, step.use} if step.use else {step.id}
    cautions = [
        caution
        for caution in process.cautions
        if places.intersection(caution.before) and _is_first(process, step, caution)
    ]
    return StepView(
        number=str(number),
        id=step.id,
        title=step.title,
        operation=operation_name(step),
        responsible=role_title(process, step.responsible.value) if step.responsible else "",
        cautions=tuple(
            _caution(process, caution, up_front=False)
            for caution in sorted(cautions, key=lambda caution: caution.signal.rank)
        ),
        actions=step.actions,
        equipment=tuple(equipment_name(item) for item in _used(step)),
        gear=gear_of_step(step, cautions),
        characteristics=tuple(shown[item.id] for item in step.characteristics),
        facts=_facts(process, step),
        why=step.why,
        note=step.note,
        if_not=build_reactions(process, (step,)),
        records=tuple(process.records[r].title for r in step.records if r in process.records),
        images=tuple(
            ImageView(i.source.path, i.source.media_type, i.source.data, i.alt, i.caption)
            for i in step.images
        ),
    )


def _is_first(process: Process, step: Step, caution: Caution) -> bool:
    """Tell whether a caution that names a whole block stands before this step of it."""
    if step.id in caution.before:
        return True
    return next(s for s in process.steps if s.use == step.use) is step


def _facts(process: Process, step: Step) -> tuple[str, ...]:
    facts = []
    if step.covered is not None:
        facts.append("Keep it covered." if step.covered else "Leave it uncovered.")
    if step.keep:
        facts.append(f"Keep for {step.keep}.")
    facts.extend(_told(process, container) for container in step.containers)
    return tuple(facts)


def _told(process: Process, container: Container) -> str:
    """Return what tells the next person what is in a container."""
    if container.ticket:
        record = process.records[container.ticket].title
        return f"{record} on {container.name}, all shift: “{container.label}”"
    if container.label:
        return f"Label on {container.name}: “{container.label}”"
    return f"Use up what is in {container.name} yourself in this shift."


def _acceptance(process: Process, shown: Mapping[str, CharacteristicView]) -> Table:
    rows = tuple(
        (
            view.number,
            view.name,
            view.special,
            view.requirement,
            view.technique,
            view.sample,
            view.frequency,
        )
        for _, item in process.characteristics()
        if (view := shown[item.id]).product
    )
    columns = ("No.", "Characteristic", "Special", "Accept", "How", "Sample", "Frequency")
    return Table(columns, rows, prose=(3,))


def _records(process: Process) -> Table:
    named = [record for step in process.steps for record in step.records]
    kept = [
        item.control.record.value
        for _, item in process.characteristics()
        if item.control.record is not None
    ]
    used = [r for r in dict.fromkeys((*named, *kept)) if r in process.records]
    rows = tuple(
        (record.title, record.keep, record.where)
        for record in (process.records[ident] for ident in used)
    )
    return Table(("Record", "Keep for", "Where"), rows)
