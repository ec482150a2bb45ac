"""A mixing ratio written as people say it, `4:1`, where each material has its own parts."""

import re

from speccomp.findings import Finding, Severity
from speccomp.source.yaml_tree import Path, Plain, Tree

_PARTS = re.compile(r"\s*[0-9]+(?:\.[0-9]+)?(?:\s*:\s*[0-9]+(?:\.[0-9]+)?)+\s*")
_USUAL = ("powder", "liquid", "filler", "accelerator")


def check_ratio(tree: Tree) -> Finding | None:
    """Return the finding about a ratio of which one text holds the parts of several materials."""
    data = tree.data if isinstance(tree.data, dict) else {}
    for path, text in _texts(data.get("ratio")):
        if _PARTS.fullmatch(text):
            return Finding(
                Severity.ERROR,
                "schema.malformed",
                tree.span(path),
                f"`{text.strip()}` holds the parts of several materials in one value",
                "write the parts of each material under its name, with a tolerance on all but the "
                f"first: `ratio: {_example(data, text)}`",
            )
    return None


def _texts(ratio: "Plain | None") -> list[tuple[Path, str]]:
    if isinstance(ratio, str):
        return [(("ratio",), ratio)]
    entries = ratio.items() if isinstance(ratio, dict) else ()
    return [(("ratio", key), value) for key, value in entries if isinstance(value, str)]


def _example(data: dict[str, Plain], text: str) -> str:
    materials, ratio = data.get("materials"), data.get("ratio")
    names = [*(materials if isinstance(materials, dict) else ()), *_USUAL]
    said = ratio.get("by") if isinstance(ratio, dict) else None
    first, *others = (part.strip() for part in text.split(":"))
    parts = [first, *(f"{part} ± …" for part in others)]
    entries = ", ".join(f"{name}: {part}" for name, part in zip(names, parts, strict=False))
    return f"{{by: {said if said in ('weight', 'volume') else 'weight'}, {entries}}}"
