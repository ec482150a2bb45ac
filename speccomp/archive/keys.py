"""
Private keys: made, read and used here, and never written inside a project or an archive.

They are in the format of OpenSSH, so a key made by `ssh-keygen -t ed25519` works, and one made
here works with `ssh-keygen -Y sign`.
"""

import os
from pathlib import Path

from speccomp.archive import disk
from speccomp.archive.errors import SignatureFault, reason
from speccomp.archive.layout import ENTRIES
from speccomp.archive.signatures import write_public_key, write_signature
from speccomp.archive.statements import NAMESPACES, Record, Statement


class KeyLocked(SignatureFault):
    """The private key needs a passphrase, or another one."""


def make_key_pair(passphrase: bytes, comment: str) -> tuple[bytes, str]:
    """
    Return a new private key in the format of OpenSSH, and the line of its public key.

    An empty passphrase leaves the private key unprotected.
    """
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.generate()
    protection = (
        serialization.BestAvailableEncryption(passphrase)
        if passphrase
        else serialization.NoEncryption()
    )
    private = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.OpenSSH, protection
    )
    return private, write_public_key(key.public_key().public_bytes_raw(), comment)


def write_key_pair(path: Path, private: bytes, public: str) -> Path:
    """
    Write a private key that only its owner can read, and beside it the public one; return that.

    Errors: SignatureFault where a file is in the way, or the folder belongs to an archive.
    """
    refuse_inside_archive(path)
    beside = path.with_name(path.name + ".pub")
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as stream:
            stream.write(private)
        disk.write_new(beside, f"{public}\n".encode())
    except FileExistsError as error:
        raise SignatureFault(f"{error.filename} exists already; a key is never replaced") from error
    except OSError as error:
        raise SignatureFault(f"the key cannot be written to {path}: {reason(error)}") from error
    return beside


def refuse_inside_archive(path: Path) -> None:
    """Refuse a place for a private key inside an archive. Errors: SignatureFault."""
    for folder in path.absolute().parents:
        if (folder / ENTRIES).exists():
            raise SignatureFault(f"{path} lies inside the archive {folder}; keep keys elsewhere")


def sign_statement(statement: Statement, key_file: Path, passphrase: bytes) -> Record:
    """
    Sign a statement with the private key in a file.

    Errors: SignatureFault where there is no such Ed25519 key; KeyLocked where it wants a
    passphrase that was not given, or another one.
    """
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_ssh_private_key

    refuse_inside_archive(key_file)
    try:
        data = key_file.read_bytes()
    except OSError as error:
        raise SignatureFault(f"the key {key_file} cannot be read: {reason(error)}") from error
    try:
        key = load_ssh_private_key(data, passphrase or None)
    except (TypeError, ValueError) as error:
        if b"OPENSSH PRIVATE KEY" not in data:
            raise SignatureFault(f"{key_file} is no private key in the OpenSSH format") from error
        raise KeyLocked(f"the key {key_file} does not open: {error}") from error
    if not isinstance(key, Ed25519PrivateKey):
        raise SignatureFault(f"{key_file} is not a key of Ed25519 (ssh-keygen -t ed25519)")
    public = key.public_key().public_bytes_raw()
    namespace = NAMESPACES[statement.action]
    signature = write_signature(public, namespace, statement.signed_bytes(), key.sign)
    return Record(statement, write_public_key(public), signature)
