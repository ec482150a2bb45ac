"""Sampling against MIL-STD-105E, published plans, and scipy's distributions."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta, binom, hypergeom

from speccomp.calc.sampling import (
    acceptance_probability,
    detected_fraction,
    detection_confidence,
    lot_acceptance_probability,
    lot_detection_probability,
    lot_zero_acceptance_size,
    operating_characteristic,
    zero_acceptance_size,
)
from speccomp.calc.sampling_plans import Inspection, code_letter, single_sampling_plan
from speccomp.calc.sampling_tables import AQLS, LETTERS, LEVELS, NORMAL, SAMPLE_SIZES, TIGHTENED

NORMAL_AT_LEVEL_II = {
    "A": 8, "B": 15, "C": 25, "D": 50, "E": 90, "F": 150, "G": 280, "H": 500, "J": 1200,
    "K": 3200, "L": 10_000, "M": 35_000, "N": 150_000, "P": 500_000, "Q": 600_000,
}  # fmt: skip


def test_code_letters_of_table_1() -> None:
    """MIL-STD-105E, Table I, three published copies that agree."""
    rows = """
        8 A A A A A A B
        15 A A A A A B C
        25 A A B B B C D
        50 A B B C C D E
        90 B B C C C E F
        150 B B C D D F G
        280 B C D E E G H
        500 B C D E F H J
        1200 C C E F G J K
        3200 C D E G H K L
        10000 C D F G J L M
        35000 C D F H K M N
        150000 D E G J L N P
        500000 D E G J M P Q
        500001 D E H K N Q R
    """
    first = 2
    for row in rows.strip().splitlines():
        last, *letters = row.split()
        for lot in (first, int(last)):
            assert [code_letter(lot, level) for level in LEVELS] == letters
        first = int(last) + 1


@pytest.mark.parametrize(
    ("lot", "letter"),
    [(8, "A"), (9, "B"), (150, "F"), (151, "G"), (500, "H"), (501, "J"), (1200, "J"), (1201, "K")],
)
def test_ends_of_lot_ranges(lot: int, letter: str) -> None:
    """MIL-STD-105E, Table I, level II."""
    assert code_letter(lot, "II") == letter


def test_sample_sizes() -> None:
    """MIL-STD-105E, Table II-A."""
    assert dict(zip(LETTERS, SAMPLE_SIZES, strict=True)) == {
        "A": 2, "B": 3, "C": 5, "D": 8, "E": 13, "F": 20, "G": 32, "H": 50, "J": 80,
        "K": 125, "L": 200, "M": 315, "N": 500, "P": 800, "Q": 1250, "R": 2000,
    }  # fmt: skip


STEPS = [0.010, 0.015, 0.025, 0.040, 0.065, 0.10, 0.15, 0.25, 0.40, 0.65, 1.0, 1.5, 2.5, 4.0, 6.5]


def by_the_diagonal(letter: str, aql: float, first: int, numbers: list[str]) -> str:
    """Return the cell that the tables' diagonal rule gives."""
    place = STEPS.index(aql) - (first - LETTERS.index(letter))
    if place < 0:
        return "dn"
    return numbers[place] if place < len(numbers) else "up"


@pytest.mark.parametrize("letter", LETTERS)
def test_plans_follow_the_diagonals(letter: str) -> None:
    """MIL-STD-105E, Tables II-A and II-B: the rule of their diagonals, from memory."""
    normal = ["0", "up", "dn", "1", "2", "3", "5", "7", "10", "14", "21"]
    tightened = ["0", "dn", "dn", "1", "2", "3", "5", "8", "12", "18"]
    assert NORMAL[letter].split() == [by_the_diagonal(letter, a, 14, normal) for a in AQLS]
    assert TIGHTENED[letter].split() == [by_the_diagonal(letter, a, 15, tightened) for a in AQLS]


