import pytest

from speccomp.calc.sampling_plans import (
    Inspection,
    SamplingPlan,
    code_letter,
    single_sampling_plan,
)
from speccomp.calc.sampling_tables import (
    AQLS,
    CODE_LETTERS,
    LETTERS,
    LEVELS,
    NORMAL,
    SAMPLE_SIZES,
    TIGHTENED,
)

from .faults import fault


def test_tables_have_a_cell_for_everything() -> None:
    assert len(LETTERS) == len(SAMPLE_SIZES) == 16
    assert all(len(letters) == len(LEVELS) for _, letters in CODE_LETTERS)
    for table in (NORMAL, TIGHTENED):
        assert "".join(table) == LETTERS
        assert all(len(row.split()) == len(AQLS) for row in table.values())


@pytest.mark.parametrize(
    ("lot", "level", "letter"),
    [
        (2, "II", "A"),
        (8, "II", "A"),
        (9, "II", "B"),
        (500_000, "II", "P"),
        (500_001, "II", "Q"),
        (10**9, "III", "R"),
        (100, "S-1", "B"),
        (100, "S-4", "D"),
        (100, "I", "D"),
    ],
)
def test_code_letter(lot: int, level: str, letter: str) -> None:
    assert code_letter(lot, level) == letter


def test_plan_without_an_arrow() -> None:
    assert single_sampling_plan(1000, "II", 1.0, Inspection.NORMAL) == SamplingPlan(
        "J", 80, 2, 3, False
    )


def test_arrows_lead_to_the_sample_size_too() -> None:
    assert single_sampling_plan(100, "II", 1.0, Inspection.NORMAL) == SamplingPlan(
        "E", 13, 0, 1, False
    )
    assert single_sampling_plan(50, "II", 1.0, Inspection.NORMAL) == SamplingPlan(
        "E", 13, 0, 1, False
    )


def test_arrows_go_one_step_at_a_time() -> None:
    assert single_sampling_plan(50, "II", 4.0, Inspection.NORMAL) == SamplingPlan(
        "E", 13, 1, 2, False
    )
    assert single_sampling_plan(15, "II", 6.5, Inspection.NORMAL) == SamplingPlan(
        "A", 2, 0, 1, False
    )


def test_inspection_has_words() -> None:
    assert [i.value for i in Inspection] == ["normal", "tightened"]


def test_a_sample_as_large_as_the_lot() -> None:
    def plan(lot: int) -> SamplingPlan:
        return single_sampling_plan(lot, "II", 0.65, Inspection.NORMAL)

    assert plan(19) == SamplingPlan("F", 19, 0, 1, True)
    assert plan(20) == SamplingPlan("F", 20, 0, 1, True)
    assert plan(21) == SamplingPlan("F", 20, 0, 1, False)


def test_tightened() -> None:
    assert single_sampling_plan(1000, "II", 1.0, Inspection.TIGHTENED) == SamplingPlan(
        "J", 80, 1, 2, False
    )


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: code_letter(1, "II"),
            "RangeError: The lot size is 1; it must be at least 2.",
        ),
        (
            lambda: code_letter(2, "IV"),
            "RangeError: There is no inspection level IV; use S-1, S-2, S-3, S-4, I, II, III.",
        ),
        (
            lambda: single_sampling_plan(2, "II", 2.0, Inspection.NORMAL),
            "RangeError: There is no plan for an AQL of 2 %; "
            "use 0.1, 0.15, 0.25, 0.4, 0.65, 1, 1.5, 2.5, 4, 6.5.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
