"""Sentences: where they end, how long they are, and what they tell people to do."""

import time
from pathlib import Path

import pytest

from speccomp.rules.sentences import (
    is_imperative,
    is_order,
    is_verb,
    second_action,
    sentences,
    word_count,
)
from speccomp.rules.words import CLEAR_VERBS, NOUNS, VERBS
from tests.rules.fragments import findings_of

ONE_ACTION = """
Weigh the powder into the clean, dry mixing bowl.
When the timer rings, stop the mixer.
If the paste is dry, discard the batch.
Slowly pour the liquid down the side of the bowl.
With the spatula, press the paste into the bore.
Using a lint-free cloth, wipe the rim.
Do not add water.
Never open the lid while the mixer runs.
Clean and dry the parts.
Tap the sheath to settle the paste and let air out.
Make sure that the rim is clean and dry.
Remove the plug and seal from the sheath.
Record the lot number and the time on the batch record.
Check that the gap is closed and the bead is even.
Put on gloves and goggles.
De-air the paste under vacuum.
Re-blend the powder in its container.
Preheat the oven.
For each part, weigh the shot.
Within 10 min of mixing, fill the sheath.
Then close the lid.
Note the time at which the liquid touches the powder.
To remove the lid, turn it to the left.
In winter, warm the liquid to the temperature of the shop.
Store the parts with the terminals up and the labels outward.
Compare the colour with the reference tile under the shop light and the lamp.
Turn on the extraction and the light.
""".strip().splitlines()

TWO_ACTIONS = {
    "Set the timer to 4 min, then start the mixer.": "start",
    "Before each batch, clean the bowl and dry it.": "dry",
    "Mark the batch “on hold” and call the shift lead.": "call",
    "After the hold, switch the oven off and leave the door shut.": "leave",
    "Empty the bowl into the waste drum; rinse it with the wash.": "rinse",
    "Spray the first coat and wait until it is matt.": "wait",
    "Loosen the clamps and swing the jig open.": "swing",
}

NO_INSTRUCTIONS = """
The paste is mixed for 4 min.
Paste must be mixed.
Operator wipes the rim.
When the timer rings stop the mixer.
Mixing is done by hand.
It is then poured.
Powder first, liquid second.
Care must be taken with the rim.
Gloves on.
""".strip().splitlines()

ORDERS = """
Wear gloves.
Do not add water.
Check the lot number again.
Never use a wet bowl.
Keep the container closed.
Leave no residue.
Seal the bag again after use.
""".strip().splitlines()

FACTS = """
The paste looks dry for the first minute.
Note that the paste darkens.
Clean parts dry faster.
Mix life depends on temperature.
Cure time counts from the door.
Hold times are at the part.
Open containers dry out.
See PD-101 for the wash.
Cold paste sets later.
Time in the oven counts double.
Dry powder weighs less.
Press marks are accepted.
Fill levels differ with the sheath.
Heat gives the paste its strength.
""".strip().splitlines()


@pytest.mark.parametrize("text", ONE_ACTION)
def test_one_instruction(text: str) -> None:
    assert is_imperative(text)
    assert second_action(text) is None


@pytest.mark.parametrize("text", TWO_ACTIONS)
def test_two_instructions(text: str) -> None:
    found = second_action(text)
    assert found is not None
    assert text[found[0] : found[1]] == TWO_ACTIONS[text]


@pytest.mark.parametrize("text", NO_INSTRUCTIONS)
def test_no_instruction(text: str) -> None:
    assert not is_imperative(text)


@pytest.mark.parametrize("text", ORDERS)
def test_an_order_in_a_note(text: str) -> None:
    assert is_order(text)


@pytest.mark.parametrize("text", FACTS)
def test_a_fact_in_a_note(text: str) -> None:
    assert not is_order(text)


def test_sentences_and_their_places() -> None:
    text = "Use approx. 5 g. Stir it! “Wait.” Pour 0.5 g, e.g. Part A. Stop"
    found = list(sentences(text))
    assert [s.text for s in found] == [
        "Use approx. 5 g.",
        "Stir it!",
        "“Wait.”",
        "Pour 0.5 g, e.g. Part A.",
        "Stop",
    ]
    assert all(text[s.start : s.start + len(s.text)] == s.text for s in found)


def test_a_leading_number_is_no_sentence() -> None:
    assert [s.text for s in sentences("1. Open it. 2. Close it.")] == [
        "1. Open it.",
        "2. Close it.",
    ]
    assert is_imperative("1. Open it.")


def test_a_number_with_its_unit_is_one_word() -> None:
    assert word_count("Weigh 26 ± 1 g of liquid.") == 4
    assert word_count("Hold at 82 degC for 18 to 24 h.") == 5
    assert word_count("Stir – do not shake – it.") == 5
    assert word_count("") == 0


def test_a_plant_adds_verbs() -> None:
    assert not is_imperative("Degauss the ring.")
    assert is_imperative("Degauss the ring.", frozenset({"degauss"}))
    assert is_verb("re-weigh")
    assert not is_verb("powder")


def test_the_word_lists_fit_each_other() -> None:
    assert CLEAR_VERBS <= VERBS
    assert NOUNS <= CLEAR_VERBS
    assert len(VERBS) > 200


@pytest.mark.parametrize(
    "text",
    [
        "never " * 50_000,
        "and clean " * 50_000,
        "e.g. A " * 50_000,
        " " * 300_000,
        "1" * 300_000,
        "Stir, " * 50_000,
        "(" * 300_000,
        "Stir; then " * 30_000,
        "Stir to to to " * 50_000,
        ". " * 99_999,
    ],
)
def test_time_does_not_grow_with_the_square_of_the_text(text: str) -> None:
    start = time.perf_counter()
    for sentence in sentences(text):
        is_imperative(sentence.text)
        is_order(sentence.text)
        second_action(sentence.text)
        word_count(sentence.text)
    assert time.perf_counter() - start < 5


def test_only_what_could_be_a_verb_is_offered_as_one(tmp_path: Path) -> None:
    text = (
        "steps:\n  - {{id: look, operation: inspect, do: {} the part., "
        "look_for: [{{what: seal, accept: No crack}}]}}\n"
    )
    for word, offered in (("The", False), ("Every", False), ("Degauss", True)):
        found = findings_of(tmp_path / word, text.format(word))
        (finding,) = [f for f in found if f.rule == "wording.not-imperative"]
        assert ("verb of your trade" in finding.hint) is offered
