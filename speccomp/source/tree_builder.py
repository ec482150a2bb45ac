"""Plain data with positions out of what a parser reports, piece by piece and within bounds."""

import unicodedata
from dataclasses import dataclass, field, replace

from speccomp.findings import Finding, Outcome, Related, Span
from speccomp.source.lines import Lines
from speccomp.source.pieces import (
    Piece,
    check_colon,
    check_key,
    check_tag,
    check_text,
    empty_value,
    text_offset,
    trim,
)
from speccomp.source.refusal import refuse
from speccomp.source.tree import NodeSpan, Path, Plain, Tree

MAX_BYTES = 1_000_000
"""Largest file, in bytes, and longest text it may come to in characters, aliases written out."""
MAX_NODES = 50_000
"""Most values (texts, lists and mappings) in a file, aliases written out."""
MAX_DEPTH = 40
"""Most lists and mappings inside one another, aliases written out."""


MAX_FINDINGS = 100
"""Most findings about one file before the rest of it is left unread."""


@dataclass(frozen=True, slots=True)
class _Anchored:
    """What an anchor stands for, and what it adds wherever an alias repeats it."""

    data: Plain
    nodes: int
    characters: int
    height: int


@dataclass(slots=True)
class _Key:
    """A key that waits for its value; `path` is None where the value is left out."""

    name: str
    piece: Piece
    path: Path | None


@dataclass(slots=True)
class _Open:
    """A list or mapping whose end has not come yet; `path` is None where it is left out."""

    data: "list[Plain] | dict[str, Plain]"
    piece: Piece
    path: Path | None
    key_span: Span | None
    end: int
    nodes_before: int
    characters_before: int
    height: int = 1
    key: _Key | None = None
    keys: dict[str, Span] = field(default_factory=dict)

    @property
    def expects_key(self) -> bool:
        """Tell whether the next piece is a key."""
        return isinstance(self.data, dict) and self.key is None


