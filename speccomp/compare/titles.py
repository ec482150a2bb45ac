"""How the subject of a change is called: its id, and a title in words."""

from collections.abc import Callable, Mapping

from speccomp.compare.paths import ORDER, Path, part_after, path_after

_FIELDS = {
    "id": "id",
    "key": "name in the definition",
    "characteristics": "limit",
    "sha512": "SHA-512",
    "actions": "what to do",
    "equipment": "equipment",
    "gear": "protective gear",
    "records": "records",
    "requirement": "requirement",
    "product": "product or process",
    "special": "special characteristic",
    "gauge": "gauge",
    "method": "method",
    "sample": "sample",
    "every": "frequency",
    "plan": "sampling plan",
    "validated": "validated range",
    "validated_temperature": "validated temperatures",
    "validated_time": "validated times",
    "validated_rate": "validated rates",
    "covered": "covered",
    "keep": "time kept",
    "block": "step block",
    "images": "picture",
    "change": "change note",
    "history": "revision history",
    "dry_at": "drying temperature",
    "dry_for": "drying time",
    "final_at": "final temperature",
    "final_for": "final time",
    "cures": "qualified cure",
    "partners": "mixed with",
    "parts": "parts",
    "ph": "pH",
    "from_revision": "from",
    "change_class": "class",
    "before": "place",
    "avoid": "how to avoid it",
    "plus": "plus",
    "q10": "Q10",
    "at": "at",
    "sizes": "sizes of the batch table",
    ORDER: "order",
}
_TOP = {
    "parts": "Part",
    "materials": "Material",
    "reactions": "Reaction plan",
    "records": "Record",
    "references": "Reference",
    "waivers": "Waiver",
    "history": "Revision",
}
_SKIPPED = ("characteristics", "profile", "control", "parts", "images", "source")


def subject_of(path: Path) -> str:
    """Return the id of what a path leads to, as the later revision calls it."""
    match path_after(path):
        case ("steps", step, "characteristics" | "profile", item, *_) if item != ORDER:
            return f"{step}/{item}"
        case ("plant", "equipment" | "topics" | "cautions", item, *_):
            return item
        case ("steps" | "materials" | "cautions" | "parts" | "references", item, *_):
            return item if item != ORDER else path_after(path)[0]
        case ("reactions" | "records" | "waivers" | "history", item, *_):
            return item if item != ORDER else path_after(path)[0]
    return part_after(path[0])


def title_of(text: Callable[[Path], str], path: Path, topics: Mapping[str, str]) -> str:
    """
    Return what a path leads to in words.

    `text` gives the text at a path, `topics` the titles of the topics of cautions.
    """
    head, rest = _head(text, path, topics)
    skipped = _SKIPPED if path[0] != "batch" else ()
    words = [field_words(part_after(part)) for part in rest if part not in skipped]
    return ", ".join((head, *words))


def _head(text: Callable[[Path], str], path: Path, topics: Mapping[str, str]) -> tuple[str, Path]:
    """Return the title of the object that a path leads into, and the rest of the path."""
    first = part_after(path[0])
    if len(path) > 2 and first == "plant" and path[1] in ("cautions", "topics"):
        return f"Caution “{_numbered(part_after(path[2]), topics)}”", path[3:]
    if len(path) > 1 and path[1] != ORDER:
        if first == "steps":
            return _step_head(text, path)
        if first == "plant":
            return _plant_head(text, path)
        if first == "cautions":
            return f"Caution “{_numbered(part_after(path[1]), topics)}”", path[2:]
        if first in _TOP:
            return f"{_TOP[first]} {_named(text, path[:2])}", path[2:]
    words = "mixing ratio" if first == "ratio" else field_words(first)
    return words[0].upper() + words[1:], path[1:]


def _step_head(text: Callable[[Path], str], path: Path) -> tuple[str, Path]:
    step = text((*path[:2], "title")) or part_after(path[1])
    if len(path) < 4 or path[3] == ORDER or path[2] not in ("characteristics", "profile"):
        return step, path[2:]
    name = text((*path[:4], "name")) or part_after(path[3]).replace("-", " ")
    return f"{step}: {name}", path[4:] if path[4:] != ("requirement",) else ()


def _plant_head(text: Callable[[Path], str], path: Path) -> tuple[str, Path]:
    if len(path) > 2 and path[1] == "equipment":
        return _named(text, path[:3]), path[3:]
    return "Plant", path[1:]


def _numbered(called: str, names: Mapping[str, str]) -> str:
    """Return the name of an item, with its number where others are called the same."""
    name, _, number = called.partition("#")
    return f"{names.get(name, name)} ({number})" if number else names.get(name, name)


def _named(text: Callable[[Path], str], path: Path) -> str:
    """Return the name of an object, else what its list calls it."""
    name = text((*path, "name")) or text((*path, "title"))
    return name or _numbered(part_after(path[-1]), {}).replace("@", " at ")


def field_words(name: str) -> str:
    """Return the name of a field in words."""
    return _FIELDS.get(name, name.replace("_", " "))
