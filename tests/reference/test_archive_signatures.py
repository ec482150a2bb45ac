"""Signatures and keys against RFC 8032, published samples and OpenSSH itself."""

import base64
import hashlib
import subprocess
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from speccomp.archive.errors import SignatureFault
from speccomp.archive.keys import KeyLocked, make_key_pair, sign_statement, write_key_pair
from speccomp.archive.signatures import (
    check_signature,
    parse_public_key,
    write_public_key,
    write_signature,
)
from speccomp.archive.statements import Record, check_record, check_signer, parse_record
from tests.archive.scenario import QUALITY, Writer, approval, sign, signer

# RFC 8032, section 7.1, test 1: a published key that must never be trusted.
SECRET = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
PUBLIC = bytes.fromhex("d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a")
SIGNATURE = bytes.fromhex(
    "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46b"
    "d25bf5f0595bbe24655141438e7a100b"
)

# Made beforehand with that key over `hello` and a line feed, and accepted by OpenSSH.
ARMOURED = """\
-----BEGIN SSH SIGNATURE-----
U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAg11qYAYKxCrfVS/7TyWQHOg7hcv
PapiMlrwIaaPcHURoAAAAPcmVsZWFzZUBleGFtcGxlAAAAAAAAAAZzaGE1MTIAAABTAAAA
C3NzaC1lZDI1NTE5AAAAQFVeTUqLOJy2lxHaq0HGr8uCSH8iJlQILtc/kBiz+Uz4XeoSUF
S5VOpGVwJjwKFxe/mu7W4ZWpo4uzAD/9zXWgQ=
-----END SSH SIGNATURE-----
"""

# The sample in the description of the format lacks the name of its hash; from memory.
FAULTY_SAMPLE = """\
-----BEGIN SSH SIGNATURE-----
U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAgJKxoLBJBivUPNTUJUSslQTt2hD
jozKvHarKeN8uYFqgAAAADZm9vAAAAAAAAAFMAAAALc3NoLWVkMjU1MTkAAABAKNC4IEbt
Tq0Fb56xhtuE1/lK9H9RZJfON4o6hE9R4ZGFX98gy0+fFJ/1d2/RxnZky0Y7GojwrZkrHT
FgCqVWAQ==
-----END SSH SIGNATURE-----
"""
MESSAGE = b"hello\n"
NAMESPACE = "release@example"


def test_the_library_signs_as_the_standard_says() -> None:
    key = Ed25519PrivateKey.from_private_bytes(SECRET)
    assert key.public_key().public_bytes_raw() == PUBLIC
    assert key.sign(b"") == SIGNATURE


def test_a_signature_that_openssh_accepts_is_made_and_accepted() -> None:
    seen: list[bytes] = []
    key = Ed25519PrivateKey.from_private_bytes(SECRET)

    def signing(data: bytes) -> bytes:
        seen.append(data)
        return key.sign(data)

    assert write_signature(PUBLIC, NAMESPACE, MESSAGE, signing) == ARMOURED
    assert len(seen[0]) == 107
    digest = "d4c61b4bb85507461ac78d26259c1e2061bc511a4732dcf9ffd0a48166565702"
    assert hashlib.sha256(seen[0]).hexdigest() == digest
    blob = base64.b64decode("".join(ARMOURED.splitlines()[1:-1]))
    assert len(blob) == 185
    digest = "09843b719fc9dbad683b4a588a43c178d790a15e170aae1d7e9629a16e277c53"
    assert hashlib.sha256(blob).hexdigest() == digest
    assert check_signature(ARMOURED, MESSAGE, NAMESPACE) == PUBLIC


def test_a_signature_for_something_else_is_refused() -> None:
    with pytest.raises(SignatureFault, match="made for `release@example`, not for `approve"):
        check_signature(ARMOURED, MESSAGE, "approve@example")
    with pytest.raises(SignatureFault, match="not one over this text"):
        check_signature(ARMOURED, b"hello", NAMESPACE)


