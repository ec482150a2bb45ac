"""How the steps tell people what to do."""

from collections.abc import Iterator

from speccomp.findings import Finding, Severity
from speccomp.rules.facts import Facts
from speccomp.rules.passages import actions, in_english, notes
from speccomp.rules.sentences import (
    first_word,
    is_imperative,
    is_order,
    second_action,
    sentences,
    word_count,
)
from speccomp.rules.words import CONDITIONS, DETERMINERS, OPENINGS

MOST_WORDS = 20
MOST_ACTIONS = 7


def _own_verbs(facts: Facts) -> frozenset[str]:
    return frozenset(verb.lower() for verb in facts.process.plant.wording.verbs)


def several_actions(facts: Facts) -> Iterator[Finding]:
    """
    One sentence tells people to do two things.

    Why: the second one is overlooked, and only one tick is made for both.
    Source: ASD-STE100: one instruction in a sentence, unless two are done at the same time.
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim and wipe the outside.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do:
              - Fill the sheath up to the rim.
              - Wipe the outside.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    verbs = _own_verbs(facts)
    for _, passage in actions(facts.process) if in_english(facts.process) else ():
        for sentence in sentences(passage.text):
            found = second_action(sentence.text, verbs)
            if found:
                verb = sentence.text[found[0] : found[1]]
                start, end = first_word(sentence.text)
                yield Finding(
                    Severity.WARNING,
                    "wording.several-actions",
                    passage.place(sentence.start + found[0], sentence.start + found[1]),
                    f"one sentence asks for two actions: “{sentence.text[start:end]} …” and "
                    f"“{verb} …”",
                    "write each action as an item of its own under `do`",
                    subject=passage.subject,
                )


def not_imperative(facts: Facts) -> Iterator[Finding]:
    """
    An instruction does not begin with what to do.

    Why: `The paste is to be mixed` does not say that it is the reader who has to mix it.
    Source: ASD-STE100: instructions are in the imperative.
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: The sheath is filled up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: When the paste is smooth, fill the sheath up to the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    verbs = _own_verbs(facts)
    for _, passage in actions(facts.process) if in_english(facts.process) else ():
        for sentence in sentences(passage.text):
            if is_imperative(sentence.text, verbs):
                continue
            start, end = first_word(sentence.text)
            word = sentence.text[start:end]
            yield Finding(
                Severity.WARNING,
                "wording.not-imperative",
                passage.place(sentence.start + start, sentence.start + end),
                f"the instruction begins with “{word}” and not with what to do",
                _how_to_begin(word),
                subject=passage.subject,
            )


def _how_to_begin(word: str) -> str:
    """Say how an instruction begins that now begins with a word that is no known verb."""
    if word.lower() in CONDITIONS | OPENINGS:
        return "end the leading words with a comma, then begin with the verb"
    hint = "begin with the verb; put what is no instruction under `note` or `why`"
    if word.lower() in DETERMINERS:
        return hint
    return (
        f"{hint}. If “{word}” is a verb of your trade, add it to `wording: {{verbs: …}}` in the "
        "plant file"
    )


def long_sentence(facts: Facts) -> Iterator[Finding]:
    """
    A sentence that tells people what to do has more than 20 words.

    Why: hands are busy and eyes leave the page; a long sentence is read in part.
    Source: ASD-STE100: at most 20 words in a sentence of a procedure.
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: >-
              Fill the sheath with the paste from the syringe, with the tip near the bottom of the
              bore, until the paste stands level with the rim on all sides.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do:
              - Hold the tip of the syringe near the bottom of the bore.
              - Fill the sheath until the paste stands level with the rim.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    for _, passage in actions(facts.process):
        for sentence in sentences(passage.text):
            count = word_count(sentence.text)
            if count > MOST_WORDS:
                yield Finding(
                    Severity.WARNING,
                    "wording.long-sentence",
                    passage.place(sentence.start, sentence.start + len(sentence.text)),
                    f"the sentence has {count} words; {MOST_WORDS} are read at one glance",
                    "split it, or put the reason under `why`",
                    subject=passage.subject,
                )


def many_actions(facts: Facts) -> Iterator[Finding]:
    """
    A step has more than seven actions.

    Why: nobody keeps more in mind between two looks at the page.
    Source: job instruction breakdowns of Training Within Industry: about five to seven steps.
    Bad:
        steps:
          - id: clean
            operation: clean
            do: [Open it., Empty it., Rinse it., Wipe it., Rinse it., Dry it., Close it., Store it.]
            look_for: [{what: bowl, accept: No residue}]
    Good:
        steps:
          - id: clean
            operation: clean
            do: [Open it., Empty it., Rinse it., Wipe it., Dry it., Close it., Store it.]
            look_for: [{what: bowl, accept: No residue}]
    """
    for step in facts.process.steps:
        if len(step.actions) > MOST_ACTIONS:
            yield Finding(
                Severity.WARNING,
                "wording.many-actions",
                step.span,
                f"`{step.id}` has {len(step.actions)} actions; about {MOST_ACTIONS} are remembered",
                "divide the step where the work has a natural stop",
                subject=step.id,
            )


def instruction_in_note(facts: Facts) -> Iterator[Finding]:
    """
    A note tells people to do something.

    Why: notes are read as background; an instruction there is not followed and not ticked off.
    Source: ASD-STE100: notes give information, not instructions.
    Bad:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: Fill the sheath up to the rim.
            note: Wipe the tip after each part.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    Good:
        steps:
          - id: fill
            operation: dispense
            method: syringe
            do: [Fill the sheath up to the rim., Wipe the tip after each part.]
            note: Mixed paste settles a little in the first minute.
            look_for: [{what: fill level, accept: Paste stands level with the rim}]
    """
    for passage in notes(facts.process) if in_english(facts.process) else ():
        for sentence in sentences(passage.text):
            if is_order(sentence.text):
                yield Finding(
                    Severity.WARNING,
                    "wording.instruction-in-note",
                    passage.span,
                    f"the note of `{passage.subject}` gives an instruction: “{sentence.text}”",
                    "move it to `do`",
                    subject=passage.subject,
                )
