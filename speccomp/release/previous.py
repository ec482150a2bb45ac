"""What a release follows: the revision before it in the archive, and what changed since."""

from dataclasses import dataclass, replace
from datetime import date

from speccomp.archive.digests import Json, canonical_json
from speccomp.archive.release_record import (
    COMPARISON,
    COMPARISON_PAGE,
    CONTENT,
    RELEASE,
    WITHDRAWAL,
    ReleaseRecord,
    parse_release,
)
from speccomp.archive.store import Archive
from speccomp.compare.change import Change, Comparison
from speccomp.compare.change_class import check_change_note
from speccomp.compare.outline import Printed
from speccomp.compare.significance import CLASSES
from speccomp.documents.change_bars import changed_of
from speccomp.findings import Severity
from speccomp.model.issue import Changed
from speccomp.model.process import Process
from speccomp.model.revisions import (
    Revision,
    RevisionError,
    Scheme,
    follows,
    may_be_first,
    next_revision,
    parse_revision,
)
from speccomp.pipeline import Checked, compare_checked, marked_by
from speccomp.release.sources import laid_out, source_files
from speccomp.render.html import render_comparison


@dataclass(frozen=True, slots=True)
class Previous:
    """The last release of a document, None for none; `version` is its own, `versions` how many."""

    record: ReleaseRecord | None
    version: int
    versions: int


def read_previous(archive: Archive, number: str, before: int | None = None) -> Previous:
    """
    Return the last release of a document, withdrawn or not; that before a version if one is given.

    Errors: ArchiveDamaged.
    """
    inventory = archive.inventory(number)
    if inventory is None:
        return Previous(None, 0, 0)
    versions = inventory.versions if before is None else inventory.versions[: before - 1]
    releases = [place for place, item in enumerate(versions, 1) if WITHDRAWAL not in item.state]
    version = max(releases, default=0)
    record = parse_release(archive.read(number, version, RELEASE)) if version else None
    return Previous(record, version, len(versions))


def check_revision(process: Process, previous: Previous, *, takes_over: bool) -> tuple[str, ...]:
    """Return why a revision does not follow the last one released; nothing where it does."""
    scheme = Scheme(process.plant.revision_scheme)
    try:
        revision = parse_revision(process.revision, scheme)
        if previous.record is None:
            return _check_first(process, revision, takes_over=takes_over)
        return _check_next(process, revision, parse_revision(previous.record.revision, scheme))
    except RevisionError as error:
        return (f"the revision does not fit the scheme of the plant: {error}",)


def _check_first(process: Process, revision: Revision, *, takes_over: bool) -> tuple[str, ...]:
    if may_be_first(revision) or takes_over:
        return ()
    return (
        f"revision {revision.text} cannot be the first of {process.number}; if earlier ones were "
        "released without this archive, say --takes-over",
    )


def _check_next(process: Process, revision: Revision, last: Revision) -> tuple[str, ...]:
    change = process.change
    if not follows(last, revision):
        expected = next_revision(last.text, last.scheme)
        return (f"after {last.text}, the last one released, comes {expected}, not {revision.text}",)
    if change is None:
        return (f"revision {revision.text} has no change note, so no reason",)
    if change.from_revision != last.text:
        return (f"the change note is from {change.from_revision}, released is {last.text}",)
    return ()


@dataclass(frozen=True, slots=True)
class Compared:
    """
    What changed since the last release: for the record, its class, what contradicts it.

    `page` is the report as HTML, empty for a first release.
    """

    changes: tuple[Json, ...] = ()
    change_class: str = ""
    reasons: tuple[str, ...] = ()
    changed: Changed | None = None
    page: bytes = b""

    def files(self) -> dict[str, bytes]:
        """Return the files of a version that tell of the changes."""
        files = {COMPARISON: canonical_json({"changes": self.changes}) + b"\n"}
        return files | ({COMPARISON_PAGE: self.page} if self.page else {})


def compare_with(archive: Archive, previous: Previous, checked: Checked) -> Compared:
    """
    Compare a definition with the last release of it, from the archived sources.

    Only what a release keeps goes into it, so that the same comes out later.
    Errors: ArchiveDamaged.
    """
    process, record = checked.process, previous.record
    if process is None or record is None:
        return Compared()
    number, version = record.document, previous.version
    content = archive.read(number, version, CONTENT)
    files = source_files(archive, number, version)
    with laid_out(files, content, date.fromisoformat(record.checked_on)) as before:
        if before.process is None or before.sources is None or checked.sources is None:
            first = before.findings[0].message if before.findings else "it has no definition"
            return Compared(
                reasons=(f"the sources of {record.revision} cannot be read any more: {first}",)
            )
        labels = (f"{number} revision {record.revision}", f"{number} revision {process.revision}")
        # Who else reads a changed file depends on the project as it is at the moment.
        compared = compare_checked(before, replace(checked, project=before.project), labels)
        since = marked_by(compared.comparison, before, checked)
    found = compared.comparison
    printed = Printed(found)
    return Compared(
        tuple(_plain(change, printed) for change in found.changes),
        _class(process, found),
        tuple(
            finding.message
            for finding in check_change_note(found)
            if finding.severity is Severity.ERROR
        ),
        changed_of(since),
        render_comparison(compared.report).encode(),
    )


def _class(process: Process, found: Comparison) -> str:
    """Return the class of the change note, else that of the weightiest change."""
    if process.change and process.change.change_class:
        return process.change.change_class
    names = [name for name, value in CLASSES.items() if value is found.significance]
    return names[0] if names else "editorial"


def _plain(change: Change, printed: Printed) -> Json:
    before, after = printed.sides(change)
    return {
        "title": change.title,
        "what": change.words,
        "before": "; ".join(before),
        "after": "; ".join(after),
        "significance": change.significance.value,
    }
