"""The built-in packs: complete, readable, sourced, and the same in both of their forms."""

import re
from pathlib import Path

import pytest

from speccomp.cautions.hazard_data import hazard_data, known_contents, statements
from speccomp.cautions.words import find_phrase
from speccomp.findings import Finding
from speccomp.model.gear import left_out
from speccomp.model.packs import Printed, Stands, Topic
from speccomp.model.resolve_packs import built_in_topics, resolve_packs
from speccomp.model.shared import Signal
from speccomp.pipeline import check_file
from speccomp.rules.caution_texts import WORD_OF_PEOPLE, WORDS_OF_DEATH
from speccomp.rules.words import VERBS
from speccomp.schema import FileKind, check_schema
from speccomp.source.yaml_tree import Tree, parse_tree
from tests.cautions.compile_packs import COMPILED, PACKS, compiled
from tests.rules.fragments import TODAY, findings_of, write_project

TOPICS = built_in_topics()
PEOPLE = [topic for topic in TOPICS.values() if topic.pack == "people"]
PRODUCT = [topic for topic in TOPICS.values() if topic.pack == "product"]
LONGEST_TEXT = 40
"""Words of hazard, consequence and avoidance together (own limit)."""
LONGEST_SENTENCE = 20
"""Words of one sentence, by the rule for procedures of ASD-STE100 (read in part)."""


def tree(text: str, file: str = "pack.yaml") -> Tree:
    outcome = parse_tree(text, file)
    assert outcome.value is not None, outcome.findings
    return outcome.value


def words(text: str) -> list[str]:
    return re.findall(r"[\w'’-]+", text)


def test_the_compiled_form_is_what_the_yaml_says() -> None:
    # After a change of speccomp/packs/*.yaml: python -m tests.cautions.compile_packs
    assert COMPILED.read_text(encoding="utf-8") == compiled()


@pytest.mark.parametrize("name", ["people", "product"])
def test_a_built_in_pack_fits_the_schema(name: str) -> None:
    path = PACKS / f"{name}.yaml"
    assert check_schema(tree(path.read_text(encoding="utf-8")), FileKind.PACK) == ()


@pytest.mark.parametrize("name", ["people", "product"])
def test_a_built_in_pack_can_be_checked_as_a_file(name: str) -> None:
    checked = check_file(PACKS / f"{name}.yaml", TODAY, PACKS)
    # Seen as a plant's own pack it repeats what is built in, and loosens nothing.
    assert checked.findings == ()


def test_both_packs_are_large_enough() -> None:
    assert len(PEOPLE) >= 50
    assert len(PRODUCT) >= 40


def test_the_people_pack_is_about_people() -> None:
    only_advice = {"glove-limits", "sds-access"}
    assert {topic.id for topic in PEOPLE if not topic.about_people} == only_advice
    assert [topic.id for topic in PRODUCT if topic.about_people] == []


@pytest.mark.parametrize("topic", TOPICS.values(), ids=lambda topic: topic.id)
def test_a_text_is_short_and_whole(topic: Topic) -> None:
    sentences = [topic.hazard, topic.consequence, topic.avoid]
    for sentence in sentences:
        # One sentence each, so that hazard, consequence and avoidance are three short sentences.
        assert sentence.endswith(".")
        assert not re.search(r"[.!?] ", sentence)
        assert len(words(sentence)) <= LONGEST_SENTENCE
    assert len(words(" ".join(sentences))) <= LONGEST_TEXT
    assert topic.title
    assert topic.source
    assert len(topic.title) <= 45


