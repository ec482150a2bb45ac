"""Read a material card that the schema has accepted."""

from speccomp.findings import Finding
from speccomp.model.material import (
    Constituent,
    Declaration,
    Family,
    Hazards,
    Material,
    Pack,
    Partner,
    PotLife,
    QualifiedCure,
)
from speccomp.model.node import Node
from speccomp.quantities import Kind
from speccomp.source.yaml_tree import Tree


def resolve_material(key: str, tree: Tree, found: list[Finding]) -> Material:
    """Read a card under the name the definition uses; faults of its values go to `found`."""
    node = Node(tree, found)
    storage = node.get("storage") or node
    source = node.get("source") or node
    return Material(
        key=key,
        id=node.text("material"),
        name=node.text("name"),
        family=Family(node.text("family")),
        form=node.text("form"),
        density=node.value("density", Kind.DENSITY),
        bulk_density=node.value("bulk_density", Kind.DENSITY),
        partners=tuple(_partner(item) for item in node.items("partners")),
        pot_life=_pot_life(node.get("pot_life")),
        cures=tuple(_cure(item) for item in node.items("cure")),
        diffusivity=node.value("diffusivity", Kind.DIFFUSIVITY),
        shelf_life=node.text("shelf_life"),
        opened_life=node.text("opened_life"),
        storage_temperature=storage.value("temperature", Kind.TEMPERATURE),
        storage_humidity=storage.value("humidity", Kind.HUMIDITY),
        turn_over=storage.text("turn_over"),
        storage_note=storage.text("note"),
        segregates=bool(node.flag("segregates")),
        packs=tuple(_pack(item) for item in node.items("packs")),
        hazards=_hazards(node.get("hazards")),
        composition=tuple(_constituent(item) for item in node.items("composition")),
        ph=_number(node, "ph"),
        largest_batch=node.value("largest_batch", Kind.MASS),
        declarations=tuple(
            Declaration(name, entry.text("status"), entry.day("date"), entry.text("evidence"))
            for name, entry in node.entries("declarations")
        ),
        source_title=source.text("title"),
        source_date=source.day("date"),
        span=node.span,
    )


def _partner(node: Node) -> Partner:
    return Partner(
        material=node.text("material"),
        by=node.text("by"),
        parts=node.value("parts", Kind.RATIO),
        mixed_density=node.value("mixed_density", Kind.DENSITY),
        partner_first=node.text("first") == "partner",
        span=node.span,
    )


def _pot_life(node: Node | None) -> PotLife | None:
    if node is None:
        return None
    q10 = node.text("q10")
    return PotLife(
        time=node.value("time", Kind.TIME),
        at=node.value("at", Kind.TEMPERATURE),
        q10=float(q10) if q10 else None,
        activation_energy=node.value("activation_energy", Kind.ACTIVATION_ENERGY),
        span=node.span,
    )


def _cure(node: Node) -> QualifiedCure:
    dry = node.get("dry")
    final = node.get("final")
    return QualifiedCure(
        name=node.text("name"),
        section=node.value("section", Kind.LENGTH),
        open_faces=int(node.text("open_faces", "1")),
        dry_at=dry.value("at", Kind.TEMPERATURE) if dry else None,
        dry_for=dry.value("for", Kind.TIME) if dry else None,
        ramp=node.value("ramp", Kind.RAMP_RATE),
        ambient=node.value("ambient", Kind.TIME),
        final_at=final.value("at", Kind.TEMPERATURE) if final else None,
        final_for=final.value("for", Kind.TIME) if final else None,
        span=node.span,
    )


def _pack(node: Node) -> Pack:
    """Read a pack size: a mass where its unit is one, else a volume."""
    return Pack(node.text("name"), node.value("holds", None))


def _hazards(node: Node | None) -> Hazards | None:
    if node is None:
        return None
    return Hazards(node.texts("statements"), node.text("signal"), node.day("sheet_date"), node.span)


def _constituent(node: Node) -> Constituent:
    return Constituent(
        substance=node.text("substance"),
        fraction=node.value("fraction", Kind.FRACTION),
        molar_ratio=_number(node, "molar_ratio"),
        weight_ratio=_number(node, "weight_ratio"),
        statements=node.texts("statements"),
        span=node.span,
    )


def _number(node: Node, key: str) -> float | None:
    text = node.text(key)
    return float(text) if text else None
