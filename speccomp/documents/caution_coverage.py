"""Build the caution coverage: what calls for a caution, why, and what answers it."""

from collections.abc import Iterable, Sequence

from speccomp.cautions.conditions import Fact
from speccomp.cautions.coverage import Coverage, Row, Verdict
from speccomp.cautions.hazards import MaterialHazards, Origin
from speccomp.documents.caution_views import CautionCoverage, CoverageGroup, CoverageRow
from speccomp.documents.common import build_history, build_title_block, build_waived
from speccomp.documents.safety import build_signal_words, origin_of
from speccomp.documents.views import Table
from speccomp.documents.words import STANDING_NOTE
from speccomp.findings import Finding, Span
from speccomp.model.issue import Issue
from speccomp.model.process import Process
from speccomp.model.shared import Caution

_OPEN = (Verdict.MISSING, Verdict.LATE, Verdict.TOO_WEAK)
_WORDS = {
    Verdict.COVERED: "covered",
    Verdict.MISSING: "missing",
    Verdict.LATE: "too late",
    Verdict.TOO_WEAK: "too weak",
    Verdict.ANSWERED: "answered by the step",
    Verdict.PRINTED: "printed in the instruction",
    Verdict.LISTED: "not given, advice only",
}


def build_caution_coverage(
    process: Process, coverage: Coverage, findings: Iterable[Finding], issue: Issue | None = None
) -> CautionCoverage:
    """Return the caution coverage of a definition; waived findings stay visible in it."""
    shown = [row for row in coverage.rows if row.verdict is not Verdict.LISTED]
    advice = [row for row in coverage.rows if row.verdict is Verdict.LISTED]
    return CautionCoverage(
        title_block=build_title_block(process, "Caution coverage", issue),
        standing_note=STANDING_NOTE,
        counts=_counts(coverage),
        materials=_materials(coverage.materials),
        assumptions=tuple(_assumptions(coverage, shown)),
        signal_words=build_signal_words(
            (*(caution.signal for caution in process.cautions), *(r.signal for r in coverage.rows))
        ),
        groups=tuple(_groups(process, shown)),
        orphans=_orphans(coverage),
        doubled=_doubled(process, coverage),
        own_words=_own_words(coverage),
        advice=_advice(process, advice),
        sources=_sources(coverage.rows),
        history=build_history(process, issue),
        waived=build_waived(findings),
    )


def _assumptions(coverage: Coverage, rows: Sequence[Row]) -> Iterable[str]:
    """Yield what was taken for granted: of the materials, then of each topic that is called for."""
    for item in coverage.materials:
        yield from item.assumptions
    yield from dict.fromkeys(
        f"{row.topic.title}: {row.topic.assumes}" for row in rows if row.topic.assumes
    )


def _groups(process: Process, rows: Sequence[Row]) -> Iterable[CoverageGroup]:
    """Yield the rows by the place where they must stand: up front, then step by step."""
    numbers = {step.id: number for number, step in enumerate(process.steps, start=1)}
    titles = _titles(process)
    for place in ("", *numbers):
        mine = [row for row in rows if row.place == place]
        mine.sort(key=lambda row: row.signal.rank)
        if mine:
            heading = f"Before step {numbers[place]}, {titles[place]}" if place else "Up front"
            yield CoverageGroup(place, heading, tuple(_row(row, numbers) for row in mine))


def _titles(process: Process) -> dict[str, str]:
    return {step.id: step.title for step in process.steps}


def _row(row: Row, numbers: dict[str, int]) -> CoverageRow:
    return CoverageRow(
        topic=row.topic.id,
        title=row.topic.title,
        signal=row.signal.value,
        word=row.signal.upper(),
        facts=tuple(_with_place(fact) for fact in row.facts),
        answer=_answer(row, numbers),
        verdict=_WORDS[row.verdict],
        good=row.verdict not in _OPEN,
    )


def _with_place(fact: Fact) -> str:
    return f"{fact.text} ({_place(fact.span)})"


def _place(span: Span) -> str:
    """Return a place in a file of the project as text."""
    return f"{span.file}:{span.line}"


def _answer(row: Row, numbers: dict[str, int]) -> str:
    if row.verdict is Verdict.PRINTED:
        return f"The work instruction prints it: {row.topic.printed}"
    if row.answer is not None:
        return _with_place(row.answer)
    caution = row.caution
    if caution is None:
        return ""
    before = [f"step {numbers[step]}" for step in caution.before if step in numbers]
    where = f"before {', '.join(before)}" if before else "up front"
    return f"{caution.signal.upper()}, {where} ({_place(caution.span)})"


def _counts(coverage: Coverage) -> Table:
    rows = tuple(
        (_WORDS[verdict], str(number))
        for verdict in Verdict
        # That nothing is open is what an auditor looks for.
        if (number := sum(row.verdict is verdict for row in coverage.rows)) or verdict in _OPEN
    )
    return Table(("Cautions called for", "Number"), rows, numeric=(1,))


def _materials(materials: Sequence[MaterialHazards]) -> Table:
    rows = tuple(
        (
            item.material.name,
            ", ".join(item.codes) or "none",
            item.label.signal or "none",
            ", ".join(item.label.pictograms) or "none",
            _origin(item),
        )
        for item in materials
    )
    return Table(("Material", "Statements", "Signal word", "Pictograms", "From where"), rows)


def _origin(item: MaterialHazards) -> str:
    if item.origin is Origin.SHEET:
        return f"{origin_of(item)} ({_place(item.span)})"
    reasons = "; ".join(f"{code}: {why}" for code, why in item.reasons.items())
    return f"{origin_of(item)}: {reasons}" if reasons else origin_of(item)


def _orphans(coverage: Coverage) -> Table:
    rows = tuple(
        (caution.topic, caution.signal.upper(), _place(caution.span))
        for caution in coverage.orphans
    )
    return Table(("Caution", "Word", "Where"), rows)


def _doubled(process: Process, coverage: Coverage) -> Table:
    titles = _titles(process)
    rows = tuple(
        (
            found.caution.topic,
            titles.get(found.place, "up front"),
            f"{_place(found.other.span)} and {_place(found.caution.span)}",
        )
        for found in coverage.duplicates
    )
    return Table(("Caution", "Where it stands twice", "Entries"), rows)


def _own_words(coverage: Coverage) -> Table:
    """Return the texts that stand in the place of the packs', so that none is loosened unseen."""
    rows: dict[tuple[str, ...], None] = {}
    for row in coverage.rows:
        if row.caution is not None:
            own, pack = _said(row.caution), _said(row.topic.caution)
            if own != pack:
                rows.setdefault((row.topic.title, pack, f"{own} ({_place(row.caution.span)})"))
    return Table(("Topic", "Words of the caution packs", "Words here"), tuple(rows))


def _said(caution: Caution) -> str:
    return f"{caution.hazard} {caution.consequence} {caution.avoid}"


def _advice(process: Process, rows: Sequence[Row]) -> Table:
    titles = _titles(process)
    listed = tuple(
        (
            row.topic.title,
            titles.get(row.place, "up front"),
            row.signal.upper(),
            row.topic.avoid,
        )
        for row in rows
    )
    return Table(("Topic", "Where it would stand", "Word", "What it would say"), listed)


def _sources(rows: Sequence[Row]) -> Table:
    topics = {row.topic.id: row.topic for row in rows}
    listed = tuple((topic.title, topic.id, topic.pack, topic.source) for topic in topics.values())
    return Table(("Topic", "Id", "Pack", "Who asks for it"), listed)
