"""Every number that follows from a definition, in one stage that documents and rules read."""

from collections.abc import Mapping
from dataclasses import dataclass

from speccomp.derive.batch import derive_extra, derive_needs, derive_parts_of_mix
from speccomp.derive.cure import derive_cures
from speccomp.derive.disc_limits import (
    DiscLimit,
    MassLossLimit,
    derive_disc_limits,
    derive_mass_losses,
)
from speccomp.derive.discs import DiscSet, SampleTaken, derive_discs, derive_samples
from speccomp.derive.gauges import GaugeFit, derive_gauges
from speccomp.derive.histories import History, derive_histories
from speccomp.derive.mix_sizes import Shop, StatedParts, derive_stated_parts
from speccomp.derive.mixer import MixerRange, derive_instructed_mix, derive_mixers
from speccomp.derive.mixes import PartPlan, derive_plan
from speccomp.derive.mixture import Mixture, derive_mixture
from speccomp.derive.numbers import AnyNumber, Gap, Ledger, Number, derived_from
from speccomp.derive.pot_life import PotLife, derive_pot_life
from speccomp.derive.remixes import Remix, derive_remixes
from speccomp.derive.sampling import Sample, derive_samples_taken
from speccomp.derive.scales import Balance, Unchecked, derive_balances
from speccomp.derive.specimens import SpecimenCheck, derive_specimens
from speccomp.derive.stated_masses import Target
from speccomp.derive.water import Water, derive_water
from speccomp.derive.weighing import ComponentWeighing, derive_weighing
from speccomp.derive.work_times import WorkTimes, derive_work_times
from speccomp.model.process import Process
from speccomp.quantities import Quantity


@dataclass(frozen=True, slots=True)
class Making:
    """
    Everything about the mixes.

    `unchecked` are the components whose scales are not checked, for want of a density.
    `instructed` is the mass of mix by the masses in the steps, `instructed_parts` how many parts
    of each number it fills for certain; `stated_parts` is the limit on parts per mix. `plans` has
    one entry for each part whose mass is known.
    """

    mixture: Mixture
    mixers: tuple[MixerRange, ...]
    balances: tuple[Balance, ...]
    unchecked: tuple[Unchecked, ...]
    smallest_mix: Number[Quantity] | None
    instructed: Number[Quantity] | None
    instructed_parts: Mapping[str, Number[int]]
    stated_parts: StatedParts | None
    pot_life: PotLife | None
    work: WorkTimes
    remixes: tuple[Remix, ...]
    plans: tuple[PartPlan, ...]
    weighing: tuple[ComponentWeighing, ...]


@dataclass(frozen=True, slots=True)
class Derived:
    """
    Every number that follows from a definition.

    `making` is None where nothing is mixed or applied, `water` where the plant's pressure makes
    no sense. `numbers` holds every number by name; `gaps` what could not be derived, and why.
    """

    water: Water | None
    making: Making | None
    cures: tuple[History, ...]
    discs: tuple[DiscSet, ...]
    disc_limits: tuple[DiscLimit, ...]
    mass_losses: tuple[MassLossLimit, ...]
    samples: tuple[SampleTaken, ...]
    gauges: tuple[GaugeFit, ...]
    sampling: tuple[Sample, ...]
    specimens: tuple[SpecimenCheck, ...]
    numbers: Mapping[str, AnyNumber]
    gaps: tuple[Gap, ...]

    @property
    def boiling_point(self) -> Quantity | None:
        """The boiling point of water at the plant, where it is known."""
        return None if self.water is None else self.water.boiling_point.value


def derive(process: Process) -> Derived:
    """
    Return every number that follows from a definition, its plant and its cards.

    Pure; nothing is rounded but what is set or read on a scale. What the files do not give, or
    give so that no arithmetic works, is a gap and no error.
    """
    ledger = Ledger()
    water = derive_water(process.plant, ledger)
    mixture = derive_mixture(process, ledger)
    discs = derive_discs(process, ledger)
    samples = derive_samples(process, ledger)
    making = None
    if mixture is not None:
        making = _making(process, mixture, discs, samples, ledger)
    return Derived(
        water=water,
        making=making,
        cures=derive_histories(process, mixture, derive_cures(process, ledger), water, ledger),
        discs=discs,
        disc_limits=derive_disc_limits(process, discs, ledger),
        mass_losses=derive_mass_losses(process, discs, mixture, ledger),
        samples=samples,
        gauges=derive_gauges(process, ledger),
        sampling=derive_samples_taken(process, ledger),
        specimens=derive_specimens(process, ledger),
        numbers=ledger.numbers,
        gaps=ledger.gaps,
    )


def _making(
    process: Process,
    mixture: Mixture,
    discs: tuple[DiscSet, ...],
    samples: tuple[SampleTaken, ...],
    ledger: Ledger,
) -> Making:
    mixers = derive_mixers(process, mixture, ledger)
    balances, unchecked = derive_balances(process, mixture, ledger)
    life = derive_pot_life(process, mixture, ledger)
    work = derive_work_times(process, life, ledger)
    extra = derive_extra(mixture, discs, samples, ledger)
    needs = derive_needs(process, mixture, extra, ledger)
    shop = Shop(mixture, mixers, balances, life, work, derive_stated_parts(process))
    plans = [derive_plan(process, need, shop, ledger) for need in needs]
    planned = tuple(plan for plan in plans if plan is not None)
    instructed = derive_instructed_mix(mixture, balances, ledger)
    filled = {}
    if instructed is not None:
        for need in needs:
            number = derive_parts_of_mix(need, instructed, ledger)
            if number is not None:
                filled[need.part.number] = number
    return Making(
        mixture,
        mixers,
        balances,
        unchecked,
        _smallest_mix(balances),
        instructed,
        filled,
        shop.stated,
        life,
        work,
        derive_remixes(process, work, ledger),
        planned,
        derive_weighing(balances, _targets(planned), ledger),
    )


def _smallest_mix(balances: tuple[Balance, ...]) -> Number[Quantity] | None:
    """Return the least mix at which the scales hold the ratio of every component."""
    masses = [balance.smallest_mix for balance in balances if balance.smallest_mix is not None]
    return max(masses, key=lambda number: number.value.m_as("g"), default=None)


def _targets(plans: tuple[PartPlan, ...]) -> tuple[Target, ...]:
    """Return the mass of the reference in every size of mix on the sheet."""
    return tuple(
        Target(
            sized.size.label,
            sized.size.components[0].value,
            (derived_from(sized.size.components[0]),),
        )
        for plan in plans
        for sized in plan.sizes
        if sized.size.components
    )
