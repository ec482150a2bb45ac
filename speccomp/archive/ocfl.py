"""
The storage root of the Oxford Common File Layout 1.1: names, places and fixed files.

Source: OCFL specification 1.1 (2022) and its extension 0003, hashed n-tuple trees with an
encapsulating folder.
"""

import json
import re
from urllib.parse import quote

from speccomp.archive.digests import sha256

ROOT_DECLARATION = "0=ocfl_1.1"
OBJECT_DECLARATION = "0=ocfl_object_1.1"
OBJECT_DECLARATION_TEXT = b"ocfl_object_1.1\n"
INVENTORY = "inventory.json"
SIDECAR = "inventory.json.sha512"
CONTENT = "content"

_EXTENSION = "0003-hash-and-id-n-tuple-storage-layout"
_TUPLE_SIZE = 3
_TUPLES = 3
_LONGEST_NAME = 100
_WRONG_PATH = re.compile(r"(?:^|/)\.{0,2}(?:/|$)|[\\\x00-\x1f]")
_KEPT = re.compile(r"[A-Za-z0-9_-]")


def object_id(number: str) -> str:
    """Return the identifier of the object of a document number, in the form of a URI."""
    return "document:" + quote(number, safe="")


def object_folder(identifier: str) -> str:
    """Return the folder of an object below the storage root, by extension 0003."""
    digest = sha256(identifier.encode())
    name = "".join(map(_encode, identifier))
    if len(name) > _LONGEST_NAME:
        name = f"{name[:_LONGEST_NAME]}-{digest}"
    tuples = [digest[i * _TUPLE_SIZE : (i + 1) * _TUPLE_SIZE] for i in range(_TUPLES)]
    return "/".join((*tuples, name))


def _encode(sign: str) -> str:
    return sign if _KEPT.match(sign) else "".join(f"%{byte:02x}" for byte in sign.encode())


def root_files() -> dict[str, bytes]:
    """Return the files of an empty storage root by path."""
    description = (
        "Folders by the SHA-256 digest of the identifier, then one named for the identifier"
    )
    layout = {"extension": _EXTENSION, "description": description}
    config = {
        "extensionName": _EXTENSION,
        "digestAlgorithm": "sha256",
        "tupleSize": _TUPLE_SIZE,
        "numberOfTuples": _TUPLES,
    }
    return {
        ROOT_DECLARATION: b"ocfl_1.1\n",
        "ocfl_layout.json": _readable(layout),
        f"extensions/{_EXTENSION}/config.json": _readable(config),
    }


def sidecar(digest: str) -> bytes:
    """Return the content of the file that holds the digest of an inventory."""
    return f"{digest} {INVENTORY}\n".encode()


def path_fault(paths: list[str]) -> str:
    """
    Say what is wrong with the logical or content paths of one version, or nothing.

    Rules: OCFL 1.1, sections 3.5.2 and 3.5.3.1 (E052, E053, E095, E099 to E101).
    """
    known = set(paths)
    for path in paths:
        if _WRONG_PATH.search(path):
            return f"`{path}` has an empty part, one of dots, a backslash or a control character"
        folder = path.rpartition("/")[0]
        while folder:
            if folder in known:
                return f"`{path}` lies inside a file of the same version"
            folder = folder.rpartition("/")[0]
    return "" if len(known) == len(paths) else "a path occurs twice"


def _readable(value: object) -> bytes:
    return (json.dumps(value, indent=2, sort_keys=True) + "\n").encode()
