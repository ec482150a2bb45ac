"""Inventories: what may stand in one, and what is refused."""

import json
from typing import Any

import pytest

from speccomp.archive.inventory import (
    Inventory,
    InventoryFault,
    add_version,
    parse_inventory,
    write_inventory,
)

TIME = "2026-01-15T09:30:00Z"


def inventory() -> Inventory:
    first, _ = add_version(
        Inventory("document:PD-1", (), {}), {"a": b"1", "b/c": b"2"}, TIME, "", "R"
    )
    second, _ = add_version(first, {"a": b"1", "d": b"3"}, TIME, "", "R")
    return second


def test_bytes_that_are_there_are_not_stored_again() -> None:
    first, fresh = add_version(
        Inventory("document:PD-1", (), {}),
        {"a": b"same", "b": b"same", "c": b"other"},
        TIME,
        "",
        "R",
    )
    assert fresh == {"v1/content/a": b"same", "v1/content/c": b"other"}
    _, fresh = add_version(first, {"renamed": b"same", "new": b"new"}, TIME, "", "R")
    assert fresh == {"v2/content/new": b"new"}


def test_an_inventory_is_read_as_it_was_written() -> None:
    assert parse_inventory(write_inventory(inventory())) == inventory()


@pytest.mark.parametrize(
    "names", [["../a"], ["a//b"], ["/a"], ["."], ["a", "a/b"], ["a\\b"], ["a\nb"], []]
)
def test_names_that_cannot_be_kept_are_refused(names: list[str]) -> None:
    # OCFL 1.1: E052, E053, E095.
    with pytest.raises(InventoryFault):
        add_version(inventory(), dict.fromkeys(names, b""), TIME, "", "R")


def change(path: str, value: Any) -> bytes:
    """Return the inventory with one field set, or taken out where there is no value."""
    document = json.loads(write_inventory(inventory()))
    *folders, last = path.split(".")
    place = document
    for name in folders:
        place = place[name]
    if value is None:
        del place[last]
    else:
        place[last] = value
    return json.dumps(document).encode()


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("id", None),
        ("type", "https://ocfl.io/1.0/spec/#inventory"),
        ("digestAlgorithm", "sha256"),
        ("head", "v1"),
        ("versions.v1", None),
        ("versions.v1.created", "2019-01-01T02:03:04"),
        ("versions.v1.user", None),
        ("versions.v1.user", {"name": "R", "address": "x"}),
        ("versions.v1.state", {"00": ["a"]}),
        ("manifest", {}),
        ("manifest", []),
        ("extra", 1),
    ],
)
def test_what_is_no_inventory_is_refused(path: str, value: Any) -> None:
    # OCFL 1.1: E010, E033 to E041, E049, E050, E102, E107.
    with pytest.raises(InventoryFault):
        parse_inventory(change(path, value))


def test_content_outside_the_versions_is_refused() -> None:
    document = json.loads(write_inventory(inventory()))
    digest = next(iter(document["manifest"]))
    for place in (["v9/content/a"], ["v1/other/a"], ["v1/content"], ["a"]):
        document["manifest"][digest] = place
        with pytest.raises(InventoryFault):
            parse_inventory(json.dumps(document).encode())
