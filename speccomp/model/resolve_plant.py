"""Read a plant file that the schema has accepted."""

from collections.abc import Iterable, Mapping

from speccomp.findings import Finding
from speccomp.model.lookup import resolve_kind, resolve_name
from speccomp.model.node import Node
from speccomp.model.packs import Topic, texts_of
from speccomp.model.plant import (
    Defaults,
    Emergency,
    Equipment,
    GaugeFit,
    Margins,
    Plant,
    SpecialClass,
    WaiverPolicy,
    Wording,
)
from speccomp.model.resolve_packs import resolve_packs
from speccomp.model.resolve_release import resolve_release
from speccomp.model.resolve_shared import (
    resolve_cautions,
    resolve_reactions,
    resolve_records,
    resolve_setting,
)
from speccomp.model.shared import Caution, Setting
from speccomp.quantities import Kind, PrintUnits, QuantityError
from speccomp.source.yaml_tree import Tree

# What `range` is a range of; a gauge, a dispenser and a tool say it by their unit.
_RANGE_KINDS = {
    "oven": Kind.TEMPERATURE,
    "thermometer": Kind.TEMPERATURE,
    "timer": Kind.TIME,
    "vacuum-chamber": Kind.PRESSURE,
    "sprayer": Kind.PRESSURE,
}


def resolve_plant(tree: Tree, found: list[Finding], packs: Iterable[Tree] = ()) -> Plant:
    """
    Read the plant; what is wrong with its values and names is added to `found`.

    `packs` are the trees of its own caution packs, in the order in which it names them.
    """
    node = Node(tree, found)
    topics = resolve_packs(packs, found)
    roles = {name: entry.text("title") for name, entry in node.entries("roles")}
    shop = node.get("shop") or node
    wording = node.get("wording")
    policy = node.get("waiver_policy")
    numbering = node.get("numbering") or node
    plant = Plant(
        id=node.text("plant"),
        name=node.text("name"),
        owner=node.text("owner"),
        units=_print_units(node.get("print") or node),
        paper=(node.get("print") or node).text("paper"),
        elevation=node.value("elevation", Kind.LENGTH),
        air_pressure=node.value("air_pressure", Kind.PRESSURE),
        shop_temperature=shop.value("temperature", Kind.TEMPERATURE),
        shop_humidity=shop.value("humidity", Kind.HUMIDITY),
        equipment={name: _equipment(name, entry) for name, entry in node.entries("equipment")},
        roles=roles,
        approvals=node.texts("approvals"),
        defaults=_defaults(node.get("control_defaults") or node),
        reactions=resolve_reactions(node),
        records=resolve_records(node),
        special={
            name: SpecialClass(name, entry.text("title"), entry.text("mark"))
            for name, entry in node.entries("special_characteristics")
        },
        cautions=_cautions(node, topics),
        topics=topics,
        local_codes=node.text("local_codes"),
        wording=Wording(*(wording.texts(k) for k in ("vague", "allowed", "verbs")))
        if wording
        else Wording(),
        waiver_policy=_waiver_policy(policy),
        document_pattern=numbering.text("documents"),
        revision_scheme=numbering.text("revisions"),
        uncontrolled_note=node.text("uncontrolled_note"),
        margins=_margins(node.get("margins")),
        gauge_fit=_gauge_fit(node.get("gauge_fit")),
        required_declarations=node.texts("required_declarations"),
        special_processes=node.texts("special_processes"),
        emergency=_emergency(node.get("emergency")),
        release=resolve_release(node.get("release"), roles),
        span=node.span,
    )
    _check_names(node, plant)
    return plant


def _cautions(node: Node, topics: Mapping[str, Topic]) -> dict[str, Caution]:
    """Read the plant's own texts; a word weaker than the pack ever allows is refused."""
    cautions = resolve_cautions(node, texts_of(topics, node.text("local_codes")))
    for caution in cautions:
        topic = topics.get(caution.topic)
        if topic is not None and caution.signal.rank > topic.weakest.rank:
            node.report(
                "caution.pack-loosens",
                f"the topic `{topic.id}` cannot be loosened: the word `{caution.signal}` is weaker "
                f"than `{topic.weakest}`",
                f"write `signal: {topic.weakest}`; the pack `{topic.pack}` asks for it",
                span=caution.span,
                subject=topic.id,
            )
    return {caution.topic: caution for caution in cautions}