RESOLVED = """
    A K125/0 J80/0 H50/0 G32/0 F20/0 E13/0 D8/0 C5/0 B3/0 A2/0
    B K125/0 J80/0 H50/0 G32/0 F20/0 E13/0 D8/0 C5/0 B3/0 A2/0
    C K125/0 J80/0 H50/0 G32/0 F20/0 E13/0 D8/0 C5/0 B3/0 D8/1
    D K125/0 J80/0 H50/0 G32/0 F20/0 E13/0 D8/0 C5/0 E13/1 D8/1
    E K125/0 J80/0 H50/0 G32/0 F20/0 E13/0 D8/0 F20/1 E13/1 E13/2
    F K125/0 J80/0 H50/0 G32/0 F20/0 E13/0 G32/1 F20/1 F20/2 F20/3
    G K125/0 J80/0 H50/0 G32/0 F20/0 H50/1 G32/1 G32/2 G32/3 G32/5
    H K125/0 J80/0 H50/0 G32/0 J80/1 H50/1 H50/2 H50/3 H50/5 H50/7
    J K125/0 J80/0 H50/0 K125/1 J80/1 J80/2 J80/3 J80/5 J80/7 J80/10
    K K125/0 J80/0 L200/1 K125/1 K125/2 K125/3 K125/5 K125/7 K125/10 K125/14
    L K125/0 M315/1 L200/1 L200/2 L200/3 L200/5 L200/7 L200/10 L200/14 L200/21
    M N500/1 M315/1 M315/2 M315/3 M315/5 M315/7 M315/10 M315/14 M315/21 L200/21
    N N500/1 N500/2 N500/3 N500/5 N500/7 N500/10 N500/14 N500/21 M315/21 L200/21
    P P800/2 P800/3 P800/5 P800/7 P800/10 P800/14 P800/21 N500/21 M315/21 L200/21
    Q Q1250/3 Q1250/5 Q1250/7 Q1250/10 Q1250/14 Q1250/21 P800/21 N500/21 M315/21 L200/21
"""


@pytest.mark.parametrize("row", RESOLVED.strip().splitlines())
def test_resolved_plans(row: str) -> None:
    """
    MIL-STD-105E, Table II-A with its arrows followed.

    AQL 0.65 to 6.5 after a published public-works table, the other columns from memory.
    """
    letter, *plans = row.split()
    lot = NORMAL_AT_LEVEL_II[letter]
    for aql, plan in zip(AQLS, plans, strict=True):
        found = single_sampling_plan(lot, "II", aql, Inspection.NORMAL)
        size = int(plan[1:].split("/")[0])
        assert f"{found.letter}{size}/{found.accept}" == plan
        assert found.size == min(size, lot)
        assert found.whole_lot is (size >= lot)
        assert found.reject == found.accept + 1


@pytest.mark.parametrize(
    ("lot", "aql", "plan"),
    [
        (500, 1.0, (50, 1, 2)),
        (1000, 1.0, (80, 2, 3)),
        (1000, 0.65, (80, 1, 2)),
        (5000, 2.5, (200, 10, 11)),
        (5000, 4.0, (200, 14, 15)),
        (100, 1.0, (13, 0, 1)),
        (100, 2.5, (20, 1, 2)),
        (50, 1.0, (13, 0, 1)),
        (50, 4.0, (13, 1, 2)),
        (25, 0.65, (20, 0, 1)),
        (15, 0.10, (15, 0, 1)),
        (8, 4.0, (3, 0, 1)),
    ],
)
def test_looked_up_plans(lot: int, aql: float, plan: tuple[int, int, int]) -> None:
    """MIL-STD-105E, level II; 5000 at 2.5 and 4.0 also in the NIST/SEMATECH e-Handbook."""
    found = single_sampling_plan(lot, "II", aql, Inspection.NORMAL)
    assert (found.size, found.accept, found.reject) == plan


