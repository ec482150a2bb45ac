"""What the comparison report shows, as plain text in order."""

from dataclasses import dataclass

from speccomp.documents.views import Table, TitleBlock


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of text; `mark` is empty, `removed` or `inserted`."""

    text: str
    mark: str = ""


Line = tuple[Piece, ...]


@dataclass(frozen=True, slots=True)
class ChangeView:
    """
    One change, with what stood there before and what stands there now, side by side.

    A side without lines says nothing. `decided` names the rules that decide how much the change
    matters, the first one decides. `places` are file and line in the two revisions.
    """

    number: str
    subject: str
    title: str
    kind: str
    words: str
    before: tuple[Line, ...]
    after: tuple[Line, ...]
    size: str
    decided: tuple[str, ...]
    places: tuple[str, str]
    note: str


@dataclass(frozen=True, slots=True)
class ChangeGroup:
    """All changes of one significance; `slug` is its word for an anchor."""

    slug: str
    title: str
    changes: tuple[ChangeView, ...]


@dataclass(frozen=True, slots=True)
class ComparisonReport:
    """
    The comparison report, top to bottom; the summary fills the first page.

    `verdict` says whether the change note agrees with the content; `agrees` is False where it
    does not. `note` holds who, when and why. `revisions` has the two revisions side by side,
    `between` those that lie between.
    """

    title_block: TitleBlock
    verdict: str
    agrees: bool
    note: tuple[tuple[str, str], ...]
    revisions: Table
    counts: Table
    between: Table
    groups: tuple[ChangeGroup, ...]
    numbers: Table
    rows: Table
    documents: Table
    shared: Table
    unchanged: tuple[str, ...]
