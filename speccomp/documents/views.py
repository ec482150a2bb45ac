"""
What the documents show, as plain text in order.

A view holds no quantities and no markup: every number is already text in print units, made once,
so that two documents cannot print it differently. Fields called `prose` may hold Markdown.
"""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from speccomp.documents.figure_views import FigureView


@dataclass(frozen=True, slots=True)
class Table:
    """
    A table; `columns` are headings, `numeric` the indexes of columns set flush right.

    `prose` are the indexes of columns whose cells may hold Markdown.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numeric: tuple[int, ...] = ()
    caption: str = ""
    prose: tuple[int, ...] = ()


NO_ROWS = Table((), ())
"""A table that says nothing."""


@dataclass(frozen=True, slots=True)
class Approval:
    """
    A role that must approve; name and date are empty until it has.

    `signature` says what the approval means, and whether it is signed.
    """

    role: str
    name: str
    date: str
    signature: str = ""


@dataclass(frozen=True, slots=True)
class Released:
    """
    What only a released document shows.

    `digest` is that of the exact content; `code` the text of the square code, `code_words` the
    same for those who cannot see it.
    """

    effective: str
    digest: str
    code: str
    code_words: str


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """The data fields of ISO 7200, and what a page must show to stand alone."""

    owner: str
    site: str
    number: str
    title: str
    document_type: str
    revision: str
    date: str
    status: str
    creator: str
    creator_role: str
    approvals: tuple[Approval, ...]
    department: str
    contact: str
    language: str
    paper: str
    draft: bool
    footer_note: str
    released: Released | None = None


@dataclass(frozen=True, slots=True)
class CautionView:
    """
    A caution: `signal` is one of danger, warning, caution, notice; `word` is as printed.

    `sign` is the meaning of the safety sign that goes with it, in words.
    """

    topic: str
    signal: str
    word: str
    hazard: str
    consequence: str
    avoid: str
    gear: tuple[str, ...]
    sign: str = ""


@dataclass(frozen=True, slots=True)
class CharacteristicView:
    """
    One characteristic, printed alike in the instruction and the control plan.

    `requirement` is the limit or the words to judge by. Fields named in `inherited` come from the
    plant's defaults. `special` is the mark of its class, empty for none. `changed` asks for a
    change bar.
    """

    id: str
    number: str
    name: str
    requirement: str
    judged: bool
    product: bool
    special: str
    special_title: str
    technique: str
    sample: str
    frequency: str
    reaction: str
    responsible: str
    record: str
    inherited: frozenset[str] = frozenset()
    changed: bool = False


@dataclass(frozen=True, slots=True)
class ReactionView:
    """A reaction plan with its actions in order and the role that decides."""

    id: str
    title: str
    actions: tuple[str, ...]
    responsible: str


@dataclass(frozen=True, slots=True)
class ImageView:
    """A picture: its bytes are in the process model's image of that path."""

    path: str
    media_type: str
    data: bytes = field(repr=False)
    alt: str = ""
    caption: str = ""


@dataclass(frozen=True, slots=True)
class StepView:
    """
    One step as the operator reads it: cautions, what to do, limits, numbers, why, if not.

    `changed` asks for a change bar.
    """

    number: str
    id: str
    title: str
    operation: str
    responsible: str
    cautions: tuple[CautionView, ...]
    actions: tuple[str, ...]
    equipment: tuple[str, ...]
    gear: tuple[str, ...]
    characteristics: tuple[CharacteristicView, ...]
    facts: tuple[str, ...]
    why: str
    note: str
    if_not: tuple[ReactionView, ...]
    records: tuple[str, ...]
    images: tuple[ImageView, ...]
    figures: "tuple[FigureView, ...]" = ()
    changed: bool = False


@dataclass(frozen=True, slots=True)
class WorkInstruction:
    """
    The work instruction, top to bottom.

    `figures` are the batch tables, `gaps` what was not calculated and why; `changed` names
    sections that have a change bar.
    """

    title_block: TitleBlock
    purpose: str
    scope: str
    parts: Table
    materials: Table
    ratio: str
    equipment: Table
    gear: tuple[str, ...]
    standing_note: str
    cautions: tuple[CautionView, ...]
    steps: tuple[StepView, ...]
    acceptance: Table
    records: Table
    references: Table
    history: Table
    waived: Table
    legend: str
    figures: "tuple[FigureView, ...]" = ()
    gaps: tuple[str, ...] = ()
    hazards: Table = NO_ROWS
    first_aid: Table = NO_ROWS
    spills: Table = NO_ROWS
    signal_words: Table = NO_ROWS
    changed: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class ControlRow:
    """One row of the control plan: a characteristic at its step."""

    step_number: str
    step_id: str
    operation: str
    equipment: str
    characteristic: CharacteristicView


@dataclass(frozen=True, slots=True)
class ControlPlan:
    """
    The control plan: header fields, rows, and the reaction plans they name.

    `figures` say what the samples show; `gaps` what was not calculated and why.
    """

    title_block: TitleBlock
    header: tuple[tuple[str, str], ...]
    columns: tuple[str, ...]
    rows: tuple[ControlRow, ...]
    reactions: tuple[ReactionView, ...]
    steps_without_control: tuple[str, ...]
    history: Table
    waived: Table
    legend: str
    figures: "tuple[FigureView, ...]" = ()
    gaps: tuple[str, ...] = ()


def cells(row: ControlRow) -> tuple[str, ...]:
    """
    Return the cells of a control-plan row in the order of its columns.

    HTML, PDF, CSV and XLSX all print these, so that they hold the same text.
    """
    item = row.characteristic
    marked = dict.fromkeys(item.inherited, " *")
    return (
        row.step_number,
        row.operation,
        row.equipment,
        item.number,
        item.name,
        "product" if item.product else "process",
        item.special,
        item.requirement,
        item.technique,
        item.sample + marked.get("sample", ""),
        item.frequency + marked.get("every", ""),
        item.responsible + marked.get("responsible", ""),
        item.record + marked.get("record", ""),
        item.reaction + marked.get("reaction", ""),
    )


COLUMNS = (
    "Step",
    "Operation",
    "Machine, tool",
    "No.",
    "Characteristic",
    "Product or process",
    "Special",
    "Specification, tolerance",
    "Measurement technique",
    "Sample",
    "Frequency",
    "Responsible",
    "Control method, record",
    "Reaction plan",
)
