"""How often and how many: what can be planned and what cannot."""

import pytest

from speccomp.rules.frequency import is_frequency, is_sample, vague_words


@pytest.mark.parametrize(
    "text",
    [
        "batch",
        "Batch",
        "each lot",
        "every shift",
        "set-up",
        "cure run",
        "2 h",
        "2h",
        "0.5 h",
        "1.5 h",
        "every 30 min",
        "50 parts",
        "3 batches",
        "start of shift",
        "end of the run",
        "first part",
        "first and last part of each batch",
        "before first use",
        "before each use",
        "after set-up",
        "after 100 parts",
        "start of shift and 2 h",
        "set-up, 50 parts",
        "delivery",
        "4 weeks",
        "continuous",
    ],
)
def test_frequencies(text: str) -> None:
    assert is_frequency(text)


@pytest.mark.parametrize(
    "text",
    (
        *("", "50", "0 parts", "batch batch", "as needed", "periodically", "bacth", "0 h", "h"),
        *("parts", "per procedure", "2 h or so", "start of", "and", "full moon"),
    ),
)
def test_no_frequencies(text: str) -> None:
    assert not is_frequency(text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("as needed", "as needed"),
        ("when necessary", "when necessary"),
        ("checked periodically", "periodically"),
        ("spot check", "spot check"),
        ("at random", "random"),
        ("per procedure", "per procedure"),
        ("Regularly", "Regularly"),
    ],
)
def test_words_that_cannot_be_planned(text: str, words: str) -> None:
    found = vague_words(text)
    assert found is not None
    assert text[found[0] : found[1]] == words


@pytest.mark.parametrize("text", ["batch", "2 h", "bacth", "soft enoughness", "perprocedure"])
def test_words_that_are_not_vague(text: str) -> None:
    assert vague_words(text) is None


@pytest.mark.parametrize("text", ["1", "5", "100", "100 %", "100%", " 5 "])
def test_samples(text: str) -> None:
    assert is_sample(text)


@pytest.mark.parametrize("text", ["0", "-1", "1.5", "50 %", "", "all", "a few", "1 to 3", "٣"])
def test_no_samples(text: str) -> None:
    assert not is_sample(text)
