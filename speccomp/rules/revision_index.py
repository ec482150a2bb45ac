"""The revision index and the document number, against the plant's schemes."""

from collections.abc import Iterator

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.model.process import Process
from speccomp.model.revisions import (
    Revision,
    RevisionError,
    Scheme,
    following,
    follows,
    may_be_first,
    must_be_first,
    parse_revision,
)
from speccomp.rules.facts import Facts
from speccomp.rules.number_pattern import NumberPattern, PatternError, parse_number_pattern


def read_revision(process: Process, text: str) -> Revision | None:
    """Return a revision of the plant's scheme, or nothing where the text is none."""
    try:
        return parse_revision(text, Scheme(process.plant.revision_scheme))
    except RevisionError:
        return None


def _is_first(process: Process) -> bool:
    """
    Tell whether a revision is the first one of its document, so that it cannot change another.

    It is where nothing can come before it, and where documents may begin with it, no history
    stands in the file, and the change note names nothing that it could follow.
    """
    now = read_revision(process, process.revision)
    if now is None or not may_be_first(now):
        return False
    before = read_revision(process, process.change.from_revision) if process.change else None
    begins = not process.history and not (before is not None and follows(before, now))
    return must_be_first(now) or begins


def _indexes(process: Process) -> Iterator[tuple[str, Span, str]]:
    """Go through all revision indexes that are written, with their places and fields."""
    yield process.revision, process.place("revision"), "revision"
    if process.change and not _is_first(process):
        yield process.change.from_revision, process.change.span, "change"
    for earlier in process.history:
        yield earlier.revision, earlier.span, "history"


def not_in_scheme(facts: Facts) -> Iterator[Finding]:
    """
    A revision index is not one of the plant's scheme.

    Why: I and 1, O and 0 look alike on a copy; an index outside the scheme has no place in the
        order of revisions.
    Source: ASME Y14.35: letters without I, O, Q, S, X and Z, two at most, a dash for the first
        release (two letters and dash from memory).
    Bad:
        revision: I
    Good:
        revision: J
        change: {from: H, why: Discs gapped in winter, summary: Longer drying hold}
    """
    scheme = Scheme(facts.process.plant.revision_scheme)
    for text, span, field in _indexes(facts.process):
        try:
            parse_revision(text, scheme)
        except RevisionError as error:
            yield Finding(
                Severity.ERROR,
                "revision.not-in-scheme",
                span,
                f"`{text}` under `{field}` is no revision of the plant's {scheme}: {error}",
                "letters go -, A, B, C … H, J … Y, AA; numbers go 1, 2, 3",
                subject=field,
            )


def wrong_next(facts: Facts) -> Iterator[Finding]:
    """
    The revision is not the next one after the revision it says it changes.

    Why: a gap in the indexes looks like a revision that was lost.
    Source: common practice, no source; order of the letters by ASME Y14.35.
    Bad:
        revision: D
        change: {from: B, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
          - {revision: B, date: 2025-06-02, summary: Finer scale}
    Good:
        revision: C
        change: {from: B, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
          - {revision: B, date: 2025-06-02, summary: Finer scale}
    """
    process = facts.process
    if process.change is None:
        return
    now = read_revision(process, process.revision)
    before = read_revision(process, process.change.from_revision)
    if now is None or before is None or _is_first(process) or follows(before, now):
        return
    last = read_revision(process, process.history[-1].revision) if process.history else None
    if last is not None and follows(last, now):
        return  # the index is right; that the change is from another one is found there
    try:
        hint = f"write `revision: {following(before)[0]}`, or correct `from`"
    except RevisionError as error:
        hint = str(error)
    yield Finding(
        Severity.ERROR,
        "revision.wrong-next",
        process.place("revision"),
        f"the revision is {now.text}, which is not the next after {before.text}",
        hint,
        (Related(process.change.span, f"the change is from {before.text}"),),
        "revision",
    )


