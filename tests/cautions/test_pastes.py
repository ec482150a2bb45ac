"""
What a finding gives to paste cures it, pasted as it is at the place that the finding says.

Each caution of each demo definition is taken away, taken from one of its steps, moved behind, and
weakened, in the text of the file; then what is found is pasted, and nothing more may be found.
"""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import pytest

from speccomp.findings import Finding
from speccomp.model.node import Node
from speccomp.model.packs import texts_of
from speccomp.model.process import Process
from speccomp.model.resolve_shared import resolve_cautions
from speccomp.model.shared import Caution, Signal
from speccomp.source.yaml_tree import parse_tree
from tests.cautions.test_demo_cautions import DEFINITIONS, DEMO, findings, places, process_of

ENTRY = "  - "


@dataclass(frozen=True)
class Text:
    """The cautions of a file, with as many empty lines before them as it has others."""

    lines: tuple[str, ...]

    def process(self, whole: Process) -> Process:
        """Return a definition with these cautions."""
        found: list[Finding] = []
        tree = parse_tree("\n".join(self.lines) + "\n", "definition.yaml").value
        assert tree is not None, self.lines
        plant = whole.plant
        known = {**texts_of(plant.topics, plant.local_codes), **plant.cautions}
        node = Node(tree, found)
        cautions = resolve_cautions(node, known)
        assert found == []
        spans = {key: span for key, span in whole.spans.items() if key != "cautions"}
        if node.get("cautions") is not None:
            spans["cautions"] = node.child("cautions").key_span
        return replace(whole, cautions=cautions, spans=spans)

    def entry(self, line: int) -> range:
        """Return the lines of the entry that begins at a line, counted from 1."""
        end = line
        while end < len(self.lines) and not self.lines[end].startswith(ENTRY):
            end += 1
        return range(line - 1, end)

    def without(self, line: int) -> "Text":
        """Return the text without an entry."""
        mine = self.entry(line)
        return Text(tuple(text for n, text in enumerate(self.lines) if n not in mine))

    def with_keys(self, line: int, keys: dict[str, str]) -> "Text":
        """Return the text with keys of an entry written anew, or taken away where empty."""
        mine = self.entry(line)
        kept, skip = [], False
        for text in (self.lines[n] for n in mine):
            key = re.match(r"^ {4}([a-z]+):", text)
            if key or text.startswith(ENTRY):
                skip = key is not None and key[1] in keys
            if not skip:
                kept.append(text)
        added = [text for written in keys.values() for text in written.splitlines()]
        return Text((*self.lines[: mine.start], *kept, *added, *self.lines[mine.stop :]))


def text_of(name: str) -> Text:
    lines = (DEMO / "definitions" / name).read_text(encoding="utf-8").splitlines()
    start = lines.index("cautions:")
    return Text(("",) * start + tuple(lines[start:]))


def keys_of(paste: str) -> dict[str, str]:
    """Return the lines of each key that is pasted into an entry."""
    keys: dict[str, str] = {}
    name = ""
    for line in paste.splitlines():
        key = re.match(r"^ {4}([a-z]+):", line)
        name = key[1] if key else name
        keys[name] = f"{keys[name]}\n{line}" if name in keys else line
    return keys


def pasted(text: Text, finding: Finding) -> Text:
    """Do what the hint says."""
    if finding.hint == "add to `cautions`:":
        start = text.lines.index("cautions:") + 1
        return Text((*text.lines[:start], *finding.paste.splitlines(), *text.lines[start:]))
    if finding.hint.startswith("delete its `before`"):
        return text.with_keys(finding.span.line, {"before": ""})
    if finding.hint == "delete this one":
        return text.without(finding.span.line)
    said = re.fullmatch(r"in the caution `[\w-]+` of line (\d+), write as [`\w ]+:", finding.hint)
    assert said is not None, finding.hint
    return text.with_keys(int(said[1]), keys_of(finding.paste))


