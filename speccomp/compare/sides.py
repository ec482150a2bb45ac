"""The two revisions side by side, and how a change of them is written down."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from speccomp.compare.canonical import Branch, Canonical, Node, build_canonical
from speccomp.compare.change import Change, Size
from speccomp.compare.differences import Difference
from speccomp.compare.matching import match_processes
from speccomp.compare.paths import Path
from speccomp.compare.places import Places
from speccomp.compare.significance import weightiest_first
from speccomp.compare.titles import subject_of, title_of
from speccomp.findings import Related
from speccomp.model.process import Process
from speccomp.source.project import Sources


@dataclass(frozen=True, slots=True)
class Side:
    """One revision: its model, its canonical form, and where its values stand."""

    process: Process
    form: Canonical
    places: Places


@dataclass(frozen=True, slots=True)
class Sides:
    """
    Two revisions of a definition.

    `names` are the ids that texts of either may mention, `topics` the titles of the topics of
    cautions by their ids.
    """

    before: Side
    after: Side
    names: frozenset[str]
    topics: Mapping[str, str]

    @property
    def both(self) -> tuple[Side, Side]:
        """The two revisions."""
        return self.before, self.after

    def texts(self, path: Path) -> tuple[str, str]:
        """Return the texts at a path in the two revisions; empty where there is none."""
        return self.before.form.text(path), self.after.form.text(path)

    def text(self, path: Path) -> str:
        """Return the text at a path in the later revision, else in the earlier one."""
        before, after = self.texts(path)
        return after or before

    def title(self, path: Path) -> str:
        """Return what a path leads to in words."""
        return title_of(self.text, path, self.topics)

    def nodes(self, path: Path) -> tuple[Node, Node]:
        """Return the values at a path in the two revisions."""
        return self.before.form.get(path), self.after.form.get(path)

    def branches(self, path: Path) -> tuple[Branch, Branch]:
        """Return the branches at a path in the two revisions."""
        return self.before.form.branch(path), self.after.form.branch(path)

    def change(
        self,
        kind: str,
        found: Difference | Sequence[Difference],
        rules: Iterable[str],
        *,
        values: tuple[Node, Node] | None = None,
        size: Size | None = None,
        note: str = "",
        related: tuple[Related, ...] = (),
    ) -> Change:
        """
        Write down a change that covers one or several differences.

        Values are those of the first difference unless given; subject, title and places follow
        from its path.
        """
        differences = [found] if isinstance(found, Difference) else list(found)
        first = differences[0]
        before, after = values or (first.before, first.after)
        return Change(
            kind=kind,
            subject=subject_of(first.path),
            title=self.title(first.path),
            before=before,
            after=after,
            rules=weightiest_first(rules),
            covers=tuple(difference.path for difference in differences),
            size=size,
            before_span=self.before.places.span(first.path) if before is not None else None,
            after_span=self.after.places.span(first.path) if after is not None else None,
            note=note,
            related=related,
        )


def put_side_by_side(
    before: Process, after: Process, sources: tuple[Sources, Sources] | None
) -> Sides:
    """Match two revisions and give both their canonical forms."""
    matching = match_processes(before, after)
    sides = []
    for process, names, files in (
        (before, matching.before, sources[0] if sources else None),
        (after, matching.after, sources[1] if sources else None),
    ):
        form = build_canonical(process, names)
        sides.append(Side(process, form, Places(form, files)))
    topics = {**before.plant.topics, **after.plant.topics}
    titles = {key: topic.title for key, topic in topics.items()}
    return Sides(sides[0], sides[1], frozenset(_names(before)) | frozenset(_names(after)), titles)


def _names(process: Process) -> Iterable[str]:
    """Yield the ids that a text can mention."""
    yield from process.materials
    yield from process.records
    yield from process.reactions
    yield from process.plant.equipment
    yield from (step.id for step in process.steps)
    yield from (item.tag for item in process.plant.equipment.values() if item.tag)
