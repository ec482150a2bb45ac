"""The limits on check discs, in what a person measures, and the readings that decide."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial

from speccomp.calc.discs import linear_shrinkage, mass_loss_uncertainty, shrinkage_uncertainty
from speccomp.calc.gauge import decision_limits
from speccomp.calc.limits import Limits
from speccomp.derive import formulas
from speccomp.derive.discs import DiscSet, limit_input
from speccomp.derive.mixture import Mixture
from speccomp.derive.model_values import greatest, limit_named
from speccomp.derive.numbers import Input, Ledger, Number, derived_from, written
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Process, Step
from speccomp.model.technique import technique_of
from speccomp.quantities import Kind, Quantity, Toleranced, quantity

Limit = tuple[Characteristic, Toleranced]
_MOULD = "The mould's cavity is taken at the nominal diameter of the disc."


@dataclass(frozen=True, slots=True)
class DiscLimit:
    """
    A limit on the shrinkage of discs, in the numbers that a person measures.

    `shrinkage` is a fraction; `smallest` the diameter at that shrinkage. Where a shrinkage is
    measured with a gauge of known uncertainty, `uncertainty` is that of mould and disc together,
    a disc from `accept_from` up is accepted and one below `reject_below` is rejected.
    """

    step: Step
    characteristic: Characteristic
    mould: Quantity
    shrinkage: Number[float]
    smallest: Number[Quantity]
    gauge: Equipment | None = None
    uncertainty: Number[Quantity] | None = None
    accept_from: Number[Quantity] | None = None
    reject_below: Number[Quantity] | None = None

    @property
    def can_accept(self) -> bool:
        """Tell whether at least a disc that has not shrunk at all is accepted."""
        return self.accept_from is None or bool(self.accept_from.value <= self.mould)


@dataclass(frozen=True, slots=True)
class MassLossLimit:
    """
    A limit on the loss of mass of a disc that is weighed before and after on one scale.

    `mass` is that of a fresh disc, `uncertainty` that of the loss; a loss up to `accept_to` is
    accepted, one above `reject_above` is rejected.
    """

    step: Step
    characteristic: Characteristic
    scale: Equipment
    mass: Number[Quantity]
    uncertainty: Number[float]
    accept_to: Number[float]
    reject_above: Number[float]

    @property
    def can_accept(self) -> bool:
        """Tell whether at least a disc that has lost nothing is accepted."""
        return self.accept_to.value >= 0


def derive_disc_limits(
    process: Process, discs: tuple[DiscSet, ...], ledger: Ledger
) -> tuple[DiscLimit, ...]:
    """Return the limits on shrinkage and edge gap as diameters of the first set of discs."""
    if not discs:
        return ()
    found = []
    for step, name, limit in _upper_limits(process, "shrinkage", "edge gap"):
        work = partial(_limit, step, name, limit, discs[0], ledger)
        found.append(ledger.attempt(_base(limit), limit[0].span, work))
    return tuple(limit for limit in found if limit is not None)


def derive_mass_losses(
    process: Process, discs: tuple[DiscSet, ...], mixture: Mixture | None, ledger: Ledger
) -> tuple[MassLossLimit, ...]:
    """Return the limits on the mass loss of the first set of discs, where a scale decides them."""
    density = mixture.density if mixture else None
    if not discs or density is None:
        return ()
    found = []
    for step, _, limit in _upper_limits(process, "mass loss"):
        work = partial(_mass_loss, step, limit, discs[0], density, ledger)
        found.append(ledger.attempt(_base(limit), limit[0].span, work))
    return tuple(limit for limit in found if limit is not None)


def _upper_limits(process: Process, *names: str) -> Iterator[tuple[Step, str, Limit]]:
    for step in process.steps:
        if step.operation.name != "check-discs":
            continue
        for name in names:
            limit = limit_named(step, name)
            if limit is not None and limit[1].upper is not None:
                yield step, name, limit


def _base(limit: Limit) -> str:
    return f"discs.{limit[0].id.replace('/', '.')}"


def _limit(step: Step, name: str, limit: Limit, discs: DiscSet, ledger: Ledger) -> DiscLimit | None:
    value, mould, base = limit[1], discs.diameter.nominal_quantity, _base(limit)
    if name == "shrinkage" and value.kind is Kind.FRACTION and value.upper is not None:
        fraction = float(value.exact_in(value.upper, ""))
        formula = formulas.SHRINKAGE_AS_WRITTEN
    elif name == "edge gap" and value.kind is Kind.LENGTH:
        fraction = linear_shrinkage(mould, mould - 2 * greatest(value))
        formula = formulas.SHRINKAGE_FROM_GAP
    else:
        return None
    size = written("disc diameter", discs.diameter)
    title, sources = "greatest linear shrinkage", (limit_input(limit), size)
    shrinkage = ledger.add(f"{base}.shrinkage", title, fraction, formula, sources)
    smallest = ledger.add(
        f"{base}.smallest-diameter",
        "smallest diameter of a sound disc",
        mould * (1 - fraction),
        formulas.SMALLEST_DISC,
        (size, derived_from(shrinkage)),
        _MOULD,
    )
    found = DiscLimit(step, limit[0], mould, shrinkage, smallest)
    return _decided(found, size, base, ledger) if name == "shrinkage" else found


def _decided(limit: DiscLimit, size: Input, base: str, ledger: Ledger) -> DiscLimit:
    """Add the diameters that decide when mould and disc are measured with one gauge."""
    gauge = technique_of(limit.step, limit.characteristic)
    known = gauge.uncertainty if isinstance(gauge, Equipment) else None
    if not isinstance(gauge, Equipment) or known is None or known.kind is not Kind.LENGTH:
        return limit
    one, smallest = greatest(known), limit.smallest
    both = ledger.add(
        f"{base}.uncertainty",
        "uncertainty of the diameters of mould and disc together",
        shrinkage_uncertainty(limit.mould, smallest.value, one, one) * limit.mould,
        formulas.DISC_UNCERTAINTY,
        (written(f"uncertainty of `{gauge.id}`", known, gauge.span), size, derived_from(smallest)),
        "One gauge measures the cavity of the mould and the disc.",
    )
    decision = decision_limits(Limits(lower=smallest.value), both.value)
    sources = (derived_from(smallest), derived_from(both))
    formula = formulas.decision_limit(Kind.LENGTH)

    def side(key: str, title: str, value: Quantity | None) -> Number[Quantity] | None:
        if value is None:
            return None
        return ledger.add(f"{base}.{key}", title, value, formula, sources)

    return replace(
        limit,
        gauge=gauge,
        uncertainty=both,
        accept_from=side("accept-from", "least diameter accepted", decision.accept_lower),
        reject_below=side("reject-below", "a smaller diameter is rejected", decision.reject_lower),
    )


def _mass_loss(
    step: Step, limit: Limit, discs: DiscSet, density: Number[Quantity], ledger: Ledger
) -> MassLossLimit | None:
    scale, value, base = technique_of(step, limit[0]), limit[1], _base(limit)
    error = scale.permissible_error if isinstance(scale, Equipment) else None
    if not isinstance(scale, Equipment) or error is None or value.kind is not Kind.FRACTION:
        return None
    mass = ledger.add(
        f"{base}.mass",
        "mass of a fresh disc",
        quantity((density.value * discs.volume.value).m_as("g"), "g"),
        formulas.DISC_MASS,
        (derived_from(density), derived_from(discs.volume)),
    )
    loss, one = greatest(value).m_as(""), greatest(error)
    uncertainty = ledger.add(
        f"{base}.uncertainty",
        "uncertainty of the mass loss",
        mass_loss_uncertainty(mass.value, mass.value * (1 - loss), one, one),
        formulas.MASS_LOSS_UNCERTAINTY,
        (
            derived_from(mass),
            limit_input(limit),
            written(f"permissible error of `{scale.id}`", error, scale.span),
        ),
        "One scale weighs the disc before and after.",
    )
    sources = (limit_input(limit), derived_from(uncertainty))
    formula = formulas.decision_limit(Kind.FRACTION)
    low, high = loss - uncertainty.value, loss + uncertainty.value
    return MassLossLimit(
        step,
        limit[0],
        scale,
        mass,
        uncertainty,
        ledger.add(f"{base}.accept-to", "greatest loss that is accepted", low, formula, sources),
        ledger.add(f"{base}.reject-above", "a greater loss is rejected", high, formula, sources),
    )
