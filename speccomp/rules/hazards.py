"""Material cards whose hazards are wrong, unknown or only assumed."""

from collections.abc import Iterator

from speccomp.cautions.hazard_data import known_contents, statement, substances
from speccomp.cautions.hazards import Origin
from speccomp.cautions.labels import signal_word
from speccomp.findings import Finding, Severity
from speccomp.quantities import QuantityError
from speccomp.rules.cautions import coverage_of
from speccomp.rules.facts import Facts


def unknown_code(facts: Facts) -> Iterator[Finding]:
    """
    A card has a hazard statement code that does not exist.

    Why: a mistyped code calls for no caution at all.
    Source: Regulation (EC) No 1272/2008, Annex III.
    Bad:
        # liquid.yaml
        hazards: {statements: [H351, H399], signal: warning, sheet_date: 2025-05-12}
    Good:
        # liquid.yaml
        hazards: {statements: [], signal: none, sheet_date: 2025-05-12}
    """
    for material in facts.process.materials.values():
        codes = material.hazards.statements if material.hazards else ()
        given = [part.statements for part in material.composition]
        for code in dict.fromkeys((*codes, *(code for part in given for code in part))):
            if statement(code) is None:
                yield Finding(
                    Severity.ERROR,
                    "hazard.unknown-code",
                    material.hazards.span if material.hazards else material.span,
                    f"there is no hazard statement {code}",
                    "compare it with section 2 of the safety data sheet",
                    subject=material.id,
                )


def wrong_signal(facts: Facts) -> Iterator[Finding]:
    """
    The signal word of a card is not the one of its hazard statements.

    Why: word and statements come from the same section of the sheet; one of them was copied wrong.
    Source: Regulation (EC) No 1272/2008, Annex I and article 20 (from memory).
    Bad:
        # cleaner.yaml
        hazards: {statements: [H314], signal: warning, sheet_date: 2025-05-12}
    Good:
        # cleaner.yaml
        hazards: {statements: [], signal: none, sheet_date: 2025-05-12}
    """
    for material in facts.process.materials.values():
        hazards = material.hazards
        if hazards is None or not hazards.signal:
            continue
        asked = signal_word(hazards.statements) or "none"
        if asked != hazards.signal:
            yield Finding(
                Severity.WARNING,
                "hazard.wrong-signal",
                hazards.span,
                f"the card says {hazards.signal}, but {', '.join(hazards.statements) or 'nothing'} "
                f"asks for {asked}",
                f"write `signal: {asked}`, or correct the statements",
                subject=material.id,
            )


def unknown_substance(facts: Facts) -> Iterator[Finding]:
    """
    A composition has a substance of which nothing is known.

    Why: it counts as harmless until its hazard statements are given.
    Source: own rule of the file format.
    Bad:
        # cleaner.yaml
        composition:
          - {substance: mystery-oil, fraction: 10 %}
    Good:
        # cleaner.yaml
        composition:
          - {substance: mystery-oil, fraction: 10 %, statements: [H412]}
    """
    for material in facts.process.materials.values():
        for part in material.composition:
            if part.substance not in substances() and not part.statements:
                yield Finding(
                    Severity.ERROR,
                    "hazard.unknown-substance",
                    part.span,
                    f"nothing is known of the substance `{part.substance}`",
                    "give its `statements`, from the safety data sheet of the pure substance",
                    subject=material.id,
                )


def composition_sum(facts: Facts) -> Iterator[Finding]:
    """
    The shares of a composition come to more than the whole.

    Why: one of them is wrong, and with it what is inferred.
    Source: common practice, no source.
    Bad:
        # cleaner.yaml
        composition:
          - {substance: propan-2-ol, fraction: 80 %}
          - {substance: water, fraction: 30 %}
    Good:
        # cleaner.yaml
        composition:
          - {substance: alumina, fraction: 70 %}
          - {substance: water, fraction: 30 %}
    """
    for material in facts.process.materials.values():
        shares = [part.fraction for part in material.composition if part.fraction is not None]
        try:
            least = [
                share.bounds_in("%")[0] or share.exact_in(share.nominal, "%") for share in shares
            ]
        except QuantityError:
            continue
        total = sum(float(share) for share in least)
        if total > 100.0001:
            yield Finding(
                Severity.ERROR,
                "hazard.composition-sum",
                material.composition[0].span,
                f"the composition of `{material.id}` comes to {total:g} %",
                "correct the shares; of ranges the lower ends count here",
                subject=material.id,
            )


