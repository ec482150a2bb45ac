import pytest

from speccomp.calc.batch import (
    BatchNeeds,
    density_with_air,
    equal_batches,
    equal_counts,
    mixed_density,
    mixed_density_by_volume,
    parts_from_mass,
    paste_mass,
    paste_volume,
    whole_containers,
)
from speccomp.calc.limits import Limits
from speccomp.quantities import quantity

from .faults import fault


def grams(value: float):
    return quantity(value, "g")


def volume(value: float):
    return quantity(value, "cm3")


def density(value: float):
    return quantity(value, "g/cm3")


def needs(parts=10, lower=5.8, target=6.2, upper=6.6, loss=0.05, extra=20.0) -> BatchNeeds:
    fill = [None if v is None else volume(v) for v in (lower, target, upper)]
    return BatchNeeds(parts, Limits(*fill), loss, volume(extra))


def sides(limits, unit: str) -> list[float | None]:
    values = [limits.lower, limits.target, limits.upper]
    assert all(v is None or str(v.units) == unit for v in values)
    return [None if v is None else pytest.approx(v.magnitude) for v in values]


def test_mixed_density() -> None:
    by_weight = mixed_density([100, 26], [density(2.0), quantity(1.3, "kg/L")])
    assert str(by_weight.units) == "gram / cubic_centimeter"
    assert by_weight.magnitude == pytest.approx(126 / 70)
    by_volume = mixed_density_by_volume([4, 1], [density(2.0), density(1.0)])
    assert str(by_volume.units) == "gram / cubic_centimeter"
    assert by_volume.magnitude == pytest.approx(1.8)


def test_density_with_air() -> None:
    assert density_with_air(density(2), 0.03).magnitude == pytest.approx(1.94)
    assert density_with_air(density(2), 0).magnitude == 2
    assert str(density_with_air(density(2), 0).units) == "gram / cubic_centimeter"


def test_paste_volume() -> None:
    assert sides(paste_volume(needs()), "cubic_centimeter") == [80.9, 85.1, 89.3]
    assert sides(paste_volume(needs(lower=None, upper=None)), "cubic_centimeter") == [85.1] * 3
    assert sides(paste_volume(needs(target=None)), "cubic_centimeter") == [80.9, 85.1, 89.3]
    assert sides(paste_volume(needs(lower=None, target=None)), "cubic_centimeter") == [
        None,
        89.3,
        89.3,
    ]
    assert sides(paste_volume(needs(target=None, upper=None)), "cubic_centimeter") == [
        80.9,
        80.9,
        None,
    ]
    assert sides(paste_volume(needs(parts=1, loss=0, extra=0)), "cubic_centimeter") == [
        5.8,
        6.2,
        6.6,
    ]


def test_paste_mass() -> None:
    assert sides(paste_mass(needs(), density(2)), "gram") == [161.8, 170.2, 178.6]


def test_parts_from_mass() -> None:
    def parts(mass, extra=20.0):
        return parts_from_mass(grams(mass), density(2), volume(6.2), 0.05, volume(extra))

    assert parts(170.2) == 10
    assert parts(170.1) == 9
    assert parts(183.21) == 10
    assert parts(183.22) == 11
    assert parts(40) == 0
    assert parts(10) == 0
    assert parts(13.02, extra=0) == 1


def test_whole_containers() -> None:
    gallon, quart = quantity(1, "gal"), quantity(1, "qt")
    assert whole_containers(quantity(3.2, "gal"), gallon) == 4
    assert whole_containers(quantity(4, "gal"), gallon) == 4
    assert whole_containers(gallon, quart) == 4
    assert whole_containers(quantity(100, "lb"), quantity(50, "lb")) == 2
    assert whole_containers(quantity(22.7, "kg"), quantity(50, "lb")) == 2
    assert whole_containers(grams(0), grams(1)) == 0


def test_equal_batches() -> None:
    made = equal_batches(quantity(2.5, "kg"), grams(1080))
    assert (made.count, made.size.magnitude) == (3, pytest.approx(833.3333333))
    assert str(made.size.units) == "gram"
    assert equal_batches(grams(1000), grams(1000)).count == 1


