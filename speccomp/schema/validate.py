"""Turn what the schemas refuse into findings at the field, in plain words."""

from collections.abc import Iterator
from difflib import get_close_matches
from itertools import islice
from typing import Any

from jsonschema import ValidationError

from speccomp.findings import Finding, Severity, Span
from speccomp.schema.advice import example_of_do, operations_meant_by
from speccomp.schema.ratio import check_ratio
from speccomp.schema.registry import FileKind, described, validator
from speccomp.source.yaml_tree import Path, Tree, dump_scalar

_TYPE_WORDS = {
    "string": "a text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "array": "a list",
    "object": "a mapping of names to values",
}
# Words for true and false that editors and older readers of YAML take, and what to write instead.
_TRUTH_WORDS = {
    **dict.fromkeys(("yes", "y", "on", "true"), "true"),
    **dict.fromkeys(("no", "n", "off", "false"), "false"),
}


MAX_FINDINGS = 100
"""Most faults that are told of one file; nobody reads more."""


def check_schema(tree: Tree, kind: FileKind) -> tuple[Finding, ...]:
    """Compare one file with the schema of its kind; every misfit becomes one finding."""
    ratio = check_ratio(tree) if kind is FileKind.PROCESS else None
    errors = [
        error
        for error in validator(kind).iter_errors(tree.data)
        if ratio is None or tuple(error.absolute_path) != ("ratio",)
    ]
    lacking = {tuple(e.absolute_path) for e in errors if e.validator == "required"}
    mistyped = {tuple(e.absolute_path) for e in errors if _asker(e) is None}
    found = (
        finding
        for error in errors
        # A key is misplaced only beside an operation or type that there is.
        if _asker(error) is None or tuple(error.absolute_path) not in mistyped
        # What lacks a key that it needs has too few of them anyway.
        if error.validator != "minProperties" or tuple(error.absolute_path) not in lacking
        for finding in _findings(tree, error)
    )
    first = tuple(dict.fromkeys(islice(found, MAX_FINDINGS + 1)))
    if len(first) > MAX_FINDINGS:
        first = (*first[:MAX_FINDINGS], _unread(first[MAX_FINDINGS]))
    return first if ratio is None else (*first, ratio)


def _unread(following: Finding) -> Finding:
    """Return the finding that stands for all that follow."""
    message = f"the file has more than {MAX_FINDINGS} faults; those from here on are left out"
    hint = "correct those above first"
    return Finding(Severity.ERROR, "schema.unread", following.span, message, hint)


def _asker(error: ValidationError) -> str | None:
    """Return the key whose presence asks for what is refused, as in `dependentSchemas`."""
    steps = [str(part) for part in error.absolute_schema_path]
    return steps[steps.index("dependentSchemas") + 1] if "dependentSchemas" in steps else None


def _findings(tree: Tree, error: ValidationError) -> Iterator[Finding]:
    path: Path = tuple(error.absolute_path)
    asker = _asker(error)
    if asker is not None:
        yield _misplaced(tree, path, error, asker)
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
        case "maxLength" | "maxProperties" | "maxItems":
            yield _too_much(tree, path, error)
        case "minimum" | "maximum" | "exclusiveMinimum":
            yield _out_of_bounds(tree, path, error)
        case _:
            yield _malformed(tree, path, error)


def _field(path: Path, instance: object = None) -> str:
    """Name a field as a person would: by its key, or by its number and id in a list."""
    if not path:
        return "the file"
    if isinstance(path[-1], str):
        return f"`{path[-1]}`"
    ident = instance.get("id", "") if isinstance(instance, dict) else ""
    name = f" (`{ident}`)" if isinstance(ident, str) and ident else ""
    return f"item {path[-1] + 1} of {_field(path[:-1])}{name}"


def _head(tree: Tree, path: Path, instance: object) -> Span:
    """Return the key of a mapping, or the first key in it where it has none of its own."""
    inside = next(iter(instance), None) if isinstance(instance, dict) else None
    keyless = not path or isinstance(path[-1], int)
    return tree.key_span((*path, inside) if keyless and inside is not None else path)


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
            f"{_field(path, error.instance)} has no `{key}`",
            hint,
        )


def _missing_key(tree: Tree, path: Path, error: ValidationError) -> Iterator[Finding]:
    key = _missing_name(error)
    strange = [name for name in _keys(error) if described(name) == {}]
    if get_close_matches(key, strange, n=1, cutoff=0.6):
        return  # a mistyped key is one fault; it is reported at the key
    about = _about(key, error)
    yield Finding(
        Severity.ERROR,
        "schema.missing-key",
        _head(tree, path, error.instance),
        f"{_field(path, error.instance)} lacks `{key}`" + _because(error),
        _advice(key, about),
    )


