"""Gauges that cannot measure what they are named for."""

from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity
from speccomp.model.plant import Equipment
from speccomp.model.process import Characteristic, Step
from speccomp.model.technique import measured_kinds, range_holds, technique_of
from speccomp.quantities import Toleranced, with_article
from speccomp.rules.facts import Facts

MEASURING = ("scale", "gauge", "timer", "thermometer")


def measurements(facts: Facts) -> Iterator[tuple[Step, Characteristic, Toleranced, Equipment]]:
    """Go through the limits that equipment measures."""
    for step, item in facts.process.characteristics():
        gauge = technique_of(step, item)
        if isinstance(gauge, Equipment) and isinstance(item.requirement, Toleranced):
            yield step, item, item.requirement, gauge


def wrong_gauge(facts: Facts) -> Iterator[Finding]:
    """
    A gauge is named for a limit of a kind that it does not measure.

    Why: the operator takes whatever is at hand instead, and the record names a gauge that was
        never used.
    Source: ISO 9001:2015, 7.1.5.1: resources are suitable for the measurement.
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer]
            limits:
              mixing time: {value: 3 to 5 min, gauge: caliper}
    Good:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer]
            limits:
              mixing time: {value: 3 to 5 min, gauge: timer}
    """
    for _, item, requirement, gauge in measurements(facts):
        kinds = measured_kinds(gauge)
        if kinds is None or requirement.kind in kinds or item.control.gauge is None:
            continue
        shown = (
            f"measures {with_article(gauge.measures)}"
            if gauge.measures
            else f"is a {gauge.type.replace('-', ' ')}"
        )
        yield Finding(
            Severity.ERROR,
            "control.wrong-gauge",
            item.control.span,
            f"`{gauge.id}` {shown}, but {item.name}, {requirement.text}, is "
            f"{with_article(requirement.kind)}",
            f"name a gauge that measures {with_article(requirement.kind)}, or say `method: …`",
            (Related(gauge.span, "the gauge is described here"),),
            item.id,
        )


def gauge_out_of_range(facts: Facts) -> Iterator[Finding]:
    """
    A limit lies outside the range of the gauge that measures it.

    Why: at the end of its scale a gauge shows the end of its scale, whatever the value is.
    Source: ISO 9001:2015, 7.1.5.1: resources are suitable for the measurement.
    Bad:
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 180 ± 1 mm, gauge: caliper}
    Good:
        steps:
          - id: measure
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 1 mm, gauge: caliper}
    """
    for _, item, requirement, gauge in measurements(facts):
        if gauge.type in MEASURING and gauge.range and not range_holds(gauge, requirement):
            yield Finding(
                Severity.ERROR,
                "control.gauge-out-of-range",
                item.span,
                f"{item.name}, {requirement.text}, lies outside the range of `{gauge.id}`, "
                f"{gauge.range.text}",
                "name a gauge whose range holds both limits",
                (Related(gauge.span, "the gauge is described here"),),
                item.id,
            )
