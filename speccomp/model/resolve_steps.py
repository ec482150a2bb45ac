"""Read the steps, those of step blocks included."""

from collections.abc import Iterator
from dataclasses import replace

from speccomp.findings import Finding, Related, Severity
from speccomp.model.context import Context
from speccomp.model.lookup import resolve_name
from speccomp.model.node import Node
from speccomp.model.operations import LIMIT_KINDS, OPERATIONS
from speccomp.model.process import (
    Characteristic,
    Container,
    Control,
    Hold,
    Image,
    Ramp,
    Segment,
    Specimen,
    Step,
)
from speccomp.model.resolve_block import check_block, resolve_bindings
from speccomp.model.resolve_control import (
    note_target_only,
    resolve_control,
    resolve_limit,
    resolve_look_for,
    slug,
)
from speccomp.model.resolve_ratio import place_ratio
from speccomp.model.resolve_shared import resolve_setting
from speccomp.model.shared import NOWHERE
from speccomp.model.technique import measured_kinds
from speccomp.quantities import Kind, Toleranced
from speccomp.source.reader import read_image


def resolve_steps(node: Node, context: Context) -> tuple[Step, ...]:
    """Read all steps of a definition in the order of the work."""
    steps: list[Step] = []
    first: dict[str, Step] = {}
    for item in node.items("steps"):
        for step in _expand(item, context):
            if step.id in first:
                related = (Related(first[step.id].span, "the first one is here"),)
                message = f"two steps are called `{step.id}`"
                hint = "give each step an id of its own; it identifies the step in all revisions"
                node.found.append(
                    Finding(
                        Severity.ERROR, "reference.duplicate-id", step.span, message, hint, related
                    )
                )
            first.setdefault(step.id, step)
            steps.append(step)
    return place_ratio(steps, context.ratio)


def _expand(node: Node, context: Context) -> Iterator[Step]:
    if node.get("use") is None:
        yield _step(node, node.text("id"), "", context)
        return
    target = next(
        (
            reference.target
            for reference in context.sources.references
            if reference.from_file == node.tree.file and reference.path == (*node.path, "use")
        ),
        None,
    )
    tree = context.sources.trees.get(target or "")
    if tree is None or target is None:
        return
    block = Node(tree, node.found)
    check_block(tree, node.found)
    bindings = resolve_bindings(node, block)
    filled = Node(tree, node.found, (), bindings)
    for item in filled.items("steps"):
        step = _step(item, f"{node.text('id')}.{item.text('id')}", block.text("block"), context)
        yield replace(step, use=node.text("id"), used_at=node.child("id").span)


def _step(node: Node, ident: str, block: str, context: Context) -> Step:
    operation = OPERATIONS[node.text("operation")]
    material = node.get("material")
    card = (
        resolve_name(material, context.materials, "material", "the definition")
        if material
        else None
    )
    do = node.get("do")
    spans = tuple(item.span for item in node.items("do")) or ((do.span,) if do else ())
    role = node.get("responsible")
    if role:
        resolve_name(role, context.plant.roles, "role", "the plant file")
    reaction = node.get("reaction")
    if reaction:
        resolve_name(reaction, context.reactions, "reaction", "the definition with its plant file")
    equipment = (
        resolve_name(item, context.plant.equipment, "equipment", "the plant file")
        for item in node.items("with")
    )
    records = list(node.items("record"))
    for item in records:
        resolve_name(item, context.records, "record", "the definition with its plant file")
    profile, from_profile = _profile(node, ident, context)
    default = f"{operation.verb} {card.name}" if card else operation.title
    return Step(
        id=ident,
        operation=operation,
        title=node.text("title") or default,
        material=card,
        method=node.text("method"),
        actions=node.texts("do"),
        why=node.text("why"),
        equipment=tuple(item for item in equipment if item is not None),
        gear=node.texts("gear"),
        characteristics=(
            *_limits(node, ident, context),
            *from_profile,
            *_looks(node, ident, context),
        ),
        profile=profile,
        reaction=node.text("reaction"),
        responsible=resolve_setting(node, "responsible") or context.plant.defaults.responsible,
        covered=node.flag("covered"),
        keep=node.text("keep"),
        records=tuple(item.string() for item in records),
        images=tuple(_images(node, context)),
        note=node.text("note"),
        block=block,
        specimen=_specimen(node.get("specimen")),
        containers=tuple(_containers(node, context)),
        action_spans=spans,
        span=node.key_span if node.get("id") is None else node.child("id").span,
    )


