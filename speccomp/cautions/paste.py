"""The lines of YAML that a definition lacks, indented for their place."""

from collections.abc import Sequence

from speccomp.model.process import Process
from speccomp.model.shared import Signal

_LONGEST = 96


def yaml_to_paste(
    process: Process, topic: str, places: Sequence[str], signal: Signal | None = None
) -> str:
    """
    Return an entry of `cautions` as it has to be pasted.

    `places` are ids of steps, none for a general caution. `signal` is given where the word of the
    text must be changed. The key `cautions` comes with it where the definition has none.
    """
    fields = [f"topic: {topic}"]
    if signal is not None:
        fields.append(f"signal: {signal}")
    if places:
        fields.append(f"before: [{', '.join(places)}]")
    key = process.spans.get("cautions")
    if key is None:
        return "\n".join(["cautions:", *_item(fields, 2)])
    first = process.cautions[0].span if process.cautions else None
    if first is not None and first.line == key.line:
        return "{" + ", ".join(fields) + "}"
    return "\n".join(_item(fields, first.column - 3 if first else 2))


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
