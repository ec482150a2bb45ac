"""What else in a definition does the work of a caution about the product."""

from speccomp.cautions.conditions import Fact, limit_called
from speccomp.cautions.scene import Scene
from speccomp.model.packs import Answer, Topic
from speccomp.model.process import Step


def answer_of(topic: Topic, scene: Scene) -> Fact | None:
    """Return the first thing that answers a topic in a step, or nothing."""
    for answer in topic.answers:
        fact = _answer(answer, scene)
        if fact is not None:
            return fact
    return None


def _answer(answer: Answer, scene: Scene) -> Fact | None:
    """Return the last fact of an answer of which all parts hold."""
    step = scene.step
    fact: Fact | None = None
    if answer.limits:
        fact = limit_called(answer.limits, scene)
        if fact is None:
            return None
    if answer.says:
        said = next((s for phrase in answer.says if (s := scene.says(phrase))), None)
        if said is None:
            return None
        fact = Fact(f"the step says “{said[0]}”", said[1])
    if answer.earlier:
        earlier = _earlier(answer.earlier, scene)
        if earlier is None:
            return None
        fact = Fact(f"step {earlier.id} does it", earlier.span)
    if answer.card:
        card = _card(answer, scene)
        if card is None:
            return None
        fact = card
    for asked, found in (
        (answer.check, _check(step)),
        (answer.record, _record(step)),
        (answer.calibrated, _calibrated(step)),
        (answer.powder_first, _powder_first(scene)),
    ):
        if asked and found is None:
            return None
        fact = found if asked else fact
    return fact


def _earlier(operations: tuple[str, ...], scene: Scene) -> Step | None:
    """Return an earlier step with one of the operations, on the same material where named."""
    mine = scene.step.material
    for step in scene.process.steps[: scene.number]:
        same = mine is None or step.material is None or step.material is mine
        if step.operation.name in operations and same:
            return step
    return None


def _card(answer: Answer, scene: Scene) -> Fact | None:
    material = scene.step.material
    if material is None:
        return None
    fields = {
        "turn_over": material.turn_over,
        "shelf_life": material.shelf_life,
        "opened_life": material.opened_life,
        "humidity": material.storage_humidity,
        "pot_life": material.pot_life,
    }
    name = next((name for name in answer.card if fields[name]), None)
    return Fact(f"the card gives {name.replace('_', ' ')}", material.span) if name else None


def _check(step: Step) -> Fact | None:
    judged = next((c for c in step.characteristics if isinstance(c.requirement, str)), None)
    return Fact(f"check of {judged.name}", judged.span) if judged else None


def _record(step: Step) -> Fact | None:
    return Fact("the step is recorded", step.span) if step.records else None


def _calibrated(step: Step) -> Fact | None:
    gauges = [c.control.gauge for c in step.characteristics if c.control.gauge is not None]
    measuring = [e for e in step.equipment if e.type in ("scale", "gauge", "thermometer")]
    found = [*measuring, *gauges]
    if not found or any(item.calibration_due is None for item in found):
        return None
    return Fact("calibration is due on a date", found[0].span)


def _powder_first(scene: Scene) -> Fact | None:
    """Look whether powder is weighed before liquid, or the action pours liquid onto powder."""
    forms = [
        (step.material.form, step)
        for step in scene.process.steps[: scene.number]
        if step.operation.name == "weigh" and step.material is not None
    ]
    order = [form for form, _ in forms]
    if "powder" in order and "liquid" in order and order.index("powder") < order.index("liquid"):
        return Fact("the powder is weighed first", forms[order.index("powder")][1].span)
    return None
