"""The schemas, read once, and the validator that reads every scalar as text."""

import json
import re
from collections.abc import Callable, Collection, Iterator
from decimal import Decimal
from enum import StrEnum
from functools import cache
from operator import gt, le, lt
from typing import Any

from jsonschema import Draft202012Validator, TypeChecker, ValidationError
from jsonschema.protocols import Validator
from jsonschema.validators import extend
from referencing import Registry, Resource

from speccomp.resources import resource_folder

_NUMBER = re.compile(r"[-+]?[0-9]{1,15}(\.[0-9]{1,15})?")
_INTEGER = re.compile(r"[-+]?[0-9]{1,15}")
_END = re.compile(r"(?<!\\)\$")
TRUTH = {"true": True, "false": False}


class FileKind(StrEnum):
    """The kinds of file a user writes, named by the key that each must have at its top."""

    PROCESS = "process"
    MATERIAL = "material"
    PLANT = "plant"
    BLOCK = "block"
    PACK = "caution-pack"

    @property
    def key(self) -> str:
        """The key at the top of such a file."""
        return self.value.replace("-", "_")


def recognise(data: object) -> FileKind | None:
    """Tell which kind of file a top-level mapping is, by the key that names it."""
    if not isinstance(data, dict):
        return None
    # A process definition also has the key `plant`, so the order counts.
    return next((kind for kind in FileKind if kind.key in data), None)


def _is_text(pattern: re.Pattern[str]) -> Any:  # noqa: ANN401  # jsonschema's own callback type
    return lambda _, value: isinstance(value, str) and bool(pattern.fullmatch(value))


# The data holds no numbers and no booleans, only text: `012` is a number where the schema says
# number, and stays the text it is where the schema says text.
_TYPES: TypeChecker = Draft202012Validator.TYPE_CHECKER.redefine_many(
    {
        "number": _is_text(_NUMBER),
        "integer": _is_text(_INTEGER),
        "boolean": lambda _, value: isinstance(value, str) and value in TRUTH,
    }
)


def _bound(
    broken: Callable[[Decimal, Decimal], bool], words: str
) -> Callable[[Validator, float, object, object], Iterator[ValidationError]]:
    """Make the check of a bound on a number that is still text."""

    def check(_: Validator, bound: float, value: object, __: object) -> Iterator[ValidationError]:
        if isinstance(value, str) and _NUMBER.fullmatch(value):
            limit = Decimal(str(bound))
            if broken(Decimal(value), limit):
                yield ValidationError(f"must be {words} {limit}")

    return check


_BOUNDS = {
    "minimum": _bound(lt, "at least"),
    "maximum": _bound(gt, "at most"),
    "exclusiveMinimum": _bound(le, "more than"),
}


def _pattern(_: Validator, pattern: str, value: object, __: object) -> Iterator[ValidationError]:
    # In JSON Schema `$` is the end of the text; in Python it is also before a last line feed.
    if isinstance(value, str) and not re.search(_END.sub(r"\\Z", pattern), value):
        yield ValidationError(f"must match {pattern}")


_TextValidator: type[Validator] = extend(  # type: ignore[no-untyped-call]  # untyped upstream
    Draft202012Validator, validators={**_BOUNDS, "pattern": _pattern}, type_checker=_TYPES
)


@cache
def _registry() -> Registry[Any]:
    folder = resource_folder("schemas")
    resources = [
        Resource.from_contents(json.loads(path.read_text(encoding="utf-8")))
        for path in sorted(folder.glob("*.schema.json"))
    ]
    return Registry().with_resources([(str(r.id()), r) for r in resources]).crawl()


@cache
def validator(kind: FileKind) -> Validator:
    """Return the validator of one kind of file."""
    registry = _registry()
    base = f"https://speccomp.invalid/schemas/{kind}.schema.json"
    return _TextValidator(registry.contents(base), registry=registry)


def described(key: str, beside: Collection[str] = ()) -> dict[str, Any]:
    """
    Return the schema of a property of that name in any file kind, or nothing.

    Of several, the one whose mapping shares most keys with `beside`.
    """
    found = [about for about in _mappings() if key in about]
    found.sort(key=lambda about: -len(about.keys() & set(beside)))
    return found[0][key] if found else {}


@cache
def _mappings() -> list[dict[str, dict[str, Any]]]:
    """Return the described properties of each mapping in all schemas."""
    found: list[dict[str, dict[str, Any]]] = []
    for name in sorted(_registry()):
        _collect(_registry().contents(name), found)
    return found


def _collect(schema: object, found: list[dict[str, dict[str, Any]]]) -> None:
    if isinstance(schema, dict):
        properties = schema.get("properties", {})
        found.append({name: about for name, about in properties.items() if "title" in about})
        for value in schema.values():
            _collect(value, found)
    elif isinstance(schema, list):
        for value in schema:
            _collect(value, found)
