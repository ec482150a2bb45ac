"""Turn what the schemas refuse into findings at the field, in plain words."""

from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from jsonschema import ValidationError

from speccomp.findings import Finding, Severity
from speccomp.schema.registry import FileKind, described, validator
from speccomp.source.yaml_tree import Path, Tree

_TYPE_WORDS = {
    "string": "a text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "array": "a list",
    "object": "a mapping of names to values",
}


def check_schema(tree: Tree, kind: FileKind) -> tuple[Finding, ...]:
    """Compare one file with the schema of its kind; every misfit becomes one finding."""
    errors = validator(kind).iter_errors(tree.data)
    found = (finding for error in errors for finding in _findings(tree, error))
    return tuple(dict.fromkeys(found))


def _findings(tree: Tree, error: ValidationError) -> Iterator[Finding]:
    path: Path = tuple(error.absolute_path)
    steps = [str(part) for part in error.absolute_schema_path]
    if "dependentSchemas" in steps:
        yield _misplaced(tree, path, error, steps[steps.index("dependentSchemas") + 1])
        return
    match error.validator:
        case "additionalProperties":
            yield from _unknown_keys(tree, path, error)
        case "required":
            yield from _missing_key(tree, path, error)
        case "enum" | "const":
            yield _not_one_of(tree, path, error)
        case "type":
            yield _wrong_type(tree, path, error)
        case "minLength" | "minItems" | "minProperties":
            yield _too_little(tree, path, error)
        case "minimum" | "maximum" | "exclusiveMinimum":
            yield _out_of_bounds(tree, path, error)
        case _:
            yield _malformed(tree, path, error)


def _field(path: Path) -> str:
    """Name a field as a person would: the nearest key, with the list it stands in."""
    names = [str(part) for part in path if isinstance(part, str)]
    return f"`{names[-1]}`" if names else "the file"


def _holder(path: Path, instance: object) -> str:
    """Name the mapping that lacks something, by its id where it has one."""
    if path and isinstance(path[-1], int):
        ident = instance.get("id", "") if isinstance(instance, dict) else ""
        name = f" (`{ident}`)" if isinstance(ident, str) and ident else ""
        return f"item {path[-1] + 1} of {_field(path)}{name}"
    return _field(path)


def _unknown_keys(tree: Tree, path: Path, error: ValidationError) -> Iterator[Finding]:
    known = _schema(error).get("properties", {})
    for key in _keys(error):
        if key in known:
            continue
        near = get_close_matches(key, known, n=1, cutoff=0.6)
        hint = f"did you mean `{near[0]}`?" if near else "known here: " + ", ".join(known)
        yield Finding(
            Severity.ERROR,
            "schema.unknown-key",
            tree.key_span((*path, key)),
            f"{_field(path)} has no `{key}`",
            hint,
        )


def _missing_key(tree: Tree, path: Path, error: ValidationError) -> Iterator[Finding]:
    key = _missing_name(error)
    strange = [name for name in _keys(error) if described(name) == {}]
    if get_close_matches(key, strange, n=1, cutoff=0.6):
        return  # a mistyped key is one fault; it is reported at the key
    properties = _schema(error).get("properties", {})
    about = properties.get(key) or described(key)
    yield Finding(
        Severity.ERROR,
        "schema.missing-key",
        tree.key_span(path),
        f"{_holder(path, error.instance)} lacks `{key}`" + _because(error),
        _advice(key, about),
    )


def _missing_name(error: ValidationError) -> str:
    # jsonschema yields one error for each missing name and quotes it first in its message.
    return next(
        name
        for name in _required(error)
        if name not in _keys(error) and error.message.startswith(repr(name))
    )


def _keys(error: ValidationError) -> list[str]:
    return list(error.instance) if isinstance(error.instance, dict) else []


def _required(error: ValidationError) -> list[str]:
    names = error.validator_value
    return [str(name) for name in names] if isinstance(names, list) else []


