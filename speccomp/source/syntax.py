"""Why a file cannot be read, in the words of someone who writes one."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from speccomp.findings import Finding, Related, Span
from speccomp.source.characters import name_character
from speccomp.source.lines import Lines
from speccomp.source.pieces import Piece, cut, no_space_after_colon, sign_at_start, touching_colon
from speccomp.source.refusal import refuse
from speccomp.source.scalars import dump_scalar
from speccomp.source.tree_builder import MAX_DEPTH, too_deep

_LONGEST_KEY = 1024
"""Longest key on one line, in characters: YAML 1.1 section 8.1, simple keys."""
_NO_SPACE = re.compile(r" *(?:- +)*[^\s:#\"'\[\]{}]+(:)(?=[^ \n:/])")
_ODD_SPACE = re.compile(r"(?:^ *(?=[^\S \n])|(?=\t))(.)", re.M)
_DIRECTIVE = re.compile(r"(?> *(?:#[^\n]*)?\n)*(%[^\n]*)")
_QUOTED_OR_OPENING = re.compile(r"\"[^\"]*\"|'[^']*'|[\[{]")
_TO_QUOTE = "put the text in quotes"


@dataclass(frozen=True, slots=True)
class ParserStop:
    """
    Where a parser gave up.

    `context` and `problem` are its words, `at` the offset it names, `since` where what it was
    reading starts, `last` the last piece it delivered, `reached` the end of all it delivered,
    `bracket` the innermost bracket open by then, `depth` the number of lists and mappings open.
    """

    context: str
    problem: str
    at: int
    since: int
    last: Piece
    reached: int
    bracket: int | None
    depth: int


def check_layout(lines: Lines) -> Finding | None:
    """Refuse what readers of YAML take differently: tabs, other spaces in front, directives."""
    if match := _ODD_SPACE.search(lines.text):
        at = match.start(1)
        indents = not lines.text[lines.start(at) : at].strip()
        name = "a tab character" if match[1] == "\t" else name_character(match[1])
        message = f"{name} {'indents the line' if indents else 'stands here'}"
        hint = "write spaces; a tab in a text is written \\t in double quotes"
        return _syntax(lines.span(at, at + 1), message, hint)
    if match := _DIRECTIVE.match(lines.text):
        message = f"`{cut(match[1])}` is an instruction to the reader of the file, not an entry"
        hint = f"delete the line, or {_TO_QUOTE} if it belongs to one"
        return _syntax(lines.span(match.start(1), match.end(1)), message, hint)
    return None


def explain_stop(lines: Lines, stop: ParserStop) -> Finding:
    """Return the finding that says what the parser stumbled on and what is usually meant."""
    for context, problem, explain in _EXPLANATIONS:
        if context in stop.context and problem in stop.problem:
            return explain(lines, stop)
    return _unexpected(lines, stop)


def _syntax(span: Span, message: str, hint: str, related: tuple[Related, ...] = ()) -> Finding:
    return refuse("syntax", span, message, hint, related)


def _too_deep(lines: Lines, stop: ParserStop) -> Finding:
    """Find the bracket that is one too deep in what the parser read ahead."""
    openings = [
        match.start()
        for match in _QUOTED_OR_OPENING.finditer(lines.text, stop.reached, stop.at + 1)
        if match[0] in "[{"
    ]
    place = MAX_DEPTH - stop.depth
    return too_deep(lines, openings[place] if place < len(openings) else stop.at)


def _second_colon(lines: Lines, stop: ParserStop) -> Finding:
    """Explain a colon with a space where a key cannot be."""
    start = lines.start(stop.at)
    entry = re.sub(r"^ *(?:- +)*", "", lines.text[start : stop.at])
    key, colon, text = (entry + lines.rest(stop.at)).partition(": ")
    if colon and len(key) < len(entry):
        message = f"the text of `{cut(key)}` holds a second colon with a space after it"
        hint = _TO_QUOTE
        if len(text) <= 60 and '"' not in text:
            hint = f"{_TO_QUOTE}: {key}: {dump_scalar(text.strip())}"
        return _syntax(lines.span(stop.at, stop.at + 1), message, hint)
    if len(entry) > _LONGEST_KEY:
        message = f"the key has {len(entry)} characters; at most {_LONGEST_KEY} are possible"
        return _syntax(lines.span(stop.at - len(entry), stop.at), message, "shorten the key")
    return _colon_after_other_line(lines, stop, stop.at - len(entry))


def _colon_after_other_line(lines: Lines, stop: ParserStop, key_start: int) -> Finding:
    """Explain a key that the parser took for more of the text that the lines above hold."""
    number = lines.number(stop.at)
    above = number - 1
    while above > 0 and not lines.line(above).strip():
        above -= 1
    line = lines.line(above) if above else ""
    if ": " not in line and (match := _NO_SPACE.match(line)):
        return _first_colon(lines, lines.starts[above - 1], match)
    key = cut(lines.text[key_start : stop.at])
    message = f"`{key}:` is read as more of the text in line {above}, and such text holds no colon"
    hint = "start a key under the first letter of the key it belongs beside; " + _TO_QUOTE
    return _syntax(lines.span(key_start, stop.at + 1), message, f"{hint} if it is text")


def _first_colon(lines: Lines, line_start: int, match: re.Match[str]) -> Finding:
    """Explain `key:value` in the line that `match` has found one in."""
    entry = re.sub(r"^ *(?:- +)*", "", lines.rest(line_start))
    return no_space_after_colon(lines, line_start + match.start(1), entry)


def _line_without_key(lines: Lines, stop: ParserStop) -> Finding:
    """Explain a line that is only text, among keys."""
    match = _NO_SPACE.match(lines.line(lines.number(stop.since)))
    if match:
        return _first_colon(lines, lines.start(stop.since), match)
    rest = lines.rest(stop.since)
    message = f"`{cut(rest)}` stands alone: it is neither a key with a colon nor a list item"
    hint = "write a colon and a space after a key; indent the line if it continues the text above"
    return _syntax(lines.span(stop.since, stop.since + len(rest.rstrip())), message, hint)


def _list_beside_key(lines: Lines, stop: ParserStop) -> Finding:
    message = "a list item starts in the same line as its key"
    hint = f"start the list in the next line, or {_TO_QUOTE} if the dash belongs to it"
    return _syntax(lines.span(stop.at, stop.at + 1), message, hint)


def _sign_at_start(lines: Lines, stop: ParserStop) -> Finding:
    """Explain text without quotes that starts with a sign, after which the parser stopped."""
    begins = lines.text[stop.since : stop.since + 1] in tuple("*&|>!")
    return sign_at_start(lines, stop.since if begins else stop.at)


def _follows_alias(lines: Lines, stop: ParserStop) -> bool:
    """Tell whether the parser stopped at more text after what it took for an alias."""
    between = lines.text[stop.last.end : stop.at]
    return lines.text.startswith("*", stop.last.start) and between.strip(" ") == ""


def _bad_tag(lines: Lines, stop: ParserStop) -> Finding:
    tag = re.match(r"[^\s,]*", lines.text[stop.since : stop.since + 200])
    length = len(tag[0]) if tag else 0
    message = f"the tag `{cut(tag[0]) if tag else ''}` is refused"
    hint = "put text that starts with `!` in quotes"
    return refuse("tag", lines.span(stop.since, stop.since + length), message, hint)


def _open_quote(lines: Lines, stop: ParserStop) -> Finding:
    quote = lines.text[stop.since]
    message = f"the quoted text that {quote} opens here has no closing {quote}"
    return _syntax(lines.span(stop.since, stop.since + 1), message, f"close it with {quote}")


def _bad_escape(lines: Lines, stop: ParserStop) -> Finding:
    at = max(lines.text.rfind("\\", stop.since, stop.at + 1), stop.since)
    surrogate = re.compile(r"\\(?:u|U0000)(?=[dD][89a-fA-F])").match(lines.text, at)
    if surrogate:
        return _half_character(lines, at, surrogate.end() + 4)
    message = f"`{cut(lines.text[at : at + 2])}` in double quotes stands for no character"
    hint = "write the backslash twice, or use single quotes"
    return _syntax(lines.span(at, at + 2), message, hint)


def _half_character(lines: Lines, at: int, end: int) -> Finding:
    code = lines.text[end - 4 : end].upper()
    message = f"the text holds U+{code}, which is half of a surrogate pair and no character"
    return refuse("encoding", lines.span(at, end), message, "delete the escape that gives it")


def _flow_separator(lines: Lines, stop: ParserStop) -> Finding:
    """Explain a missing comma or closing bracket."""
    ends = not lines.text[stop.at :].strip()
    opened = stop.since if lines.text[stop.since : stop.since + 1] in ("[", "{") else stop.bracket
    if opened is not None and (ends or lines.number(stop.at) > lines.number(opened)):
        return _open_bracket(lines, opened, stop.at)
    if _follows_alias(lines, stop):
        return sign_at_start(lines, stop.last.start)
    found = lines.text[stop.at : stop.at + 1]
    what = "a colon" if found == ":" else f"`{cut(lines.rest(stop.at))}`"
    message = f"{what} stands between brackets where a comma or the closing bracket is expected"
    hint = "separate entries with commas; put text that holds such signs or `?` in quotes"
    return _syntax(lines.span(stop.at, stop.at + 1), message, hint)


def _open_bracket(lines: Lines, bracket: int, at: int) -> Finding:
    opening = lines.text[bracket]
    closing = "}" if opening == "{" else "]"
    until = "the end of the file"
    if lines.text[at:].strip():
        until = f"line {lines.number(at)}"
    message = f"the bracket `{opening}` is not closed before {until}"
    hint = f"close it with `{closing}`, or {_TO_QUOTE} if the bracket belongs to one"
    return _syntax(lines.span(bracket, bracket + 1), message, hint)


def _no_value(lines: Lines, stop: ParserStop) -> Finding:
    """Explain a sign or the end of the file where a value is expected."""
    found = lines.text[stop.at : stop.at + 1]
    if stop.bracket is not None and not lines.text[stop.at :].strip():
        return _open_bracket(lines, stop.bracket, stop.at)
    if found == "-" and stop.bracket is not None:
        message = "a list with dashes stands between brackets"
        hint = "separate the items with commas, or use no brackets"
        return _syntax(lines.span(stop.at, stop.at + 1), message, hint)
    if found == ",":
        message = "a comma stands where a value is expected"
        return _syntax(lines.span(stop.at, stop.at + 1), message, f"delete it, or {_TO_QUOTE}")
    return _unexpected(lines, stop)


def _after_the_end(lines: Lines, stop: ParserStop) -> Finding:
    """Explain what follows where a list or mapping, or the value of a key, is complete."""
    start, last = lines.start(stop.at), stop.last
    if not lines.text[start : stop.at].strip(" "):
        return _wrong_indent(lines, stop)
    if last.style in ("'", '"'):
        return _after_quotes(lines, stop)
    if _follows_alias(lines, stop):
        return sign_at_start(lines, last.start)
    rest = cut(lines.rest(stop.at))
    if last.style == "{" and lines.number(last.end) == lines.number(stop.at):
        message = f"`{rest}` follows after a closing bracket"
        hint = "put the whole text in quotes if the brackets belong to it"
        return _syntax(lines.span(stop.at, stop.at + 1), message, hint)
    return _unexpected(lines, stop)


def _after_quotes(lines: Lines, stop: ParserStop) -> Finding:
    """Explain text after a closing quote: the quote is part of the text, or one is missing."""
    last, quote = stop.last, stop.last.style
    if lines.number(last.start) < lines.number(last.end):
        message = (
            f"the quoted text that {quote} opens here ends only in line {lines.number(last.end)}, "
            "and more text follows there"
        )
        related = Related(lines.span(last.end - 1, last.end), "it ends here")
        hint = f"close it with {quote} where it should end"
        return _syntax(lines.span(last.start, last.start + 1), message, hint, (related,))
    message = f"`{cut(lines.rest(stop.at))}` follows after the closing {quote}"
    hint = "put the whole text in quotes; for a quote inside single quotes write it twice"
    return _syntax(lines.span(stop.at, stop.at + 1), message, hint)


def _wrong_indent(lines: Lines, stop: ParserStop) -> Finding:
    """Explain a line that starts at a column where none of the open entries starts."""
    rest = lines.rest(stop.at)
    span = lines.span(stop.at, stop.at + 1)
    if rest[:1] in ("]", "}"):
        return _unexpected(lines, stop)
    if rest.startswith("-"):
        message = "a list item starts here among keys"
        hint = "indent the list under its key, and leave the rest of the key's line empty"
        return _syntax(span, message, hint)
    message = f"`{cut(rest)}` starts in column {span.column}, where no entry above it starts"
    hint = "start it exactly under the first letter of the entry it belongs beside"
    return _syntax(span, message, hint)


def _unexpected(lines: Lines, stop: ParserStop) -> Finding:
    """Name what stands at the place, for the rest of the cases."""
    rest = lines.rest(stop.at)
    span = lines.span(stop.at, stop.at + min(1, len(rest)))
    if rest[:1] in ("]", "}"):
        message = f"the closing bracket `{rest[0]}` has no opening one"
        return _syntax(span, message, f"delete it, or {_TO_QUOTE}")
    if rest[:1] == ":" and stop.bracket is not None:
        return touching_colon(lines, stop.at)
    if not lines.text[stop.at :].strip():
        return _syntax(span, "the file ends where more is expected", "complete the last entry")
    message = f"`{cut(rest)}` is not expected here"
    return _syntax(span, message, f"{_TO_QUOTE} if it belongs to one; check the lines above")


_Explain = Callable[[Lines, ParserStop], Finding]
_EXPLANATIONS: tuple[tuple[str, str, _Explain], ...] = (
    ("", "exceeded maximum nesting depth", _too_deep),
    ("", "mapping values are not allowed", _second_colon),
    ("simple key", "could not find expected ':'", _line_without_key),
    ("", "mapping keys are not allowed", _sign_at_start),
    ("", "sequence entries are not allowed", _list_beside_key),
    ("", "tag handle", _bad_tag),
    (" tag", "", _bad_tag),
    ("scanning an a", "", _sign_at_start),
    ("block scalar", "", _sign_at_start),
    ("quoted scalar", "found unexpected", _open_quote),
    ("quoted scalar", "", _bad_escape),
    ("", "cannot start any token", _sign_at_start),
    ("flow", "expected ',' or", _flow_separator),
    ("", "node content", _no_value),
    ("block", "", _after_the_end),
)
