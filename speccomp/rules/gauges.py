"""Gauges and scales: whether they are fine and sure enough for the limit they judge."""

from collections.abc import Iterator

from speccomp.derive.gauges import GaugeFit, steps_of
from speccomp.derive.model_values import requirement
from speccomp.findings import Finding, Related, Severity
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic
from speccomp.quantities import Kind, Quantity
from speccomp.rules.amounts import amount
from speccomp.rules.facts import Facts

_CLOSE = 1e-9


def _described(fit: GaugeFit) -> tuple[Related, ...]:
    return (Related(fit.gauge.span, f"`{fit.gauge.id}` is described here"),)


def _limit(fit: GaugeFit) -> str:
    return f"{fit.characteristic.name}, {fit.requirement.text.strip()},"


def _one_sided(fit: GaugeFit) -> str:
    both = fit.requirement.lower is not None and fit.requirement.upper is not None
    return "" if both else ", counted from zero"


def _resolution(fit: GaugeFit) -> str:
    resolution, _ = steps_of(fit.gauge, fit.requirement.kind)
    return resolution.text.strip() if resolution else ""


def _uncertainty(fit: GaugeFit) -> str:
    _, uncertainty = steps_of(fit.gauge, fit.requirement.kind)
    return uncertainty.text.strip() if uncertainty else ""


def _few_steps(facts: Facts) -> Iterator[tuple[GaugeFit, float, bool]]:
    """Go through the gauges with too few steps; the flag tells of less than half of them."""
    wanted = facts.process.plant.gauge_fit.resolution
    for fit in facts.derived.gauges:
        if fit.steps is not None and fit.steps.value < wanted * (1 - _CLOSE):
            yield fit, wanted, fit.steps.value < wanted / 2 * (1 - _CLOSE)


def _coarse(fit: GaugeFit, wanted: float) -> str:
    steps = fit.steps.value if fit.steps else 0.0
    return (
        f"{_limit(fit)} is {steps:.2g} steps of `{fit.gauge.id}` wide "
        f"({_resolution(fit)}){_one_sided(fit)}; the plant wants {wanted:g}"
    )


_FINER = "name a gauge with a finer display, or widen the limit"


def too_coarse(facts: Facts) -> Iterator[Finding]:
    """
    A limit is narrower than half the steps of the gauge that the plant asks for.

    Why: what the gauge shows is mostly its own step; good parts are rejected and bad ones pass.
    Source: one tenth of the band, common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          rule: {type: gauge, name: Steel rule, range: 0 to 300 mm, resolution: 0.5 mm}
        # definition.yaml
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 1 mm, gauge: rule}
    Good:
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 1 mm, gauge: caliper}
    """
    for fit, wanted, far in _few_steps(facts):
        if far:
            yield Finding(
                Severity.ERROR,
                "gauge.too-coarse",
                fit.characteristic.span,
                _coarse(fit, wanted),
                _FINER,
                _described(fit),
                fit.characteristic.id,
            )


def coarse(facts: Facts) -> Iterator[Finding]:
    """
    A limit is a little narrower than the steps of the gauge that the plant asks for.

    Why: readings pile up at the limit, and the last digit decides.
    Source: one tenth of the band, common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          rule: {type: gauge, name: Steel rule, range: 0 to 300 mm, resolution: 0.5 mm}
        # definition.yaml
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 2 mm, gauge: rule}
    Good:
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 2 mm, gauge: caliper}
    """
    for fit, wanted, far in _few_steps(facts):
        if not far:
            yield Finding(
                Severity.WARNING,
                "gauge.coarse",
                fit.characteristic.span,
                _coarse(fit, wanted),
                _FINER,
                _described(fit),
                fit.characteristic.id,
            )


def too_uncertain(facts: Facts) -> Iterator[Finding]:
    """
    The uncertainty of a gauge takes up too much of the limit.

    Why: near the limit nobody can tell good from bad; the share of wrong decisions grows.
    Source: ANSI/NCSL Z540.3, from memory, for 4; the form is common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          caliper:
            type: gauge
            name: Caliper
            range: 0 to 150 mm
            resolution: 0.01 mm
            uncertainty: 0.05 mm
        # definition.yaml
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80.0 ± 0.1 mm, gauge: caliper}
    Good:
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80.0 ± 0.2 mm, gauge: caliper}
    """
    wanted = facts.process.plant.gauge_fit.uncertainty
    for fit in facts.derived.gauges:
        ratio = fit.uncertainty
        if ratio is None or ratio.value >= wanted * (1 - _CLOSE) or not fit.can_accept:
            continue
        yield Finding(
            Severity.WARNING,
            "gauge.too-uncertain",
            fit.characteristic.span,
            f"{_limit(fit)} is measured with `{fit.gauge.id}` to {_uncertainty(fit)}, a ratio of "
            f"{ratio.value:.2g}{_one_sided(fit)}; the plant wants {wanted:g}",
            f"name a gauge with less uncertainty; this one proves {_proven(facts, fit)}",
            _described(fit),
            fit.characteristic.id,
        )