def _about(key: str, error: ValidationError) -> dict[str, Any]:
    """Return what the schemas say of a missing key: of one in general, and what asks for it."""
    general, asked = described(key, _keys(error)), _schema(error).get("properties", {}).get(key, {})
    if "enum" in asked and "description" not in asked:
        # The general words go through the choices of all operations.
        general = {name: text for name, text in general.items() if name != "description"}
    operation = error.instance.get("operation") if isinstance(error.instance, dict) else None
    done = example_of_do(operation) if isinstance(operation, str) and key == "do" else ""
    return {**general, **asked, **({"examples": [done]} if done else {})}


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
    if "then" not in error.absolute_schema_path or "use" in _keys(error):
        return ""
    for key in ("operation", "type"):
        if isinstance(error.instance, dict) and key in error.instance:
            return f", which {key} `{error.instance[key]}` needs"
    return ""


def _advice(key: str, about: dict[str, Any]) -> str:
    text = f" ({about['description']})" if "description" in about else ""
    if "enum" in about:
        return f"add `{key}`, one of: {', '.join(map(str, about['enum']))}{text}"
    examples = about.get("examples") or []
    return f"add `{key}: {_flow(examples[0])}`{text}" if examples else f"add `{key}`{text}"


def _schema(error: ValidationError) -> dict[str, Any]:
    return error.schema if isinstance(error.schema, dict) else {}


def _not_one_of(tree: Tree, path: Path, error: ValidationError) -> Finding:
    allowed = error.validator_value
    words = [str(w) for w in allowed] if isinstance(allowed, list) else [str(allowed)]
    by_letters = {word.casefold(): word for word in words}
    near = get_close_matches(str(error.instance).casefold(), by_letters, n=1, cutoff=0.6)
    meant = [by_letters[word] for word in near]
    if path[-1:] == ("operation",):
        meant = list(operations_meant_by(str(error.instance))) or meant
    named = " or ".join(f"`{word}`" for word in meant)
    return Finding(
        Severity.ERROR,
        "schema.not-one-of",
        tree.span(path),
        f"{_field(path)} cannot be `{_shown(error.instance)}`",
        f"did you mean {named}?" if meant else "write one of: " + ", ".join(words),
    )


def _wrong_type(tree: Tree, path: Path, error: ValidationError) -> Finding:
    wanted = error.validator_value
    types = wanted if isinstance(wanted, list) else [wanted]
    asked = " or ".join(_TYPE_WORDS[str(t)] for t in types)
    truth = _TRUTH_WORDS.get(str(error.instance).casefold()) if wanted == "boolean" else None
    return Finding(
        Severity.ERROR,
        "schema.wrong-type",
        tree.span(path),
        f"{_field(path)} must be {asked}, not {_what(error.instance)}",
        f"write `{truth}`" if truth else _example(error),
    )


def _too_little(tree: Tree, path: Path, error: ValidationError) -> Finding:
    size = len(error.instance) if isinstance(error.instance, str | list | dict) else 0
    few = f"has {_entries(size)}; the least is {error.validator_value}"
    return Finding(
        Severity.ERROR,
        "schema.empty",
        tree.key_span(path),
        f"{_field(path)} {few if size else 'is empty'}",
        _example(error),
    )


def _too_much(tree: Tree, path: Path, error: ValidationError) -> Finding:
    most = error.validator_value
    if isinstance(error.instance, str):
        size = f"has {len(error.instance)} characters; the most is {most}"
    elif isinstance(error.instance, list):
        size = f"has {_entries(len(error.instance))}; the most is {most}"
    else:
        names = ", ".join(f"`{key}`" for key in _keys(error))
        size = f"has {_entries(len(_keys(error)))}, {names}; the most is {most}"
    return Finding(
        Severity.ERROR,
        "schema.malformed",
        tree.span(path),
        f"{_field(path)} {size}",
        str(_schema(error).get("description", "")),
    )


def _entries(count: int) -> str:
    return "1 entry" if count == 1 else f"{count} entries"


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
    about = _schema(error)
    hint = _joined(str(about.get("description", "")), _example(error))
    if about.get("title") == "Date":
        hint = f"write year-month-day, for example {about['examples'][0]}"
    return Finding(
        Severity.ERROR,
        "schema.malformed",
        place,
        f"{'the name' if named else _field(path)} cannot be `{_shown(error.instance)}`",
        hint,
    )


def _joined(what: str, example: str) -> str:
    """Join what a field holds with an example to one sentence."""
    return f"{what.rstrip('.')}; {example}" if what and example else what or example


def _example(error: ValidationError) -> str:
    examples = _schema(error).get("examples") or []
    return "for example: " + " | ".join(_flow(example) for example in examples) if examples else ""


def _flow(value: object) -> str:
    """Write an example as YAML on one line."""
    match value:
        case bool():
            return str(value).lower()
        case dict():
            return "{" + ", ".join(f"{k}: {_flow(v)}" for k, v in value.items()) + "}"
        case list():
            return "[" + ", ".join(_flow(item) for item in value) + "]"
        case _:
            return dump_scalar(str(value))


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
    text = instance if isinstance(instance, str) else _what(instance)
    return text if len(text) <= 60 else text[:57] + "…"
