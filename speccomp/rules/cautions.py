"""Cautions that are missing, late, too weak, doubled, or that nothing calls for."""

from collections.abc import Iterator, Sequence

from speccomp.cautions.coverage import Coverage, Row, Verdict, build_coverage
from speccomp.cautions.paste import yaml_to_paste
from speccomp.cautions.words import find_phrase
from speccomp.findings import Finding, Related, Severity
from speccomp.model.process import Process
from speccomp.model.shared import Signal
from speccomp.rules.facts import Facts


def coverage_of(facts: Facts) -> Coverage:
    """Return the coverage of a definition, made here where the facts come without one."""
    return facts.coverage if facts.coverage is not None else build_coverage(facts.process)


def missing(facts: Facts) -> Iterator[Finding]:
    """
    Something in the definition calls for a caution that does not stand where it must.

    Why: a reviewer sees a wrong caution, but not the one that is not there.
    Source: IEC/IEEE 82079-1 and ANSI Z535.6: warn before the act (secondary sources); each topic of
        the caution packs names who asks for it.
    Bad:
        cautions:
          - {topic: hygiene-hands}
    Good:
        cautions:
          - {topic: eye-wash}
          - {topic: hygiene-hands}
          - {topic: nuisance-dust, before: [weigh-powder, mix]}
          - {topic: alkali-splash, before: [weigh-liquid, mix, fill, clean]}
          - {topic: mixer-entangle, before: [mix]}
          - {topic: no-extra-water, before: [weigh-liquid]}
          - {topic: no-retemper, before: [fill]}
          - {topic: no-boil, before: [cure]}
          - {topic: oven-hot-surface, signal: caution, before: [cure]}
          - {topic: oven-fume, signal: caution, before: [cure]}
    """
    process = facts.process
    cited = {caution.topic for caution in process.cautions}
    rows: dict[tuple[str, str], list[Row]] = {}
    for row in coverage_of(facts).rows:
        if row.verdict is Verdict.MISSING:
            # A topic that is not there at all is one fault; else each step without it is one.
            rows.setdefault((row.topic.id, row.place if row.topic.id in cited else ""), []).append(
                row
            )
    for (topic, place), lacking in rows.items():
        yield Finding(
            Severity.ERROR,
            "caution.missing",
            lacking[0].at.step.place,
            _lacks(topic, lacking),
            "add at the end of the file:"
            if "cautions" not in process.spans
            else "add to `cautions`:",
            _related(lacking),
            f"{place}/{topic}" if place else topic,
            paste=_to_paste(process, lacking),
        )


def _lacks(topic: str, rows: Sequence[Row]) -> str:
    places = [f"`{row.place}`" for row in rows if row.place]
    where = f"before {_listed(places)}" if places else "up front"
    title = rows[0].topic.title
    title = title[0].lower() + title[1:] if title[1:2].islower() else title
    return f"no caution `{topic}` ({title}) stands {where}: {_telling(rows[0])}"


def _telling(row: Row) -> str:
    """Return the fact that tells most: the operation comes first, and says least."""
    return row.facts[-1].text


