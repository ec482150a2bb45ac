"""Cautions whose text does not fit: their signal word, or what the steps order."""

from collections.abc import Iterator

from speccomp.cautions.coverage import Row, Verdict
from speccomp.cautions.words import find_phrase
from speccomp.findings import Finding, Severity
from speccomp.model.gear import left_out
from speccomp.model.packs import gear_for
from speccomp.model.shared import Signal
from speccomp.rules.cautions import coverage_of
from speccomp.rules.facts import Facts


def contradicted(facts: Facts) -> Iterator[Finding]:
    """
    An instruction orders what a caution forbids.

    Why: people do what the step says, whatever the caution above it says.
    Source: common practice, no source; each topic of the caution packs names its own.
    Bad:
        steps:
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid and thin it with more water.
            with: [bench-scale]
    Good:
        steps:
          - id: weigh-powder
            operation: weigh
            material: powder
            do: Weigh the powder into the bowl.
            with: [bench-scale]
          - id: weigh-liquid
            operation: weigh
            material: liquid
            do: Weigh the liquid. Never thin it with more water.
            with: [bench-scale]
    """
    for found in coverage_of(facts).contradictions:
        yield Finding(
            Severity.ERROR,
            "caution.contradicted",
            found.span,
            f"the step says “{found.action}”, which the topic `{found.topic.id}` forbids",
            found.topic.avoid,
            subject=f"{found.scene.step.id}/{found.topic.id}",
        )


def gear_left_out(facts: Facts) -> Iterator[Finding]:
    """
    A caution, with its step and the gear of the whole document, leaves out gear of the topic.

    Why: a text of one's own takes the place of the pack's text, and its gear with it.
    Source: own rule; each topic of the caution packs names who asks for it, each piece its
        standard. Compared is the kind of gear only.
    Bad:
        cautions:
          - {topic: alkali-splash, gear: [Apron], before: [weigh-liquid, mix, fill]}
    Good:
        protective_gear: ["Goggles, EN 166 mark 3"]
        cautions:
          - topic: alkali-splash
            gear: ["Apron", "Butyl gloves 0.5 mm, EN ISO 374-1 type A"]
            before: [weigh-liquid, mix, fill]
    """
    process = facts.process
    missing: dict[int, tuple[Row, dict[str, None]]] = {}
    for row in coverage_of(facts).rows:
        if row.caution is None or row.verdict is not Verdict.COVERED:
            continue
        step = row.scene.step.gear if row.scene is not None else ()
        worn = (*row.caution.gear, *process.protective_gear, *step)
        for item in left_out(row.topic.gear, worn):
            missing.setdefault(id(row.caution), (row, {}))[1].setdefault(item)
    for row, items in missing.values():
        caution = row.caution
        if caution is not None:
            listed = " and ".join(gear_for(i, process.plant.local_codes) for i in items)
            yield Finding(
                Severity.WARNING,
                "caution.gear-left-out",
                caution.span,
                f"the caution `{caution.topic}` is without gear that its topic asks for: {listed}",
                "add it to the `gear` of the caution, of the step, or to `protective_gear`",
                subject=f"{row.place}/{caution.topic}" if row.place else caution.topic,
            )


WORD_OF_PEOPLE = (
    *("injur*", "the skin", "skin burns", "burns skin", "the eye", "eyes", "lung", "lungs"),
    *("blinds", "kill*", "fingers", "breathe*", "breathing", "hearing"),
)
"""Words of a consequence that is about people, so that the word notice does not fit."""
WORDS_OF_DEATH = ("kill*", "death", "fatal", "dies", "blinds", "amputat*")
"""Words of a consequence that is too grave for the word caution."""


def text_against_word(facts: Facts) -> Iterator[Finding]:
    """
    The text of a caution tells of a graver consequence than its signal word.

    Why: one of the two is wrong, and the reader believes the milder one.
    Source: ANSI Z535.6 and ISO 3864: notice is not about people, caution is about light injuries
        (secondary sources).
    Bad:
        cautions:
          - topic: hot-rim
            signal: notice
            hazard: The rim of the sheath is hot.
            consequence: It burns the skin.
            avoid: Wear heat gloves.
            before: [look]
    Good:
        cautions:
          - topic: hot-rim
            signal: caution
            hazard: The rim of the sheath is hot.
            consequence: It burns the skin.
            avoid: Wear heat gloves.
            before: [look]
    """
    graver = {Signal.NOTICE: WORD_OF_PEOPLE, Signal.CAUTION: WORDS_OF_DEATH}
    for caution in facts.process.cautions:
        word = next(
            (
                word
                for word in graver.get(caution.signal, ())
                if find_phrase(word, caution.consequence)
            ),
            None,
        )
        if word is not None:
            yield Finding(
                Severity.ERROR,
                "caution.text-against-word",
                caution.span,
                f"the caution `{caution.topic}` says {caution.signal}, but its consequence is "
                f"“{caution.consequence}”",
                "write a stronger `signal`, or another consequence",
                subject=caution.topic,
            )
