"""
YAML text to a tree of plain text, lists and mappings; the only module that knows YAML.

The parser is asked for its events only: no value is given a type, no object is made, no alias is
written out, and reading stops at the first bound that is passed.
"""

import re
from collections.abc import Iterator
from functools import lru_cache

import yaml

from speccomp.findings import Finding, Outcome
from speccomp.source.characters import check_characters, with_line_feeds
from speccomp.source.lines import Lines
from speccomp.source.pieces import Piece
from speccomp.source.refusal import refuse
from speccomp.source.scalars import dump_scalar
from speccomp.source.syntax import ParserStop, check_layout, explain_stop
from speccomp.source.tree import NodeSpan, Path, PathKey, Plain, Tree
from speccomp.source.tree_builder import MAX_BYTES, MAX_DEPTH, MAX_NODES, TreeBuilder

__all__ = [
    "MAX_BYTES",
    "MAX_DEPTH",
    "MAX_NODES",
    "NodeSpan",
    "Path",
    "PathKey",
    "Plain",
    "Tree",
    "dump_scalar",
    "parse_tree",
]

PARSER: type[yaml.SafeLoader] | type[yaml.CSafeLoader] = getattr(
    yaml, "CSafeLoader", yaml.SafeLoader
)
"""The parser in C where it is installed, the one in Python elsewhere; both give the same
trees, but the latter refuses a `?` in text without quotes between brackets."""

_KEPT = 65_536
"""Longest text, in characters, whose tree is kept for the next that asks for the same."""

_NO_CHARACTER = re.compile(r"\\U(?!000|0010)")


def parse_tree(text: str, file: str) -> Outcome[Tree]:
    """
    Return the tree of a file's text; all scalars stay text.

    Findings, all errors: `source.` followed by `syntax`, `comment-in-text`, `duplicate-key`, `tag`,
    `alias-bomb`, `too-deep`, `too-large`, `multiple-documents`, `empty`, `not-a-mapping`,
    `complex-key`, `merge-key`, `undefined-alias`, `encoding`. There is no tree where the file as a
    whole is refused; there is one, without the entry concerned, after faults of single entries.
    Nobody may change a tree: the next caller with the same text gets the same one.
    """
    # Definitions share plant, cards and blocks; what was read for one is there for the next.
    return _kept(text, file) if len(text) <= _KEPT else _parse(text, file)


def _parse(text: str, file: str) -> Outcome[Tree]:
    lines = Lines(file, with_line_feeds(text))
    refused = _check_size(lines) or check_characters(lines) or check_layout(lines)
    if refused is not None:
        return Outcome(None, (refused,))
    builder = TreeBuilder(lines)
    stop = _read(builder)
    if stop is not None:
        last = explain_stop(lines, stop)
        return Outcome(None, (*(f for f in builder.findings if not _same_fault(f, last)), last))
    return builder.outcome()


_kept = lru_cache(maxsize=32)(_parse)


def _same_fault(finding: Finding, last: Finding) -> bool:
    """Tell whether a finding is about the same slip of the pen as the one that ended reading."""
    rules = ("source.syntax", "source.undefined-alias")
    return finding.rule in rules and finding.span.line == last.span.line


def _check_size(lines: Lines) -> Finding | None:
    size = len(lines.text.encode("utf-8", "surrogatepass"))
    if size <= MAX_BYTES:
        return None
    message = f"the file has {size} bytes; at most {MAX_BYTES} are read"
    return refuse("too-large", lines.span(0, 0), message, "divide it into several files")


def _read(builder: TreeBuilder) -> ParserStop | None:
    """Pass the events of the text to the builder; return where the parser gave up, if it did."""
    for event in _parse_events(builder.lines.text):
        if isinstance(event, Exception):
            return _parser_stop(event, builder)
        _pass_on(event, builder)
        if builder.stopped:
            break
    return None


def _parse_events(text: str) -> Iterator[yaml.Event | Exception]:
    """Yield the parser's events, and at the end its error if it has one."""
    try:
        yield from yaml.parse(text, Loader=PARSER)
    except (yaml.YAMLError, ValueError, OverflowError) as error:
        yield error


def _parser_stop(error: Exception, builder: TreeBuilder) -> ParserStop:
    """Put together where the parser gave up; only errors of escapes come without a place."""
    at = builder.last.end
    since, context, problem = None, "", ""
    if isinstance(error, yaml.MarkedYAMLError):
        at = error.problem_mark.index if error.problem_mark else at
        since = error.context_mark.index if error.context_mark else None
        context, problem = error.context or "", error.problem or ""
    elif match := _NO_CHARACTER.search(builder.lines.text, at):
        # The parser in Python makes a character of any number that an escape gives.
        at = match.start()
        context = "scanning a quoted scalar"
    since = at if since is None else since
    return ParserStop(
        context,
        problem,
        at,
        since,
        builder.last,
        builder.reached,
        builder.open_bracket,
        builder.depth,
    )


def _pass_on(event: yaml.Event, builder: TreeBuilder) -> None:
    """Pass one event to the builder."""
    start = event.start_mark.index if event.start_mark else 0
    end = event.end_mark.index if event.end_mark else start
    match event:
        case yaml.ScalarEvent():
            style = event.style if event.style in ("'", '"', "|", ">") else ""
            piece = Piece(start, end, event.anchor, event.tag is not None, style)
            builder.add_scalar(piece, event.value)
        case yaml.AliasEvent():
            builder.add_alias(Piece(start, end), event.anchor or "")
        case yaml.SequenceStartEvent() | yaml.MappingStartEvent():
            style = "{" if event.flow_style else ""
            piece = Piece(start, end, event.anchor, event.tag is not None, style)
            builder.open_collection(piece, [] if isinstance(event, yaml.SequenceStartEvent) else {})
        case yaml.SequenceEndEvent() | yaml.MappingEndEvent():
            builder.close_collection(end)
        case yaml.DocumentStartEvent():
            builder.start_document(start, end)
