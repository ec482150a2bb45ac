"""What a sample proves: zero-acceptance sizes, detection, operating characteristic."""

import math
from collections.abc import Callable, Sequence

from speccomp.calc.errors import RangeError
from speccomp.calc.magnitudes import count, open_fraction
from speccomp.calc.rounding import whole_up


def zero_acceptance_size(fraction_bad: float, confidence: float) -> int:
    """
    Return how many pieces must all be good to prove that fewer than a fraction are bad.

    n = ceil(ln(1 - C)/ln(1 - p)).
    fraction_bad, confidence: plain numbers between 0 and 1.
    Returns a count.
    Source: success-run theorem, binomial with none found.
    Validity: lots much larger than the sample.
    Errors: RangeError for a number outside 0 to 1.
    """
    bad = open_fraction(fraction_bad, "fraction bad")
    return whole_up(math.log1p(-open_fraction(confidence, "confidence")) / math.log1p(-bad))


def detected_fraction(size: int, confidence: float) -> float:
    """
    Return the fraction bad that a sample with none allowed finds with a confidence.

    p = 1 - (1 - C)^(1/n).
    size: count, at least 1. confidence: plain number between 0 and 1.
    Returns a plain number.
    Source: success-run theorem, binomial with none found.
    Validity: lots much larger than the sample.
    Errors: RangeError for a size below 1 or a number outside 0 to 1.
    """
    pieces = count(size, 1, "sample size")
    return -math.expm1(math.log1p(-open_fraction(confidence, "confidence")) / pieces)


def detection_confidence(size: int, fraction_bad: float) -> float:
    """
    Return the confidence with which a sample with none allowed finds a fraction bad.

    C = 1 - (1 - p)^n.
    size: count, at least 1. fraction_bad: plain number between 0 and 1.
    Returns a plain number.
    Source: success-run theorem, binomial with none found.
    Validity: lots much larger than the sample.
    Errors: RangeError for a size below 1 or a number outside 0 to 1.
    """
    pieces = count(size, 1, "sample size")
    return -math.expm1(pieces * math.log1p(-open_fraction(fraction_bad, "fraction bad")))


def lot_detection_probability(lot: int, bad: int, size: int) -> float:
    """
    Return the probability that a sample from a small lot holds at least one bad piece.

    1 - comb(N - D, n)/comb(N, n).
    lot, bad, size: counts N, D and n, bad and size not above the lot.
    Returns a plain number.
    Source: hypergeometric distribution.
    Errors: RangeError for a count out of range.
    """
    return 1 - lot_acceptance_probability(lot, bad, size, 0)


def lot_zero_acceptance_size(lot: int, bad: int, confidence: float) -> int:
    """
    Return how many pieces of a small lot must all be good to prove that fewer than D are bad.

    The least n with comb(N - D, n)/comb(N, n) <= 1 - C.
    lot: count N, at least 1. bad: count D from 1 to N. confidence: plain number between 0 and 1.
    Returns a count.
    Source: hypergeometric distribution with none found.
    Errors: RangeError for a number out of range.
    """
    _lot(lot, count(bad, 1, "number of bad pieces"), 0)
    allowed = 1 - open_fraction(confidence, "confidence")
    size, passing = 0, 1.0
    while passing > allowed * (1 + 1e-12):
        passing *= (lot - bad - size) / (lot - size)
        size += 1
    return size


def _lot(lot: int, bad: int, size: int) -> None:
    count(lot, 1, "lot size")
    count(bad, 0, "number of bad pieces")
    count(size, 0, "sample size")
    if bad > lot:
        raise RangeError(f"There are {bad} bad pieces in a lot of {lot}.")
    if size > lot:
        raise RangeError(f"The sample of {size} is larger than the lot of {lot}.")


def acceptance_probability(size: int, accept: int, fraction_bad: float) -> float:
    """
    Return the probability that a sample from a large lot is accepted.

    sum over d = 0..c of comb(n, d) p^d (1 - p)^(n - d).
    size: count n, at least 1. accept: count c, zero or more. fraction_bad: plain number from 0
    to 1.
    Returns a plain number.
    Source: binomial distribution, operating characteristic of type B.
    Validity: lots much larger than the sample.
    Errors: RangeError for a number out of range.
    """
    pieces, allowed = count(size, 1, "sample size"), count(accept, 0, "acceptance number")
    if not 0 <= fraction_bad <= 1:
        raise RangeError(f"The fraction bad is {fraction_bad:g}; it must be from 0 to 1.")
    return _accepted(pieces, allowed, fraction_bad)


def _accepted(size: int, accept: int, fraction_bad: float) -> float:
    if fraction_bad in (0.0, 1.0):
        return 1.0 if fraction_bad == 0 or accept >= size else 0.0
    good, bad = math.log1p(-fraction_bad), math.log(fraction_bad)
    return math.fsum(
        math.exp(_log_comb(size, found) + found * bad + (size - found) * good)
        for found in range(min(accept, size) + 1)
    )


def _log_comb(size: int, chosen: int) -> float:
    return math.lgamma(size + 1) - math.lgamma(chosen + 1) - math.lgamma(size - chosen + 1)


def lot_acceptance_probability(lot: int, bad: int, size: int, accept: int) -> float:
    """
    Return the probability that a sample from a small lot is accepted.

    sum over d = 0..c of comb(D, d) comb(N - D, n - d)/comb(N, n).
    lot, bad, size, accept: counts N, D, n and c, bad and size not above the lot.
    Returns a plain number.
    Source: hypergeometric distribution, operating characteristic of type A.
    Errors: RangeError for a count out of range.
    """
    _lot(lot, bad, size)
    allowed = min(count(accept, 0, "acceptance number"), size)
    ways = sum(
        math.comb(bad, found) * math.comb(lot - bad, size - found) for found in range(allowed + 1)
    )
    return ways / math.comb(lot, size)


def operating_characteristic(
    size: int, accept: int, probabilities: Sequence[float]
) -> tuple[float, ...]:
    """
    Return the fractions bad at which a sample is accepted with given probabilities.

    acceptance_probability solved for p by halving.
    size: count n, at least 1. accept: count c, zero or more and below n. probabilities: plain
    numbers between 0 and 1.
    Returns plain numbers, in the order of the probabilities.
    Source: binomial distribution, operating characteristic of type B.
    Validity: lots much larger than the sample.
    Errors: RangeError for a number out of range.
    """
    pieces, allowed = count(size, 1, "sample size"), count(accept, 0, "acceptance number")
    if allowed >= pieces:
        raise RangeError(f"The acceptance number {accept} is not below the sample size {size}.")
    return tuple(
        _solved(lambda p: _accepted(pieces, allowed, p), open_fraction(wanted, "probability"))
        for wanted in probabilities
    )


def _solved(falling: Callable[[float], float], wanted: float) -> float:
    """Return where a function that falls from 1 to 0 on the unit interval has a value."""
    low, high = 0.0, 1.0
    while True:
        middle = (low + high) / 2
        if not low < middle < high:
            return middle
        if falling(middle) > wanted:
            low = middle
        else:
            high = middle