def _containers(node: Node, context: Context) -> Iterator[Container]:
    for item in node.items("containers"):
        ticket = item.get("ticket")
        if ticket:
            resolve_name(ticket, context.records, "record", "the definition with its plant file")
        yield Container(
            item.text("name"),
            item.text("label"),
            item.text("ticket"),
            bool(item.flag("same_person")),
            item.span,
        )


def _limits(node: Node, ident: str, context: Context) -> Iterator[Characteristic]:
    operation = OPERATIONS[node.text("operation")]
    for name, entry in node.entries("limits"):
        kind = LIMIT_KINDS.get(name.lower())
        for item in entry.elements():
            limit = resolve_limit(item, f"{ident}/{slug(name)}", name, kind, operation, context)
            if limit:
                note_target_only(limit, item)
                yield limit


def _looks(node: Node, ident: str, context: Context) -> Iterator[Characteristic]:
    operation = OPERATIONS[node.text("operation")]
    for item in node.items("look_for"):
        yield resolve_look_for(item, ident, operation, context)


def _profile(
    node: Node, ident: str, context: Context
) -> tuple[tuple[Segment, ...], tuple[Characteristic, ...]]:
    """Read a cure profile: its segments, and their limits as characteristics."""
    segments: list[Segment] = []
    limits: list[Characteristic] = []
    for number, item in enumerate(node.items("profile"), start=1):
        kind = "hold" if item.get("hold") else "ramp"
        entry = item.child(kind)
        keys = (
            (("at", "temperature", Kind.TEMPERATURE), ("for", "time", Kind.TIME))
            if kind == "hold"
            else (("to", "end temperature", Kind.TEMPERATURE), ("at", "rate", Kind.RAMP_RATE))
        )
        control, validated = resolve_control(entry, context), entry.get("validated")
        first, second = (
            _segment_limit(
                entry.get(key),
                f"{ident}/{number}-{slug(name)}",
                f"{kind} {number}, {name}",
                quantity_kind,
                _read_by(control, quantity_kind, [other for _, _, other in keys]),
                validated.value(key, quantity_kind) if validated else None,
            )
            for key, name, quantity_kind in keys
        )
        segments.append(
            Hold(first, second, item.span) if kind == "hold" else Ramp(first, second, item.span)
        )
        limits.extend(limit for limit in (first, second) if limit)
    return tuple(segments), tuple(limits)


def _read_by(control: Control, kind: Kind, both: list[Kind]) -> Control:
    """Leave the gauge of a segment to that one of its two limits that it can measure."""
    measured = measured_kinds(control.gauge) if control.gauge else None
    if measured is None or kind in measured or not measured.intersection(both):
        return control
    return replace(control, gauge=None)


def _segment_limit(
    node: Node | None,
    ident: str,
    name: str,
    kind: Kind,
    control: Control,
    validated: Toleranced | None,
) -> Characteristic | None:
    value = node.parse_value(kind) if node else None
    if node is None or value is None:
        return None
    limit = Characteristic(ident, name, value, False, control, validated=validated, span=node.span)
    note_target_only(limit, node)
    return limit


def _specimen(node: Node | None) -> Specimen | None:
    if node is None:
        return None
    return Specimen(
        load=node.text("load"),
        width=node.value("width", Kind.LENGTH),
        depth=node.value("depth", Kind.LENGTH),
        diameter=node.value("diameter", Kind.LENGTH),
        length=node.value("length", Kind.LENGTH),
        span_length=node.value("span", Kind.LENGTH),
        span=node.span,
    )


def _images(node: Node, context: Context) -> Iterator[Image]:
    for item in node.items("images"):
        file = item.child("file")
        outcome = read_image(
            context.sources.project, item.tree.file, file.string(), file.span or NOWHERE
        )
        node.found.extend(outcome.findings)
        if outcome.value is not None:
            yield Image(outcome.value, item.text("alt"), item.text("caption"))
