"""What README.md says of the command line is there."""

import re
from pathlib import Path

import click
import pytest

from speccomp.cli.main import main

README = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
TABLE = README.partition("## The commands")[2].partition("\n## ")[0]
ROWS = re.findall(r"^\| `speccomp ([a-z]+)([^`]*)` \|(.*)\|$", TABLE, re.MULTILINE)


def options_of(name: str) -> set[str]:
    options = (p for p in main.commands[name].params if isinstance(p, click.Option))
    return {flag for option in options for flag in option.opts}


def test_every_command_has_a_row_and_every_row_a_command() -> None:
    assert {name for name, _, _ in ROWS} == set(main.commands)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]}{row[1]}")
def test_the_options_of_a_row_are_options_of_its_command(row: tuple[str, str, str]) -> None:
    name, usage, text = row
    said = set(re.findall(r"--[a-z-]+", usage + " ".join(re.findall(r"`([^`]*)`", text))))
    assert said <= options_of(name)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]}{row[1]}")
def test_what_a_command_cannot_do_without_is_in_its_row(row: tuple[str, str, str]) -> None:
    name, usage, _ = row
    needed = {
        option.opts[0]
        for option in main.commands[name].params
        if isinstance(option, click.Option) and option.required and not option.envvar
    }
    assert needed <= set(re.findall(r"--[a-z-]+", usage))
