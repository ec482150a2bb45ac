"""The lines of YAML that a definition lacks, indented for their place."""

from collections.abc import Sequence

from speccomp.model.process import Process
from speccomp.model.shared import Caution, Signal

_LONGEST = 96


def entry_to_paste(
    process: Process, topic: str, entries: Sequence[tuple[Sequence[str], Signal | None]]
) -> str:
    """
    Return entries of `cautions` for one topic as they have to be pasted.

    Each entry has the ids of its steps, none for a general caution, and a word where that of the
    text must be changed. The key `cautions` comes with them where the definition has none.
    """
    listed = [_fields(topic, places, signal) for places, signal in entries]
    key = process.spans.get("cautions")
    if key is None:
        return "\n".join(["cautions:", *(line for fields in listed for line in _item(fields, 2))])
    first = process.cautions[0].span if process.cautions else None
    if first is not None and first.line == key.line:
        return ", ".join("{" + ", ".join(fields) + "}" for fields in listed)
    indent = first.column - 3 if first else 2
    return "\n".join(line for fields in listed for line in _item(fields, indent))


def keys_to_paste(
    caution: Caution, signal: Signal | None = None, before: Sequence[str] = ()
) -> str:
    """Return keys of an entry that is there, as they have to stand in it."""
    indent = caution.span.column - 1
    margin = " " * indent
    fields = _fields("", before, signal)
    return "\n".join(margin + line for field in fields for line in _wrapped(field, indent))


def _fields(topic: str, places: Sequence[str], signal: Signal | None) -> list[str]:
    fields = [f"topic: {topic}"] if topic else []
    if signal is not None:
        fields.append(f"signal: {signal}")
    if places:
        fields.append(f"before: [{', '.join(places)}]")
    return fields


def _item(fields: Sequence[str], indent: int) -> list[str]:
    first, *rest = (line for field in fields for line in _wrapped(field, indent + 2))
    margin = " " * indent
    return [f"{margin}- {first}", *(f"{margin}  {line}" for line in rest)]


def _wrapped(field: str, indent: int) -> list[str]:
    """Break a long list of steps into lines of its own; YAML reads them as one list."""
    if indent + len(field) <= _LONGEST:
        return [field]
    lines, current = [], ""
    for word in field.split(" "):
        if current and indent + len(current) + 1 + len(word) > _LONGEST:
            lines.append(current)
            current = "  "
        current += word if current in ("", "  ") else f" {word}"
    return [*lines, current]
