"""The schemas are valid, explain every property, and their own examples fit them."""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator
from referencing import Registry, Resource

from speccomp.model.operations import OPERATIONS
from speccomp.resources import resource_folder
from speccomp.schema import FileKind, recognise
from speccomp.schema.registry import validator

ROOT = Path(__file__).resolve().parents[2]
SCHEMAS = {
    path.name: json.loads(path.read_text(encoding="utf-8"))
    for path in sorted(resource_folder("schemas").glob("*.schema.json"))
}
REGISTRY: Registry[Any] = Registry().with_resources(
    [(schema["$id"], Resource.from_contents(schema)) for schema in SCHEMAS.values()]
)
DEMO = sorted((ROOT / "specs_demo").rglob("*.yaml"))
# What an editor is to underline; the other wrong files are wrong in a way no schema shows.
WRONG_BY_SCHEMA = {"mistyped-key.yaml"}
CONDITIONS = {"if", "then", "else", "dependentSchemas"}


def parts_of(schema: object, path: tuple[str, ...] = ()) -> Iterator[tuple[tuple[str, ...], Any]]:
    """Go through all subschemas, with the pointer to each."""
    if isinstance(schema, dict):
        yield path, schema
        for key, value in schema.items():
            if key not in ("examples", "enum", "const", "required"):
                yield from parts_of(value, (*path, key))
    elif isinstance(schema, list):
        for index, value in enumerate(schema):
            yield from parts_of(value, (*path, str(index)))


def reference(name: str, path: tuple[str, ...]) -> dict[str, str]:
    pointer = "".join("/" + part.replace("~", "~0").replace("/", "~1") for part in path)
    return {"$ref": SCHEMAS[name]["$id"] + "#" + pointer}


def properties() -> Iterator[tuple[str, dict[str, Any]]]:
    """Go through what describes a property: not the conditions, which only narrow others."""
    for name, schema in SCHEMAS.items():
        for path, part in parts_of(schema):
            if (path and path[-1] == "properties") or CONDITIONS & set(path):
                continue
            for key, about in part.get("properties", {}).items():
                yield f"{name}:{'/'.join((*path, key))}", about
            other = part.get("additionalProperties")
            if isinstance(other, dict):
                yield f"{name}:{'/'.join(path)}/*", other
            if isinstance(part.get("items"), dict):
                yield f"{name}:{'/'.join(path)}[]", part["items"]


def examples() -> Iterator[Any]:
    for name, schema in SCHEMAS.items():
        for path, part in parts_of(schema):
            for number, example in enumerate(part.get("examples", ())):
                ident = f"{name}:{'/'.join(path)}-{number}"
                yield pytest.param(name, path, example, id=ident)


def as_text(value: object) -> object:
    """Turn a JSON value into what is read from YAML: text, lists and mappings."""
    match value:
        case dict():
            return {key: as_text(entry) for key, entry in value.items()}
        case list():
            return [as_text(entry) for entry in value]
        case bool():
            return str(value).lower()
        case _:
            return str(value)


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_schema_is_one_of_2020_12(name: str) -> None:
    schema = SCHEMAS[name]
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("name", SCHEMAS)
def test_a_schema_offers_no_alternatives_that_hide_the_field(name: str) -> None:
    # With oneOf and anyOf an error is about the whole, not about the field that is wrong.
    for _, part in parts_of(SCHEMAS[name]):
        assert not {"oneOf", "anyOf", "not"} & set(part)


def test_every_reference_between_schemas_leads_somewhere() -> None:
    for name, schema in SCHEMAS.items():
        resolver = REGISTRY.resolver(base_uri=schema["$id"])
        for _, part in parts_of(schema):
            target = part.get("$ref")
            if isinstance(target, str):
                assert resolver.lookup(target).contents, f"{name}: {target}"


@pytest.mark.parametrize(
    ("ident", "about"), [pytest.param(*item, id=item[0]) for item in properties()]
)
def test_a_property_is_explained(ident: str, about: dict[str, Any]) -> None:
    # A step or the use of a block is one of two, each explained in its own place.
    assert about.get("title"), ident
    assert about.get("description", "").endswith("."), ident
    assert about.get("examples"), ident


@pytest.mark.parametrize(("name", "path", "example"), list(examples()))
def test_an_example_fits_its_own_schema(name: str, path: tuple[str, ...], example: Any) -> None:
    as_json = Draft202012Validator(reference(name, path), registry=REGISTRY)
    assert [error.message for error in as_json.iter_errors(example)] == []
    reader = type(validator(FileKind.PROCESS))
    as_read = reader(reference(name, path), registry=REGISTRY)
    assert [error.message for error in as_read.iter_errors(as_text(example))] == []


def test_the_schema_knows_the_operations_of_the_model() -> None:
    step = SCHEMAS["common.schema.json"]["$defs"]["step"]
    assert step["properties"]["operation"]["enum"] == list(OPERATIONS)
    for asked in step["dependentSchemas"].values():
        assert set(asked["properties"]["operation"]["enum"]) <= set(OPERATIONS)


class CoreLoader(yaml.SafeLoader):
    """Reads YAML by the core schema of YAML 1.2.2, 10.3.2 (from memory), as editors do."""


CoreLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("bool", r"true|True|TRUE|false|False|FALSE", "tTfF"),
    ("null", r"~|null|Null|NULL|", "~nN"),
    ("int", r"[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"), [*_first, ""]
    )
CoreLoader.add_constructor("tag:yaml.org,2002:int", lambda _, node: int(node.value))
CoreLoader.add_constructor("tag:yaml.org,2002:float", lambda _, node: float(node.value))


@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.name)
def test_an_editor_finds_the_schema_and_agrees(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    line = re.match(r"# yaml-language-server: \$schema=(\S+)\n", text)
    assert line, "the first line names the schema"
    schema = (path.parent / line[1]).resolve()
    assert schema == ROOT / "schemas" / schema.name
    if path.name == "duplicate-key.yaml":
        return  # editors refuse the key before they look at a schema
    data = yaml.load(text, CoreLoader)  # a safe loader with other scalars
    kind = recognise(data)
    assert kind is not None
    assert schema.name == f"{kind}.schema.json"
    plain = Draft202012Validator(SCHEMAS[schema.name], registry=REGISTRY)
    complaints = [error.message for error in plain.iter_errors(data)]
    assert bool(complaints) is (path.name in WRONG_BY_SCHEMA), complaints


def test_the_core_loader_reads_as_yaml_1_2_says() -> None:
    # Scalars of the core schema, YAML 1.2.2, 10.3.2, and traps of YAML 1.1 (from memory).
    read = yaml.load("[0, -0, 012, 1.5, 12e03, true, ~, no, on, 1:30, 2026-11-25]", CoreLoader)
    assert read == [0, 0, 12, 1.5, 12000.0, True, None, "no", "on", "1:30", "2026-11-25"]