def _because(error: ValidationError) -> str:
    """Say which operation or type asks for the field, where only some do."""
    if "then" not in error.absolute_schema_path:
        return ""
    for key in ("operation", "type"):
        if isinstance(error.instance, dict) and key in error.instance:
            return f", which {key} `{error.instance[key]}` needs"
    return ""


def _advice(key: str, about: dict[str, Any]) -> str:
    examples = about.get("examples") or []
    text = str(about.get("description", ""))
    if examples and not isinstance(examples[0], dict | list):
        return f"add `{key}: {examples[0]}`" + (f" ({text})" if text else "")
    return f"add `{key}`" + (f" ({text})" if text else "")


def _schema(error: ValidationError) -> dict[str, Any]:
    return error.schema if isinstance(error.schema, dict) else {}


def _not_one_of(tree: Tree, path: Path, error: ValidationError) -> Finding:
    allowed = error.validator_value
    words = [str(w) for w in allowed] if isinstance(allowed, list) else [str(allowed)]
    near = get_close_matches(str(error.instance), words, n=1, cutoff=0.6)
    return Finding(
        Severity.ERROR,
        "schema.not-one-of",
        tree.span(path),
        f"{_field(path)} cannot be `{_shown(error.instance)}`",
        f"did you mean `{near[0]}`?" if near else "write one of: " + ", ".join(words),
    )


def _wrong_type(tree: Tree, path: Path, error: ValidationError) -> Finding:
    wanted = error.validator_value
    types = wanted if isinstance(wanted, list) else [wanted]
    asked = " or ".join(_TYPE_WORDS[str(t)] for t in types)
    return Finding(
        Severity.ERROR,
        "schema.wrong-type",
        tree.span(path),
        f"{_field(path)} must be {asked}, not {_what(error.instance)}",
        _example(error),
    )


def _too_little(tree: Tree, path: Path, error: ValidationError) -> Finding:
    return Finding(
        Severity.ERROR,
        "schema.empty",
        tree.key_span(path),
        f"{_field(path)} is empty or holds too little",
        _example(error),
    )


def _misplaced(tree: Tree, path: Path, error: ValidationError, key: str) -> Finding:
    allowed = error.validator_value
    words = ", ".join(str(w) for w in allowed) if isinstance(allowed, list) else str(allowed)
    holder = path[:-1]
    return Finding(
        Severity.ERROR,
        "schema.misplaced-key",
        tree.key_span((*holder, key)),
        f"`{key}` is not for {path[-1]} `{_shown(error.instance)}`",
        f"it is for: {words}",
    )


def _out_of_bounds(tree: Tree, path: Path, error: ValidationError) -> Finding:
    return Finding(
        Severity.ERROR,
        "schema.out-of-bounds",
        tree.span(path),
        f"{_field(path)} is {_shown(error.instance)}; it {error.message}",
        _example(error),
    )


def _malformed(tree: Tree, path: Path, error: ValidationError) -> Finding:
    named = "propertyNames" in error.absolute_schema_path
    place = tree.key_span((*path, str(error.instance))) if named else tree.span(path)
    what = str(_schema(error).get("description", ""))
    return Finding(
        Severity.ERROR,
        "schema.malformed",
        place,
        f"{'the name' if named else _field(path)} cannot be `{_shown(error.instance)}`",
        f"{what} {_example(error)}".strip(),
    )


def _example(error: ValidationError) -> str:
    examples = _schema(error).get("examples") or []
    shown = [str(e) for e in examples if not isinstance(e, dict | list)]
    return "for example: " + " | ".join(shown) if shown else ""


def _what(instance: object) -> str:
    match instance:
        case dict():
            return "a mapping"
        case list():
            return "a list"
        case "":
            return "nothing"
        case _:
            return f"`{_shown(instance)}`"


def _shown(instance: object) -> str:
    text = str(instance) if isinstance(instance, str) else _what(instance)
    return text if len(text) <= 60 else text[:57] + "…"
