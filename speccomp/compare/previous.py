"""Compare a definition with the revision that its change note names, while it is checked."""

from collections.abc import Iterator

from speccomp.findings import Finding, Severity, Span, has_errors
from speccomp.model.process import Process
from speccomp.model.resolve_process import resolve_process
from speccomp.schema import FileKind, check_files, recognise
from speccomp.source.project import Sources, load_sources
from speccomp.source.reader import resolve_reference


def check_previous(sources: Sources, process: Process) -> Iterator[Finding]:
    """
    Yield what the previous revision says against the change note.

    Nothing where the note names no file. A file that cannot be read is a warning, because the
    sources of a released revision do not carry the one before.
    """
    note = process.change
    if note is None or not note.previous:
        return
    at = sources.main.span(("change", "previous"))
    read, reason = _read(sources, note.previous, at)
    if read is None:
        yield Finding(
            Severity.WARNING,
            "revision.previous-unread",
            at,
            f"`{note.previous}` cannot be compared with: {reason}",
            "correct the path, or delete `previous`",
            subject="change",
        )
        return
    earlier, earlier_sources = read
    if (earlier.number, earlier.revision) != (process.number, note.from_revision):
        yield Finding(
            Severity.ERROR,
            "revision.previous-differs",
            at,
            f"`{note.previous}` is {earlier.number} revision {earlier.revision}; the change is "
            f"from {process.number} revision {note.from_revision}",
            f"name the file of {process.number} revision {note.from_revision}",
            subject="change",
        )
        return
    yield from _compared(earlier, process, (earlier_sources, sources))


def _compared(
    earlier: Process, process: Process, sources: tuple[Sources, Sources]
) -> tuple[Finding, ...]:
    """Return what the comparison says; one that fails must not look like one that passed."""
    # Imported here: every check asks for the previous revision, few definitions name one.
    from speccomp.compare.change_class import check_change_note
    from speccomp.compare.compare import compare

    try:
        return tuple(check_change_note(compare(earlier, process, sources)))
    except Exception as error:  # a fault of ours is reported, and no check may stop the others
        finding = Finding(
            Severity.ERROR,
            "internal.rule-crashed",
            process.span,
            f"the comparison with the previous revision failed: {type(error).__name__}: {error}",
            "this is a fault of speccomp; report it with the files that show it",
            subject="revision.class-contradicts",
        )
        return (finding,)


def _read(sources: Sources, written: str, at: Span) -> tuple[tuple[Process, Sources] | None, str]:
    """Return the previous revision with its files, or None and the reason why not."""
    target = resolve_reference(sources.project, sources.main.file, written, at)
    if target.value is None:
        return None, target.findings[0].message
    loaded = load_sources(sources.project, target.value)
    findings = list(loaded.findings)
    earlier = None
    if loaded.value is not None and not has_errors(findings):
        findings += check_files(loaded.value)
        if recognise(loaded.value.main.data) is not FileKind.PROCESS:
            return None, "it is not a process definition"
        if not has_errors(findings):
            outcome = resolve_process(loaded.value)
            findings += outcome.findings
            earlier = outcome.value
    errors = [f for f in findings if f.severity is Severity.ERROR]
    if earlier is None or loaded.value is None or errors:
        return None, errors[0].message if errors else "it cannot be read"
    return (earlier, loaded.value), ""