# Words that a new operator without chemistry does not know, and that therefore stand in no text.
JARGON = (
    *("exotherm*", "respirable", "sensitis*", "corrosive", "caustic", "oxidi*", "polymer*"),
    *("hydrogen", "fluoride", "carbonate", "phosphate", "amine*", "hydroxide", "catalyst*"),
    *("react", "reacts", "reaction", "neutrali*", "viscosity", "flash point", "lower flammable"),
    *("inhal*", "ingest*", "dermal", "exposure", "hazardous", "toxic", "pictogram", "statement"),
    *("setpoint", "breakthrough", "residual current", "hydraulic", "dielectric", "bonding"),
    *("binder", "filler", "solvent", "precipitat*", "agglomerat*", "segregat*", "anneal*"),
)
# Such words that stand only beside their meaning.
EXPLAINED = {
    "alkaline": "as drain cleaner does",
    "chromate": "which starts allergies",
    "ammonia": "gas",
    "formaldehyde": "a gas that bites",
    "isocyanate": "asthma",
    "HEPA": "marked",
}
LONGEST_WORD = 12
LONG_WORDS = {"formaldehyde", "clean-shaven", "temperatures", "close-fitting"}
"""Longer words that everybody knows or that stand on a label."""


@pytest.mark.parametrize("topic", TOPICS.values(), ids=lambda topic: topic.id)
def test_a_text_is_for_a_reader_who_is_no_chemist(topic: Topic) -> None:
    text = f"{topic.hazard} {topic.consequence} {topic.avoid}"
    assert [word for word in JARGON if find_phrase(word, text)] == []
    for word, meaning in EXPLAINED.items():
        assert find_phrase(word, text) is None or meaning in text
    # A code, a formula or an abbreviation of the law has no place in a sentence.
    assert not re.search(r"\b(?:EU)?[HP]\d{3}", text)
    assert not re.search(r"\b[A-Z]{3,}\b", text.replace("HEPA", ""))
    longer = {word for word in words(text) if len(word) >= LONGEST_WORD}
    assert longer <= LONG_WORDS, longer - LONG_WORDS


@pytest.mark.parametrize("topic", TOPICS.values(), ids=lambda topic: topic.id)
def test_a_text_says_what_to_do(topic: Topic) -> None:
    first = topic.avoid.split(" ")[0].rstrip(",").lower()
    assert first in AVOIDANCE or first in VERBS, first


PRINTED = [
    line["say"]
    for line in (
        *(line for entry in hazard_data()["first_aid"] for line in entry["lines"]),
        *hazard_data()["spills"],
        *hazard_data()["fires"],
    )
]


@pytest.mark.parametrize("text", PRINTED)
def test_a_printed_line_is_short_and_for_everybody(text: str) -> None:
    sentences = re.split(r"(?<=[.!?]) ", text)
    assert len(sentences) <= 3
    assert all(len(words(sentence)) <= LONGEST_SENTENCE for sentence in sentences), text
    assert [word for word in JARGON if word != "solvent" and find_phrase(word, text)] == []
    assert not re.search(r"\b[A-Z]{3,}\b", text.replace("HEPA", ""))


AVOIDANCE = {"never", "air-dry", "dam", "let"}
"""Openings of an order beside the verbs of the wording rules."""


@pytest.mark.parametrize("topic", TOPICS.values(), ids=lambda topic: topic.id)
def test_the_word_fits_the_text(topic: Topic) -> None:
    weakest = topic.weakest
    graver = {Signal.NOTICE: WORD_OF_PEOPLE, Signal.CAUTION: WORDS_OF_DEATH}.get(topic.signal, ())
    if topic.id not in ("glove-limits", "sds-access"):
        assert [word for word in graver if find_phrase(word, topic.consequence)] == []
    assert topic.signal.rank <= weakest.rank
    assert topic.signal in {situation.signal for situation in topic.situations}


@pytest.mark.parametrize("topic", TOPICS.values(), ids=lambda topic: topic.id)
def test_a_situation_asks_for_what_exists(topic: Topic) -> None:
    assert topic.situations
    codes = statements()
    for situation in topic.situations:
        for held in (situation.material, situation.beside):
            if held is None:
                continue
            assert set(held.contains) | set(held.without) <= known_contents()
            for start in (*held.hazards, *held.unless_hazard):
                assert any(code.startswith(start) for code in codes), start


@pytest.mark.parametrize("topic", PEOPLE, ids=lambda topic: topic.id)
def test_nothing_but_a_caution_answers_what_can_hurt_people(topic: Topic) -> None:
    assert topic.answers == ()


