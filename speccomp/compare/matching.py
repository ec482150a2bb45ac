"""Which steps, limits, segments, cautions and waivers of two revisions are the same ones."""

from collections.abc import Sequence
from dataclasses import dataclass, field

from speccomp.compare.alignment import Pairs, align_sequence, dice, match_equal, match_similar
from speccomp.compare.canonical import (
    Branch,
    Names,
    Node,
    build_item,
    key_of,
    later_place,
    limits_of_segment,
    own_limits,
)
from speccomp.compare.paths import Pair, Part, Path
from speccomp.model.process import Characteristic, Process, Segment, Step, Waiver
from speccomp.model.shared import Caution, Setting
from speccomp.quantities import Toleranced

_ALIKE = 0.75
_STEPS: Path = ("steps",)
_COMMON = frozenset({"operation", "material", "product", "block", "use"})


@dataclass(slots=True)
class Matching:
    """What the items of lists are called in the two revisions, by path of the list and index."""

    before: Names = field(default_factory=Names)
    after: Names = field(default_factory=Names)

    def name(
        self, path: Path, before: Sequence[str], after: Sequence[str], pairs: Pairs
    ) -> dict[tuple[int, int], Part]:
        """Give all items of two lists their parts of the path; return those of the pairs."""
        taken: set[Part] = set()
        parts: dict[tuple[int, int], Part] = {}
        for i, j in pairs:
            same = before[i] == after[j]
            parts[i, j] = part = _free(before[i] if same else Pair(before[i], after[j]), taken)
            self.before.parts[path, i] = self.after.parts[path, j] = part
        for names, texts in ((self.before, before), (self.after, after)):
            for index, text in enumerate(texts):
                if (path, index) not in names.parts:
                    names.parts[path, index] = _free(text, taken)
        return parts


def _free(part: Part, taken: set[Part]) -> Part:
    free, count = part, 2
    while free in taken:
        free = (
            Pair(f"{part.before}#{count}", f"{part.after}#{count}")
            if isinstance(part, Pair)
            else f"{part}#{count}"
        )
        count += 1
    taken.add(free)
    return free


def match_processes(before: Process, after: Process) -> Matching:
    """Match all lists of two revisions whose items have no name of their own in common."""
    topics = after.plant.topics
    shared = frozenset(k for k, topic in before.plant.topics.items() if topics.get(k) is topic)
    renamed = _renamed_materials(before, after)
    ours, theirs = ({pair[side]: pair for pair in renamed} for side in (0, 1))
    matching = Matching(
        Names(materials=ours, shared=shared), Names(materials=theirs, shared=shared)
    )
    _match_steps(matching, before, after)
    _match_cautions(matching, before.cautions, after.cautions)
    _match_waivers(matching, before.waivers, after.waivers)
    return matching


def _renamed_materials(before: Process, after: Process) -> list[Pair]:
    """Return the materials that only the definitions call otherwise, by the id on their cards."""
    gone = {card.id: key for key, card in before.materials.items() if key not in after.materials}
    new = {card.id: key for key, card in after.materials.items() if key not in before.materials}
    return [Pair(gone[ident], new[ident]) for ident in gone if ident in new]


def _match_steps(matching: Matching, before: Process, after: Process) -> None:
    ours = [_content(before, step) for step in before.steps]
    theirs = [_content(after, step) for step in after.steps]
    ids = [step.id for step in before.steps], [step.id for step in after.steps]
    pairs = match_equal(ids[0], ids[1], str, [])
    pairs = match_equal(ours, theirs, repr, pairs)
    pairs = match_similar(ours, theirs, _step_likeness, _ALIKE, pairs)
    parts = matching.name(_STEPS, *ids, sorted(pairs))
    for (i, j), part in parts.items():
        old, new = before.steps[i], after.steps[j]
        matching.before.later.setdefault(old.id, new.id)
        limits = own_limits(old, before.ratio), own_limits(new, after.ratio)
        _match_limits(matching, (*_STEPS, part), *limits)
        _match_profile(matching, (*_STEPS, part), old, new)


def _content(process: Process, step: Step) -> Branch:
    """Return a step without its name."""
    return {key: node for key, node in build_item(process, step).items() if key != "id"}


