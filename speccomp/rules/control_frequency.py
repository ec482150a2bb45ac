"""Sample sizes and frequencies that cannot be planned."""

from collections.abc import Callable, Iterator
from difflib import get_close_matches

from speccomp.findings import Finding, Severity, Span
from speccomp.model.process import Characteristic, Control
from speccomp.model.shared import Setting
from speccomp.rules.facts import Facts
from speccomp.rules.frequency import EVENTS, is_frequency, is_sample, vague_words

_FREQUENCY_HINT = (
    "write an event (batch, lot, shift, part, container, set-up, mix, cure run), a moment "
    "(start of shift), a time (2 h) or a number (50 parts)"
)


def _settings(
    facts: Facts, pick: Callable[[Control], Setting | None]
) -> Iterator[tuple[Setting, Characteristic]]:
    """Go through the settings that are written, each once, with the first limit they hold for."""
    seen: set[Span] = set()
    for _, item in facts.process.characteristics():
        setting = pick(item.control)
        if setting is not None and setting.span not in seen:
            seen.add(setting.span)
            yield setting, item


def _subject(setting: Setting, item: Characteristic) -> str:
    return "control_defaults" if setting.inherited else item.id


def vague_frequency(facts: Facts) -> Iterator[Finding]:
    """
    A frequency leaves it to the reader when to check.

    Why: `as needed` cannot be planned, and an auditor cannot tell whether it was kept.
    Source: IATF 16949:2016, Annex A: sample size and frequency are stated.
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, every: as needed}]
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, every: 50 parts}]
    """
    for setting, item in _settings(facts, lambda control: control.every):
        if not is_frequency(setting.value) and vague_words(setting.value):
            yield Finding(
                Severity.ERROR,
                "control.vague-frequency",
                setting.span,
                f"`{setting.value}` does not say when {item.name} is checked",
                _FREQUENCY_HINT,
                subject=_subject(setting, item),
            )


def frequency_malformed(facts: Facts) -> Iterator[Finding]:
    """
    A frequency is written in a way that cannot be read as an event, a moment, a time or a number.

    Why: what cannot be read cannot be planned or compared with the records.
    Source: IATF 16949:2016, Annex A: sample size and frequency; the words are this program's own.
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, every: bacth}]
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, every: start of shift and 2 h}]
    """
    for setting, item in _settings(facts, lambda control: control.every):
        if is_frequency(setting.value) or vague_words(setting.value):
            continue
        near = get_close_matches(setting.value.lower(), EVENTS, n=1)
        yield Finding(
            Severity.ERROR,
            "control.frequency-malformed",
            setting.span,
            f"`{setting.value}` is no frequency that can be planned",
            f"did you mean `{near[0]}`?" if near else _FREQUENCY_HINT,
            subject=_subject(setting, item),
        )


def sample_malformed(facts: Facts) -> Iterator[Finding]:
    """
    A sample size is neither a whole number above zero nor 100 %.

    Why: the control plan and the job sheet count the checks that are due.
    Source: IATF 16949:2016, Annex A: sample size and frequency; the words are this program's own.
    Bad:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, sample: a few}]
    Good:
        steps:
          - id: look
            operation: inspect
            do: Look at the seal of each part.
            look_for: [{what: seal, accept: No crack, sample: 100 %}]
    """
    for setting, item in _settings(facts, lambda control: control.sample):
        if not is_sample(setting.value):
            yield Finding(
                Severity.ERROR,
                "control.sample-malformed",
                setting.span,
                f"`{setting.value}` does not say how many are looked at for {item.name}",
                "write a whole number, for example `sample: 5`, or `sample: 100 %`",
                subject=_subject(setting, item),
            )