GEAR_STANDARD = re.compile(r"\b(EN|ANSI|ASTM|42 CFR|ISO)\b")
PLAIN_GEAR = {"Apron", "Overall", "Long sleeves", "Disposable sleeves", "Close-fitting sleeves"}
PLAIN_GEAR |= {"Gloves and long sleeves"}


@pytest.mark.parametrize("topic", PEOPLE, ids=lambda topic: topic.id)
def test_protective_gear_names_its_standard(topic: Topic) -> None:
    for item in topic.gear:
        assert GEAR_STANDARD.search(item) or item in PLAIN_GEAR, item


# Meanings of signs of ISO 7010, in words (from memory).
SIGNS = {"Wear a mask", "Wear eye protection", "Wear a face shield", "Wear ear protection"}
SIGNS |= {"Wear gloves", "Wear safety shoes", "Wash your hands", "Lock before work"}
SIGNS |= {"Corrosive", "Toxic", "Flammable", "Explosive", "Hot surface", "Electricity", "Sharp"}
SIGNS |= {"Under pressure", "Crushing of hands", "Starts by itself", "Falling objects"}
SIGNS |= {"Slippery", "Bad air", "No eating or drinking", "First aid", "Eye rinse"}
SIGNS |= {"Safety shower"}


def test_a_sign_is_a_meaning_in_words() -> None:
    used = {topic.sign for topic in PEOPLE if topic.sign}
    assert used == SIGNS
    assert {topic.sign for topic in PRODUCT} == {""}


def test_the_texts_of_the_packs_pass_the_wording_rules(tmp_path: Path) -> None:
    cited = "".join(f"  - topic: {name}\n" for name in TOPICS)
    found = [
        f"{finding.subject}: {finding.message}"
        for finding in findings_of(tmp_path, f"cautions:\n{cited}")
        if finding.rule.startswith("wording.")
    ]
    assert found == []


def test_what_the_document_prints_needs_no_caution() -> None:
    printed = {t.id: t.printed for t in TOPICS.values() if t.printed is not Printed.NOTHING}
    assert printed == {
        "first-aid-line": Printed.FIRST_AID,
        "spill-corrosive": Printed.SPILL,
        "sds-access": Printed.STANDING_NOTE,
    }


NEW = """
caution_pack: own
title: Own
topics:
  - topic: wire-ends
    title: Sharp wire ends
    signal: caution
    stands: up front
    when: [{operation: [pack]}]
    hazard: The wire ends are sharp.
    consequence: They cut fingers.
    avoid: Bend the ends over.
    source: common practice, no source
"""


def read(*texts: str) -> tuple[dict[str, Topic], list[Finding]]:
    found: list[Finding] = []
    return dict(resolve_packs([tree(text) for text in texts], found)), found


def test_a_plant_adds_a_topic() -> None:
    topics, found = read(NEW)
    assert found == []
    assert topics["wire-ends"].required
    assert len(topics) == len(TOPICS) + 1


def own(*lines: str) -> str:
    return "caution_pack: own\ntitle: Own\ntopics:\n" + "".join(f"  {line}\n" for line in lines)


def test_a_plant_tightens_a_topic() -> None:
    text = own(
        "- topic: slip-spill",
        "  signal: danger",
        "  stands: before each step",
        "  avoid: Call the shift lead.",
        "  when: [{operation: [pack]}]",
    )
    topics, found = read(text)
    topic = topics["slip-spill"]
    assert found == []
    assert (topic.signal, topic.stands) == (Signal.DANGER, Stands.EACH)
    assert topic.avoid == "Call the shift lead."
    assert topic.hazard == TOPICS["slip-spill"].hazard
    assert topic.situations[:-1] == TOPICS["slip-spill"].situations
    assert topic.situations[-1].operations == ("pack",)


LOOSER = [
    ("signal: notice", "weaker"),
    ("stands: up front", "looser place"),
    ("if_missing: listed", "only be listed"),
    ("printed: first aid", "does not print"),
    ("answered_by: [{check: true}]", "something else"),
    ("gear: [Overall]", "leaves out Close-fitting sleeves and Safety glasses"),
]