@pytest.mark.parametrize(
    ("parts", "most", "expected"),
    [(10, 4, (4, 3, 3)), (8, 4, (4, 4)), (3, 5, (3,)), (7, 2, (2, 2, 2, 1)), (1, 1, (1,))],
)
def test_equal_counts(parts: int, most: int, expected: tuple[int, ...]) -> None:
    assert equal_counts(parts, most) == expected


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: mixed_density([1, 1], [density(1)]),
            "LimitError: The mix has 2 parts, with densities of 1.",
        ),
        (lambda: mixed_density([], []), "LimitError: The mix has no parts."),
        (
            lambda: mixed_density([0], [density(1)]),
            "RangeError: The part is 0; it must be more than zero.",
        ),
        (
            lambda: mixed_density([1], [density(0)]),
            "RangeError: The density of the component is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: mixed_density_by_volume([1], []),
            "LimitError: The mix has 1 parts, with densities of 0.",
        ),
        (
            lambda: density_with_air(density(1), 1),
            "RangeError: The fraction of air is 1; it must be at least 0 and less than 1.",
        ),
        (
            lambda: density_with_air(density(0), 0),
            "RangeError: The density is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: paste_volume(needs(parts=0)),
            "RangeError: The number of parts is 0; it must be at least 1.",
        ),
        (
            lambda: paste_volume(needs(loss=1)),
            "RangeError: The fraction lost is 1; it must be at least 0 and less than 1.",
        ),
        (
            lambda: paste_volume(needs(extra=-1)),
            "RangeError: The extra volume is -1 cm3; it must not be less than zero.",
        ),
        (
            lambda: paste_volume(needs(lower=0)),
            "RangeError: The lowest fill volume is 0 cm3; it must be more than zero.",
        ),
        (
            lambda: paste_volume(needs(lower=7)),
            "LimitError: The limits of the fill volume are out of order: "
            "7 cm3 to 6.2 cm3 to 6.6 cm3.",
        ),
        (
            lambda: paste_mass(needs(), density(0)),
            "RangeError: The density is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: parts_from_mass(grams(-1), density(1), volume(1), 0, volume(0)),
            "RangeError: The mass of the mix is -1 g; it must not be less than zero.",
        ),
        (
            lambda: parts_from_mass(grams(1), density(0), volume(1), 0, volume(0)),
            "RangeError: The density is 0 g/cm3; it must be more than zero.",
        ),
        (
            lambda: parts_from_mass(grams(1), density(1), volume(0), 0, volume(0)),
            "RangeError: The fill volume is 0 cm3; it must be more than zero.",
        ),
        (
            lambda: parts_from_mass(grams(1), density(1), volume(1), -1, volume(0)),
            "RangeError: The fraction lost is -1; it must be at least 0 and less than 1.",
        ),
        (
            lambda: parts_from_mass(grams(1), density(1), volume(1), 0, volume(-1)),
            "RangeError: The extra volume is -1 cm3; it must not be less than zero.",
        ),
        (
            lambda: whole_containers(grams(-1), grams(1)),
            "RangeError: The amount needed is -1 g; it must not be less than zero.",
        ),
        (
            lambda: whole_containers(volume(-1), volume(1)),
            "RangeError: The amount needed is -1 cm3; it must not be less than zero.",
        ),
        (
            lambda: whole_containers(quantity(1, "mm"), grams(1)),
            "KindError: The amount needed is 1 mm; a volume is needed.",
        ),
        (
            lambda: whole_containers(grams(1), volume(1)),
            "KindError: The content of a container is 1 cm3; a mass is needed.",
        ),
        (
            lambda: whole_containers(volume(1), grams(1)),
            "KindError: The content of a container is 1 g; a volume is needed.",
        ),
        (
            lambda: equal_batches(grams(0), grams(1)),
            "RangeError: The total mass is 0 g; it must be more than zero.",
        ),
        (
            lambda: equal_batches(grams(1), grams(0)),
            "RangeError: The largest batch is 0 g; it must be more than zero.",
        ),
        (
            lambda: equal_counts(0, 1),
            "RangeError: The number of parts is 0; it must be at least 1.",
        ),
        (
            lambda: equal_counts(1, 0),
            "RangeError: The largest group is 0; it must be at least 1.",
        ),
    ],
)
def test_faults(call, message: str) -> None:
    assert fault(call) == message
