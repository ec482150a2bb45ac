"""
The identity of a definition: what was written and what it means, as one canonical text.

Its digest is what an approval is bound to. It covers the bytes of every file the definition draws
in, every value of the resolved model with the author's digits beside what they mean, and the
version of the program with the files it renders with. Whatever of it changes, the digest does.
"""

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from decimal import Decimal
from enum import Enum
from typing import TypeAlias

import rfc8785

from speccomp.model.material import Material
from speccomp.model.plant import Equipment
from speccomp.model.process import Process
from speccomp.quantities import Toleranced
from speccomp.resources import resource_folder
from speccomp.source.project import Sources
from speccomp.source.reader import SourceImage

Json: TypeAlias = "str | bool | list[Json] | dict[str, Json] | None"

_YAML = "application/yaml"  # RFC 9512

# Built-in data that the digest of the program's own files covers.
_OWN_DATA = frozenset({"topics"})


@dataclass(frozen=True, slots=True)
class ContentFile:
    """A file of the project that the documents are made from: what it is, and its bytes."""

    kind: str
    path: str
    data: bytes
    media_type: str


@dataclass(frozen=True, slots=True)
class Content:
    """
    The exact content of a revision.

    `text` is canonical JSON (RFC 8785); `sha512` its digest in hexadecimal digits; `files` all
    files of the project that the documents are made from.
    """

    text: bytes
    sha512: str
    files: tuple[ContentFile, ...]


def build_content(sources: Sources, process: Process, tool_version: str) -> Content:
    """Return the exact content of a definition that has been resolved from its sources."""
    files = _files(sources, process)
    document: dict[str, Json] = {
        "document": process.number,
        "revision": process.revision,
        "tool": {"version": tool_version, "files_sha512": own_files_sha512()},
        "files": [
            {"kind": file.kind, "path": file.path, "sha512": _sha512(file.data)} for file in files
        ],
        "meaning": _plain(process),
    }
    text = rfc8785.dumps(document)
    return Content(text, _sha512(text), files)


def _files(sources: Sources, process: Process) -> tuple[ContentFile, ...]:
    kinds = {reference.target: reference.kind for reference in sources.references}
    found = {
        path: ContentFile(kinds.get(path, "definition"), path, file.data, _YAML)
        for path, file in sources.files.items()
    }
    for step in process.steps:
        for image in step.images:
            source = image.source
            found[source.path] = ContentFile("image", source.path, source.data, source.media_type)
    return tuple(found[path] for path in sorted(found))


def own_files_sha512() -> str:
    """Return one digest of the schemas, templates and packs that the program works with."""
    digest = hashlib.sha512()
    for folder in ("schemas", "templates", "packs"):
        root = resource_folder(folder)
        paths = (path for path in root.rglob("*") if path.is_file())
        for path in sorted(paths, key=lambda path: path.relative_to(root).as_posix()):
            name = f"{folder}/{path.relative_to(root).as_posix()}"
            digest.update(f"{name}\0{_sha512(path.read_bytes())}\n".encode())
    return digest.hexdigest()


def _sha512(data: bytes) -> str:
    return hashlib.sha512(data).hexdigest()


def _plain(value: object) -> Json:  # noqa: PLR0911  # one return for each kind of value
    """Return a value of the model as plain JSON without numbers, which would lose digits."""
    match value:
        case None | bool():
            return value
        case Toleranced():
            return {"written": value.text, **_fields(value, {"text"})}
        case SourceImage():
            return {"path": value.path, "sha512": value.sha512}
        case Enum():
            return str(value.value)
        case str():
            return value
        case date():
            return value.isoformat()
        case int() | float() | Decimal():
            return str(value)
        case Equipment() | Material():
            return value.id
        case Mapping():
            return {str(key): _listed(item) for key, item in value.items()}
        case tuple() | list() | frozenset() | set():
            return _items(value)
        case type():
            return value.__name__
    if is_dataclass(value):
        return _fields(value, _OWN_DATA)
    raise TypeError(f"the model holds a {type(value).__name__}, which has no plain form")


def _listed(value: object) -> Json:
    """Return equipment and materials in full where they are listed; elsewhere their id will do."""
    if isinstance(value, Equipment | Material):
        return _fields(value, ())
    return _plain(value)


def _items(values: Iterable[object]) -> list[Json]:
    if isinstance(values, set | frozenset):
        return sorted((_plain(item) for item in values), key=repr)
    return [_plain(item) for item in values]


def _fields(value: object, without: Iterable[str]) -> dict[str, Json]:
    """Return the fields that equality looks at; places in files are not among them."""
    assert is_dataclass(value)
    return {
        field.name: _plain(getattr(value, field.name))
        for field in fields(value)
        if field.compare and field.name not in without and field.name != "spans"
    }
