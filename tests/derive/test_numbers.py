"""Every number has a formula, inputs and a source, and can be explained."""

import re

import pytest

from speccomp.calc.errors import RangeError
from speccomp.derive import Derived, derive, explain_number, print_number
from speccomp.derive.formulas import FORMULAS
from speccomp.derive.numbers import Formula, Ledger
from speccomp.findings import Span
from speccomp.quantities import Kind, PrintUnits, quantity
from tests.derive.project import BATCH, derived_of, read_process

SI = PrintUnits.for_system("SI", {})
CUSTOMARY = PrintUnits.for_system("US customary", {})
MASS = Formula("m", Kind.MASS, "arithmetic")
HERE = Span("definition.yaml", 3, 5, 3, 9)


@pytest.fixture(scope="module")
def derived() -> Derived:
    return derived_of(BATCH)


def text(derived: Derived, name: str, units: PrintUnits = SI) -> str:
    return explain_number(derived, name, units).replace("\u00a0", " ")


def test_every_formula_names_a_source() -> None:
    assert len(FORMULAS) > 100
    for formula in FORMULAS:
        assert formula.text.strip()
        assert formula.source.strip()


def test_every_number_is_complete(derived: Derived) -> None:
    for name, number in derived.numbers.items():
        assert number.name == name
        assert re.fullmatch(r"[a-z0-9-]+(\.[a-z0-9-]+)+", name)
        assert number.title
        assert number.formula in FORMULAS
        assert number.inputs or number.note, name
        for item in number.inputs:
            assert item.name
            # An input is either written somewhere or another number that is there.
            assert bool(item.text) != bool(item.number)
            assert not item.number or item.number in derived.numbers


def test_an_input_stands_where_the_author_wrote_it(derived: Derived) -> None:
    (elevation,) = derived.numbers["water.air-pressure"].inputs
    assert (elevation.text, elevation.span.file) == ("240 m", "plant.yaml")
    stated = derived.numbers["weighing.liquid.instructed.reference"].inputs[0]
    assert stated.text == "200 ± 1 g"
    assert stated.span.file == "definition.yaml"
    assert stated.span.line > 1


def test_a_number_is_explained_with_all_it_is_from(derived: Derived) -> None:
    lines = text(derived, "weighing.liquid.instructed.window.upper").splitlines()
    assert lines[0] == "greatest reading of `liquid`: 53.9700 g"
    assert lines[1] == "  name     weighing.liquid.instructed.window.upper"
    assert lines[2].startswith("  formula  L from r_lo (P + u_P) + u")
    assert lines[3] == (
        "  from     reading of `powder` to aim at: 200.000 g "
        "(see weighing.liquid.instructed.reference)"
    )
    assert re.fullmatch(r" {11}parts of `powder`: 100 \(definition\.yaml:\d+:\d+\)", lines[4])
    assert lines[-2].startswith("  source   worst case")
    assert lines[-1].startswith("  note     Worst case")


def test_a_section_lists_its_numbers(derived: Derived) -> None:
    lines = text(derived, "pot-life.card").splitlines()
    assert lines[0] == "pot life at the card's temperature: 60.0000 min"
    lines = text(derived, "work").splitlines()
    assert lines[0] == "work.mixing-time: longest time of mixing, 5.00000 min"
    assert all(line.startswith("work.") for line in lines)


def test_what_was_not_derived_is_told() -> None:
    said = text(derived_of(), "batch")
    assert said.startswith("batch: not calculated, the definition has no `batch`")


def test_an_unknown_name_gets_the_nearest(derived: Derived) -> None:
    assert "pot-life.card" in text(derived, "pot-life.cart")
    assert text(derived, "zzzz").startswith("No number is called `zzzz`.")
    assert "water" in text(derived, "zzzz")


def test_numbers_are_printed_in_the_plants_units(derived: Derived) -> None:
    # 99.1769 degC x 1.8 + 32.
    assert "99.1769 °C" in text(derived, "water.boiling-point")
    assert "210.518 °F" in text(derived, "water.boiling-point", CUSTOMARY)
    assert print_number(derived.numbers["batches.th-8.in-time"], SI) == "138"
    ratio = print_number(derived.numbers["weighing.liquid.stated-lowest"], SI)
    assert ratio == "0.256094"


def test_the_same_definition_gives_the_same_numbers() -> None:
    process = read_process(BATCH)
    assert derive(process).numbers == derive(process).numbers


def test_a_taken_name_gets_a_number_behind_it() -> None:
    ledger = Ledger()
    names = [ledger.add("a.b", "A", 1, MASS, ()).name for _ in range(3)]
    assert names == ["a.b", "a.b-2", "a.b-3"]
    assert list(ledger.numbers) == names


def test_a_value_out_of_range_is_a_gap_and_no_error() -> None:
    ledger = Ledger()

    def refuses() -> int:
        raise RangeError("The mass is 0 g; it must be more than zero.")

    def overflows() -> float:
        return 10.0**400

    assert ledger.attempt("a", HERE, refuses) is None
    assert ledger.attempt("b", HERE, overflows) is None
    assert ledger.attempt("c", HERE, lambda: 7) == 7
    first, second = ledger.gaps
    assert (first.name, first.fault, first.span) == ("a", True, HERE)
    assert first.reason == "The mass is 0 g; it must be more than zero."
    assert second.reason == "A value is too large or too small to calculate with."


def test_our_own_faults_are_not_hidden() -> None:
    def fails() -> int:
        raise KeyError("a name that is not there")

    with pytest.raises(KeyError):
        Ledger().attempt("a", HERE, fails)


def test_a_computation_is_made_once_for_equal_keys() -> None:
    made: list[int] = []
    ledger = Ledger()

    def make() -> int:
        made.append(1)
        return len(made)

    assert [ledger.once(("a", 1), make), ledger.once(("a", 1), make)] == [1, 1]
    assert ledger.once(("a", 2), make) == 2


def test_a_quantity_keeps_its_kind() -> None:
    number = Ledger().add("a.b", "A", quantity(2, "kg"), MASS, ())
    assert number.kind is Kind.MASS
    assert print_number(number, SI, 3).replace("\u00a0", " ") == "2.00 kg"
