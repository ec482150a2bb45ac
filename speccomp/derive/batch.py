"""Batches: mass for a number of parts, by component, with discs and retained sample."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from speccomp.calc.batch import (
    BatchNeeds,
    parts_from_mass,
    paste_mass,
    paste_volume,
    whole_containers,
)
from speccomp.calc.ratio import component_masses
from speccomp.derive import formulas
from speccomp.derive.discs import DiscSet, SampleTaken, sample_volume
from speccomp.derive.measuring import ratio_inputs
from speccomp.derive.mixture import Component, Mixture
from speccomp.derive.model_values import as_fraction, greatest, limits_of
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.process import Batch, Part, Process
from speccomp.model.resolve_control import slug
from speccomp.quantities import Kind, Quantity, Toleranced, quantity


@dataclass(frozen=True, slots=True)
class PartNeeds:
    """
    What one part and one mix take.

    `per_part` is the mass for a part with its loss, `per_mix` that of the discs and the retained
    sample of a mix; `label` names the part in the names of numbers.
    """

    part: Part
    fill: Toleranced
    label: str
    density: Number[Quantity]
    loss: float
    extra: Number[Quantity]
    per_part: Number[Quantity]
    per_mix: Number[Quantity]
    inputs: tuple[Input, ...]

    def batch(self, parts: int) -> BatchNeeds:
        """Return what a mix for a number of parts has to fill."""
        return BatchNeeds(parts, limits_of(self.fill), self.loss, self.extra.value)


@dataclass(frozen=True, slots=True)
class BatchSize:
    """
    One mix for a number of parts.

    `lowest` and `highest` are the masses at the ends of the fill volume, absent where it has no
    limit there; `components` the masses of the components at `mass`, in the order of the mixture,
    empty where no ratio by weight is known.
    """

    label: str
    parts: int
    volume: Number[Quantity]
    lowest: Number[Quantity] | None
    mass: Number[Quantity]
    highest: Number[Quantity] | None
    components: tuple[Number[Quantity], ...]


@dataclass(frozen=True, slots=True)
class Containers:
    """How many whole containers of one pack size a component needs for the order."""

    component: str
    pack: str
    count: Number[int]


@dataclass(frozen=True, slots=True)
class Order:
    """What all parts of an order take, with the discs and samples of every mix."""

    mass: Number[Quantity]
    components: tuple[Number[Quantity], ...]
    containers: tuple[Containers, ...]


def derive_extra(
    mixture: Mixture, discs: Sequence[DiscSet], samples: Sequence[SampleTaken], ledger: Ledger
) -> Number[Quantity]:
    """Return the volume of mix that discs and retained samples take from each mix."""
    volume = quantity(0, "cm3")
    inputs: list[Input] = []
    for taken in discs:
        volume = volume + taken.total.value
        inputs.append(derived_from(taken.total))
    for sample in samples:
        inputs.append(derived_from(sample.amount))
        if sample.amount.kind is Kind.VOLUME:
            volume = volume + sample.amount.value
        elif mixture.density is not None:
            volume = volume + sample_volume(sample, mixture.density.value)
            inputs.append(derived_from(mixture.density))
    return ledger.add(
        "batches.extra-volume",
        "mix for the discs and the retained sample",
        volume,
        formulas.EXTRA_VOLUME,
        tuple(inputs),
        "" if inputs else "No step casts discs or retains a sample.",
    )


def derive_needs(
    process: Process, mixture: Mixture, extra: Number[Quantity], ledger: Ledger
) -> tuple[PartNeeds, ...]:
    """Return what each part with a fill volume takes; none without a batch or a density."""
    filled = [part for part in process.parts if part.fill_volume is not None]
    batch = process.batch
    if batch is None:
        if filled:
            ledger.missing(
                "batch",
                "the definition has no `batch`, so masses for a number of parts are not known",
                "add `batch: {parts: …, loss: …, cycle_time: …}`",
                mixture.reference.span,
            )
        return ()
    if not filled:
        ledger.missing(
            "batch", "no part has a fill volume", "add `fill_volume` to the parts", batch.span
        )
    density = mixture.density
    if density is None or batch.loss is None:
        return ()
    found = (
        ledger.attempt(
            f"batches.{slug(part.number)}",
            part.span,
            partial(_needs, part, batch, density, extra, ledger),
        )
        for part in filled
    )
    return tuple(needs for needs in found if needs is not None)


def _needs(
    part: Part, batch: Batch, density: Number[Quantity], extra: Number[Quantity], ledger: Ledger
) -> PartNeeds | None:
    fill = part.fill_volume
    if fill is None or batch.loss is None:
        return None
    label = slug(part.number)
    loss = as_fraction(batch.loss)
    inputs = (
        written("fill volume", fill, part.span),
        written("loss", batch.loss, batch.span),
        derived_from(density),
    )
    one = paste_mass(BatchNeeds(1, limits_of(fill), loss, quantity(0, "cm3")), density.value).target
    per_part = ledger.add(
        f"batches.{label}.per-part",
        f"mix for one {part.number}, loss included",
        _given(one),
        formulas.PASTE_MASS,
        inputs,
    )
    per_mix = ledger.add(
        f"batches.{label}.per-mix",
        "mix for the discs and the retained sample of a mix",
        quantity((extra.value * density.value).m_as("g"), "g"),
        formulas.EXTRA_MASS,
        (derived_from(extra), derived_from(density)),
    )
    return PartNeeds(part, fill, label, density, loss, extra, per_part, per_mix, inputs)


def _given(value: Quantity | None) -> Quantity:
    if value is None:
        raise ValueError("the arithmetic returned no nominal value")
    return value


def derive_size(needs: PartNeeds, parts: int, mixture: Mixture, ledger: Ledger) -> BatchSize:
    """Return the masses of one mix for a number of parts."""
    label = f"{needs.label}.{parts}-parts"
    name, wanted = f"batches.{label}", needs.batch(parts)
    inputs = (Input("parts", str(parts)), *needs.inputs, derived_from(needs.extra))
    volume = ledger.add(
        f"{name}.volume",
        f"volume of a mix for {parts} parts",
        _given(paste_volume(wanted).target),
        formulas.PASTE_VOLUME,
        inputs,
    )
    masses = paste_mass(wanted, needs.density.value)

    def side(which: str, title: str, value: Quantity) -> Number[Quantity]:
        full, formula = f"{title} for {parts} parts", formulas.PASTE_MASS_WITH_EXTRA
        return ledger.add(f"{name}.{which}", full, value, formula, inputs)

    low, high = masses.lower, masses.upper
    mass = side("mass", "mass of a mix", _given(masses.target))
    return BatchSize(
        label,
        parts,
        volume,
        None if low is None else side("lowest", "mass at the smallest fill", low),
        mass,
        None if high is None else side("highest", "mass at the largest fill", high),
        _components(name, mass, mixture, ledger),
    )


def _components(
    name: str, mass: Number[Quantity], mixture: Mixture, ledger: Ledger
) -> tuple[Number[Quantity], ...]:
    if mixture.weights is None:
        return ()
    inputs = (derived_from(mass), *ratio_inputs(mixture.components))
    return tuple(
        ledger.add(
            f"{name}.{component.key}",
            f"mass of `{component.key}`",
            share,
            formulas.COMPONENT_MASS,
            inputs,
        )
        for component, share in zip(
            mixture.components, component_masses(mass.value, mixture.weights), strict=True
        )
    )


def derive_order(needs: PartNeeds, mixes: Sequence[int], mixture: Mixture, ledger: Ledger) -> Order:
    """Return what an order takes that is made in mixes of so many parts each."""
    name, parts = f"batches.{needs.label}.order", sum(mixes)
    total = needs.per_part.value * parts + needs.per_mix.value * len(mixes)
    mass = ledger.add(
        f"{name}.mass",
        f"mix for all {parts} parts of the order",
        total,
        formulas.ORDER_MASS,
        (
            Input("parts", str(parts)),
            Input("mixes", str(len(mixes))),
            derived_from(needs.per_part),
            derived_from(needs.per_mix),
        ),
    )
    components = _components(name, mass, mixture, ledger)
    containers = [
        found
        for component, share in zip(mixture.components, components, strict=False)
        for found in _containers(name, component, share, ledger)
    ]
    return Order(mass, components, tuple(containers))


def _containers(
    name: str, component: Component, share: Number[Quantity], ledger: Ledger
) -> list[Containers]:
    card = component.card
    found = []
    for pack in card.packs if card else ():
        needed = None if pack.holds is None else _in_kind_of(pack.holds, share.value, component)
        if card is None or pack.holds is None or needed is None:
            continue
        content = pack.holds.nominal_quantity
        number = ledger.attempt(
            f"{name}.{component.key}.{slug(pack.name)}",
            card.span,
            partial(whole_containers, needed, content),
        )
        if number is not None:
            count = ledger.add(
                f"{name}.{component.key}.{slug(pack.name)}",
                f"containers of `{component.key}`, {pack.name}",
                number,
                formulas.WHOLE_CONTAINERS,
                (derived_from(share), written(pack.name, pack.holds, card.span)),
            )
            found.append(Containers(component.key, pack.name, count))
    return found


def _in_kind_of(holds: Toleranced, mass: Quantity, component: Component) -> Quantity | None:
    """Return a mass as the kind that a pack is given in; None where that needs a bulk density."""
    if holds.kind is Kind.MASS:
        return mass
    card = component.card
    if holds.kind is not Kind.VOLUME or card is None or card.density is None:
        return None
    return None if card.form == "powder" else mass / card.density.nominal_quantity


def derive_parts_of_mix(
    needs: PartNeeds, mass: Number[Quantity], ledger: Ledger
) -> Number[int] | None:
    """Return how many parts a mix of a given mass fills for certain; None where it fits none."""

    def work() -> Number[int]:
        certain = parts_from_mass(
            mass.value, needs.density.value, greatest(needs.fill), needs.loss, needs.extra.value
        )
        return ledger.add(
            f"batches.{needs.label}.instructed-parts",
            f"{needs.part.number} that the instructed mix fills at the largest fill volume",
            certain,
            formulas.PARTS_FROM_MASS,
            (derived_from(mass), *needs.inputs, derived_from(needs.extra)),
        )

    return ledger.attempt(f"batches.{needs.label}.instructed-parts", needs.part.span, work)
