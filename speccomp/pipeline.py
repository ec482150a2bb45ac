"""
The program on one screen: one function for each command.

What only compiling or comparing needs is imported where it is used, so that a check, which is run
at every save, does not wait for it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING

from speccomp import __version__
from speccomp.cautions.coverage import Coverage, build_coverage
from speccomp.compare.previous import check_previous
from speccomp.derive import Derived, derive
from speccomp.findings import Finding, has_errors, in_reading_order
from speccomp.model.issue import Issue
from speccomp.model.process import Process
from speccomp.model.resolve_block import check_block
from speccomp.model.resolve_material import resolve_material
from speccomp.model.resolve_packs import resolve_packs
from speccomp.model.resolve_plant import resolve_plant
from speccomp.model.resolve_process import resolve_process
from speccomp.rules.facts import Facts
from speccomp.rules.run import check_rules
from speccomp.rules.together import check_together
from speccomp.rules.waivers import apply_waivers
from speccomp.schema import FileKind, check_files, recognise
from speccomp.source.project import Sources, load_sources
from speccomp.source.reader import Project, find_project, read_source

if TYPE_CHECKING:
    from speccomp.compare.change import Comparison
    from speccomp.documents.caution_views import CautionCoverage
    from speccomp.documents.change_bars import Since
    from speccomp.documents.comparison_effects import Effects
    from speccomp.documents.comparison_views import ComparisonReport
    from speccomp.documents.views import ControlPlan, TitleBlock, WorkInstruction
    from speccomp.model.identity import Content
    from speccomp.render.attachments import Attachment


class Format(StrEnum):
    """The formats documents are compiled to."""

    HTML = "html"
    PDF = "pdf"
    CSV = "csv"
    XLSX = "xlsx"


@dataclass(frozen=True)
class Checked:
    """
    A checked file: its model where it is a definition that could be read, and the findings.

    `derived` holds every number that follows from the definition; nobody computes one again.
    """

    project: Project
    process: Process | None
    findings: tuple[Finding, ...]
    texts: Mapping[str, str]
    derived: Derived | None = None
    sources: Sources | None = None
    coverage: Coverage | None = None

    @property
    def passed(self) -> bool:
        """Tell whether the file is a definition that documents can be compiled from."""
        return self.process is not None and not has_errors(self.findings)


def check_file(path: Path, today: date, root: Path | None = None) -> Checked:
    """
    Check a definition, card, plant file or step block with all it refers to.

    `today` is the day on which waivers have to hold. `root` is the project folder; left out, it
    is looked for from the file upwards. All findings of a stage are collected; a stage with
    errors is the last one.
    """
    project = Project(root.resolve()) if root else find_project(path)
    outcome = load_sources(project, _inside(project, path))
    sources, findings = outcome.value, list(outcome.findings)
    facts = None
    if sources is not None and not has_errors(findings):
        findings.extend(check_files(sources))
        if not has_errors(findings):
            facts = _check_model(sources, findings, today)
    texts = _texts(project, sources, findings)
    found = in_reading_order(findings)
    if facts is None:
        return Checked(project, None, found, texts, None, sources)
    return Checked(project, facts.process, found, texts, facts.derived, sources, facts.coverage)


def check_all(paths: Iterable[Path], today: date, root: Path | None = None) -> tuple[Checked, ...]:
    """Check files each as `check_file` does, and the definitions among them beside one another."""
    results = [check_file(path, today, root) for path in paths]
    resolved = [(n, one.process) for n, one in enumerate(results) if one.process is not None]
    beside = check_together((results[n].project.root, process) for n, process in resolved)
    for index, finding in beside:
        number = resolved[index][0]
        found = in_reading_order((*results[number].findings, finding))
        results[number] = replace(results[number], findings=found)
    return tuple(results)


def _texts(
    project: Project, sources: Sources | None, findings: Collection[Finding]
) -> dict[str, str]:
    """Return the texts that excerpts are cut from, also of files that are text but not YAML."""
    texts = {name: tree.text for name, tree in sources.trees.items()} if sources else {}
    for name in {finding.span.file for finding in findings} - texts.keys():
        source = read_source(project, name, None).value
        if source is not None:
            texts[name] = source.text
    return texts


def _inside(project: Project, path: Path) -> str:
    """Return a path as the project names it; one outside is left for the reader to refuse."""
    absolute = Path.cwd() / path
    if ".." not in absolute.parts and absolute.is_relative_to(project.root):
        return absolute.relative_to(project.root).as_posix()
    return project.path_of(absolute)


def _check_model(sources: Sources, findings: list[Finding], today: date) -> Facts | None:
    match recognise(sources.main.data):
        case FileKind.PROCESS:
            outcome = resolve_process(sources)
            findings.extend(outcome.findings)
            if outcome.value is None or has_errors(findings):
                return None
            derived = derive(outcome.value)
            coverage = build_coverage(outcome.value, derived.boiling_point)
            facts = Facts(outcome.value, today, derived, coverage)
            found = (*check_rules(facts), *check_previous(sources, outcome.value))
            findings[:] = apply_waivers((*findings, *found), outcome.value, today)
            return facts
        case FileKind.BLOCK:
            check_block(sources.main, findings)
        case FileKind.MATERIAL:
            resolve_material("", sources.main, findings)
        case FileKind.PLANT:
            packs = sources.referred(sources.main.file, "caution-pack")
            resolve_plant(sources.main, findings, packs)
        case FileKind.PACK:
            resolve_packs([sources.main], findings)
    return None


@dataclass(frozen=True)
class Compared:
    """Two revisions of a definition compared: the changes, what follows from them, the report."""

    comparison: Comparison
    effects: Effects
    report: ComparisonReport


def compare_checked(before: Checked, after: Checked, labels: tuple[str, str]) -> Compared:
    """
    Return what changed between two definitions that were resolved.

    `labels` say where each was read from.
    """
    from speccomp.compare.compare import compare
    from speccomp.compare.effects import changed_files, derived_changes
    from speccomp.documents.comparison import Origin, build_comparison
    from speccomp.documents.comparison_effects import Effects
    from speccomp.source.users import find_users

    old, new = _resolved(before), _resolved(after)
    comparison = compare(old.process, new.process, (old.sources, new.sources))
    units = new.process.plant.units
    changed = changed_files(old.sources, new.sources)
    effects = Effects(
        derived_changes(old.derived, new.derived, units, comparison.renamed),
        find_users(after.project, changed, new.process.number),
    )
    first, second = (
        Origin(label, one.sources.files[one.sources.main.file].sha512)
        for label, one in zip(labels, (old, new), strict=True)
    )
    report = build_comparison(comparison, (first, second), effects)
    return Compared(comparison, effects, report)


@dataclass(frozen=True)
class _Resolved:
    process: Process
    sources: Sources
    derived: Derived


def _resolved(checked: Checked) -> _Resolved:
    if checked.process is None or checked.sources is None or checked.derived is None:
        raise ValueError("only a definition that could be resolved can be compared")
    return _Resolved(checked.process, checked.sources, checked.derived)


def caution_coverage_of(checked: Checked, issue: Issue | None = None) -> CautionCoverage:
    """Return what calls for cautions in a definition that was resolved, and what answers it."""
    from speccomp.documents.caution_coverage import build_caution_coverage

    if checked.process is None or checked.coverage is None:
        raise ValueError("only a definition that could be resolved has a caution coverage")
    return build_caution_coverage(checked.process, checked.coverage, checked.findings, issue)


def content_of(checked: Checked) -> Content:
    """Return the exact content of a definition that was resolved."""
    from speccomp.model.identity import build_content

    if checked.process is None or checked.sources is None:
        raise ValueError("only a definition that could be resolved has a content")
    return build_content(checked.sources, checked.process, __version__)


def changes_since(before: Checked, after: Checked) -> Since:
    """Return what the documents of a definition mark as changed since an earlier revision."""
    from speccomp.compare.compare import compare

    old, new = _resolved(before), _resolved(after)
    comparison = compare(old.process, new.process, (old.sources, new.sources))
    return marked_by(comparison, before, after)


def marked_by(comparison: Comparison, before: Checked, after: Checked) -> Since:
    """Return the same as `changes_since` from the comparison of the two."""
    from speccomp.compare.marks import build_marks
    from speccomp.documents.change_bars import Since, with_printed
    from speccomp.documents.work_instruction import build_work_instruction

    old, new = _resolved(before), _resolved(after)
    shown = [build_work_instruction(one.process, (), None, one.derived) for one in (old, new)]
    marks = with_printed(build_marks(comparison), shown[0], shown[1], comparison.renamed.steps)
    return Since(old.process.revision, marks)


def compile_documents(
    checked: Checked,
    formats: Collection[Format],
    issue: Issue | None = None,
    since: Since | None = None,
) -> dict[str, bytes]:
    """
    Return the files of the documents of a definition that passed, by name.

    They are drafts, unless the issue of the revision is given. With `since`, or by what the issue
    says, they bear change bars.
    Errors: PdfUnavailable where the PDF renderer's system libraries are missing; PdfFaulty.
    """
    process = checked.process
    if process is None:
        raise ValueError("only a definition that passed its checks can be compiled")
    instruction, plan = _instruction_and_plan(process, checked, issue, since)
    cautions = caution_coverage_of(checked, issue)
    pages: dict[str, str] = {}
    if Format.HTML in formats or Format.PDF in formats:
        pages = _pages(instruction, plan, cautions)
    files: dict[str, bytes] = {}
    if Format.HTML in formats:
        files |= {f"{name}.html": page.encode() for name, page in pages.items()}
    if Format.PDF in formats:
        from speccomp.render.attachments import build_attachments

        blocks = (instruction.title_block, plan.title_block, cautions.title_block)
        files |= _pdfs(pages, blocks, build_attachments(content_of(checked), issue))
    if Format.CSV in formats or Format.XLSX in formats:
        from speccomp.render.sheet import render_csv, render_xlsx

        if Format.CSV in formats:
            files["control-plan.csv"] = render_csv(plan).encode()
        if Format.XLSX in formats:
            files["control-plan.xlsx"] = render_xlsx(plan)
    return files


def _instruction_and_plan(
    process: Process, checked: Checked, issue: Issue | None, since: Since | None
) -> tuple[WorkInstruction, ControlPlan]:
    """Return the two documents, with change bars where an earlier revision is known."""
    from speccomp.documents.change_bars import (
        mark_control_plan,
        mark_work_instruction,
        since_of,
    )
    from speccomp.documents.control_plan import build_control_plan
    from speccomp.documents.work_instruction import build_work_instruction

    instruction = build_work_instruction(process, checked.findings, issue, checked.derived)
    plan = build_control_plan(process, checked.findings, issue, checked.derived)
    if since is None and issue is not None and issue.changed is not None:
        since = since_of(issue.changed)
    if since is not None:
        instruction = mark_work_instruction(instruction, since)
        plan = mark_control_plan(plan, since)
    return instruction, plan


def _pdfs(
    pages: Mapping[str, str], blocks: Collection[TitleBlock], attached: tuple[Attachment, ...]
) -> dict[str, bytes]:
    """Return the documents as PDF files, by name; `blocks` are in the order of `pages`."""
    from speccomp.render.pdf import render_pdf

    return {
        f"{name}.pdf": render_pdf(page, block, attached)
        for (name, page), block in zip(pages.items(), blocks, strict=True)
    }


def _pages(
    instruction: WorkInstruction, plan: ControlPlan, cautions: CautionCoverage
) -> dict[str, str]:
    """Return the documents as HTML, by name."""
    from speccomp.render.html import (
        render_caution_coverage,
        render_control_plan,
        render_work_instruction,
    )

    return {
        "work-instruction": render_work_instruction(instruction),
        "control-plan": render_control_plan(plan),
        "caution-coverage": render_caution_coverage(cautions),
    }
