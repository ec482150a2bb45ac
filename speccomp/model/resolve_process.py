"""Read a process definition with its plant, cards and blocks: text becomes quantities here."""

from collections.abc import Mapping

from speccomp.findings import Finding, Outcome, Related, Severity
from speccomp.model.context import Context
from speccomp.model.lookup import nearest, resolve_name
from speccomp.model.material import Material
from speccomp.model.node import Node
from speccomp.model.operations import OPERATIONS
from speccomp.model.packs import texts_of
from speccomp.model.plant import Plant
from speccomp.model.process import (
    Batch,
    Change,
    Characteristic,
    Earlier,
    Part,
    Process,
    Ratio,
    RatioPart,
    Reason,
    Reference,
    Replacement,
    Waiver,
)
from speccomp.model.resolve_control import note_target_only, resolve_limit
from speccomp.model.resolve_material import resolve_material
from speccomp.model.resolve_plant import resolve_plant
from speccomp.model.resolve_shared import resolve_cautions, resolve_reactions, resolve_records
from speccomp.model.resolve_steps import resolve_steps
from speccomp.quantities import Kind
from speccomp.source.project import Sources


def resolve_process(sources: Sources) -> Outcome[Process]:
    """
    Make the model of a definition whose files the schemas have accepted.

    Returns the process also where names or values are wrong, without the wrong parts, so that
    the checks can still say what they see; nothing where the plant file is missing.
    """
    found: list[Finding] = []
    node = Node(sources.main, found)
    plant_tree = _target(sources, node, ("plant",))
    if plant_tree is None:
        return Outcome(None, tuple(found))
    packs = sources.referred(plant_tree, "caution-pack")
    plant = resolve_plant(sources.trees[plant_tree], found, packs)
    context = _context(sources, node, plant)
    process = _process(node, context)
    _check_links(node, process)
    return Outcome(process, tuple(found))


def _target(sources: Sources, node: Node, path: tuple[str | int, ...]) -> str | None:
    for reference in sources.references:
        if reference.from_file == node.tree.file and reference.path == path:
            return reference.target if reference.target in sources.trees else None
    return None


def _context(sources: Sources, node: Node, plant: Plant) -> Context:
    materials: dict[str, Material] = {}
    for key, _ in node.entries("materials"):
        target = _target(sources, node, ("materials", key))
        if target is not None:
            materials[key] = resolve_material(key, sources.trees[target], node.found)
    reactions = {**plant.reactions, **resolve_reactions(node)}
    for _, entry in node.entries("reactions"):
        resolve_name(entry.child("responsible"), plant.roles, "role", "the plant file")
    records = {**plant.records, **resolve_records(node)}
    bare = Context(sources, plant, materials, reactions, records, None)
    ratio = _ratio(node.get("ratio"), bare)
    return Context(sources, plant, materials, reactions, records, ratio)


def _ratio(node: Node | None, context: Context) -> Ratio | None:
    if node is None or not isinstance(node.data, dict):
        return None
    parts: list[RatioPart] = []
    for name in node.data:
        entry = node.child(name)
        if name == "by":
            continue
        if name not in context.materials:
            entry.report(
                "reference.unknown-material",
                f"the definition has no material `{name}`",
                nearest(name, context.materials),
                span=entry.key_span,
                subject="ratio",
            )
        limit = resolve_limit(
            entry, f"ratio/{name}", f"parts of {name}", Kind.RATIO, OPERATIONS["weigh"], context
        )
        if limit is None or isinstance(limit.requirement, str):
            continue
        if parts:
            note_target_only(limit, entry)
        parts.append(RatioPart(name, limit.requirement, limit, entry.key_span))
    return Ratio(node.text("by"), tuple(parts), node.key_span) if len(parts) > 1 else None


