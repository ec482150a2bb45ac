"""The program on one screen: one function for each command."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path

from speccomp import __version__
from speccomp.cautions.coverage import Coverage, build_coverage
from speccomp.derive import Derived, derive
from speccomp.documents.caution_coverage import build_caution_coverage
from speccomp.documents.caution_views import CautionCoverage
from speccomp.documents.control_plan import build_control_plan
from speccomp.documents.work_instruction import build_work_instruction
from speccomp.findings import Finding, has_errors, in_reading_order
from speccomp.model.identity import Content, build_content
from speccomp.model.issue import Issue
from speccomp.model.process import Process
from speccomp.model.resolve_block import check_block
from speccomp.model.resolve_material import resolve_material
from speccomp.model.resolve_packs import resolve_packs
from speccomp.model.resolve_plant import resolve_plant
from speccomp.model.resolve_process import resolve_process
from speccomp.render.attachments import build_attachments
from speccomp.rules.facts import Facts
from speccomp.rules.run import check_rules
from speccomp.rules.waivers import apply_waivers
from speccomp.schema import FileKind, check_files, recognise
from speccomp.source.project import Sources, load_sources
from speccomp.source.reader import Project, find_project, read_source


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
    try:
        return absolute.relative_to(project.root).as_posix()
    except ValueError:
        try:
            return (absolute.parent.resolve() / absolute.name).relative_to(project.root).as_posix()
        except ValueError:
            return path.as_posix()


def _check_model(sources: Sources, findings: list[Finding], today: date) -> Facts | None:
    match recognise(sources.main.data):
        case FileKind.PROCESS:
            outcome = resolve_process(sources)
            findings.extend(outcome.findings)
            if outcome.value is None or has_errors(findings):
                return None
            facts = Facts(
                outcome.value, today, derive(outcome.value), build_coverage(outcome.value)
            )
            findings[:] = apply_waivers((*findings, *check_rules(facts)), outcome.value, today)
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


def caution_coverage_of(checked: Checked, issue: Issue | None = None) -> CautionCoverage:
    """Return what calls for cautions in a definition that was resolved, and what answers it."""
    if checked.process is None or checked.coverage is None:
        raise ValueError("only a definition that could be resolved has a caution coverage")
    return build_caution_coverage(checked.process, checked.coverage, checked.findings, issue)


def content_of(checked: Checked) -> Content:
    """Return the exact content of a definition that was resolved."""
    if checked.process is None or checked.sources is None:
        raise ValueError("only a definition that could be resolved has a content")
    return build_content(checked.sources, checked.process, __version__)


def compile_documents(
    checked: Checked, formats: Collection[Format], issue: Issue | None = None
) -> dict[str, bytes]:
    """
    Return the files of the documents of a definition that passed, by name.

    They are drafts, unless the issue of the revision is given.
    Errors: PdfUnavailable where the PDF renderer's system libraries are missing; PdfFaulty.
    """
    from speccomp.render.html import (
        render_caution_coverage,
        render_control_plan,
        render_work_instruction,
    )

    process = checked.process
    if process is None:
        raise ValueError("only a definition that passed its checks can be compiled")
    instruction = build_work_instruction(process, checked.findings, issue)
    plan = build_control_plan(process, checked.findings, issue)
    cautions = caution_coverage_of(checked, issue)
    pages = {
        "work-instruction": render_work_instruction(instruction),
        "control-plan": render_control_plan(plan),
        "caution-coverage": render_caution_coverage(cautions),
    }
    files: dict[str, bytes] = {}
    if Format.HTML in formats:
        files |= {f"{name}.html": page.encode() for name, page in pages.items()}
    if Format.PDF in formats:
        from speccomp.render.pdf import render_pdf

        blocks = {
            "work-instruction": instruction.title_block,
            "control-plan": plan.title_block,
            "caution-coverage": cautions.title_block,
        }
        attached = build_attachments(content_of(checked), issue)
        for name, page in pages.items():
            files[f"{name}.pdf"] = render_pdf(page, blocks[name], attached)
    if Format.CSV in formats or Format.XLSX in formats:
        from speccomp.render.sheet import render_csv, render_xlsx

        if Format.CSV in formats:
            files["control-plan.csv"] = render_csv(plan).encode()
        if Format.XLSX in formats:
            files["control-plan.xlsx"] = render_xlsx(plan)
    return files
