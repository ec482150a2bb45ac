"""Pot life at the shop's temperature, the mixes it allows, and the clock of each mix."""

import math
from dataclasses import dataclass
from enum import StrEnum

from speccomp.calc.batch import equal_counts
from speccomp.calc.magnitudes import (
    count,
    fraction_below_one,
    kelvin,
    not_negative,
    positive,
    positive_number,
)
from speccomp.calc.rounding import whole_down, whole_up
from speccomp.quantities import Quantity, quantity

GAS_CONSTANT = 8.31446261815324
"""The molar gas constant in J/(mol K), exact since 2019."""


def pot_life_q10(
    life: Quantity, stated_at: Quantity, temperature: Quantity, q10: float
) -> Quantity:
    """
    Return the pot life at a temperature, from the rate factor per 10 K.

    t = t_ref q10^(-(T - T_ref)/10 K).
    life: time, pot life of the card. stated_at: temperature of that pot life. temperature:
    temperature of the mix. q10: plain number, 2 for a rate that doubles per 10 K.
    Returns a time in s.
    Source: rule of the trade, common practice, no source.
    Validity: a few tens of kelvin around the stated temperature.
    Errors: KindError, RangeError for a pot life or factor of zero or less.
    """
    seconds = positive(life, "s", "pot life")
    difference = kelvin(temperature, "temperature") - kelvin(stated_at, "stated temperature")
    return quantity(seconds * positive_number(q10, "rate factor") ** (-difference / 10), "s")


def pot_life_arrhenius(
    life: Quantity, stated_at: Quantity, temperature: Quantity, activation_energy: Quantity
) -> Quantity:
    """
    Return the pot life at a temperature, from the activation energy.

    t = t_ref exp((E/R)(1/T - 1/T_ref)), R = 8.314 462 618 J/(mol K).
    life: time, pot life of the card. stated_at: temperature of that pot life. temperature:
    temperature of the mix. activation_energy: energy per amount of substance.
    Returns a time in s.
    Source: Arrhenius equation.
    Validity: one reaction sets the rate over the whole range.
    Errors: KindError, RangeError for a pot life of zero or less or a negative energy.
    """
    seconds = positive(life, "s", "pot life")
    energy = not_negative(activation_energy, "J/mol", "activation energy")
    now, stated = kelvin(temperature, "temperature"), kelvin(stated_at, "stated temperature")
    return quantity(seconds * math.exp(energy / GAS_CONSTANT * (1 / now - 1 / stated)), "s")


@dataclass(frozen=True, slots=True)
class MixTimes:
    """
    The times of one mix.

    pot_life: time from the start of mixing. margin: fraction of the pot life kept in reserve.
    mixing, transfer: times before the first part. cycle: time per part at one station.
    stations: count of places that fill parts from one mix at the same time.
    """

    pot_life: Quantity
    margin: float
    mixing: Quantity
    transfer: Quantity
    cycle: Quantity
    stations: int


@dataclass(frozen=True, slots=True)
class MixMasses:
    """
    The masses of one mix and what the equipment allows.

    per_part: mass for one part, losses included. per_mix: mass of the discs and the retained
    sample of each mix. mixer_least, mixer_most: working range of the mixer. weighing_least:
    least mass of mix at which the scales hold the ratio.
    """

    per_part: Quantity
    per_mix: Quantity
    mixer_least: Quantity
    mixer_most: Quantity
    weighing_least: Quantity


class ConstraintName(StrEnum):
    """What can limit the size of a mix."""

    POT_LIFE = "pot life"
    MIXER_MOST = "mixer maximum"
    MIXER_LEAST = "mixer minimum"
    WEIGHING_LEAST = "weighing minimum"


@dataclass(frozen=True, slots=True)
class Constraint:
    """
    One limit on the size of a mix.

    limit: time for the pot life (left for filling), mass for the others. margin: of the
    same kind, what is left; negative by as much as the limit is broken. parts: count per mix
    that the limit allows, most or least.
    """

    name: ConstraintName
    limit: Quantity
    margin: Quantity
    parts: int


