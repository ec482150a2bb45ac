"""Steam inside a wet body: how far each segment stays below the boiling point."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from speccomp.calc.steam import highest_setpoint, steam_margins
from speccomp.derive import formulas
from speccomp.derive.cure import CureSegment, CureStep
from speccomp.derive.drying import Drying, Place, progress_up_to
from speccomp.derive.model_values import greatest, requirement
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.derive.water import Water
from speccomp.model.plant import Plant
from speccomp.quantities import Quantity, quantity


@dataclass(frozen=True, slots=True)
class SteamCheck:
    """
    The steam check of one wet segment.

    `spare` are the kelvin below the temperature allowed, negative when too hot; `highest_setpoint`
    is the one that passes with the tolerance that the segment has.
    """

    place: Place
    spare: Number[Quantity]
    highest_setpoint: Number[Quantity]

    @property
    def passes(self) -> bool:
        """Tell whether the part stays below the temperature allowed."""
        return self.spare.value.m_as("K") > -1e-9


def derive_allowed(plant: Plant, water: Water, ledger: Ledger) -> Number[Quantity]:
    """Return the highest temperature at which a wet part stays below boiling for certain."""
    stated = plant.margins.boiling
    margin = quantity(5, "K") if stated is None else greatest(stated)
    source = (
        Input("margin to boiling", "5 K, assumed")
        if stated is None
        else written("margin to boiling", stated, plant.span)
    )
    # With no tolerance and no error the highest setpoint is what the part itself may reach.
    nothing = quantity(0, "K")
    return ledger.add(
        "curing.allowed",
        "highest temperature of a part that is not dry",
        highest_setpoint(water.boiling_point.value, margin, nothing, nothing),
        formulas.ALLOWED_TEMPERATURE,
        (derived_from(water.boiling_point), source),
    )


def derive_steam(
    steps: Sequence[CureStep], drying: Drying | None, allowed: Number[Quantity], ledger: Ledger
) -> Iterator[SteamCheck]:
    """Go through the segments in which the part is wet; through all where nothing dries it."""
    nothing = quantity(0, "K")
    met_in = drying.met_in if drying else None
    for step in steps:
        ends = met_in is not None and met_in[0] is step
        wet_until = met_in[1].number - 1 if met_in is not None and ends else None
        margins = steam_margins(step.profile, step.error.value, allowed.value, nothing, wet_until)
        for margin in margins:
            yield _check(step, step.segments[margin.segment], margin.spare, allowed, ledger)
        if ends:
            return


def _check(
    step: CureStep, segment: CureSegment, spare: Quantity, allowed: Number[Quantity], ledger: Ledger
) -> SteamCheck:
    leg = segment.leg
    hottest = max(leg.start, leg.end, key=lambda band: band.upper)
    tolerance = quantity(max(0.0, hottest.upper - hottest.nominal), "K")
    name = segment.highest.name.removesuffix(".highest")
    limit, value = segment.temperature, requirement(segment.temperature)
    limits = (written(limit.name, value, limit.span),) if limit and value else ()
    return SteamCheck(
        (step, segment),
        ledger.add(
            f"{name}.spare",
            "distance to the highest temperature of a wet part",
            spare,
            formulas.STEAM_SPARE,
            (derived_from(allowed), derived_from(segment.highest)),
        ),
        ledger.add(
            f"{name}.highest-setpoint",
            "highest setpoint that keeps a wet part below boiling",
            highest_setpoint(allowed.value, quantity(0, "K"), step.error.value, tolerance),
            formulas.HIGHEST_SETPOINT,
            (derived_from(allowed), derived_from(step.error), *limits),
        ),
    )


def first_too_hot(checks: Sequence[SteamCheck]) -> SteamCheck | None:
    """Return the first check that fails; of a ramp and the hold it leads to, the hold."""
    for number, check in enumerate(checks):
        if check.passes:
            continue
        after = checks[number + 1] if number + 1 < len(checks) else None
        leads = not check.place[1].leg.holds and after is not None
        if leads and after is not None and after.place[1].leg.holds and not after.passes:
            return after
        return check
    return None


def derive_dried_before(
    drying: Drying | None,
    too_hot: SteamCheck | None,
    places: Sequence[Place],
    label: str,
    ledger: Ledger,
) -> Number[Quantity] | None:
    """Return the drying time credited before the first segment that is too hot."""
    if drying is None or too_hot is None:
        return None
    number = next(n for n, place in enumerate(places) if place[1] is too_hot.place[1])
    before = [segment for _, segment in places[:number]]
    credited = quantity(0, "s")
    if before:
        credited = progress_up_to(drying.need, before).credited
    return ledger.add(
        f"{label}.dried-before",
        f"drying time before {too_hot.place[1].name} of `{too_hot.place[0].step.id}`",
        credited,
        formulas.CREDITED_TIME,
        (derived_from(drying.credited),),
    )


def derive_short_before(
    drying: Drying | None, before: Number[Quantity] | None, label: str, ledger: Ledger
) -> Number[Quantity] | None:
    """Return what is missing of the drying need when the part gets too hot for a wet one."""
    if drying is None or before is None:
        return None
    required = drying.need.required
    return ledger.add(
        f"{label}.short-before-hot",
        "drying time that is missing when the part gets hot",
        max(required.value - before.value, required.value * 0),
        formulas.MISSING_TIME,
        (derived_from(required), derived_from(before)),
    )
