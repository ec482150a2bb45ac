"""A rule with its manual page, and how a page is read."""

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from speccomp.findings import Severity
from speccomp.rules.facts import Check

_SECTION = re.compile(r"^(Why|Source|Bad|Good):[ \t]*", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Page:
    """
    A manual page: what the fault is, why it matters, who says so, an example of each.

    `bad` and `good` are fragments of YAML, or words where the fault is not in the text of a file.
    """

    summary: str
    why: str
    source: str
    bad: str
    good: str


@dataclass(frozen=True, slots=True)
class Rule:
    """
    One rule.

    `severities` are those its findings can have. `check` is None for a rule that an earlier or
    later stage reports. `text` is the manual page as written.
    """

    name: str
    severities: tuple[Severity, ...]
    check: Check | None
    text: str

    @property
    def family(self) -> str:
        """The part of the name before the dot."""
        return self.name.partition(".")[0]

    @property
    def page(self) -> Page:
        """The manual page by its sections."""
        return parse_page(self.text)

    @property
    def summary(self) -> str:
        """The sentence that states the fault."""
        return self.page.summary


def parse_page(text: str) -> Page:
    """
    Read a manual page.

    Raises ValueError where a section is missing, empty or out of order.
    """
    summary, *rest = _SECTION.split(text)
    names, bodies = rest[0::2], rest[1::2]
    if names != ["Why", "Source", "Bad", "Good"]:
        raise ValueError(f"the page has the sections {names}")
    page = Page(
        _joined(summary), *(_joined(body) for body in bodies[:2]), *map(_example, bodies[2:])
    )
    if not all((page.summary, page.why, page.source, page.bad, page.good)):
        raise ValueError("a section of the page is empty")
    return page


def _joined(text: str) -> str:
    return " ".join(text.split())


def _example(body: str) -> str:
    """Return a fragment without its indentation, words in one line."""
    return inspect.cleandoc(body) + "\n" if body.startswith("\n") else _joined(body)


def page_of(function: Callable[..., object]) -> str:
    """Return the docstring of a function as the text of a page."""
    return inspect.getdoc(function) or ""


def pages(texts: Mapping[str, str]) -> dict[str, str]:
    """Return manual pages that are kept as data, without the indentation of the module."""
    return {name: inspect.cleandoc(text) for name, text in texts.items()}