@dataclass(frozen=True, slots=True)
class MixPlan:
    """
    The mixes for a number of parts.

    parts: parts of each mix, larger ones first; of one part where not even that is possible.
    masses: mass of each mix. constraints: every limit with its margin. binding: the upper limit
    that sets the size; the pot life where both do.
    """

    parts: tuple[int, ...]
    masses: tuple[Quantity, ...]
    constraints: tuple[Constraint, ...]
    binding: ConstraintName

    @property
    def broken(self) -> tuple[Constraint, ...]:
        """Return the limits that the mixes do not keep; none when the plan can be done."""
        return tuple(c for c in self.constraints if c.margin.magnitude < 0)


@dataclass(frozen=True, slots=True)
class _Seconds:
    """MixTimes as plain numbers of s."""

    pot_life: float
    reserve: float
    mixing: float
    ready: float
    cycle: float
    stations: int

    @property
    def filling(self) -> float:
        """The time left for filling parts."""
        return self.pot_life - self.reserve - self.ready

    def rounds(self, parts: int) -> float:
        """Return the time to fill a number of parts at all stations."""
        return -(-parts // self.stations) * self.cycle


def _seconds(times: MixTimes) -> _Seconds:
    life = positive(times.pot_life, "s", "pot life")
    mixing = not_negative(times.mixing, "s", "mixing time")
    return _Seconds(
        pot_life=life,
        reserve=life * fraction_below_one(times.margin, "margin of the pot life"),
        mixing=mixing,
        ready=mixing + not_negative(times.transfer, "s", "transfer time"),
        cycle=positive(times.cycle, "s", "cycle time"),
        stations=count(times.stations, 1, "number of stations"),
    )


@dataclass(frozen=True, slots=True)
class _Grams:
    """MixMasses as plain numbers of g."""

    per_part: float
    per_mix: float
    mixer_least: float
    mixer_most: float
    weighing_least: float

    def mix(self, parts: int) -> float:
        """Return the mass of a mix for a number of parts."""
        return self.per_mix + parts * self.per_part

    def parts_below(self, most: float) -> int:
        """Return how many parts a mix of a mass can fill."""
        return max(0, whole_down((most - self.per_mix) / self.per_part))

    def parts_above(self, least: float) -> int:
        """Return how many parts bring a mix up to a mass."""
        return max(0, whole_up((least - self.per_mix) / self.per_part))


def _grams(masses: MixMasses) -> _Grams:
    return _Grams(
        per_part=positive(masses.per_part, "g", "mass per part"),
        per_mix=not_negative(masses.per_mix, "g", "mass per mix"),
        mixer_least=not_negative(masses.mixer_least, "g", "mixer minimum"),
        mixer_most=positive(masses.mixer_most, "g", "mixer maximum"),
        weighing_least=not_negative(masses.weighing_least, "g", "weighing minimum"),
    )


def parts_per_mix(times: MixTimes) -> int:
    """
    Return how many parts the pot life allows from one mix.

    n = stations floor((t_pot (1 - margin) - t_mix - t_transfer)/t_cycle), zero where the time is
    gone before the first part.
    times: as in MixTimes.
    Returns a count.
    Source: common practice, no source.
    Errors: KindError, RangeError for a pot life or cycle of zero or less, a negative time, a margin
    outside 0 to 1 or less than one station.
    """
    return _parts_in_time(_seconds(times))


def _parts_in_time(times: _Seconds) -> int:
    return max(0, times.stations * whole_down(times.filling / times.cycle))


def plan_mixes(parts: int, times: MixTimes, masses: MixMasses) -> MixPlan:
    """
    Return the fewest equal mixes that the pot life and the mixer allow, with every margin.

    The most parts per mix are the fewer of parts_per_mix and
    floor((mixer maximum - mass per mix)/mass per part), at least 1; mixes = ceil(parts/most); a
    mix of n parts weighs mass per mix + n times mass per part.
    parts: count, at least 1. times, masses: as in MixTimes and MixMasses.
    Returns masses in g and times in s. A limit that cannot be kept has a negative margin.
    Source: common practice, no source.
    Errors: KindError, RangeError for values as in parts_per_mix, a mass per part or mixer
    maximum of zero or less, or any other mass below zero.
    """
    clock, grams = _seconds(times), _grams(masses)
    in_time, in_mixer = _parts_in_time(clock), grams.parts_below(grams.mixer_most)
    sizes = equal_counts(parts, max(1, min(in_time, in_mixer)))
    largest, smallest = grams.mix(sizes[0]), grams.mix(sizes[-1])
    needed = clock.rounds(sizes[0])
    constraints = (
        _constraint(ConstraintName.POT_LIFE, clock.filling, clock.filling - needed, in_time),
        _constraint(
            ConstraintName.MIXER_MOST, grams.mixer_most, grams.mixer_most - largest, in_mixer
        ),
        *(
            _constraint(name, least, smallest - least, grams.parts_above(least))
            for name, least in (
                (ConstraintName.MIXER_LEAST, grams.mixer_least),
                (ConstraintName.WEIGHING_LEAST, grams.weighing_least),
            )
        ),
    )
    return MixPlan(
        sizes,
        tuple(quantity(grams.mix(size), "g") for size in sizes),
        constraints,
        ConstraintName.POT_LIFE if in_time <= in_mixer else ConstraintName.MIXER_MOST,
    )


def _constraint(name: ConstraintName, limit: float, margin: float, parts: int) -> Constraint:
    # The last bits of a float must not break a limit that is just kept.
    exact = 0.0 if abs(margin) <= 1e-9 * limit else margin
    unit = "s" if name is ConstraintName.POT_LIFE else "g"
    return Constraint(name, quantity(limit, unit), quantity(exact, unit), parts)


@dataclass(frozen=True, slots=True)
class MixClock:
    """
    The times of one mix, counted from the start of the job.

    line: which of the lines makes it, from 1. start: mixing starts and the pot life with it.
    mix_end: mixing ends. ready: the first part is filled. filled: the last part is done.
    use_by: the margin of the pot life begins. discard_at: the pot life ends.
    """

    parts: int
    line: int
    start: Quantity
    mix_end: Quantity
    ready: Quantity
    filled: Quantity
    use_by: Quantity
    discard_at: Quantity


def clock_table(parts: tuple[int, ...], times: MixTimes, lines: int) -> tuple[MixClock, ...]:
    """
    Return when each mix starts and has to be used up.

    A line starts its next mix when the one before is filled; each mix goes to the line that is
    free first. use_by = start + t_pot (1 - margin), discard_at = start + t_pot.
    parts: parts of each mix. times: as in MixTimes. lines: count of operators who mix and
    fill at the same time, each with the stations of `times`.
    Returns times in s from the start of the job, one row per mix.
    Source: common practice, no source.
    Errors: those of parts_per_mix, RangeError for less than one line or a mix without parts.
    """
    clock = _seconds(times)
    free = [0.0] * count(lines, 1, "number of lines")
    rows = []
    for number in parts:
        start = min(free)
        line = free.index(start)
        filled = start + clock.ready + clock.rounds(count(number, 1, "number of parts in a mix"))
        free[line] = filled
        rows.append(
            MixClock(
                number,
                line + 1,
                quantity(start, "s"),
                quantity(start + clock.mixing, "s"),
                quantity(start + clock.ready, "s"),
                quantity(filled, "s"),
                quantity(start + clock.pot_life - clock.reserve, "s"),
                quantity(start + clock.pot_life, "s"),
            )
        )
    return tuple(rows)
