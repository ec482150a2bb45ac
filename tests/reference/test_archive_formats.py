"""The archive's formats against the published examples of the standards they follow."""

import json
from pathlib import Path

import pytest
from ocfl.layout_0003_hash_and_id_n_tuple import Layout_0003_Hash_And_Id_N_Tuple
from ocfl.storage_root import StorageRoot
from ocfl.validator import Validator

from speccomp.archive.digests import canonical_json, parse_object, sha256, sha512
from speccomp.archive.ledger import Event, entry_line, parse_line
from speccomp.archive.ocfl import object_folder
from speccomp.archive.store import object_place
from tests.archive.scenario import Writer


def test_canonical_json_orders_members_and_drops_blanks() -> None:
    # RFC 8785, section 3.2.2 and the test data published with it: arrays.json.
    given = '[ 56, { "d": true, "10": null, "1": [ ] } ]'
    assert canonical_json(json.loads(given)) == b'[56,{"1":[],"10":null,"d":true}]'


def test_canonical_json_writes_numbers_as_ecmascript_does() -> None:
    # RFC 8785, section 3.2.2: the sample object's numbers.
    given = json.loads(
        '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]}'
    )
    expected = b'{"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27]}'
    assert canonical_json(given) == expected


def test_canonical_json_sorts_names_by_utf_16_units() -> None:
    # RFC 8785, section 3.2.3: the sample object; sorting by code point would swap the last two.
    given = {
        "\u20ac": "Euro Sign",
        "\r": "Carriage Return",
        "\ufb33": "Hebrew Letter Dalet With Dagesh",
        "1": "One",
        "\U0001f600": "Emoji: Grinning Face",
        "\u0080": "Control",
        "\u00f6": "Latin Small Letter O With Diaeresis",
    }
    names = [*json.loads(canonical_json(given))]
    assert names == ["\r", "1", "\u0080", "\u00f6", "\u20ac", "\U0001f600", "\ufb33"]


def test_canonical_json_escapes_only_what_it_must() -> None:
    # RFC 8785, section 3.2.2.2: the sample object's string.
    given = {"string": "\u20ac$\u000f\nA'\u0042\u0022\u005c\\\"/"}
    assert canonical_json(given) == '{"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'.encode()


def test_canonical_json_leaves_letters_and_accents_apart() -> None:
    # RFC 8785, section 3.1: Unicode normalisation is not applied.
    assert canonical_json("A\u030a") == b'"A\xcc\x8a"'


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**53, "\ud800"])
def test_canonical_json_refuses_what_json_cannot_carry(value: object) -> None:
    # RFC 8785, section 3.2.2.3 and RFC 7493.
    with pytest.raises(ValueError):
        canonical_json(value)  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ['{"a":1,"a":2}', "[]", '{"a":}', "{" * 3, '{"a":' * 90_000])
def test_what_is_no_json_object_is_refused(text: str) -> None:
    # RFC 7493, section 2.3: names are unique.
    with pytest.raises(ValueError):
        parse_object(text.encode())


def test_digests_of_nothing() -> None:
    # FIPS 180-4 with the empty message; values from memory.
    assert sha256(b"").startswith("e3b0c44298fc1c14")
    assert sha512(b"").startswith("cf83e1357eefb8bd")
    assert (len(sha256(b"")), len(sha512(b""))) == (64, 128)


def ledger_event(payload: str, revision: str, time: str) -> Event:
    return Event("release", "a.lee", "WI-0001", revision, payload, time, {})


def test_entries_chain_by_the_digest_of_their_canonical_text() -> None:
    # Worked out beforehand with a separate program: two lines and their SHA-256 digests.
    empty = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    other = "559aead08264d5795d3909718cdd05abd49572e84fe55590eef31a88a08fdffd"
    first = entry_line(ledger_event(empty, "-", "2026-01-15T09:30:00Z"), 1, "0" * 64)
    assert first == (
        b'{"action":"release","actor":"a.lee","object":"WI-0001","payload_sha256":"'
        + empty.encode()
        + b'","prev":"'
        + b"0" * 64
        + b'","revision":"-","seq":1,"time":"2026-01-15T09:30:00Z"}'
    )
    digest = "3111b91a2b78e1fc9087a5004905e410580cf21c01874389fcf463ce31bdeb60"
    assert parse_line(first).sha256 == digest
    second = entry_line(ledger_event(other, "A", "2026-02-02T00:00:00Z"), 2, digest)
    assert (
        parse_line(second).sha256
        == "6193ea6801959afec83dbeb661b337c321adde5bac7e2e122591d9bd6a0fa155"
    )
    changed = first.replace(b"a.lee", b"b.lee")
    assert parse_line(changed).sha256 != digest


IDENTIFIERS = ["object-01", "..hor/rib:le-$id", "document:PD-117", "é ß", "a" * 101, "%" * 40]


@pytest.mark.parametrize("identifier", IDENTIFIERS)
def test_folders_of_objects_are_those_of_the_extension(identifier: str) -> None:
    # Referee: ocfl-py on OCFL extension 0003.
    expected = Layout_0003_Hash_And_Id_N_Tuple().identifier_to_path(identifier)
    assert object_folder(identifier) == expected


def test_folders_of_the_examples_in_the_extension() -> None:
    # OCFL extension 0003, example 1; from memory.
    assert object_folder("object-01") == "3c0/ff4/240/object-01"
    assert object_folder("..hor/rib:le-$id") == "487/326/d8c/%2e%2ehor%2frib%3ale-%24id"


def archive_with_history(root: Path) -> Writer:
    writer = Writer(root)
    for number in ("PD-1", "PD-2/b", "PD 3"):
        for revision in "-AB":
            writer.release(number, revision, (writer.approve(number, revision),))
    writer.withdraw("PD-1", "B")
    return writer


def test_an_independent_validator_accepts_the_storage_root(tmp_path: Path) -> None:
    # Referee: ocfl-py.
    writer = archive_with_history(tmp_path / "archive")
    root = StorageRoot(str(writer.root / "documents"))
    assert root.validate(log_warnings=True)
    assert (root.num_objects, root.good_objects) == (3, 3)


def test_an_independent_validator_has_nothing_to_say_but_on_addresses(tmp_path: Path) -> None:
    # Referee: ocfl-py. W008: a person's address is recommended, which a plant does not publish.
    writer = archive_with_history(tmp_path / "archive")
    validator = Validator(log_warnings=True)
    assert validator.validate_object(str(writer.root / object_place("PD-2/b")))
    assert set(validator.log.codes) == {"W008"}


def test_an_independent_validator_refuses_a_changed_object(tmp_path: Path) -> None:
    # So that the tests above can fail.
    writer = archive_with_history(tmp_path / "archive")
    path = writer.archive.files("PD-1", 1)["content.json"]
    path.write_bytes(path.read_bytes() + b" ")
    validator = Validator(log_errors=True)
    assert not validator.validate_object(str(writer.root / object_place("PD-1")))
    assert "E092a" in validator.log.codes