def _proven(facts: Facts, fit: GaugeFit) -> str:
    """Return the readings that are accepted for certain."""

    def side(value: Quantity) -> str:
        return amount(facts, value, fit.requirement.kind, fit.requirement, digits=4)

    low, high = fit.accept_from, fit.accept_to
    if low is not None and high is not None:
        return f"readings from {side(low.value)} to {side(high.value)}"
    if low is not None:
        return f"readings from {side(low.value)} up"
    return f"readings up to {side(high.value)}" if high is not None else "nothing"


def cannot_accept(facts: Facts) -> Iterator[Finding]:
    """
    The uncertainty of a gauge is wider than the limit, so that no reading proves it.

    Why: whatever the gauge shows, the part may be bad.
    Source: JCGM 106:2012, guard band of one U, from memory.
    Bad:
        # plant.yaml
        equipment:
          caliper:
            type: gauge
            name: Caliper
            range: 0 to 150 mm
            resolution: 0.01 mm
            uncertainty: 0.3 mm
        # definition.yaml
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80.0 ± 0.2 mm, gauge: caliper}
    Good:
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80.0 ± 0.2 mm, gauge: caliper}
    """
    for limit, item, gauge, error in _unprovable(facts):
        yield Finding(
            Severity.ERROR,
            "gauge.cannot-accept",
            item.span,
            f"{limit} is measured with `{gauge.id}` to {error}, so that no reading lies inside for "
            "certain",
            "name a gauge with less uncertainty, or widen the limit",
            (Related(gauge.span, f"`{gauge.id}` is described here"),),
            item.id,
        )


def _unprovable(facts: Facts) -> Iterator[tuple[str, Characteristic, Equipment, str]]:
    """Go through the limits that no reading proves, with the gauge and its uncertainty."""
    for fit in facts.derived.gauges:
        if not fit.can_accept:
            yield _limit(fit), fit.characteristic, fit.gauge, _uncertainty(fit)
    for disc in facts.derived.disc_limits:
        if disc.gauge is not None and disc.gauge.uncertainty is not None and not disc.can_accept:
            error = disc.gauge.uncertainty.text.strip()
            yield _stated(disc.characteristic), disc.characteristic, disc.gauge, error
    for loss in facts.derived.mass_losses:
        if loss.scale.permissible_error is not None and not loss.can_accept:
            error = loss.scale.permissible_error.text.strip()
            yield _stated(loss.characteristic), loss.characteristic, loss.scale, error


def _stated(item: Characteristic) -> str:
    value = requirement(item)
    return f"{item.name}, {value.text.strip() if value else ''},"


def force_out_of_range(facts: Facts) -> Iterator[Finding]:
    """
    The force at a strength limit lies outside the range of the testing machine.

    Why: the specimen does not break, or breaks where the machine reads nothing.
    Source: the strength formulas of the test methods; common practice, no source.
    Bad:
        # plant.yaml
        equipment:
          frame: {type: gauge, name: Load frame, range: 1 to 5 kN, resolution: 0.01 kN}
        # definition.yaml
        steps:
          - id: press
            operation: test
            method: EN 196-1
            do: Press the half prism until it breaks.
            with: [frame]
            specimen: {load: compression, width: 40 mm, depth: 40 mm}
            limits:
              compressive strength: {value: at least 28 MPa, gauge: frame}
    Good:
        # plant.yaml
        equipment:
          frame: {type: gauge, name: Load frame, range: 1 to 100 kN, resolution: 0.01 kN}
        # definition.yaml
        steps:
          - id: press
            operation: test
            method: EN 196-1
            do: Press the half prism until it breaks.
            with: [frame]
            specimen: {load: compression, width: 40 mm, depth: 40 mm}
            limits:
              compressive strength: {value: at least 28 MPa, gauge: frame}
    """
    for check in facts.derived.specimens:
        for at in check.forces:
            gauge = at.characteristic.control.gauge
            limits = gauge.range if gauge else None
            if gauge is None or limits is None or limits.kind is not Kind.FORCE:
                continue
            low, high, force = limits.lower_quantity, limits.upper_quantity, at.force.value
            if (low is None or force >= low) and (high is None or force <= high):
                continue
            requirement = at.characteristic.requirement
            strength = requirement if isinstance(requirement, str) else requirement.text.strip()
            yield Finding(
                Severity.ERROR,
                "gauge.force-out-of-range",
                at.characteristic.span,
                f"{at.characteristic.name}, {strength}, of this specimen means "
                f"{amount(facts, force, Kind.FORCE, limits)}, and `{gauge.id}` reads "
                f"{limits.text.strip()}",
                "name another testing machine, or another size of specimen",
                (Related(gauge.span, f"`{gauge.id}` is described here"),),
                at.characteristic.id,
            )
