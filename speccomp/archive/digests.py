"""Digests by FIPS 180-4 in hexadecimal digits, and canonical JSON by RFC 8785."""

import hashlib
import json
from collections.abc import Mapping, Sequence
from typing import TypeAlias, cast

import rfc8785

Json: TypeAlias = "str | int | bool | Sequence[Json] | Mapping[str, Json] | None"


def sha256(data: bytes) -> str:
    """Return the SHA-256 digest: 64 digits."""
    return hashlib.sha256(data).hexdigest()


def sha512(data: bytes) -> str:
    """Return the SHA-512 digest: 128 digits."""
    return hashlib.sha512(data).hexdigest()


def canonical_json(value: Json) -> bytes:
    """
    Return a value as canonical JSON (RFC 8785), in UTF-8.

    Errors: ValueError for numbers and texts that canonical JSON cannot hold.
    """
    return rfc8785.dumps(value)


def parse_object(data: bytes) -> dict[str, Json]:
    """
    Read a JSON object in which no name occurs twice.

    Errors: ValueError, which covers wrong UTF-8 and wrong JSON.
    """
    try:
        value = json.loads(data.decode("utf-8"), object_pairs_hook=_unique)
    except RecursionError as error:
        raise ValueError("it is nested too deeply") from error
    if not isinstance(value, dict):
        raise ValueError("it is no JSON object")
    return cast("dict[str, Json]", value)


def _unique(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    result = dict(pairs)
    if len(result) != len(pairs):
        raise ValueError("a name occurs twice in one JSON object")
    return result
