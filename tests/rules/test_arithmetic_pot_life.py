"""Rules on pot life: what they say of a mix, and at which minute they begin to."""

from pathlib import Path

import pytest

from speccomp.findings import Severity
from tests.derive.project import BATCH
from tests.rules.arithmetic import found, only, text_at

# The card says 60 min at 23 degC, the plant keeps 10 % back, the shop has 18 to 26 degC.
SLOW = BATCH.replace("cycle_time: 20 s", "cycle_time: 60 s")


def limit(minutes: int, name: str = "time since mixing") -> str:
    return BATCH.replace("time since mixing: at most 30", f"{name}: at most {minutes}")


def shop(temperature: str) -> str:
    return f"# plant.yaml\nshop: {{temperature: {temperature}}}\n"


def test_a_size_that_outlives_the_pot_life(tmp_path: Path) -> None:
    finding = only(tmp_path, "potlife.batch-outlives", SLOW.replace("[20, 40]", "[20, 50]"))
    # 5 + 3 + 50 x 1 min = 58 min; 54 min are usable, so 46 parts.
    assert finding.severity is Severity.ERROR
    assert finding.message == (
        "50 TH-8 from one mix take 58.0 min (5.00 min mixing, 3.00 min to the first part, 60.0 s "
        "a part); the pot life is 60.0 min at 23.0 °C, 10 % of it kept back, so it is over 4.00 "
        "min too early"
    )
    assert finding.hint == "fill at most 46 parts from one mix, or add stations"
    assert text_at(tmp_path, finding.span) == "batch"
    assert text_at(tmp_path, finding.related[0].span) == "{time: 60 min, at: 23 degC}"


def test_a_size_that_just_fits_the_pot_life(tmp_path: Path) -> None:
    # 46 parts take 54 min.
    fragment = SLOW.replace("[20, 40]", "[20, 46]") + shop("18 to 23 degC")
    assert found(tmp_path, "potlife.batch-outlives", fragment) == []
    assert found(tmp_path, "potlife.hot-shop", fragment) == []


def test_stations_shorten_the_filling(tmp_path: Path) -> None:
    fragment = SLOW.replace("sizes: [20, 40]", "stations: 2, sizes: [50]")
    assert found(tmp_path, "potlife.batch-outlives", fragment) == []


def test_not_even_one_part_fits(tmp_path: Path) -> None:
    fragment = BATCH.replace("cycle_time: 20 s", "cycle_time: 60 min").replace("[20, 40]", "[1]")
    finding = only(tmp_path, "potlife.batch-outlives", fragment)
    assert finding.hint == "mix and fill faster, or cool the shop; not even one part fits"


def test_parts_per_mix_that_outlive_the_pot_life_are_found_at_their_limit(tmp_path: Path) -> None:
    limits = "limits: {time since mixing: at most 30 min, parts per mix: {value: at most 80 parts"
    fragment = SLOW.replace(
        "limits: {time since mixing: at most 30 min}", limits + ", method: Count}}"
    )
    finding = only(tmp_path, "potlife.batch-outlives", fragment)
    assert finding.message.startswith("80 TH-8 from one mix take 88.0 min")
    assert text_at(tmp_path, finding.span) == "parts per mix"
    assert finding.subject == "fill/parts-per-mix"


def test_a_hot_day_is_a_warning(tmp_path: Path) -> None:
    # 40 parts take 21.33 min, and the limit allows 35 min; at 36 degC 60 x 2^-1.3 = 24.37 min.
    finding = only(tmp_path, "potlife.hot-shop", BATCH + shop("18 to 36 degC"))
    assert finding.severity is Severity.WARNING
    assert finding.message == (
        "`fill` may use a mix that is 35.0 min old; at 36.0 °C the mix sets after 24.4 min"
    )
    assert [related.span.file for related in finding.related] == ["powder.yaml", "plant.yaml"]


def test_the_hot_day_is_said_in_the_units_of_the_plant(tmp_path: Path) -> None:
    plant = "print: {system: US customary, paper: Letter}\n"
    finding = only(tmp_path, "potlife.hot-shop", BATCH + shop("64 to 97 degF") + plant)
    assert "at 97.0 °F the mix sets after 24.2 min" in finding.message


def test_mixing_alone_takes_the_pot_life(tmp_path: Path) -> None:
    card = "# powder.yaml\npot_life: {time: 5 min, at: 23 degC}\n"
    finding = only(tmp_path, "potlife.mixing-too-long", BATCH + card)
    assert finding.message == (
        "mixing takes up to 5.00 min; the pot life is 5.00 min at 23.0 °C, 10 % of it kept back"
    )
    # What follows from it is not reported again.
    for rule in ("potlife.batch-outlives", "potlife.applied-too-late", "potlife.into-margin"):
        assert found(tmp_path, rule, BATCH + card) == []


@pytest.mark.parametrize(
    ("minutes", "rule"),
    [
        # Mixing takes 5 min, 54 min are usable, 60 min are the pot life.
        (49, None),
        (50, "potlife.into-margin"),
        (55, "potlife.into-margin"),
        (56, "potlife.applied-too-late"),
    ],
)
def test_the_last_use_against_the_cards_pot_life(
    tmp_path: Path, minutes: int, rule: str | None
) -> None:
    fragment = limit(minutes) + shop("18 to 23 degC")
    for name in ("potlife.into-margin", "potlife.applied-too-late", "potlife.hot-shop"):
        assert len(found(tmp_path, name, fragment)) == (1 if name == rule else 0)


