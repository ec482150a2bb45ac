"""
Ed25519 signatures (RFC 8032) in the SSH signature format, and the keys they are made with.

Source: the description `PROTOCOL.sshsig` of the OpenSSH project; an Internet-Draft is
standardising the format. Signatures made by `ssh-keygen -Y sign` and by speccomp are the same.
"""

import base64
import binascii
import hashlib
import re
from collections.abc import Callable

from speccomp.archive.errors import SignatureFault

_MAGIC = b"SSHSIG"
_KEY_TYPE = b"ssh-ed25519"
_HASHES: dict[bytes, Callable[[bytes], "hashlib._Hash"]] = {
    b"sha256": hashlib.sha256,
    b"sha512": hashlib.sha512,
}
_ARMOUR = re.compile(
    r"\s*-----BEGIN SSH SIGNATURE-----\s+([A-Za-z0-9+/=\s]+?)\s*-----END SSH SIGNATURE-----\s*"
)
_LINE = 70


def parse_public_key(text: str) -> bytes:
    """
    Return the 32 bytes of a public key written as OpenSSH does: `ssh-ed25519 AAAA... comment`.

    Errors: SignatureFault.
    """
    parts = text.split()
    if len(parts) < 2 or parts[0] != _KEY_TYPE.decode():
        raise SignatureFault("a public key is a line that starts with `ssh-ed25519`")
    return _key_bytes(_decode(parts[1]))


def write_public_key(key: bytes, comment: str = "") -> str:
    """Return a public key of 32 bytes as the line OpenSSH writes."""
    blob = base64.b64encode(_string(_KEY_TYPE) + _string(key)).decode()
    return " ".join(filter(None, (_KEY_TYPE.decode(), blob, comment)))


def check_signature(armoured: str, message: bytes, namespace: str) -> bytes:
    """
    Check a signature over a message; return the public key it was made with.

    Errors: SignatureFault where it is malformed, was made for another namespace, or is wrong.
    """
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    key, made_for, hash_name, signature = _parse_blob(_parse_armour(armoured))
    if made_for != namespace.encode():
        purpose = made_for.decode("utf-8", "replace")
        raise SignatureFault(f"the signature was made for `{purpose}`, not for `{namespace}`")
    signed = _signed_bytes(namespace, hash_name, message)
    try:
        Ed25519PublicKey.from_public_bytes(key).verify(signature, signed)
    except InvalidSignature as error:
        raise SignatureFault("the signature is not one over this text") from error
    return key


def _signed_bytes(namespace: str, hash_name: bytes, message: bytes) -> bytes:
    digest = _HASHES[hash_name](message).digest()
    parts = (namespace.encode(), b"", hash_name, digest)
    return _MAGIC + b"".join(map(_string, parts))


def _parse_armour(text: str) -> bytes:
    match = _ARMOUR.fullmatch(text)
    if match is None:
        raise SignatureFault("it lacks the lines BEGIN and END SSH SIGNATURE")
    return _decode("".join(match.group(1).split()))


def _parse_blob(blob: bytes) -> tuple[bytes, bytes, bytes, bytes]:
    """Return key, namespace, name of the hash and raw signature."""
    if not blob.startswith(_MAGIC + (1).to_bytes(4, "big")):
        raise SignatureFault("it is no SSH signature of version 1")
    fields, rest = [], blob[len(_MAGIC) + 4 :]
    for _ in range(5):
        field, rest = _take(rest)
        fields.append(field)
    key_blob, namespace, _reserved, hash_name, signature_blob = fields
    if rest:
        raise SignatureFault("the signature goes on after its end")
    if not namespace or hash_name not in _HASHES:
        raise SignatureFault("the signature has no namespace, or a hash other than SHA-2")
    kind, signature = _take(signature_blob)
    signature, rest = _take(signature)
    if kind != _KEY_TYPE or len(signature) != 64 or rest:
        raise SignatureFault("the signature is not one of Ed25519")
    return _key_bytes(key_blob), namespace, hash_name, signature


def _key_bytes(blob: bytes) -> bytes:
    kind, rest = _take(blob)
    key, rest = _take(rest)
    if kind != _KEY_TYPE or len(key) != 32 or rest:
        raise SignatureFault("the key is not one of Ed25519")
    return key


def _take(data: bytes) -> tuple[bytes, bytes]:
    """Split off a string: four bytes of length, then its bytes."""
    size = int.from_bytes(data[:4], "big")
    if len(data) < 4 + size or len(data) < 4:
        raise SignatureFault("it ends too early")
    return data[4 : 4 + size], data[4 + size :]


def _string(data: bytes) -> bytes:
    return len(data).to_bytes(4, "big") + data


def _decode(text: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError) as error:
        raise SignatureFault("it holds signs that are not base64") from error


def write_signature(
    key: bytes, namespace: str, message: bytes, sign: Callable[[bytes], bytes]
) -> str:
    """
    Return an armoured signature over a message.

    `key` is the public key of 32 bytes; `sign` returns the Ed25519 signature of some bytes.
    """
    hash_name = b"sha512"
    raw = sign(_signed_bytes(namespace, hash_name, message))
    key_blob = _string(_KEY_TYPE) + _string(key)
    signature = _string(_KEY_TYPE) + _string(raw)
    fields = (key_blob, namespace.encode(), b"", hash_name, signature)
    blob = _MAGIC + (1).to_bytes(4, "big") + b"".join(map(_string, fields))
    text = base64.b64encode(blob).decode()
    lines = [text[start : start + _LINE] for start in range(0, len(text), _LINE)]
    begin, end = "-----BEGIN SSH SIGNATURE-----", "-----END SSH SIGNATURE-----"
    return "\n".join((begin, *lines, end)) + "\n"