@pytest.mark.parametrize(
    ("level", "aql", "plan"),
    [
        ("S-4", 0.65, (80, 1, 2)),
        ("S-4", 0.40, (125, 1, 2)),
        ("S-4", 0.25, (50, 0, 1)),
        ("S-4", 0.15, (80, 0, 1)),
        ("S-3", 0.65, (20, 0, 1)),
        ("S-3", 0.40, (32, 0, 1)),
    ],
)
def test_plans_of_a_published_study(level: str, aql: float, plan: tuple[int, int, int]) -> None:
    """ISO 2859-1:1999, lots 35 001 to 500 000, in a published study of its curves (2023)."""
    for lot in (35_001, 500_000):
        found = single_sampling_plan(lot, level, aql, Inspection.NORMAL)
        assert (found.size, found.accept, found.reject) == plan


@pytest.mark.parametrize(
    ("letter", "aql", "plan"),
    [
        ("J", 1.0, (80, 1)),
        ("H", 1.0, (80, 1)),
        ("K", 0.65, (125, 1)),
        ("G", 0.65, (32, 0)),
        ("L", 2.5, (200, 8)),
    ],
)
def test_tightened_plans(letter: str, aql: float, plan: tuple[int, int]) -> None:
    """MIL-STD-105E, Table II-B, after a published public-works table."""
    lot = NORMAL_AT_LEVEL_II[letter]
    found = single_sampling_plan(lot, "II", aql, Inspection.TIGHTENED)
    assert (found.size, found.accept) == plan


@pytest.mark.parametrize(
    ("size", "accept", "chances", "percents"),
    [
        (13, 0, {1: 0.87752, 4: 0.58820, 6.5: 0.41740}, (0.394, 5.192, 16.232)),
        (20, 0, {0.65: 0.87772, 5: 0.35849, 10: 0.12158}, (0.256, 3.406, 10.875)),
        (50, 0, {1: 0.60501, 5: 0.07694}, (0.103, 1.377, 4.501)),
        (13, 1, {4: 0.90681, 10: 0.62134}, (2.805, 12.579, 26.784)),
        (20, 1, {2.5: 0.91176, 10: 0.39175}, (1.807, 8.251, 18.096)),
        (32, 1, {1.5: 0.91698, 5: 0.51996}, (1.122, 5.190, 11.620)),
        (50, 1, {1: 0.91056, 4: 0.40048}, (0.715, 3.334, 7.558)),
        (80, 2, {1: 0.95345, 5: 0.23062, 6.5: 0.10094}, (1.030, 3.329, 6.516)),
        (125, 3, {1: 0.96255, 5: 0.12378}, (1.100, 2.930, 5.266)),
        (200, 10, {2.5: 0.98743}, (3.115, 5.325, 7.599)),
    ],
)
def test_operating_characteristic(
    size: int, accept: int, chances: dict[float, float], percents: tuple[float, ...]
) -> None:
    """
    Computed with scipy's binomial and beta distributions.

    MIL-STD-105E, Table X-J, prints 1.03, 3.33 and 6.52 for 80 and 2 (from memory).
    """
    for percent, chance in chances.items():
        assert acceptance_probability(size, accept, percent / 100) == pytest.approx(
            chance, abs=1e-5
        )
    found = operating_characteristic(size, accept, [0.95, 0.50, 0.10])
    assert [100 * p for p in found] == pytest.approx(percents, abs=6e-4)


@pytest.mark.parametrize(
    ("lot", "size", "accept", "chances"),
    [
        (100, 20, 0, {1: 0.800000, 2: 0.638384, 5: 0.319309, 10: 0.095116}),
        (500, 50, 1, {5: 0.919424, 10: 0.736503, 25: 0.263594, 50: 0.027820}),
    ],
)
def test_small_lots(lot: int, size: int, accept: int, chances: dict[int, float]) -> None:
    """Computed with scipy's hypergeometric distribution."""
    for bad, chance in chances.items():
        assert lot_acceptance_probability(lot, bad, size, accept) == pytest.approx(chance, abs=1e-6)


