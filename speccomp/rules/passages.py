"""The texts of a definition that people read, with the place of each."""

from collections.abc import Iterator
from dataclasses import dataclass

from speccomp.findings import Span
from speccomp.model.process import Process, Step


@dataclass(frozen=True, slots=True)
class Passage:
    """A text, its place, and the id of what it belongs to."""

    text: str
    span: Span
    subject: str

    def place(self, start: int, end: int) -> Span:
        """
        Return the place of a part of the text.

        It is the whole place where the text is not written there letter by letter, on one line.
        """
        width = self.span.end_column - self.span.column
        quotes = width - len(self.text)
        if self.span.line != self.span.end_line or quotes not in (0, 2):
            return self.span
        return self.span.within(start + quotes // 2, end + quotes // 2)


def in_english(process: Process) -> bool:
    """Tell whether the word lists fit the language of the definition."""
    return process.language == "en" or process.language.startswith("en-")


def actions(process: Process) -> Iterator[tuple[Step, Passage]]:
    """Go through what operators are told to do; a text that several steps share comes once."""
    seen: set[tuple[Span, str]] = set()
    for step in process.steps:
        for text, span in zip(step.actions, step.action_spans, strict=False):
            if (span, text) not in seen:
                seen.add((span, text))
                yield step, Passage(text, span, step.id)


def notes(process: Process) -> Iterator[Passage]:
    """Go through the notes of the steps."""
    seen: set[tuple[Span, str]] = set()
    for step in process.steps:
        if step.note and (step.span, step.note) not in seen:
            seen.add((step.span, step.note))
            yield Passage(step.note, step.span, step.id)


def criteria(process: Process) -> Iterator[Passage]:
    """Go through the words by which results are judged."""
    seen: set[tuple[Span, str]] = set()
    for _, item in process.characteristics():
        text = item.requirement
        if isinstance(text, str) and (item.span, text) not in seen:
            seen.add((item.span, text))
            yield Passage(text, item.span, item.id)


def orders(process: Process) -> Iterator[Passage]:
    """Go through the actions of the reaction plans in use, and what the cautions tell to do."""
    named = {i.control.reaction.value for _, i in process.characteristics() if i.control.reaction}
    for name, reaction in process.reactions.items():
        for action in reaction.actions if name in named else ():
            yield Passage(action, reaction.span, name)
    for caution in process.cautions:
        yield Passage(caution.avoid, caution.span, caution.topic)