def test_the_last_use_says_what_to_write(tmp_path: Path) -> None:
    finding = only(tmp_path, "potlife.applied-too-late", limit(70))
    assert finding.message == (
        "`fill` may use a mix that is 75.0 min old, mixing included; the pot life is 60.0 min at "
        "23.0 °C, 10 % of it kept back"
    )
    assert finding.hint == "write `at most 49.0 min` or less"
    assert text_at(tmp_path, finding.span) == "time since mixing"


def test_an_age_counts_from_the_start_of_mixing(tmp_path: Path) -> None:
    fragment = limit(60, "time since the start of mixing")
    assert found(tmp_path, "potlife.applied-too-late", fragment) == []
    assert len(found(tmp_path, "potlife.into-margin", fragment)) == 1


def test_a_limit_under_a_condition_is_the_authors_own(tmp_path: Path) -> None:
    fragment = BATCH.replace(
        "    limits: {time since mixing: at most 30 min}\n",
        "    limits:\n      time since mixing:\n"
        "        - {value: at most 90 min, when: the shop is at most 10 °C}\n"
        "        - {value: at most 30 min, when: the shop is above 10 °C}\n",
    )
    for name in ("potlife.into-margin", "potlife.applied-too-late", "potlife.no-limit"):
        assert found(tmp_path, name, fragment) == []


def test_a_transfer_shorter_than_the_steps_before_it(tmp_path: Path) -> None:
    rest = (
        "  - id: rest\n    operation: rest\n    do: Leave it.\n    with: [timer]\n"
        "    covered: true\n    limits: {rest time: 4 to 5 min}\n  - id: fill\n"
    )
    finding = only(tmp_path, "potlife.transfer-too-short", BATCH.replace("  - id: fill\n", rest))
    assert finding.message == (
        "the first part comes 3.00 min after mixing, and the steps before it take up to 5.00 min"
    )


def test_a_cycle_time_is_limit_enough(tmp_path: Path) -> None:
    without_limit = BATCH.replace(
        "limits: {time since mixing: at most 30 min}",
        "look_for: [{what: fill level, accept: Level}]",
    )
    assert found(tmp_path, "potlife.no-limit", without_limit) == []
    finding = only(tmp_path, "potlife.no-limit", without_limit.replace("cycle_time: 20 s, ", ""))
    assert text_at(tmp_path, finding.span) == "mix"


AGAIN = (
    "  - id: rest\n    operation: rest\n    do: Let it rest in the closed bowl.\n"
    "    with: [timer]\n    covered: true\n    limits: {{rest time: at most {0} min}}\n"
    "  - id: mix-again\n    operation: mix\n    do: Mix the paste at slow speed.\n"
    "    with: [mixer, timer]\n    limits: {{mixing time: 1 to 2 min}}\n"
)


@pytest.mark.parametrize(("minutes", "count"), [(47, 0), (48, 1)])
def test_a_batch_mixed_again_after_its_pot_life(tmp_path: Path, minutes: int, count: int) -> None:
    # 5 + 47 + 2 = 54 min are usable.
    fragment = BATCH.replace("  - id: fill\n", AGAIN.format(minutes) + "  - id: fill\n")
    findings = found(tmp_path, "potlife.mixed-after-end", fragment)
    assert len(findings) == count
    for finding in findings:
        assert finding.message == (
            "`mix-again` mixes a batch again that is up to 55.0 min old; the pot life is 60.0 min "
            "at 23.0 °C, 10 % of it kept back"
        )
        assert text_at(tmp_path, finding.span) == "mix-again"


def test_what_is_left_of_a_batch_in_use_counts_from_its_last_use(tmp_path: Path) -> None:
    # 5 min of mixing and up to 30 min after it, 20 min of rest, 2 min of mixing: 57 min.
    fragment = BATCH + AGAIN.format(20)
    assert "57.0 min old" in only(tmp_path, "potlife.mixed-after-end", fragment).message
    assert found(tmp_path, "potlife.mixed-after-end", BATCH + AGAIN.format(16)) == []


def test_another_batch_and_two_speeds_are_no_mixing_again(tmp_path: Path) -> None:
    weighed = BATCH[BATCH.index("  - id: weigh-powder") : BATCH.index("  - id: mix\n")]
    second = AGAIN.format(50).replace(
        "  - id: mix-again", weighed.replace("weigh-", "again-") + "  - id: mix-again"
    )
    assert found(tmp_path, "potlife.mixed-after-end", BATCH + second) == []
    fast = (
        "  - id: fast\n    operation: mix\n    do: Mix fast.\n    with: [mixer, timer]\n"
        "    limits: {mixing time: 50 to 60 min}\n"
    )
    fragment = BATCH.replace("  - id: fill\n", f"{fast}  - id: fill\n")
    assert found(tmp_path, "potlife.mixed-after-end", fragment) == []
    assert len(found(tmp_path, "potlife.mixing-too-long", fragment)) == 1
