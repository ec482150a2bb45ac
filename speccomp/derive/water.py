"""Air pressure at the plant and the temperature at which water boils there."""

from dataclasses import dataclass

from speccomp.calc.air_and_water import pressure_at_elevation, saturation_temperature
from speccomp.derive import formulas
from speccomp.derive.model_values import greatest, least
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.plant import Plant
from speccomp.quantities import Quantity, quantity

WEATHER = "The weather moves the pressure by some 3 % either way, the boiling point by some 1 K."


@dataclass(frozen=True, slots=True)
class Water:
    """
    Boiling at the plant.

    `standard_pressure` is that of the standard atmosphere where the plant gives both an elevation
    and a measured pressure, to set the two against each other; `deviation` is by how much the
    measured one is more.
    """

    pressure: Number[Quantity]
    boiling_point: Number[Quantity]
    standard_pressure: Number[Quantity] | None
    deviation: Number[float] | None


def derive_water(plant: Plant, ledger: Ledger) -> Water | None:
    """Return the boiling of water at the plant; None where its pressure makes no sense."""
    return ledger.attempt("water", plant.span, lambda: _water(plant, ledger))


def _water(plant: Plant, ledger: Ledger) -> Water:
    pressure = _pressure(plant, ledger)
    boiling_point = ledger.add(
        "water.boiling-point",
        "boiling point of water at the plant",
        saturation_temperature(pressure.value),
        formulas.BOILING_POINT,
        (derived_from(pressure),),
        WEATHER,
    )
    standard = deviation = None
    if plant.air_pressure is not None and plant.elevation is not None:
        standard = ledger.add(
            "water.standard-pressure",
            "pressure of the standard atmosphere at the plant's elevation",
            pressure_at_elevation(greatest(plant.elevation)),
            formulas.PRESSURE_AT_ELEVATION,
            (written("elevation", plant.elevation, plant.span),),
        )
        deviation = ledger.add(
            "water.pressure-deviation",
            "measured pressure above that of the standard atmosphere",
            (pressure.value / standard.value).m_as("") - 1,
            formulas.PRESSURE_DEVIATION,
            (derived_from(pressure), derived_from(standard)),
        )
    return Water(pressure, boiling_point, standard, deviation)


def _pressure(plant: Plant, ledger: Ledger) -> Number[Quantity]:
    name, title = "water.air-pressure", "lowest air pressure at the plant"
    if plant.air_pressure is not None:
        return ledger.add(
            name,
            title,
            least(plant.air_pressure),
            formulas.PRESSURE_AS_MEASURED,
            (written("air pressure", plant.air_pressure, plant.span),),
        )
    if plant.elevation is not None:
        return ledger.add(
            name,
            title,
            pressure_at_elevation(greatest(plant.elevation)),
            formulas.PRESSURE_AT_ELEVATION,
            (written("elevation", plant.elevation, plant.span),),
            WEATHER,
        )
    sea_level = quantity(0, "m")
    return ledger.add(
        name,
        title,
        pressure_at_elevation(sea_level),
        formulas.PRESSURE_AT_ELEVATION,
        (Input("elevation", "0 m, assumed"),),
        "The plant file gives neither an elevation nor an air pressure: sea level is assumed.",
    )