def _step_likeness(one: Branch, other: Branch) -> float:
    """Return how alike two steps are; those of another operation or material are not."""
    if any(one.get(key) != other.get(key) for key in ("operation", "material")):
        return 0.0
    return dice(_lines(one), _lines(other))


def _lines(node: Node, head: str = "") -> list[str]:
    """Return what sets a step apart from others as a bag of lines, plant defaults left out."""
    if isinstance(node, dict):
        return [
            line
            for key, value in node.items()
            if key not in _COMMON
            for line in _lines(value, f"{head}/{key}")
        ]
    if isinstance(node, tuple):
        return [f"{head}: {item}" for item in node]
    if node is None or (isinstance(node, Setting) and node.inherited):
        return []
    return [f"{head}: {node!r}"]


def _match_limits(
    matching: Matching,
    path: Path,
    before: Sequence[Characteristic],
    after: Sequence[Characteristic],
) -> None:
    """Match limits by name, then by content."""
    pairs = match_equal(before, after, key_of, [])
    pairs = match_equal(before, after, _limit_content, pairs)
    names = [key_of(item) for item in before], [key_of(item) for item in after]
    matching.name((*path, "characteristics"), *names, sorted(pairs))


def _limit_content(item: Characteristic) -> str:
    return repr((item.requirement, item.product, item.control))


def _match_profile(matching: Matching, path: Path, before: Step, after: Step) -> None:
    pairs = align_sequence(before.profile, after.profile, _segment_likeness)
    matching.name((*path, "profile"), _numbered(before), _numbered(after), pairs)


def _numbered(step: Step) -> list[str]:
    return [f"{key_of(segment)}-{n}" for n, segment in enumerate(step.profile, start=1)]


def _segment_likeness(one: Segment, other: Segment) -> float:
    """Return how alike two segments are; a hold and a ramp are not."""
    if type(one) is not type(other):
        return 0.0
    ours, theirs = (
        [limit.requirement for limit in limits_of_segment(segment)] for segment in (one, other)
    )
    same = sum(_near(a, b) for a, b in zip(ours, theirs, strict=False))
    return 0.25 + same


def _near(one: Toleranced | str, other: Toleranced | str) -> float:
    """Return 1 for the same limit, less the further the nominal values lie apart."""
    if one == other:
        return 1.0
    if isinstance(one, str) or isinstance(other, str) or one.kind is not other.kind:
        return 0.0
    a, b = (float(value.nominal_quantity.to_base_units().magnitude) for value in (one, other))
    apart = abs(a - b) / max(abs(a), abs(b), 1e-9)
    return max(0.0, 0.9 - apart)


def _match_cautions(
    matching: Matching, before: Sequence[Caution], after: Sequence[Caution]
) -> None:
    """Match cautions of one topic: the same text and places first, then what protects a step."""
    pairs: Pairs = []
    for key in (_whole, _text_and_topic, _places_and_topic):
        pairs = match_equal(before, after, key, pairs)
    pairs = match_similar(before, after, _caution_likeness, 0.01, pairs)
    pairs = match_equal(before, after, lambda caution: caution.topic, pairs)
    names = [caution.topic for caution in before], [caution.topic for caution in after]
    # Cautions of one topic are numbered by what they say, so that both directions number alike.
    pairs.sort(key=lambda pair: sorted((repr(before[pair[0]]), repr(after[pair[1]]))))
    matching.name(("cautions",), *names, pairs)


def _whole(caution: Caution) -> object:
    return caution


def _text_and_topic(caution: Caution) -> object:
    return (caution.topic, caution.hazard, caution.consequence, caution.avoid)


def _places_and_topic(caution: Caution) -> object:
    return (caution.topic, caution.before)


def _caution_likeness(one: Caution, other: Caution) -> float:
    return dice(one.before, other.before) if one.topic == other.topic and one.before else 0.0


def _match_waivers(matching: Matching, before: Sequence[Waiver], after: Sequence[Waiver]) -> None:
    """Match waivers by what they cover, at steps as they are called in the later revision."""
    ours = [f"{w.finding}@{later_place(w.at, matching.before.later)}" for w in before]
    theirs = [f"{w.finding}@{later_place(w.at, {})}" for w in after]
    matching.name(("waivers",), ours, theirs, sorted(match_equal(ours, theirs, str, [])))
