"""The one form of finding this package makes: something in a file is refused."""

from collections.abc import Iterable

from speccomp.findings import Finding, Related, Severity, Span


def refuse(
    rule: str, span: Span, message: str, hint: str = "", related: Iterable[Related] = ()
) -> Finding:
    """Return an error of the rule `source.<rule>`."""
    return Finding(Severity.ERROR, f"source.{rule}", span, message, hint, tuple(related))