def test_success_run_sizes() -> None:
    """Arithmetic: ceil(ln(1 - C)/ln R) for reliability R and confidence C."""
    rows = {
        0.80: (8, 16, 32, 80, 161, 322),
        0.90: (11, 22, 45, 114, 230, 460),
        0.95: (14, 29, 59, 149, 299, 598),
        0.99: (21, 44, 90, 228, 459, 919),
    }
    for confidence, sizes in rows.items():
        for reliability, size in zip((0.80, 0.90, 0.95, 0.98, 0.99, 0.995), sizes, strict=True):
            assert zero_acceptance_size(1 - reliability, confidence) == size


@pytest.mark.parametrize(
    ("lot", "bad", "size"),
    [(20, 1, 19), (50, 1, 48), (100, 5, 45), (200, 10, 51), (500, 25, 56), (1000, 50, 57)],
)
def test_success_run_in_a_small_lot(lot: int, bad: int, size: int) -> None:
    """Computed with scipy's hypergeometric distribution, confidence 95 %."""
    assert lot_zero_acceptance_size(lot, bad, 0.95) == size


@pytest.mark.parametrize(("size", "bound"), [(10, 0.258866), (30, 0.095034)])
def test_bound_with_no_failure(size: int, bound: float) -> None:
    """Arithmetic: 1 - 0.05^(1/n); the rule of three gives 0.1 for 30."""
    assert detected_fraction(size, 0.95) == pytest.approx(bound, abs=6e-7)


sizes = st.integers(1, 2000)
fractions = st.floats(1e-4, 0.9999)


@given(sizes, st.integers(0, 30), fractions)
def test_acceptance_against_scipy(size: int, accept: int, bad: float) -> None:
    own = acceptance_probability(size, accept, bad)
    assert own == pytest.approx(binom.cdf(accept, size, bad), rel=1e-9, abs=1e-14)


@given(sizes, st.integers(0, 30), st.floats(0.01, 0.99))
def test_operating_characteristic_against_scipy(size: int, accept: int, chance: float) -> None:
    accept = min(accept, size - 1)
    own = operating_characteristic(size, accept, [chance])[0]
    assert own == pytest.approx(beta.ppf(1 - chance, accept + 1, size - accept), rel=1e-8)


@given(st.data())
def test_lots_against_scipy(data: st.DataObject) -> None:
    lot = data.draw(st.integers(1, 400))
    bad, size = data.draw(st.integers(0, lot)), data.draw(st.integers(0, lot))
    accept = data.draw(st.integers(0, 20))
    assert lot_acceptance_probability(lot, bad, size, accept) == pytest.approx(
        hypergeom.cdf(accept, lot, bad, size), rel=1e-9, abs=1e-14
    )
    assert lot_detection_probability(lot, bad, size) == pytest.approx(
        hypergeom.sf(0, lot, bad, size), rel=1e-9, abs=1e-12
    )


@given(fractions, st.floats(0.01, 0.9999))
def test_success_run_is_the_smallest_size(bad: float, confidence: float) -> None:
    size = zero_acceptance_size(bad, confidence)
    assert binom.pmf(0, size, bad) <= (1 - confidence) * (1 + 1e-6)
    assert size == 1 or binom.pmf(0, size - 1, bad) > (1 - confidence) * (1 - 1e-6)
    assert detection_confidence(size, bad) == pytest.approx(binom.sf(0, size, bad), rel=1e-9)


@given(st.integers(1, 300), st.integers(1, 300), st.floats(0.01, 0.999))
def test_small_lot_size_is_the_smallest(lot: int, bad: int, confidence: float) -> None:
    bad = min(bad, lot)
    size = lot_zero_acceptance_size(lot, bad, confidence)
    assert hypergeom.sf(0, lot, bad, size) >= confidence - 1e-9
    assert hypergeom.sf(0, lot, bad, size - 1) < confidence + 1e-9
