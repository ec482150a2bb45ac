"""What a plant must have ready and write on containers, so that the cautions can be followed."""

from collections.abc import Iterable, Iterator

from speccomp.cautions.hazard_data import hazard_data
from speccomp.cautions.hazards import MaterialHazards
from speccomp.cautions.words import find_phrase
from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Container
from speccomp.rules.cautions import coverage_of
from speccomp.rules.facts import Facts

FARTHEST = 10.0
"""Walk to eye rinse and shower in s, by ANSI/ISEA Z358.1 (secondary source)."""


def emergency_too_far(facts: Facts) -> Iterator[Finding]:
    """
    The eye rinse or the safety shower that the work needs is more than 10 s away.

    Why: the caution up front tells people to rinse at once, and after 10 s the eye is hurt more.
    Source: ANSI/ISEA Z358.1: within 10 s, on the same level, the way free (secondary source);
        29 CFR 1910.151 (c): facilities for immediate use in the work area.
    Bad:
        # plant.yaml
        emergency: {eye_rinse: 20 s}
    Good:
        # plant.yaml
        emergency: {eye_rinse: 10 s}
    """
    emergency = facts.process.plant.emergency
    for topic, what, walk in (
        ("eye-wash", "eye rinse", emergency.eye_rinse),
        ("safety-shower", "safety shower", emergency.safety_shower),
    ):
        rows = coverage_of(facts).of_topic(topic)
        if walk is None or not rows:
            continue
        high = walk.bounds_in("s")[1]
        seconds = float(walk.exact_in(walk.nominal, "s") if high is None else high)
        if seconds > FARTHEST:
            fact = rows[0].facts[-1]
            yield Finding(
                Severity.ERROR,
                "caution.emergency-too-far",
                emergency.span,
                f"the {what} is {walk.text} away, and the work needs it within {FARTHEST:g} s: "
                f"{fact.text}",
                "put one nearer to the work place, and correct the time here",
                (Related(fact.span, f"this calls for it: {fact.text}"),),
                topic,
            )


def no_solvent_limit(facts: Facts) -> Iterator[Finding]:
    """
    Solvent goes into an oven, and nothing says how much of it the oven bears.

    Why: the caution tells people to load no more than the limit on the oven.
    Source: NFPA 86: at most 25 % of the lower flammable limit, posted on the oven (secondary
        source).
    Bad:
        cautions:
          - {topic: oven-fume, before: [cure]}
        # liquid.yaml
        form: paste
        composition: [{substance: propan-2-ol, fraction: 40 %}]
    Good:
        cautions:
          - {topic: oven-fume, before: [cure]}
        # liquid.yaml
        form: paste
        composition: [{substance: propan-2-ol, fraction: 40 %}]
        # plant.yaml
        equipment:
          oven:
            type: oven
            name: Air oven
            range: 40 to 300 degC
            ramp: at most 3 K/min
            non_uniformity: 2 K
            control_tolerance: 1 K
            sensor_error: 0.5 K
            vented: true
            solvent_limit: 250 mL
    """
    for row in coverage_of(facts).of_topic("oven-solvent"):
        ovens = [item for item in row.at.equipment if item.type == "oven"]
        for oven in ovens:
            if oven.solvent_limit is None:
                yield Finding(
                    Severity.ERROR,
                    "caution.no-solvent-limit",
                    row.at.step.place,
                    f"solvent goes into {oven.name} in `{row.at.step.id}`, and the oven has no "
                    f"limit for it: {row.facts[-1].text}",
                    "give the oven the `solvent_limit` that is posted on it",
                    (Related(oven.span, f"{oven.name} is described here"),),
                    row.at.step.id,
                )


def unlabelled(facts: Facts) -> Iterator[Finding]:
    """
    A container that is filled has nothing on it that tells what is in it.

    Why: the next person takes it for something else. A ticket stands in for the label only of a
        fixed vessel, and no label is needed only where the same person uses it up in the shift.
    Source: 29 CFR 1910.1200 (f) (6) to (8).
    Bad:
        steps:
          - id: decant
            operation: weigh
            material: liquid
            do: Pour the liquid into the squeeze bottle.
            with: [bench-scale]
            containers: [{name: squeeze bottle}]
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
          - id: decant
            operation: weigh
            material: liquid
            do: Pour the liquid into the squeeze bottle.
            with: [bench-scale]
            containers: [{name: squeeze bottle, label: Silicate liquid. Irritates skin and eyes.}]
    """
    for scene in coverage_of(facts).scenes:
        fixed = any("tank" in item.features for item in scene.equipment)
        for container in scene.step.containers:
            if container.ticket and not fixed:
                said = "a ticket stands in for the label only of a fixed vessel"
                hint = "give it a label, or the vessel the feature `tank` in the plant file"
            elif not container.label and (container.ticket or not container.same_person):
                said = "nothing on it tells what is in it"
                hint = "give its `label`, or write `same_person: true` if who fills it uses it up"
            else:
                continue
            yield Finding(
                Severity.ERROR,
                "container.unlabelled",
                container.span,
                f"`{scene.step.id}` fills {container.name}, but {said}",
                hint,
                subject=f"{scene.step.id}/{container.name}",
            )


def label_without_hazards(facts: Facts) -> Iterator[Finding]:
    """
    A label, or a ticket in its place, says nothing of a hazard of what is in the container.

    Why: a name alone warns nobody who does not know the material.
    Source: 29 CFR 1910.1200 (f) (6) (ii): words, pictures or symbols that give at least general
        information about the hazards; the lists of words are our own.
    Bad:
        steps:
          - id: decant
            operation: weigh
            material: liquid
            do: Pour the liquid into the squeeze bottle.
            with: [bench-scale]
            containers: [{name: squeeze bottle, label: Silicate liquid}]
        # liquid.yaml
        hazards: {statements: [H315, H318], signal: danger, sheet_date: 2025-05-12}
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
          - id: decant
            operation: weigh
            material: liquid
            do: Pour the liquid into the squeeze bottle.
            with: [bench-scale]
            containers: [{name: squeeze bottle, label: Silicate liquid. Irritates skin and eyes.}]
        # liquid.yaml
        hazards: {statements: [H315, H318], signal: danger, sheet_date: 2025-05-12}
    """
    for scene in coverage_of(facts).scenes:
        held = {h.hazards.material.key: h.hazards for h in scene.held}
        for container in scene.step.containers:
            missing = list(_unsaid(container, held.values())) if container.label else []
            if missing:
                yield Finding(
                    Severity.ERROR,
                    "container.label-without-hazards",
                    container.span,
                    f"the label “{container.label}” says nothing of "
                    + "; ".join(f"{group} ({why})" for group, why in missing),
                    "name each hazard in a word or two, such as “burns skin and eyes”",
                    subject=f"{scene.step.id}/{container.name}",
                )


def _unsaid(container: Container, held: Iterable[MaterialHazards]) -> Iterator[tuple[str, str]]:
    """Yield what a label leaves out, each with the statement that asks for it."""
    for hazards in held:
        for group in hazard_data()["label_words"]:
            code = next((c for c in hazards.codes if c.startswith(tuple(group["for"]))), None)
            if code is not None and not any(
                find_phrase(word, container.label) for word in group["words"]
            ):
                yield group["of"], hazards.said(code)