class TreeBuilder:
    """
    Takes the pieces of one document in order and makes a tree of them.

    `stopped` tells that a bound is passed and no further piece is taken. `last` (the last text,
    alias, or closed list or mapping), `reached` (the end of what was taken) and `open_bracket` say
    where the parser stood, for the explanation of a syntax error.
    """

    def __init__(self, lines: Lines) -> None:
        self.lines = lines
        self.findings: list[Finding] = []
        self.stopped = False
        self.last = Piece(0, 0)
        self.reached = 0
        self._open: list[_Open] = []
        self._nodes: dict[Path, NodeSpan] = {}
        self._anchors: dict[str, _Anchored | None] = {}
        self._root: Plain | None = None
        self._count = 0
        self._characters = 0
        self._repeats = False

    @property
    def depth(self) -> int:
        """Return how many lists and mappings are open."""
        return len(self._open)

    @property
    def open_bracket(self) -> int | None:
        """Return where the innermost bracket that is still open stands, if there is one."""
        starts = (each.piece.start for each in reversed(self._open) if each.piece.style == "{")
        brackets = ("[", "{")
        return next((at for at in starts if self.lines.text[at : at + 1] in brackets), None)

    def outcome(self) -> Outcome[Tree]:
        """Return the tree, unless it is refused as a whole, and the findings."""
        if self.stopped:
            return Outcome(None, tuple(self.findings))
        if self._root is None or self._root == "":
            end = len(self.lines.text.rstrip())
            finding = refuse("empty", self.lines.span(end, end), "the file holds no entries")
            return Outcome(None, (*self.findings, finding))
        if not isinstance(self._root, dict):
            kind = "a list" if isinstance(self._root, list) else "one piece of text"
            hint = "start with a key and a colon, such as `title: ...`"
            message = f"the file holds {kind} where keys with values are expected"
            span = self._nodes[()].value
            return Outcome(None, (*self.findings, refuse("not-a-mapping", span, message, hint)))
        tree = Tree(self.lines.file, self.lines.text, self._root, self._nodes)
        return Outcome(tree, tuple(self.findings))

    def stop(self, finding: Finding) -> None:
        """Refuse the document as a whole."""
        if not self.stopped:
            self.findings.append(finding)
        self.stopped = True

    def start_document(self, start: int, end: int) -> None:
        """Take the start of a document; a file holds one."""
        if self._root is not None:
            message = "a second document starts here; a file holds one"
            hint = "move it to a file of its own, or delete the line"
            self.stop(refuse("multiple-documents", self.lines.span(start, end), message, hint))

    def add_scalar(self, piece: Piece, value: str) -> None:
        """Take a text: a key, the value of one, an item, or the whole document."""
        self._note(check_tag(self.lines, piece))
        piece = trim(self.lines, piece)
        finding = check_text(self.lines, piece, value)
        if finding is not None and finding.rule == "source.encoding":
            self.stop(finding)
            return
        self._note(finding)
        text = value if value.isascii() else unicodedata.normalize("NFC", value)
        self._grow(0 if self._expects_key else 1, len(text), piece)
        self._anchor(piece, _Anchored(text, 1, len(text), 0))
        if self._expects_key:
            self._take_key(piece, text)
        else:
            if self._open and (key := self._open[-1].key):
                if self._open[-1].piece.style == "{":
                    self._note(check_colon(self.lines, key.piece, piece))
                piece = empty_value(self.lines, key.piece, piece)
            self._attach(piece, text, text_offset(self.lines, piece, text))

    def add_alias(self, piece: Piece, name: str) -> None:
        """Take an alias: what its anchor stands for is shared and counted once more."""
        span = self.lines.span(piece.start, piece.end)
        target = self._anchors.get(name)
        if self._expects_key:
            hint = "write the key out"
            self._note(refuse("complex-key", span, f"the alias *{name} is a key", hint))
            self._open[-1].key = _Key("", piece, None)
            return
        if target is None and name in self._anchors:
            message = f"the alias *{name} stands inside what it repeats, so it has no end"
            self.stop(refuse("alias-bomb", span, message, "write the entries out"))
            return
        if target is None:
            message = f"nothing before the alias *{name} is marked with &{name}"
            hint = "put text that starts with `*` in quotes"
            self._note(refuse("undefined-alias", span, message, hint))
            target = _Anchored("", 1, 0, 0)
        self._repeats = True
        self._grow(target.nodes, target.characters, piece)
        self._check_depth(piece, self.depth + target.height)
        if self._open:
            self._open[-1].height = max(self._open[-1].height, target.height + 1)
        self._attach(piece, target.data, None)

    def open_collection(self, piece: Piece, data: "list[Plain] | dict[str, Plain]") -> None:
        """Take the start of a list or a mapping; `data` is a new and empty one."""
        before = (self._count, self._characters)
        self._note(check_tag(self.lines, piece))
        piece = trim(self.lines, piece)
        self._grow(1, 0, piece)
        self._check_depth(piece, self.depth + 1)
        path, key_span = self._next_place()
        if self._expects_key:
            span = self.lines.span(piece.start, piece.start + 1)
            message = "a list or mapping stands where a key is expected"
            hint = "put text that starts with a bracket in quotes; keys are single texts"
            self._note(refuse("complex-key", span, message, hint))
        if piece.anchor is not None:
            self._anchors[piece.anchor] = None
        self._open.append(_Open(data, piece, path, key_span, piece.end, *before))
        self.reached = max(self.reached, piece.end)

    def close_collection(self, end: int) -> None:
        """Take the end of the innermost list or mapping; brackets end at `end`."""
        closed = self._open.pop()
        end = end if closed.piece.style == "{" else closed.end
        nodes = self._count - closed.nodes_before
        characters = self._characters - closed.characters_before
        piece = Piece(closed.piece.start, end, closed.piece.anchor, style=closed.piece.style)
        self._anchor(piece, _Anchored(closed.data, nodes, characters, closed.height))
        if self._open:
            parent = self._open[-1]
            parent.height = max(parent.height, closed.height + 1)
            if parent.expects_key:
                parent.key = _Key("", piece, None)
                self._moved_to(piece)
                return
        self._attach(piece, closed.data, None)

    @property
    def _expects_key(self) -> bool:
        return bool(self._open) and self._open[-1].expects_key

    def _note(self, finding: Finding | None) -> None:
        """Keep a finding, and stop where there are more than anyone reads."""
        if finding is None or self.stopped:
            return
        self.findings.append(finding)
        if len(self.findings) >= MAX_FINDINGS:
            message = f"the file is read no further after {MAX_FINDINGS} findings"
            hint = "correct those above first"
            self.stop(
                replace(finding, rule="source.unread", message=message, hint=hint, related=())
            )

    def _take_key(self, piece: Piece, name: str) -> None:
        """Remember a key for the value that follows; leave out what is merged or given twice."""
        mapping = self._open[-1]
        if mapping.piece.style == "{":
            self._note(check_key(self.lines, piece))
        span = self.lines.span(piece.start, piece.end)
        path = None if mapping.path is None else (*mapping.path, name)
        if name == "<<" and not piece.style:
            hint = "write the entries out, or move steps that repeat into a step block"
            message = "`<<` would merge other entries in here without showing them"
            self._note(refuse("merge-key", span, message, hint))
            path = None
        elif name in mapping.keys:
            first = Related(mapping.keys[name], f"`{name}` is given here first")
            message = f"the key `{name}` is given twice"
            hint = "keep one of the two, or give the second another name"
            self._note(refuse("duplicate-key", span, message, hint, (first,)))
            path = None
        else:
            mapping.keys[name] = span
        mapping.key = _Key(name, piece, path)
        self._moved_to(piece)

    def _next_place(self) -> tuple[Path | None, Span | None]:
        """Return the path of the value that comes next, and the place of its key."""
        if not self._open:
            return (), None
        parent = self._open[-1]
        if isinstance(parent.data, list):
            return (None if parent.path is None else (*parent.path, len(parent.data))), None
        if parent.key is None:
            return None, None
        key = parent.key.piece
        return parent.key.path, self.lines.span(key.start, key.end)

    def _attach(self, piece: Piece, data: Plain, offset: int | None) -> None:
        """Put a finished value where it belongs and note its place."""
        path, key_span = self._next_place()
        if path is not None:
            span = self.lines.span(piece.start, piece.end)
            self._nodes[path] = NodeSpan(span, key_span, offset, offset == 0 and not piece.style)
        if not self._open:
            self._root = data
        else:
            parent = self._open[-1]
            if isinstance(parent.data, list):
                parent.data.append(data)
            elif parent.key is not None and parent.key.path is not None:
                parent.data[parent.key.name] = data
            parent.key = None
        self._moved_to(piece)

    def _moved_to(self, piece: Piece) -> None:
        """Note how far the innermost open list or mapping reaches by now."""
        self.last = piece
        self.reached = max(self.reached, piece.end)
        if self._open:
            self._open[-1].end = max(self._open[-1].end, piece.end)

    def _anchor(self, piece: Piece, anchored: _Anchored) -> None:
        if piece.anchor is not None:
            self._anchors[piece.anchor] = anchored

    def _grow(self, nodes: int, characters: int, piece: Piece) -> None:
        """Count values and characters, and stop where there are too many."""
        self._count += nodes
        self._characters += characters
        if self.stopped or (self._count <= MAX_NODES and self._characters <= MAX_BYTES):
            return
        bound = f"{MAX_NODES} values" if self._count > MAX_NODES else f"{MAX_BYTES} characters"
        span = self.lines.span(piece.start, piece.end)
        if self._repeats:
            message = f"with its aliases written out, the file comes to more than {bound}"
            self.stop(refuse("alias-bomb", span, message, "repeat less by aliases"))
        else:
            message = f"the file holds more than {bound}"
            self.stop(refuse("too-large", span, message, "divide it into several files"))

    def _check_depth(self, piece: Piece, depth: int) -> None:
        """Stop where lists and mappings stand too deep inside one another."""
        if depth > MAX_DEPTH and not self.stopped:
            finding = too_deep(self.lines, piece.start)
            line = finding.span.line
            # Brackets inside brackets are keys to the parser; that is not what went wrong here.
            self.findings = [
                f for f in self.findings if (f.rule, f.span.line) != ("source.complex-key", line)
            ]
            self.stop(finding)


def too_deep(lines: Lines, index: int) -> Finding:
    """Return the finding about the list or mapping at `index` that is one too deep."""
    message = f"lists and mappings stand more than {MAX_DEPTH} deep inside one another here"
    hint = "put text that starts with brackets or dashes in quotes"
    return refuse("too-deep", lines.span(index, index + 1), message, hint)
