"""The inventory of one OCFL object: which version holds which files under which names."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from speccomp.archive.digests import parse_object, sha512
from speccomp.archive.layout import TIME
from speccomp.archive.ocfl import CONTENT, path_fault

_TYPE = "https://ocfl.io/1.1/spec/#inventory"
_DIGEST = re.compile(r"[0-9a-f]{128}")
_KEYS = {"digestAlgorithm", "head", "id", "manifest", "type", "versions"}
_VERSION_KEYS = {"created", "message", "state", "user"}


class InventoryFault(ValueError):  # noqa: N818  # named for what it says
    """A text that is not an inventory of this archive; the message says why."""


@dataclass(frozen=True, slots=True)
class Version:
    """
    One version of an object: when, why and by whom it was made, and its files.

    `state` maps the names of the files to their SHA-512 digests. `created` is in UTC.
    """

    created: str
    message: str
    user: str
    state: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Inventory:
    """All versions of an object; `manifest` maps where bytes lie to their SHA-512 digests."""

    id: str
    versions: tuple[Version, ...]
    manifest: Mapping[str, str]

    @property
    def head(self) -> int:
        """The number of the last version."""
        return len(self.versions)

    def places(self) -> dict[str, str]:
        """Return where the bytes of each digest lie, inside the object's folder."""
        return {digest: path for path, digest in sorted(self.manifest.items(), reverse=True)}


def add_version(
    inventory: Inventory, files: Mapping[str, bytes], created: str, message: str, user: str
) -> tuple[Inventory, dict[str, bytes]]:
    """
    Return the inventory with one version more, and the bytes that are new in it by place.

    The places are inside the object's folder. Bytes that an earlier version holds are not stored
    again. Errors: InventoryFault for file names that OCFL does not allow.
    """
    fault = path_fault(list(files))
    if fault:
        raise InventoryFault(fault)
    if not files:
        raise InventoryFault("a version without a file says nothing")
    folder = f"v{inventory.head + 1}/{CONTENT}"
    places, state, fresh = inventory.places(), {}, {}
    for name, data in sorted(files.items()):
        state[name] = digest = sha512(data)
        if digest not in places:
            places[digest] = f"{folder}/{name}"
            fresh[places[digest]] = data
    manifest = {**inventory.manifest, **{path: sha512(data) for path, data in fresh.items()}}
    version = Version(created, message, user, state)
    return replace(inventory, versions=(*inventory.versions, version), manifest=manifest), fresh


def write_inventory(inventory: Inventory) -> bytes:
    """Return the inventory as JSON text, the same bytes for the same inventory."""
    document = {
        "digestAlgorithm": "sha512",
        "head": f"v{inventory.head}",
        "id": inventory.id,
        "manifest": _by_digest(inventory.manifest),
        "type": _TYPE,
        "versions": {
            f"v{number}": {
                "created": version.created,
                "message": version.message,
                "state": _by_digest(version.state),
                "user": {"name": version.user},
            }
            for number, version in enumerate(inventory.versions, 1)
        },
    }
    return (json.dumps(document, ensure_ascii=False, indent=1, sort_keys=True) + "\n").encode()


def _by_digest(paths: Mapping[str, str]) -> dict[str, list[str]]:
    result: dict[str, list[str]] = {}
    for path, digest in sorted(paths.items()):
        result.setdefault(digest, []).append(path)
    return result


def parse_inventory(data: bytes) -> Inventory:
    """Read an inventory as this archive writes it. Errors: InventoryFault."""
    try:
        document: dict[str, Any] = parse_object(data)
        if set(document) != _KEYS or document["type"] != _TYPE:
            raise InventoryFault("it has other keys than an inventory of OCFL 1.1")
        if document["digestAlgorithm"] != "sha512":
            raise InventoryFault("its digest algorithm is not sha512")
        numbers = [f"v{number}" for number in range(1, len(document["versions"]) + 1)]
        if set(document["versions"]) != set(numbers) or document["head"] != numbers[-1]:
            raise InventoryFault("its versions are not v1, v2 and so on up to the head")
        versions = tuple(_version(document["versions"][number]) for number in numbers)
        result = Inventory(str(document["id"]), versions, _by_path(document["manifest"]))
    except (AttributeError, IndexError, KeyError, TypeError, ValueError) as error:
        raise InventoryFault(str(error)) from error
    _check(result)
    return result


def _version(block: dict[str, Any]) -> Version:
    if set(block) != _VERSION_KEYS or set(block["user"]) != {"name"}:
        raise InventoryFault("a version has other keys than created, message, state and user")
    if not TIME.fullmatch(block["created"]):
        raise InventoryFault(f"`{block['created']}` is no time in UTC with seconds")
    return Version(
        block["created"],
        str(block["message"]),
        str(block["user"]["name"]),
        _by_path(block["state"]),
    )


def _by_path(digests: dict[str, list[str]]) -> dict[str, str]:
    paths = [path for listed in digests.values() for path in listed]
    if not all(map(_DIGEST.fullmatch, digests)) or not all(digests.values()):
        raise InventoryFault("a digest is not 128 digits, or has no path")
    if fault := path_fault(paths):
        raise InventoryFault(fault)
    return {path: digest for digest, listed in digests.items() for path in listed}


def _check(inventory: Inventory) -> None:
    used = {digest for version in inventory.versions for digest in version.state.values()}
    if used != set(inventory.manifest.values()):
        raise InventoryFault("the digests of its versions are not those of its manifest")
    for path in inventory.manifest:
        folder, content, _ = path.split("/", 2) if path.count("/") > 1 else ("", "", "")
        if content != CONTENT or folder not in {f"v{n + 1}" for n in range(inventory.head)}:
            raise InventoryFault(f"`{path}` lies outside the content of the versions")