def _print_units(node: Node) -> PrintUnits:
    overrides: dict[str, str] = {}
    for name, entry in node.entries("units"):
        kind = name.replace("_", " ")
        try:
            PrintUnits.for_system("SI", {kind: entry.string()})
        except QuantityError as error:
            entry.report("value.malformed", error.message, error.hint)
        else:
            overrides[kind] = entry.string()
    return PrintUnits.for_system(node.text("system"), overrides)


def _waiver_policy(node: Node | None) -> WaiverPolicy:
    if node is None:
        return WaiverPolicy()
    return WaiverPolicy(*(node.texts(key) for key in ("never", "roles", "safety_roles")))


def _emergency(node: Node | None) -> Emergency:
    if node is None:
        return Emergency()
    return Emergency(
        node.value("eye_rinse", Kind.TIME), node.value("safety_shower", Kind.TIME), node.key_span
    )


def _margins(node: Node | None) -> Margins:
    if node is None:
        return Margins()
    return Margins(
        node.value("boiling", Kind.TEMPERATURE_DIFFERENCE), node.value("pot_life", Kind.FRACTION)
    )


def _gauge_fit(node: Node | None) -> GaugeFit:
    if node is None:
        return GaugeFit()
    return GaugeFit(float(node.text("resolution", "10")), float(node.text("uncertainty", "4")))


def _measures(node: Node) -> Kind | None:
    entry = node.get("measures")
    return resolve_kind(entry) if entry else None


def _equipment(name: str, node: Node) -> Equipment:
    kind = node.text("type")
    said = _measures(node) or _RANGE_KINDS.get(kind)
    gauge_range = node.value("range", said)
    measured = gauge_range.kind if gauge_range else said
    # A thermometer's resolution and uncertainty are differences, its range is not.
    step = Kind.TEMPERATURE_DIFFERENCE if measured is Kind.TEMPERATURE else measured
    return Equipment(
        id=name,
        type=kind,
        name=node.text("name"),
        tag=node.text("tag"),
        material=node.text("material"),
        calibration_due=node.day("calibration_due"),
        readability=node.value("readability", Kind.MASS),
        permissible_error=node.value("permissible_error", Kind.MASS),
        capacity=node.value("capacity", Kind.MASS),
        range=gauge_range,
        speed=node.value("speed", Kind.ROTATION_SPEED),
        ramp=node.value("ramp", Kind.RAMP_RATE),
        non_uniformity=node.value("non_uniformity", Kind.TEMPERATURE_DIFFERENCE),
        control_tolerance=node.value("control_tolerance", Kind.TEMPERATURE_DIFFERENCE),
        sensor_error=node.value("sensor_error", Kind.TEMPERATURE_DIFFERENCE),
        resolution=node.value("resolution", step),
        uncertainty=node.value("uncertainty", step),
        measures=measured,
        solvent_limit=node.value("solvent_limit", Kind.VOLUME),
        vented=node.flag("vented"),
        features=node.texts("features"),
        span=node.key_span,
    )


def _defaults(node: Node) -> Defaults:
    def inherited(key: str) -> Setting | None:
        setting = resolve_setting(node, key)
        return Setting(setting.value, inherited=True, span=setting.span) if setting else None

    return Defaults(
        *(inherited(key) for key in ("sample", "every", "reaction", "responsible", "record"))
    )


def _check_names(node: Node, plant: Plant) -> None:
    """Look up the roles, reactions and records that the plant file names itself."""
    for item in node.items("approvals"):
        resolve_name(item, plant.roles, "role", "the plant file")
    for _, entry in node.entries("reactions"):
        role = entry.get("responsible")
        if role:
            resolve_name(role, plant.roles, "role", "the plant file")
    defaults = node.get("control_defaults")
    known = {"reaction": plant.reactions, "responsible": plant.roles, "record": plant.records}
    for key, names in known.items():
        child = defaults.get(key) if defaults else None
        if child:
            what = "role" if key == "responsible" else key
            resolve_name(child, names, what, "the plant file")
    policy = node.get("waiver_policy")
    for key in ("roles", "safety_roles"):
        for item in policy.items(key) if policy else ():
            resolve_name(item, plant.roles, "role", "the plant file")