def _listed(words: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def _related(rows: Sequence[Row]) -> tuple[Related, ...]:
    facts = dict.fromkeys(fact for row in rows for fact in row.facts[-1:])
    return tuple(Related(fact.span, f"this calls for it: {fact.text}") for fact in [*facts][:3])


def _to_paste(process: Process, rows: Sequence[Row]) -> str:
    topic = rows[0].topic
    own = process.plant.cautions.get(topic.id)
    said = own.signal if own is not None else topic.signal
    wanted = min((row.signal for row in rows), key=lambda signal: signal.rank)
    places = [row.place for row in rows if row.place]
    return yaml_to_paste(process, topic.id, places, wanted if wanted is not said else None)


def late(facts: Facts) -> Iterator[Finding]:
    """
    A caution stands after the step that it protects, or at a step when it belongs up front.

    Why: who reads it after the act has been hurt already.
    Source: IEC/IEEE 82079-1: a warning stands where the danger can arise, before the act (secondary
        source).
    Bad:
        cautions:
          - {topic: mixer-entangle, before: [clean]}
    Good:
        cautions:
          - {topic: mixer-entangle, before: [mix]}
    """
    for row in coverage_of(facts).rows:
        if row.verdict is not Verdict.LATE or row.caution is None or not row.topic.required:
            continue
        stands = _listed([f"`{place}`" for place in row.caution.before])
        if row.scene is None:
            message = f"the caution `{row.topic.id}` stands before {stands}, not up front"
            hint = "delete its `before`, so that it stands with the general cautions"
        else:
            message = (
                f"the caution `{row.topic.id}` stands before {stands}, but `{row.place}` needs it "
                f"earlier: {_telling(row)}"
            )
            hint = f"put `{row.place}` into its `before`"
        yield Finding(
            Severity.ERROR,
            "caution.late",
            row.caution.span,
            message,
            hint,
            (Related(row.at.step.place, "the work that it protects begins here"),),
            f"{row.place}/{row.topic.id}" if row.place else row.topic.id,
        )


def too_weak(facts: Facts) -> Iterator[Finding]:
    """
    The signal word of a caution is weaker than what can happen.

    Why: people learn from the word how much care to take.
    Source: ANSI Z535.6 and ISO 3864: danger will, warning could kill or injure seriously, caution
        could injure lightly, notice is not about people (secondary sources).
    Bad:
        cautions:
          - {topic: mixer-entangle, signal: caution, before: [mix]}
    Good:
        cautions:
          - {topic: mixer-entangle, signal: warning, before: [mix]}
    """
    for row in coverage_of(facts).rows:
        caution = row.caution
        if row.verdict is not Verdict.TOO_WEAK or caution is None:
            continue
        where = f"before `{row.place}`" if row.place else "up front"
        why = "the plant's own text" if row.by_plant else _telling(row)
        yield Finding(
            Severity.ERROR,
            "caution.too-weak",
            caution.span,
            f"the caution `{caution.topic}` {where} says {caution.signal}; {row.signal} is asked "
            f"for by {why}",
            f"write `signal: {row.signal}`",
            _related([row]),
            f"{row.place}/{caution.topic}" if row.place else caution.topic,
        )


def duplicated(facts: Facts) -> Iterator[Finding]:
    """
    Two cautions of one topic stand at the same place.

    Why: the second one takes the reader's attention from the others.
    Source: ANSI Z535.6: too many messages hide the real ones (from memory).
    Bad:
        cautions:
          - {topic: mixer-entangle, before: [mix]}
          - {topic: mixer-entangle, before: [mix]}
    Good:
        cautions:
          - {topic: mixer-entangle, before: [mix]}
    """
    for found in coverage_of(facts).duplicates:
        where = f"before `{found.place}`" if found.place else "up front"
        yield Finding(
            Severity.WARNING,
            "caution.duplicated",
            found.caution.span,
            f"the caution `{found.caution.topic}` stands twice {where}",
            "delete one of the two",
            (Related(found.other.span, "the first one is here"),),
            f"{found.place}/{found.caution.topic}" if found.place else found.caution.topic,
        )


def orphaned(facts: Facts) -> Iterator[Finding]:
    """
    Nothing that can be seen in the definition calls for a caution.

    Why: a caution without a cause is mostly left over from another definition, and each one more
        hides the others. It is a note, for a person may know more than the files say.
    Source: ANSI Z535.6: too many messages hide the real ones (from memory).
    Bad:
        cautions:
          - {topic: robot-motion, before: [mix]}
    Good:
        cautions:
          - {topic: mixer-entangle, before: [mix]}
    """
    for caution in coverage_of(facts).orphans:
        yield Finding(
            Severity.NOTE,
            "caution.orphaned",
            caution.span,
            f"nothing in the definition calls for the caution `{caution.topic}`",
            "delete it, or give the card or the plant file what shows the danger",
            subject=caution.topic,
        )


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
