"""What follows from the changes, as the comparison report shows it."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from speccomp.compare.change import Comparison
from speccomp.compare.effects import NumberChange
from speccomp.compare.marks import Marks
from speccomp.documents.characteristics import build_characteristics
from speccomp.documents.views import Table

_TABLE_ROW = re.compile(r"(weighing\..+)\.row-[0-9]+\.[a-z]+")
_SECTIONS = {
    "gear": "protective gear",
    "reactions": "reaction plans",
    "waived": "waivers",
    "ratio": "mixing ratio",
}


@dataclass(frozen=True, slots=True)
class Effects:
    """
    What follows from the changes.

    `shared` has the other definitions that read a changed file, by the path of that file.
    """

    numbers: tuple[NumberChange, ...]
    shared: Mapping[str, Sequence[str]]


def number_table(effects: Effects) -> Table:
    """
    Return the numbers that both have and that differ, then how many only one of them has.

    The rows of a weighing table follow from its target, so they are one line together.
    """
    both = [number for number in effects.numbers if number.before and number.after]
    titles = Counter(number.title for number in both)
    rows: list[tuple[str, ...]] = []
    tables: dict[str, list[NumberChange]] = {}
    for number in both:
        table = _TABLE_ROW.fullmatch(number.name)
        if table:
            tables.setdefault(table[1], []).append(number)
        else:
            rows.append(_number(number, titles[number.title] > 1))
    rows += (_weighing_table(found) for found in tables.values())
    rows += _only_one(effects.numbers, "before", (1, 0))
    rows += _only_one(effects.numbers, "after", (0, 1))
    columns = ("Number", "Before", "After", "Difference", "Name for explain")
    return Table(columns, tuple(rows), (1, 2, 3))


def _number(number: NumberChange, shared: bool) -> tuple[str, ...]:
    """Return a number as a row; a title that others share is told apart by its name."""
    share = number.per_cent
    where = ", ".join(number.name.split(".")[1:-1])
    title = number.title.replace("`", "") + (f" ({where})" if shared and where else "")
    difference = f"{share:+f} %".replace("-", "−") if share is not None else ""
    return title, number.before, number.after, difference, number.name


def _weighing_table(found: Sequence[NumberChange]) -> tuple[str, ...]:
    """Return one line for the rows of a weighing table, with the span of their differences."""
    shares = [number.per_cent for number in found if number.per_cent is not None]
    span = f"{min(shares):+f} to {max(shares):+f} %".replace("-", "−") if shares else ""
    title = (
        f"{found[0].title.replace('`', '')}, first of {len(found)} readings in the weighing table"
    )
    return title, found[0].before, found[0].after, span, found[0].name


def _only_one(
    numbers: Iterable[NumberChange], side: str, columns: tuple[int, int]
) -> list[tuple[str, ...]]:
    """Return how many numbers only one revision has, by the first two words of their names."""
    groups: dict[str, list[NumberChange]] = {}
    for number in numbers:
        if not (number.after if side == "before" else number.before):
            groups.setdefault(".".join(number.name.split(".")[:2]), []).append(number)
    rows: list[tuple[str, ...]] = []
    for group, found in groups.items():
        counts = [f"{len(found)} derived" if here else "none" for here in columns]
        title = found[0].title.replace("`", "")
        rest = f" and {len(found) - 1} more" if len(found) > 1 else ""
        rows.append((f"{title}{rest}", counts[0], counts[1], "", group))
    return rows


def row_table(comparison: Comparison, marks: Marks) -> Table:
    """Return the rows of the control plan that changed, and those that are gone."""
    now, then = build_characteristics(comparison.after), build_characteristics(comparison.before)
    titles = {step.id: step.title for step in (*comparison.before.steps, *comparison.after.steps)}
    rows = [
        (view.number, titles[ident.rpartition("/")[0]], view.name, view.requirement)
        for ident, view in now.items()
        if ident in marks.rows
    ]
    for ident, view in then.items():
        if comparison.renamed.row(ident) not in now:
            step = ident.rpartition("/")[0]
            rows.append(("gone", titles[step], view.name, view.requirement))
    return Table(("No.", "Step", "Characteristic", "Specification, tolerance"), tuple(rows))


def document_table(comparison: Comparison, marks: Marks) -> Table:
    """Return the documents that come out otherwise, and where."""
    steps = [step.title for step in comparison.after.steps if step.id in marks.steps]
    sections = sorted(_SECTIONS.get(name, name) for name in marks.sections)
    rows = []
    if steps or sections:
        where = [f"steps: {', '.join(steps)}"] if steps else []
        where += [f"sections: {', '.join(sections)}"] if sections else []
        rows.append(("Work instruction", "; ".join(where)))
    if marks.rows or "reactions" in marks.sections:
        plural = "row" if len(marks.rows) == 1 else "rows"
        rows.append(("Control plan", f"{len(marks.rows)} {plural}"))
    safety = {rule for change in comparison.changes for rule in change.rules}
    if safety & {"caution", "product-caution", "hazard-data"}:
        rows.append(("Caution coverage", "what calls for cautions, and what answers it"))
    return Table(("Document", "Where"), tuple(rows))


def shared_table(effects: Effects) -> Table:
    """Return the other definitions that read a changed file."""
    rows = tuple((file, user) for file, users in effects.shared.items() for user in users)
    return Table(("Changed file", "Read by"), rows)
