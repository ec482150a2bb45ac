"""What the caution coverage shows, as plain text in order."""

from dataclasses import dataclass

from speccomp.documents.views import Table, TitleBlock


@dataclass(frozen=True, slots=True)
class CoverageRow:
    """
    One caution that is called for.

    `word` is the signal word asked for, `signal` the same for the style. `facts` say what calls
    for it, each with its place. `answer` is what answers it. `verdict` is in words; `good` tells
    that nothing is open.
    """

    topic: str
    title: str
    signal: str
    word: str
    facts: tuple[str, ...]
    answer: str
    verdict: str
    good: bool


@dataclass(frozen=True, slots=True)
class CoverageGroup:
    """The rows of one place: up front, or before one step."""

    place: str
    heading: str
    rows: tuple[CoverageRow, ...]


@dataclass(frozen=True, slots=True)
class CautionCoverage:
    """
    The caution coverage, top to bottom.

    `counts` sum it up. `materials` are the hazards with from where they are known, `assumptions`
    what was taken for granted. `orphans` are cautions that nothing calls for, `doubled` those that
    stand twice; `own_words` sets texts that replace those of the packs beside them. `advice`
    lists topics that would do no harm; `sources` who asks for each topic.
    """

    title_block: TitleBlock
    standing_note: str
    counts: Table
    materials: Table
    assumptions: tuple[str, ...]
    signal_words: Table
    groups: tuple[CoverageGroup, ...]
    orphans: Table
    doubled: Table
    own_words: Table
    advice: Table
    sources: Table
    history: Table
    waived: Table
