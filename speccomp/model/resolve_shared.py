"""Read the parts that the plant file and the definition share."""

from collections.abc import Mapping
from difflib import get_close_matches

from speccomp.model.node import Node
from speccomp.model.shared import Caution, Reaction, Record, Setting, Signal


def resolve_reactions(node: Node) -> dict[str, Reaction]:
    """Read the reaction plans under `reactions`."""
    return {
        name: Reaction(
            name,
            entry.text("title"),
            entry.texts("do"),
            entry.text("responsible"),
            entry.key_span,
        )
        for name, entry in node.entries("reactions")
    }


def resolve_records(node: Node) -> dict[str, Record]:
    """Read the records under `records`."""
    return {
        name: Record(
            name, entry.text("title"), entry.text("keep"), entry.text("where"), entry.key_span
        )
        for name, entry in node.entries("records")
    }


def resolve_setting(node: Node, key: str) -> Setting | None:
    """Read a control setting that the file itself gives."""
    child = node.get(key)
    return Setting(child.string(), span=child.span) if child else None


def resolve_cautions(node: Node, known: Mapping[str, Caution]) -> tuple[Caution, ...]:
    """Read `cautions`; what a caution leaves out is taken from the known one of its topic."""
    found = (_caution(item, known) for item in node.items("cautions"))
    return tuple(caution for caution in found if caution is not None)


def _caution(node: Node, known: Mapping[str, Caution]) -> Caution | None:
    topic = node.text("topic")
    base = known.get(topic)
    texts = {
        key: node.text(key, getattr(base, key) if base else "")
        for key in ("hazard", "consequence", "avoid")
    }
    signal = node.text("signal", base.signal.value if base else "")
    missing = [key for key, text in {"signal": signal, **texts}.items() if not text]
    if missing:
        near = get_close_matches(topic, known, n=1, cutoff=0.6)
        node.report(
            "caution.incomplete",
            f"the caution `{topic}` lacks {', '.join(missing)}, and neither the plant file nor a "
            "caution pack has the topic",
            f"did you mean `{near[0]}`?"
            if near
            else "give signal word, hazard, consequence and avoidance",
            subject=topic,
        )
        return None
    return Caution(
        topic,
        Signal(signal),
        texts["hazard"],
        texts["consequence"],
        texts["avoid"],
        node.texts("gear") or (base.gear if base else ()),
        node.texts("before"),
        node.span,
    )
