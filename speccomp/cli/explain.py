"""Say where a derived number of a definition comes from."""

from dataclasses import replace
from pathlib import Path

import click

from speccomp.cli.console import exit_status, show_findings, shown_path
from speccomp.derive import AnyNumber, Derived, Input, explain_number
from speccomp.pipeline import Checked


def show_number(path: Path, result: Checked, name: str) -> int:
    """
    Print a number with formula, inputs and source, or all numbers whose names begin so.

    Return 0, or what check would where the definition cannot be read, or 2 for an unknown name.
    """
    process, derived = result.process, result.derived
    if process is None or derived is None:
        show_findings([result], "text", only_problems=True)
        status = exit_status([result])
        if not status:
            click.echo(f"error: {path} is no process definition; it has no numbers", err=True)
        return status or 2
    text = explain_number(_as_seen(result, derived), name, process.plant.units)
    known = _is_known(derived, name)
    click.echo(text, err=not known)
    return 0 if known else 2


def show_beginnings(path: Path, result: Checked) -> int:
    """Say with which words the names of a definition's numbers begin; return 2, as a question."""
    if result.derived is None:
        return show_number(path, result, "")
    roots = dict.fromkeys(name.partition(".")[0] for name in result.derived.numbers)
    click.echo(f"name a number of {path}; the names begin with {', '.join(roots)}", err=True)
    return 2


def _is_known(derived: Derived, name: str) -> bool:
    names = (*derived.numbers, *(gap.name for gap in derived.gaps))
    return any(known == name or known.startswith(f"{name}.") for known in names)


def _as_seen(result: Checked, derived: Derived) -> Derived:
    """Return the numbers with the places of their inputs as seen from the working folder."""

    def place(item: Input) -> Input:
        if not item.span.file:
            return item
        return replace(item, span=replace(item.span, file=shown_path(result, item.span.file)))

    def seen(number: AnyNumber) -> AnyNumber:
        return replace(number, inputs=tuple(map(place, number.inputs)))

    return replace(derived, numbers={name: seen(n) for name, n in derived.numbers.items()})
