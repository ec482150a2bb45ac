"""Rows of the control plan that do not control, and characteristics that have none."""

import re
from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Characteristic
from speccomp.model.shared import Reaction
from speccomp.model.technique import LOOK, technique_of
from speccomp.quantities import Toleranced, same_meaning
from speccomp.rules.facts import Facts

# Words of an action that keeps bad product from going on, not only somebody informed.
_CONTAINS = re.compile(
    r"\b(?:stop|halt|hold|on hold|quarantine|segregate|separate|isolate|block|lock|mark|label|tag"
    r"|reject|discard|scrap|dispose|throw|set aside|put aside|take out|remove|return|keep back"
    r"|sort|rework|repeat|recheck|reweigh|re-weigh|empty|do not use|do not continue|withdraw"
    r"|extend|continue until|clean)\b",
    re.IGNORECASE,
)


def reaction_only_tells(facts: Facts) -> Iterator[Finding]:
    """
    A reaction plan tells somebody, but does not stop, hold, mark or discard anything.

    Why: while the shift lead is on the way the batch is filled into parts.
    Source: IATF 16949:2016, 8.5.1.1: reaction plans contain product; the words are common
        practice, no source.
    Bad:
        reactions:
          tell: {title: Tell, do: Inform the shift lead., responsible: shift-lead}
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, reaction: tell}]
    Good:
        reactions:
          tell:
            title: Hold and tell
            do: [Mark the batch as on hold., Inform the shift lead.]
            responsible: shift-lead
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, reaction: tell}]
    """
    for reaction, item in _reactions_used(facts):
        if not any(_CONTAINS.search(action) for action in reaction.actions):
            yield Finding(
                Severity.WARNING,
                "control.reaction-only-tells",
                reaction.span,
                f"the reaction plan `{reaction.id}` does not stop, hold, mark or discard anything",
                "begin with what happens to the product, for example `Mark the batch as on hold.`",
                (Related(item.span, f"it is the reaction for {item.name}"),),
                reaction.id,
            )


def _reactions_used(facts: Facts) -> Iterator[tuple[Reaction, Characteristic]]:
    """Go through the reaction plans in use, each with the first limit it is for."""
    seen: set[str] = set()
    for _, item in facts.process.characteristics():
        name = item.control.reaction.value if item.control.reaction else ""
        reaction = facts.process.reactions.get(name)
        if reaction is not None and name not in seen:
            seen.add(name)
            yield reaction, item


def special_by_eye(facts: Facts) -> Iterator[Finding]:
    """
    A special characteristic is judged by looking alone.

    Why: looking finds most faults and never all of them; a special characteristic is one whose
        failure hurts somebody.
    Source: IATF 16949:2016, 8.3.3.3: special characteristics are controlled; the warning itself
        is common practice, no source.
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, special: safety}]
    Good:
        steps:
          - id: look
            operation: inspect
            do: Wipe the seal of each part with the dye.
            look_for:
              - what: seal
                accept: No line of dye
                special: safety
                method: Dye penetrant, under the magnifier
    """
    for step, item in facts.process.characteristics():
        if item.control.special and technique_of(step, item) == LOOK:
            yield Finding(
                Severity.WARNING,
                "control.special-by-eye",
                item.span,
                f"the special characteristic {item.name} in `{step.id}` is judged by looking alone",
                "add a `gauge` or a `method` that shows more than the eye does",
                subject=item.id,
            )


def duplicate(facts: Facts) -> Iterator[Finding]:
    """
    The same product characteristic is inspected twice, to different limits.

    Why: a part that passes one check and fails the other is both good and bad.
    Source: common practice, no source.
    Bad:
        steps:
          - id: first
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 1 mm, gauge: caliper}
          - id: last
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 2 mm, gauge: caliper}
    Good:
        steps:
          - id: first
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 80 ± 1 mm, gauge: caliper}
          - id: last
            operation: inspect
            do: Measure the length of the seal.
            limits:
              seal length: {value: 8.0 ± 0.1 cm, gauge: caliper}
    """
    first: dict[tuple[str, str], Characteristic] = {}
    for step, item in facts.process.characteristics():
        if not item.product or not isinstance(item.requirement, Toleranced):
            continue
        key = (step.operation.name, item.name.lower())
        before = first.setdefault(key, item).requirement
        if isinstance(before, Toleranced) and not same_meaning(before, item.requirement):
            yield Finding(
                Severity.WARNING,
                "control.duplicate",
                item.span,
                f"{item.name} is {item.requirement.text} in `{step.id}`, and {before.text} before",
                "make the two limits the same, or give the two characteristics different names",
                (Related(first[key].span, f"the first limit, {before.text}"),),
                item.id,
            )


def product_unchecked(facts: Facts) -> Iterator[Finding]:
    """
    No step checks the product.

    Why: a cure, a bond or a seal is a special process: the last chance to see a fault is before
        the part leaves.
    Source: ISO 9001:2015, 8.6: acceptance of the product is shown (from memory).
    Bad:
        steps:
          - id: mix
            operation: mix
            do: Mix the paste at slow speed.
            with: [mixer, timer]
            limits: {mixing time: 3 to 5 min}
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack}]
    """
    process = facts.process
    if process.steps and not any(item.product for _, item in process.characteristics()):
        yield Finding(
            Severity.WARNING,
            "control.product-unchecked",
            process.place("steps"),
            "none of the steps checks a characteristic of the product",
            "add a step with `operation: inspect`, or write `characteristic: product` at a limit",
            subject="steps",
        )
