"""Read limits and checks with their control, and fill in the plant's defaults."""

import re

from speccomp.findings import Severity
from speccomp.model.context import Context
from speccomp.model.lookup import resolve_kind, resolve_name
from speccomp.model.node import Node
from speccomp.model.operations import Operation
from speccomp.model.process import Characteristic, Claim, Control, SamplePlan
from speccomp.model.resolve_shared import resolve_setting
from speccomp.model.shared import Setting
from speccomp.quantities import KINDS, Kind, Toleranced, with_article


def slug(name: str) -> str:
    """Return a name as part of an id."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")


def resolve_limit(
    node: Node, ident: str, name: str, kind: Kind | None, operation: Operation, context: Context
) -> Characteristic | None:
    """Read one limit, written alone or with its control; nothing where its value is wrong."""
    detailed = isinstance(node.data, dict)
    value_node = node.child("value") if detailed else node
    said = node.get("kind")
    if said:
        kind = resolve_kind(said)
        if kind is None:
            return None
    value = value_node.parse_value(kind)
    if value is None:
        return None
    return _characteristic(node, ident, name, value, operation, context)


def resolve_look_for(
    node: Node, step_id: str, operation: Operation, context: Context
) -> Characteristic:
    """Read one thing that a person judges."""
    name = node.text("what")
    return _characteristic(
        node, f"{step_id}/{slug(name)}", name, node.text("accept"), operation, context
    )


def _characteristic(
    node: Node,
    ident: str,
    name: str,
    requirement: Toleranced | str,
    operation: Operation,
    context: Context,
) -> Characteristic:
    said = node.text("characteristic")
    condition = node.text("when")
    return Characteristic(
        id=f"{ident}-{slug(condition)}" if condition else ident,
        name=name,
        requirement=requirement,
        product=said == "product" if said else operation.product,
        control=resolve_control(node, context),
        condition=condition,
        validated=None
        if isinstance(requirement, str)
        else node.value("validated", requirement.kind),
        span=node.key_span,
    )


def resolve_control(node: Node, context: Context) -> Control:
    """Read how something is controlled; names are looked up, gaps filled from the plant."""
    plant = context.plant
    gauge = node.get("gauge")
    special = node.get("special")
    settings = {
        key: resolve_setting(node, key)
        for key in ("sample", "every", "reaction", "responsible", "record")
    }
    _check_named(node, context)
    return Control(
        gauge=resolve_name(gauge, plant.equipment, "equipment", "the plant file")
        if gauge
        else None,
        method=node.text("method"),
        sample=settings["sample"] or plant.defaults.sample,
        every=settings["every"] or plant.defaults.every,
        reaction=settings["reaction"] or _of_step(node, "reaction") or plant.defaults.reaction,
        responsible=settings["responsible"]
        or _of_step(node, "responsible")
        or plant.defaults.responsible,
        record=settings["record"] or plant.defaults.record,
        special=special.string() if special else "",
        claim=_claim(node.get("claim")),
        plan=_plan(node.get("plan")),
        span=node.span,
    )


def _claim(node: Node | None) -> Claim | None:
    if node is None:
        return None
    lot = node.text("lot")
    return Claim(
        node.value("bad", Kind.FRACTION),
        node.value("confidence", Kind.FRACTION),
        int(lot) if lot else None,
        node.span,
    )


def _plan(node: Node | None) -> SamplePlan | None:
    if node is None:
        return None
    return SamplePlan(
        int(node.text("lot")),
        node.text("level"),
        float(node.text("aql")),
        node.text("inspection", "normal"),
        node.span,
    )


def _check_named(node: Node, context: Context) -> None:
    known = {
        "reaction": ("reaction", context.reactions),
        "responsible": ("role", context.plant.roles),
        "record": ("record", context.records),
        "special": ("special characteristic", context.plant.special),
    }
    for key, (what, names) in known.items():
        child = node.get(key)
        if child:
            resolve_name(child, names, what, "the definition with its plant file")


def _of_step(node: Node, key: str) -> Setting | None:
    """Return what the step sets for all its limits."""
    for length in range(len(node.path) - 1, 0, -1):
        holder = Node(node.tree, node.found, node.path[:length], node.bindings)
        if isinstance(holder.data, dict) and "operation" in holder.data:
            return resolve_setting(holder, key)
    return None


def note_target_only(characteristic: Characteristic, node: Node) -> None:
    """Say so where a limit holds a target without tolerance; a count is exact as it stands."""
    requirement = characteristic.requirement
    if not isinstance(requirement, Toleranced) or requirement.kind is Kind.COUNT:
        return
    if not requirement.is_limit:
        (node.get("value") or node).report(
            "value.no-tolerance",
            f"`{requirement.text}` is a target without tolerance; nobody can judge a result by it",
            f"write limits for {with_article(requirement.kind)}, for example "
            f"`{KINDS[requirement.kind].example}`",
            severity=Severity.ERROR,
            subject=characteristic.id,
        )
