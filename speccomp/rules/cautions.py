"""Cautions that are missing, late, too weak, doubled, or that nothing calls for."""

from collections.abc import Iterator, Sequence

from speccomp.cautions.coverage import Coverage, Row, build_coverage, cautions_before
from speccomp.cautions.cures import (
    Cure,
    cures_of_duplicates,
    cures_of_late,
    cures_of_missing,
    cures_of_too_weak,
)
from speccomp.findings import Finding, Related, Severity
from speccomp.model.packs import Stands
from speccomp.model.shared import Caution
from speccomp.rules.facts import Facts


def coverage_of(facts: Facts) -> Coverage:
    """Return the coverage of a definition, made here where the facts come without one."""
    if facts.coverage is not None:
        return facts.coverage
    return build_coverage(facts.process, facts.derived.boiling_point)


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
    for cure in cures_of_missing(process, coverage_of(facts).rows):
        topic, into = cure.rows[0].topic.id, cure.into
        added = "add to `cautions`:" if "cautions" in process.spans else _AT_THE_END
        whole = into is None and all(caution.topic != topic for caution in process.cautions)
        yield Finding(
            Severity.ERROR,
            "caution.missing",
            cure.rows[0].at.step.place,
            _lacks(topic, cure.rows),
            added if into is None else _written_into(into, cure.paste),
            _related(cure.rows, into),
            topic if whole else _subject(cure),
            paste=cure.paste,
        )


_AT_THE_END = "add at the end of the file:"


def _written_into(caution: Caution, paste: str) -> str:
    """Say where the keys of a paste go; two of them stand where the word changes as well."""
    keys = [f"`{key}`" for key in ("signal", "before") if f"{key}: " in paste]
    return (
        f"in the caution `{caution.topic}` of line {caution.span.line}, write as {_listed(keys)}:"
    )


def _subject(cure: Cure) -> str:
    """Return the steps and the topic: a waiver of one step does not cover another one."""
    topic = cure.rows[0].topic.id
    places = [row.place for row in cure.rows if row.place]
    return f"{','.join(places)}/{topic}" if places else topic


def _lacks(topic: str, rows: Sequence[Row]) -> str:
    title = rows[0].topic.title
    title = title[0].lower() + title[1:] if title[1:2].islower() else title
    return f"no caution `{topic}` ({title}) stands {_where(rows)}: {_telling(rows[0])}"


def _where(rows: Sequence[Row]) -> str:
    places = [f"`{row.place}`" for row in rows if row.place]
    return f"before {_listed(places)}" if places else "up front"


def _telling(row: Row) -> str:
    """Return the fact that tells most: the operation comes first, and says least."""
    return row.facts[-1].text


def _listed(words: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


def _related(rows: Sequence[Row], into: Caution | None = None) -> tuple[Related, ...]:
    facts = dict.fromkeys(fact for row in rows for fact in row.facts[-1:])
    found = [Related(fact.span, f"this calls for it: {fact.text}") for fact in [*facts][:3]]
    return (*(() if into is None else (Related(into.span, "it stands here"),)), *found)


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
    process = facts.process
    for cure in cures_of_late(process, coverage_of(facts).rows):
        row, caution = cure.rows[0], cure.into
        if caution is None:
            continue
        stands = _listed([f"`{place}`" for place in caution.before])
        if row.scene is None:
            message = f"the caution `{row.topic.id}` stands before {stands}, not up front"
            hint = "delete its `before`, so that it stands with the general cautions"
        else:
            needing = _listed([f"`{row.place}`" for row in cure.rows])
            needs = "needs" if len(cure.rows) == 1 else "need"
            message = (
                f"the caution `{row.topic.id}` stands before {stands}, but {needing} {needs} it "
                f"earlier: {_telling(row)}"
            )
            hint = _written_into(caution, cure.paste)
        yield Finding(
            Severity.ERROR,
            "caution.late",
            caution.span,
            message,
            hint,
            (Related(row.at.step.place, "the work that it protects begins here"),),
            _subject(cure),
            paste=cure.paste,
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
    for cure in cures_of_too_weak(coverage_of(facts).rows):
        caution = cure.into
        if caution is None:
            continue
        row = min(cure.rows, key=lambda row: row.signal.rank)
        why = "the plant's own text" if row.by_plant else _telling(row)
        yield Finding(
            Severity.ERROR,
            "caution.too-weak",
            caution.span,
            f"the caution `{caution.topic}` {_where(cure.rows)} says {caution.signal}; "
            f"{row.signal} is asked for by {why}",
            _written_into(caution, cure.paste),
            _related(cure.rows),
            _subject(cure),
            paste=cure.paste,
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
    for cure in cures_of_duplicates(coverage_of(facts).duplicates):
        topic, places = cure.drop.topic, [f"`{place}`" for place in cure.places]
        where = f"before {_listed(places)}" if places else "up front"
        yield Finding(
            Severity.WARNING,
            "caution.duplicated",
            cure.drop.span,
            f"the caution `{topic}` stands twice {where}",
            _written_into(cure.drop, cure.paste) if cure.paste else "delete this one",
            (Related(cure.keep.span, "the other one is here"),),
            f"{','.join(cure.places)}/{topic}" if places else topic,
            paste=cure.paste,
        )


MOST_BEFORE_A_STEP = 3
"""Cautions before one step (own limit)."""


def too_many(facts: Facts) -> Iterator[Finding]:
    """
    More than three cautions stand before one step.

    Why: who meets a pile of panels at every turn learns to skip them, the grave one too. What is
        general stands up front or before an earlier step; a step that has many dangers of its own
        is more than one step.
    Source: ANSI Z535.6: too many messages hide the real ones (from memory); three is an own limit.
    Bad:
        cautions:
          - {topic: eye-wash}
          - {topic: hygiene-hands, before: [mix]}
          - {topic: nuisance-dust, before: [weigh-powder, mix]}
          - {topic: alkali-splash, before: [weigh-liquid, mix, fill]}
          - {topic: mixer-entangle, before: [mix]}
    Good:
        cautions:
          - {topic: eye-wash}
          - {topic: hygiene-hands}
          - {topic: nuisance-dust, before: [weigh-powder, mix]}
          - {topic: alkali-splash, before: [weigh-liquid, mix, fill]}
          - {topic: mixer-entangle, before: [mix]}
    """
    process = facts.process
    rows = coverage_of(facts).rows
    here = {(row.topic.id, row.place) for row in rows if row.topic.stands is Stands.EACH}
    steps = {step.id: step for step in process.steps}
    for place, cautions in cautions_before(process).items():
        # A doubled one is a fault of its own.
        standing = tuple({caution.topic: caution for caution in cautions}.values())
        if len(standing) <= MOST_BEFORE_A_STEP:
            continue
        free = [f"`{c.topic}`" for c in standing if (c.topic, place) not in here]
        yield Finding(
            Severity.NOTE,
            "caution.too-many",
            steps[place].place,
            f"{len(standing)} cautions stand before `{place}`; more than {MOST_BEFORE_A_STEP} are "
            "skipped",
            f"put {_listed(free)} earlier, or split the step"
            if free
            else "split the step, so that each part has the cautions of its own",
            tuple(Related(c.span, f"one of them is `{c.topic}`") for c in standing),
            place,
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