def faults(text: Text, whole: Process) -> list[Finding]:
    """Return what is found, without the note that many cautions stand before one step."""
    # Pasted is the step that calls for it; which of many stands earlier is for a person to choose.
    return [f for f in findings(text.process(whole)) if f.rule != "caution.too-many"]


def cured(name: str, text: Text, topic: str) -> Text:
    """Paste what the first finding says until nothing is found; each time it must be gone."""
    whole = process_of(name)
    found = faults(text, whole)
    while found:
        (first, *rest) = found
        assert first.subject.rpartition("/")[2] == topic, first.message
        text = pasted(text, first)
        found = faults(text, whole)
        assert {f.message for f in found} < {f.message for f in rest} | {first.message}
    return text


Change = Callable[[str, Text, Caution], Iterator[tuple[str, Text]]]


def taken_away(_: str, text: Text, caution: Caution) -> Iterator[tuple[str, Text]]:
    yield "caution.missing", text.without(caution.span.line)


def taken_from_a_step(name: str, text: Text, caution: Caution) -> Iterator[tuple[str, Text]]:
    needed = places(name, caution)
    for place in caution.before if len(caution.before) > 1 else ():
        if place in needed:
            rest = [step for step in caution.before if step != place]
            line = f"    before: [{', '.join(rest)}]"
            yield "", text.with_keys(caution.span.line, {"before": line})


def moved_behind(name: str, text: Text, caution: Caution) -> Iterator[tuple[str, Text]]:
    ids = [step.id for step in process_of(name).steps]
    needed = [ids.index(place) for place in places(name, caution) if place]
    behind = ids[max(needed) + 1] if needed else ids[-1]
    yield "", text.with_keys(caution.span.line, {"before": f"    before: [{behind}]"})


def weakened(_: str, text: Text, caution: Caution) -> Iterator[tuple[str, Text]]:
    if caution.signal is not Signal.NOTICE:
        weaker = list(Signal)[caution.signal.rank + 1]
        line = f"    signal: {weaker}"
        yield "caution.too-weak", text.with_keys(caution.span.line, {"signal": line})


def doubled(name: str, text: Text, caution: Caution) -> Iterator[tuple[str, Text]]:
    ids = [step.id for step in process_of(name).steps]
    mine = [f"  - topic: {caution.topic}", f"    signal: {caution.signal}"]
    own = [text.lines[n] for n in text.entry(caution.span.line)]
    entry = [*mine, *(line for line in own[1:] if not line.startswith("    signal:"))]
    yield "caution.duplicated", Text((*text.lines, *entry))
    if caution.before:
        # One that stands also where nothing else does keeps that place.
        more = [caution.before[0], ids[-1]]
        line = f"    before: [{', '.join(more)}]"
        rest = [line for line in entry if not line.startswith(("    before:", "      "))]
        yield "caution.duplicated", Text((*text.lines, *rest, line))


CHANGES: tuple[Change, ...] = (taken_away, taken_from_a_step, moved_behind, weakened, doubled)


@pytest.mark.parametrize("change", CHANGES, ids=lambda change: change.__name__)
@pytest.mark.parametrize("name", DEFINITIONS)
def test_what_is_pasted_cures(name: str, change: Change) -> None:
    text, number = text_of(name), 0
    whole = process_of(name)
    for caution in whole.cautions:
        for rule, broken in change(name, text, caution):
            found = faults(broken, whole)
            # A weaker word can also be at odds with the text, which is cured with it.
            rules = {f.rule for f in found} - {"caution.text-against-word"}
            assert rules, caution.topic
            assert rules == {rule} if rule else rules <= {"caution.missing", "caution.late"}
            mended = cured(name, broken, caution.topic).process(whole)
            entries = [c for c in mended.cautions if c.topic == caution.topic]
            wanted = sum(c.topic == caution.topic for c in whole.cautions)
            least = wanted + (change is doubled)
            assert len(entries) <= least, "no second entry where one does it"
            number += 1
    assert number or change is taken_from_a_step
