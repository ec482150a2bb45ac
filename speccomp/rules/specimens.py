"""Test specimens: whether their shape is the one that the method of the step asks for."""

from collections.abc import Iterator

from speccomp.derive.specimens import SpecimenCheck
from speccomp.findings import Finding, Severity
from speccomp.rules.facts import Facts


def off_method(facts: Facts) -> Iterator[Finding]:
    """
    The shape of a specimen is not the one of the method that the step names.

    Why: strength depends on the shape; a result of another one cannot be set against the limits of
        the method, and its formula may not hold.
    Source: ASTM C78 and C293 (span of 3 depths), ASTM C580 method A (9), ASTM C1161 (40 mm to
        3 mm), EN 196-1 (100 mm to 40 mm), ASTM D3967 (thickness of 0.2 to 0.75 diameters), from
        memory; within 2 %.
    Bad:
        # plant.yaml
        equipment:
          frame: {type: gauge, name: Load frame, range: 1 to 100 kN, resolution: 0.01 kN}
        # definition.yaml
        steps:
          - id: bend
            operation: test
            method: EN 196-1
            do: Bend the prism until it breaks.
            with: [frame]
            specimen: {load: three-point, width: 40 mm, depth: 40 mm, span: 120 mm}
            limits:
              flexural strength: {value: at least 5 MPa, gauge: frame}
    Good:
        # plant.yaml
        equipment:
          frame: {type: gauge, name: Load frame, range: 1 to 100 kN, resolution: 0.01 kN}
        # definition.yaml
        steps:
          - id: bend
            operation: test
            method: EN 196-1
            do: Bend the prism until it breaks.
            with: [frame]
            specimen: {load: three-point, width: 40 mm, depth: 40 mm, span: 100 mm}
            limits:
              flexural strength: {value: at least 5 MPa, gauge: frame}
    """
    for check in facts.derived.specimens:
        wanted, shape = check.wanted_shape, check.shape
        if wanted is None or shape is None or check.fits_method:
            continue
        yield Finding(
            Severity.WARNING,
            "test.specimen-off-method",
            check.specimen.span,
            f"{shape.title} is {shape.value:.3g}, and {check.step.method} asks for {_range(check)}",
            "correct the specimen, or name the method that it is of",
            subject=check.step.id,
        )


def _range(check: SpecimenCheck) -> str:
    low, high = check.wanted_shape or (0.0, 0.0)
    return f"{low:.3g}" if low == high else f"{low:g} to {high:g}"