def no_change_note(facts: Facts) -> Iterator[Finding]:
    """
    A revision that is not the first one does not say what it changes and why.

    Why: without the reason nobody can tell later whether the change may be taken back.
    Source: ISO/TR 10013:2001, 4.5.4: the nature of a change is identified.
    Bad:
        revision: B
    Good:
        revision: B
        change: {from: A, why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: A, date: 2025-01-14, summary: First issue}
    """
    process = facts.process
    now = read_revision(process, process.revision)
    if process.change or now is None or must_be_first(now):
        return
    if process.history or not may_be_first(now):
        yield Finding(
            Severity.ERROR,
            "revision.no-change-note",
            process.place("revision"),
            f"revision {now.text} does not say what it changes",
            "add `change: {from: …, why: …, summary: …}`",
            subject="change",
        )


def first_has_from(facts: Facts) -> Iterator[Finding]:
    """
    The first revision of a document says that it changes an earlier one.

    Why: nothing came before it; a change note that stays from a copied file sends the reader
        after a revision that never was.
    Source: ASME Y14.35: a dash marks the first release (from memory); many plants begin with A.
    Bad:
        revision: A
        change: {from: A, why: Discs gapped in winter, summary: Longer drying hold}
    Good:
        revision: A
        change: {from: "-", why: Discs gapped in winter, summary: Longer drying hold}
        history:
          - {revision: "-", date: 2025-01-14, summary: First issue}
    """
    process = facts.process
    if process.change and _is_first(process):
        yield Finding(
            Severity.ERROR,
            "revision.first-has-from",
            process.change.span,
            f"revision {process.revision} is the first revision, and yet the change note says that "
            f"it changes revision {process.change.from_revision}",
            "delete `change` and `history`, or correct `revision`"
            if process.history
            else "delete `change`",
            (Related(process.place("revision"), f"the revision is {process.revision}"),),
            "change",
        )


def number_pattern(facts: Facts) -> Iterator[Finding]:
    """
    The document number does not have the form that the plant gives its numbers.

    Why: a mistyped number opens a new document beside the one it was meant for.
    Source: ISO 9001:2015, 7.5.2 a: documents are identified; the form is the plant's own.
    Bad:
        process: PF-100
    Good:
        process: PD-100
    """
    process = facts.process
    pattern = process.plant.document_pattern
    read = _read(pattern) if pattern else None
    if isinstance(read, NumberPattern) and not read.fits(process.number):
        yield Finding(
            Severity.ERROR,
            "revision.number-pattern",
            process.place("process"),
            f"the number `{process.number}` does not have the form `{pattern}` of the plant",
            "correct the number, or `numbering` in the plant file",
            (Related(process.plant.span, "the plant file"),),
            "process",
        )


def bad_pattern(facts: Facts) -> Iterator[Finding]:
    """
    The form of document numbers in the plant file cannot be read.

    Why: a form that cannot be read lets every number through.
    Source: the signs of POSIX extended regular expressions (IEEE Std 1003.1, from memory); what
        goes back or looks around is not taken, because it can take years.
    Bad:
        # plant.yaml
        numbering: {documents: "PD-[0-9", revisions: letters}
    Good:
        # plant.yaml
        numbering: {documents: "PD-[0-9]{3}", revisions: letters}
    """
    plant = facts.process.plant
    error = _read(plant.document_pattern) if plant.document_pattern else None
    if isinstance(error, PatternError):
        yield Finding(
            Severity.ERROR,
            "revision.bad-pattern",
            plant.span,
            f"the form of document numbers, `{plant.document_pattern}`, cannot be read: {error}",
            'write for example `numbering: {documents: "PD-[0-9]{3}", revisions: letters}`',
            subject="numbering",
        )


def _read(pattern: str) -> NumberPattern | PatternError:
    try:
        return parse_number_pattern(pattern)
    except PatternError as error:
        return error
