"""Whatever is taken from the cautions of a definition, pasting what is found brings it back."""

from hypothesis import given, settings
from hypothesis import strategies as st

from speccomp.model.shared import Signal
from tests.cautions.test_demo_cautions import DEFINITIONS, process_of
from tests.cautions.test_pastes import Text, faults, pasted, text_of

NAME = next(name for name in DEFINITIONS if name.startswith("PD-152"))
NUMBER = len(process_of(NAME).cautions)
STEPS = [step.id for step in process_of(NAME).steps]
CHANGES = st.dictionaries(
    st.integers(0, NUMBER - 1),
    st.one_of(
        st.just("gone"),
        st.sampled_from(list(Signal)),
        st.lists(st.sampled_from(STEPS), min_size=1, max_size=3, unique=True),
        st.just("general"),
    ),
    max_size=8,
)


def changed(change: dict[int, str | Signal | list[str]]) -> Text:
    """Return the cautions with some of them changed, the last one first, so that lines stay."""
    text = text_of(NAME)
    cautions = process_of(NAME).cautions
    for number in sorted(change, reverse=True):
        line, what = cautions[number].span.line, change[number]
        if isinstance(what, list):
            text = text.with_keys(line, {"before": f"    before: [{', '.join(what)}]"})
        elif isinstance(what, Signal):
            text = text.with_keys(line, {"signal": f"    signal: {what}"})
        elif what == "general":
            text = text.with_keys(line, {"before": ""})
        elif len(cautions) > len(change):
            text = text.without(line)
    return text


@settings(max_examples=60, deadline=None)
@given(CHANGES)
def test_pasting_ends_and_leaves_nothing(change: dict[int, str | Signal | list[str]]) -> None:
    whole, text = process_of(NAME), changed(change)
    for _ in range(3 * NUMBER):
        found = faults(text, whole)
        # A text too grave for its word is cured by a person, where a word was only made weaker.
        found = [f for f in found if f.paste or f.hint.startswith("delete")]
        if not found:
            break
        text = pasted(text, found[0])
    left = faults(text, whole)
    assert [f"{f.rule} {f.subject}: {f.message}" for f in left] == []