@pytest.mark.parametrize(("line", "said"), LOOSER)
def test_a_plant_cannot_loosen_a_topic(line: str, said: str) -> None:
    topics, found = read(own("- topic: mixer-entangle", f"  {line}"))
    assert [finding.rule for finding in found] == ["caution.pack-loosens"]
    assert said in found[0].message
    kept, base = topics["mixer-entangle"], TOPICS["mixer-entangle"]
    assert (kept.signal, kept.stands, kept.required) == (base.signal, base.stands, base.required)
    assert (kept.printed, kept.answers) == (base.printed, base.answers)
    assert kept.situations == base.situations
    assert set(kept.gear) >= set(base.gear)


def test_a_plant_names_better_gear_of_the_same_kind() -> None:
    topics, found = read(
        own("- topic: acid-into-water", "  gear: ['Full face shield, EN 166', Overall]")
    )
    assert found == []
    assert topics["acid-into-water"].gear == ("Full face shield, EN 166", "Overall")


KINDS = [
    ("Goggles, EN 166 mark 5 or ANSI/ISEA Z87.1 mark D4", "Goggles, EN 166 mark 3", True),
    ("Goggles, EN 166 mark 3", "Safety glasses, EN 166", False),
    ("Nitrile gloves 0.4 mm, EN ISO 374-1 type A", "Butyl gloves 0.7 mm", True),
    ("Heat gloves, EN 407", "Nitrile gloves 0.4 mm", False),
    ("Heat gloves, EN 407", "Gloves against heat, EN 407 level 3", True),
    ("Cut-resistant gloves, EN 388", "Heat gloves, EN 407", False),
    ("Filtering half mask, EN 149 FFP2", "Half mask EN 140 with P3 filter EN 143", True),
    ("Apron", "Rubber apron, long", True),
]


@pytest.mark.parametrize(("asked", "worn", "same"), KINDS)
def test_gear_is_compared_by_its_kind(asked: str, worn: str, same: bool) -> None:
    assert (left_out([asked], [worn]) == ()) is same


def test_two_packs_tighten_one_after_the_other() -> None:
    first = own("- topic: slip-spill", "  signal: danger")
    second = own("- topic: slip-spill", "  signal: warning")
    topics, found = read(first, second)
    assert [finding.rule for finding in found] == ["caution.pack-loosens"]
    assert topics["slip-spill"].signal is Signal.DANGER


def test_a_pack_with_two_topics_of_one_name() -> None:
    _, found = read(NEW + NEW[NEW.index("  - topic") :])
    assert [finding.rule for finding in found] == ["reference.duplicate-id"]


def test_a_plant_text_cannot_be_weaker_than_the_pack(tmp_path: Path) -> None:
    plant = (
        "# plant.yaml\ncautions:\n  - {topic: mixer-entangle, signal: notice, hazard: It turns., "
        "consequence: It stops., avoid: Wait.}\n"
    )
    path = write_project(tmp_path, plant)
    rules = [f.rule for f in check_file(path, TODAY, tmp_path).findings]
    assert rules == ["caution.pack-loosens"]


def test_a_pack_of_a_plant_is_part_of_the_definition(tmp_path: Path) -> None:
    path = write_project(tmp_path, "# plant.yaml\ncaution_packs: [pack.yaml]\n")
    checked = check_file(path, TODAY, tmp_path)
    assert checked.findings == ()
    assert checked.process is not None
    assert "pack.yaml" in checked.texts
    cited = {caution.topic: caution.avoid for caution in checked.process.cautions}
    assert cited["no-extra-water"] == "Add nothing, and discard a mix that is too stiff."


def test_a_pack_that_is_no_pack_is_refused(tmp_path: Path) -> None:
    path = write_project(tmp_path, "# plant.yaml\ncaution_packs: [powder.yaml]\n")
    rules = [f.rule for f in check_file(path, TODAY, tmp_path).findings]
    assert rules == ["schema.unknown-kind"]


def test_a_pack_outside_the_project_is_refused(tmp_path: Path) -> None:
    path = write_project(tmp_path, "# plant.yaml\ncaution_packs: [../pack.yaml]\n")
    rules = [f.rule for f in check_file(path, TODAY, tmp_path).findings]
    assert rules == ["source.outside-project"]