def nothing_known(facts: Facts) -> Iterator[Finding]:
    """
    A card has neither hazard statements nor a composition.

    Why: unknown is not safe; the material counts as the worst of its form until the sheet is read.
    Source: own rule; 29 CFR 1910.1200 (g) asks for a sheet of each material (from memory).
    Bad: a card without `hazards` and without `composition`
    Good: a card with one of them
    """
    for hazards in coverage_of(facts).materials:
        if hazards.origin is Origin.ASSUMED:
            yield Finding(
                Severity.WARNING,
                "hazard.nothing-known",
                hazards.span,
                f"nothing says what `{hazards.material.id}` can do; it counts as "
                f"{', '.join(hazards.codes)}",
                "add `hazards` from the maker's safety data sheet, or a `composition`",
                subject=hazards.material.id,
            )


def no_cement_life(facts: Facts) -> Iterator[Finding]:
    """
    The card of a Portland cement without chromate on its label does not say how long that holds.

    Why: what keeps the chromate down is used up with time and damp; after that the cement starts
        allergies, and its label does not say so.
    Source: CLP Annex II 2.3 (read): packing date, storage conditions and period where a reducing
        agent is used.
    Bad:
        # powder.yaml
        composition: [{substance: portland-cement, fraction: 30 %}]
    Good:
        # powder.yaml
        shelf_life: 6 months
        composition: [{substance: portland-cement, fraction: 30 %}]
    """
    for hazards in coverage_of(facts).materials:
        material, content = hazards.material, hazards.contents.get("portland-cement")
        named = any(code.startswith(("H317", "EUH203")) for code in hazards.codes)
        if content is None or named:
            continue
        missing = [
            name
            for name, given in (
                ("shelf_life", material.shelf_life),
                ("storage", material.storage_temperature or material.storage_humidity),
            )
            if not given
        ]
        if missing:
            yield Finding(
                Severity.WARNING,
                "hazard.no-cement-life",
                content.span,
                f"{content.said}, and its card has no {' and no '.join(missing)}: nothing says how "
                "long it stays without chromate",
                "add what stands on the bag",
                subject=material.id,
            )


def unknown_content(facts: Facts) -> Iterator[Finding]:
    """
    A caution pack asks for a substance or a group of substances that does not exist.

    Why: its caution would never be called for.
    Source: own rule of the file format.
    Bad:
        # plant.yaml
        caution_packs: [pack.yaml]
        # pack.yaml
        topics:
          - topic: wire-ends
            title: Sharp wire ends
            signal: caution
            stands: up front
            when: [{operation: [pack], material: {contains: [wire]}}]
            hazard: The wire ends are sharp.
            consequence: They cut fingers.
            avoid: Bend the ends over.
            source: common practice, no source
    Good:
        # plant.yaml
        caution_packs: [pack.yaml]
        # pack.yaml
        topics:
          - topic: wire-ends
            title: Sharp wire ends
            signal: caution
            stands: up front
            when: [{operation: [pack], material: {contains: [alkali-silicate]}}]
            hazard: The wire ends are sharp.
            consequence: They cut fingers.
            avoid: Bend the ends over.
            source: common practice, no source
    """
    named = {part.substance for m in facts.process.materials.values() for part in m.composition}
    known = known_contents() | named
    for topic in facts.process.plant.topics.values():
        for situation in topic.situations:
            for held in (situation.material, situation.beside):
                asked = (*held.contains, *held.without) if held is not None else ()
                for name in asked:
                    if name not in known:
                        yield Finding(
                            Severity.ERROR,
                            "hazard.unknown-content",
                            situation.span,
                            f"the topic `{topic.id}` asks for `{name}`, which is neither a "
                            "substance nor a group",
                            "name a substance of a card's composition, or a group such as "
                            "`alkali-silicate`",
                            subject=topic.id,
                        )