def test_the_faulty_sample_of_the_description_is_refused() -> None:
    with pytest.raises(SignatureFault, match="ends too early"):
        check_signature(FAULTY_SAMPLE, MESSAGE, "foo")


def changed(place: int) -> str:
    blob = bytearray(base64.b64decode("".join(ARMOURED.splitlines()[1:-1])))
    blob[place] ^= 1
    text = base64.b64encode(bytes(blob)).decode()
    return f"-----BEGIN SSH SIGNATURE-----\n{text}\n-----END SSH SIGNATURE-----"


@pytest.mark.parametrize("place", range(185))
def test_no_byte_of_a_signature_can_be_changed(place: int) -> None:
    # The empty reserved field is signed as empty, so its four bytes of length count as well.
    with pytest.raises(SignatureFault):
        check_signature(changed(place), MESSAGE, NAMESPACE)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "ssh-rsa AAAA",
        "ssh-ed25519",
        "ssh-ed25519 !!!!",
        "ssh-ed25519 AAAA",
        "ssh-ed25519 " + base64.b64encode(b"\0\0\0\x0bssh-ed25519\0\0\0\x01x").decode(),
    ],
)
def test_what_is_no_public_key_is_refused(text: str) -> None:
    with pytest.raises(SignatureFault):
        parse_public_key(text)