def _process(node: Node, context: Context) -> Process:
    author = node.get("author") or node
    role = author.get("role")
    if role:
        resolve_name(role, context.plant.roles, "role", "the plant file")
    data = node.data if isinstance(node.data, dict) else {}
    return Process(
        number=node.text("process"),
        title=node.text("title"),
        revision=node.text("revision"),
        date=node.day("date"),
        language=node.text("language", "en"),
        author=author.text("name"),
        author_role=author.text("role"),
        contact=node.text("contact"),
        department=node.text("department"),
        change=_change(node.get("change")),
        history=tuple(_earlier(item) for item in node.items("history")),
        plant=context.plant,
        customer=node.text("customer", "internal"),
        phase=node.text("phase", "production"),
        purpose=node.text("purpose"),
        scope=node.text("scope"),
        parts=tuple(_part(item) for item in node.items("parts")),
        materials=context.materials,
        ratio=context.ratio,
        batch=_batch(node.get("batch")),
        protective_gear=node.texts("protective_gear"),
        reactions=context.reactions,
        records=context.records,
        references=tuple(
            Reference(*(item.text(key) for key in ("id", "edition", "title", "issuer")))
            for item in node.items("references")
        ),
        steps=resolve_steps(node, context),
        cautions=resolve_cautions(
            node,
            {**texts_of(context.plant.topics, context.plant.local_codes), **context.plant.cautions},
        ),
        waivers=tuple(_waiver(item) for item in node.items("waivers")),
        spans={key: node.child(key).key_span for key in data},
        span=node.child("process").span,
    )


def _change(node: Node | None) -> Change | None:
    if node is None:
        return None
    return Change(
        from_revision=node.text("from"),
        why=node.text("why"),
        summary=node.text("summary"),
        change_class=node.text("class"),
        previous=node.text("previous"),
        reasons=tuple(
            Reason(item.text("at"), item.text("why"), item.span) for item in node.items("reasons")
        ),
        like_for_like=tuple(
            Replacement(item.text("equipment"), item.text("replaces"), item.text("why"), item.span)
            for item in node.items("like_for_like")
        ),
        class_span=node.child("class").span,
        span=node.key_span,
    )


def _earlier(node: Node) -> Earlier:
    return Earlier(node.text("revision"), node.day("date"), node.text("summary"), node.span)


def _part(node: Node) -> Part:
    return Part(
        number=node.text("number"),
        name=node.text("name"),
        drawing=node.text("drawing"),
        fill_volume=node.value("fill_volume", Kind.VOLUME),
        thickest_section=node.value("thickest_section", Kind.LENGTH),
        open_faces=int(node.text("open_faces", "1")),
        span=node.span,
    )


def _batch(node: Node | None) -> Batch | None:
    if node is None:
        return None
    return Batch(
        parts=int(node.text("parts")),
        loss=node.value("loss", Kind.FRACTION),
        cycle_time=node.value("cycle_time", Kind.TIME),
        transfer_time=node.value("transfer_time", Kind.TIME),
        stations=int(node.text("stations", "1")),
        sizes=tuple(int(size) for size in node.texts("sizes")),
        span=node.key_span,
    )


def _waiver(node: Node) -> Waiver:
    return Waiver(
        finding=node.text("finding"),
        at=node.text("at"),
        why=node.text("why"),
        by=node.text("by"),
        role=node.text("role"),
        until=node.day("until"),
        span=node.span,
    )


def _check_links(node: Node, process: Process) -> None:
    """Look up the steps that cautions name, and see that no two limits share an id."""
    steps: Mapping[str, object] = {
        **{step.id: step for step in process.steps},
        **{step.use: step for step in process.steps if step.use},
    }
    for item in node.items("cautions"):
        for place in item.items("before"):
            resolve_name(place, steps, "step", "the definition")
    seen: dict[str, Characteristic] = {}
    for _, limit in process.characteristics():
        if limit.id in seen:
            node.found.append(
                Finding(
                    Severity.ERROR,
                    "reference.duplicate-id",
                    limit.span,
                    f"two limits of the step are called `{limit.name}`",
                    "give each a name of its own; the control plan has one row for each",
                    (Related(seen[limit.id].span, "the first one is here"),),
                    limit.id,
                )
            )
        seen.setdefault(limit.id, limit)
