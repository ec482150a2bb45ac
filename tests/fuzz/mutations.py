"""Ways in which a file can be spoilt, each a function of a random source and the bytes."""

import random
from collections.abc import Callable

Mutation = Callable[[random.Random, bytes], bytes]

_VALUES = (
    b"[]",
    b"{}",
    b"~",
    b"-1",
    b"1e999",
    b"nan",
    b"true",
    b"'",
    b'"',
    b"!!python/object:os.system x",
    b"&a [*a]",
    b"*a",
    b"2026-02-30",
    b"26 \xc2\xb1 g",
    b"\xff\xfe",
    b"\x00",
    b"? x",
    b"<<: *a",
    b"999999999999999999999999 g",
    b"-300 degC",
    b"../../../etc/passwd",
    b"| \n  text",
)


def flip_bytes(rng: random.Random, data: bytes) -> bytes:
    spoilt = bytearray(data)
    for _ in range(rng.randint(1, 8)):
        spoilt[rng.randrange(len(spoilt))] = rng.randrange(256)
    return bytes(spoilt)


def drop_lines(rng: random.Random, data: bytes) -> bytes:
    lines = data.splitlines(keepends=True)
    first = rng.randrange(len(lines))
    del lines[first : first + rng.randint(1, 4)]
    return b"".join(lines)


def double_lines(rng: random.Random, data: bytes) -> bytes:
    lines = data.splitlines(keepends=True)
    first = rng.randrange(len(lines))
    chunk = lines[first : first + rng.randint(1, 6)]
    place = rng.choice([first, rng.randrange(len(lines))])
    lines[place:place] = chunk
    return b"".join(lines)


def swap_values(rng: random.Random, data: bytes) -> bytes:
    lines = data.splitlines(keepends=True)
    places = [i for i, line in enumerate(lines) if b": " in line]
    if not places:
        return data
    place = rng.choice(places)
    key = lines[place].split(b": ", 1)[0]
    if rng.random() < 0.5:
        other = lines[rng.choice(places)].split(b": ", 1)[1]
        lines[place] = key + b": " + other
    else:
        lines[place] = key + b": " + rng.choice(_VALUES) + b"\n"
    return b"".join(lines)


def change_indent(rng: random.Random, data: bytes) -> bytes:
    lines = data.splitlines(keepends=True)
    place = rng.randrange(len(lines))
    lines[place] = rng.choice([b"  ", b"\t", b"      ", b"- "]) + lines[place].lstrip()
    return b"".join(lines)


def truncate(rng: random.Random, data: bytes) -> bytes:
    return data[: rng.randrange(len(data))]


MUTATIONS: tuple[Mutation, ...] = (
    flip_bytes,
    drop_lines,
    double_lines,
    swap_values,
    change_indent,
    truncate,
)


def mutate(rng: random.Random, data: bytes) -> bytes:
    """Spoil a file in one to three ways."""
    for _ in range(rng.randint(1, 3)):
        if not data.strip():
            break
        data = rng.choice(MUTATIONS)(rng, data)
    return data