def openssh(*arguments: str, text: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(["ssh-keygen", *arguments], input=text, capture_output=True, check=False)


def test_openssh_accepts_what_a_key_of_ours_signs(tmp_path: Path) -> None:
    # Referee: ssh-keygen.
    private, public = make_key_pair(b"", "quality")
    key_file = tmp_path / "key"
    write_key_pair(key_file, private, public)
    assert key_file.stat().st_mode & 0o077 == 0
    statement = approval("PD-1", "-", b"content")
    record = sign_statement(statement, key_file, b"")
    (tmp_path / "allowed").write_text(f"quality {public}\n", encoding="utf-8")
    (tmp_path / "statement.sig").write_text(record.signature, encoding="utf-8")
    arguments = [
        "-Y", "verify", "-f", str(tmp_path / "allowed"), "-I", "quality", "-n", "approve@speccomp",
        "-s", str(tmp_path / "statement.sig"),
    ]  # fmt: skip
    accepted = openssh(*arguments, text=statement.signed_bytes())
    assert accepted.returncode == 0, accepted.stderr
    assert openssh(*arguments, text=b"other").returncode != 0


@pytest.mark.parametrize("passphrase", ["", "correct horse"])
def test_a_key_made_by_openssh_signs_here(tmp_path: Path, passphrase: str) -> None:
    # Referee: ssh-keygen.
    key_file = tmp_path / "id_ed25519"
    made = openssh("-q", "-t", "ed25519", "-N", passphrase, "-C", "quality", "-f", str(key_file))
    assert made.returncode == 0, made.stderr
    public = (tmp_path / "id_ed25519.pub").read_text(encoding="utf-8")
    record = sign_statement(approval("PD-1", "-", b"content"), key_file, passphrase.encode())
    check_record(record)
    check_signer(record, (replace(signer(), public_key=public),))
    if passphrase:
        for wrong in (b"", b"wrong"):
            with pytest.raises(KeyLocked):
                sign_statement(record.statement, key_file, wrong)


def test_a_signature_made_by_openssh_is_accepted_here(tmp_path: Path) -> None:
    # Referee: ssh-keygen.
    key_file, text = tmp_path / "key", tmp_path / "statement"
    openssh("-q", "-t", "ed25519", "-N", "", "-f", str(key_file))
    statement = approval("PD-1", "-", b"content")
    text.write_bytes(statement.signed_bytes())
    signed = openssh("-Y", "sign", "-f", str(key_file), "-n", "approve@speccomp", str(text))
    assert signed.returncode == 0, signed.stderr
    public = key_file.with_suffix(".pub").read_text(encoding="utf-8")
    record = Record(statement, public, text.with_suffix(".sig").read_text(encoding="utf-8"))
    check_record(record)
    check_signer(record, (replace(signer(), public_key=public),))


def test_other_kinds_of_key_are_refused(tmp_path: Path) -> None:
    openssh("-q", "-t", "rsa", "-b", "2048", "-N", "", "-f", str(tmp_path / "rsa"))
    with pytest.raises(SignatureFault, match="not a key of Ed25519"):
        sign_statement(approval("PD-1", "-", b""), tmp_path / "rsa", b"")
    with pytest.raises(SignatureFault, match="no private key"):
        sign_statement(approval("PD-1", "-", b""), tmp_path / "rsa.pub", b"")
    with pytest.raises(SignatureFault, match="cannot be read: no such file"):
        sign_statement(approval("PD-1", "-", b""), tmp_path / "missing", b"")


def test_a_private_key_is_never_kept_in_an_archive(tmp_path: Path) -> None:
    root = Writer(tmp_path / "archive").root
    private, public = make_key_pair(b"", "")
    with pytest.raises(SignatureFault, match="inside the archive"):
        write_key_pair(root / "statements" / "key", private, public)
    write_key_pair(tmp_path / "key", private, public)
    with pytest.raises(SignatureFault, match="never replaced"):
        write_key_pair(tmp_path / "key", private, public)


def test_a_protected_key_opens_with_its_passphrase_only(tmp_path: Path) -> None:
    private, public = make_key_pair(b"correct horse", "")
    write_key_pair(tmp_path / "key", private, public)
    statement = approval("PD-1", "-", b"")
    assert sign_statement(statement, tmp_path / "key", b"correct horse").signed
    with pytest.raises(KeyLocked):
        sign_statement(statement, tmp_path / "key", b"")


def test_a_review_does_not_pass_as_an_approval() -> None:
    # The namespace of the signature fixes its meaning, whatever the statement says.
    review = replace(approval("PD-1", "-", b""), action="review")
    record = sign(review)
    check_record(record)
    approved = replace(record, statement=replace(review, action="approve"))
    with pytest.raises(SignatureFault, match="made for `review@speccomp`, not for `approve"):
        check_record(approved)


def test_a_signature_counts_for_the_person_the_role_and_the_time_of_its_key() -> None:
    record = sign(approval("PD-1", "-", b"", "2026-03-01T12:00:00Z"))
    check_signer(record, (signer(),))
    for fault, others in {
        "is not a known one": (signer(2),),
        "belongs to Somebody Else as quality": (signer(1, "Somebody Else"),),
        "belongs to Q. Example as engineering": (replace(signer(), role="engineering"),),
        "was not valid on 2026-03-01": (
            replace(signer(), valid_to=date(2026, 2, 28)),
            replace(signer(), valid_from=date(2026, 3, 2)),
        ),
    }.items():
        with pytest.raises(SignatureFault, match=fault):
            check_signer(record, others)
    bounds = replace(signer(), valid_from=date(2026, 3, 1), valid_to=date(2026, 3, 1))
    check_signer(record, (bounds,))


def test_a_record_names_the_key_it_was_signed_with() -> None:
    record = sign(approval("PD-1", "-", b""), 1)
    other = write_public_key(
        Ed25519PrivateKey.from_private_bytes(SECRET).public_key().public_bytes_raw()
    )
    with pytest.raises(SignatureFault, match="another key than the one it names"):
        check_record(replace(record, public_key=other))


def test_records_are_read_as_they_were_written() -> None:
    signed = sign(approval("PD-1", "-", b""))
    unsigned = Record(signed.statement)
    for record in (signed, unsigned):
        assert parse_record(record.text()) == record
        with pytest.raises(SignatureFault):
            parse_record(record.text().replace(b"{", b"{ ", 1))
        with pytest.raises(SignatureFault):
            parse_record(record.text().replace(b'"approve"', b'"praise"'))
        with pytest.raises(SignatureFault, match="no time"):
            parse_record(record.text().replace(b"T09:30:00Z", b"T09:30Z"))
    assert unsigned.signed is False
    assert unsigned.statement.name == QUALITY
