"""Reading stays quick on what people write and on what nobody should; bounds are ten times wide."""

import time

import pytest

from speccomp.quantities import Kind, QuantityError, parse_toleranced

ODD = [
    "1 " * 100,
    "1." * 100,
    "1,1." * 50,
    "9" * 199 + "x",
    "min " * 50,
    "1 a" + " a" * 98,
    "g/" * 100,
    "1 g" + "/g" * 98,
    "0 +" * 66,
    "between 1 " + "and " * 47,
    "1-" * 100,
    "± " * 100,
    "° " * 100,
    " " * 200,
    "5 " + "-" * 198,
    "5 " + "µ-m" * 66,
]


def test_a_hundred_ordinary_values():
    start = time.process_time()
    for number in range(100):
        parse_toleranced(f"{126 + number} ± 1.{number} g", Kind.MASS)
    assert time.process_time() - start < 0.2


@pytest.mark.parametrize("text", ODD)
def test_an_odd_text(text):
    start = time.process_time()
    with pytest.raises(QuantityError):
        parse_toleranced(text, Kind.LENGTH)
    assert time.process_time() - start < 0.2
