"""
Markdown of the prose fields as HTML that cannot break the document around it.

HTML in the text is shown as text, a heading becomes a bold line, a picture its text alternative,
and only links to the web, to a mail address or to a place in the same document are links.
"""

import re
from collections.abc import Collection, Sequence
from functools import cache

from markdown_it import MarkdownIt
from markdown_it.renderer import RendererHTML
from markdown_it.rules_core import StateCore
from markdown_it.token import Token
from markdown_it.utils import EnvType, OptionsDict

_LINK = re.compile(r"https?://[^/]|mailto:[^@]+@|#.", re.IGNORECASE)


def render_prose(text: str, anchors: Collection[str] = ()) -> str:
    """
    Return the HTML blocks of a Markdown text.

    `anchors` are the ids in the document that a link beginning with # may name; a link to another
    one is shown as plain text.
    """
    return str(_parser().render(text, {"anchors": anchors}))


def render_inline(text: str, anchors: Collection[str] = ()) -> str:
    """Return the HTML of a text of one paragraph, without a block around it."""
    return str(_parser().renderInline(" ".join(text.split()), {"anchors": anchors}))


def render_plain(text: str) -> str:
    """Return what `render_inline` shows, without markup."""
    tokens = _parser().parseInline(" ".join(text.split()), {"anchors": ()})
    return "".join(_plain(token.children or ()) for token in tokens)


def _plain(tokens: Sequence[Token]) -> str:
    parts = []
    for token in tokens:
        if token.type in {"softbreak", "hardbreak"}:
            parts.append(" ")
        elif token.type == "image":
            parts.append(_plain(token.children or ()))
        else:
            parts.append(token.content)
    return "".join(parts)


@cache
def _parser() -> MarkdownIt:
    parser = MarkdownIt("commonmark", {"html": False}).enable("table")
    parser.validateLink = lambda url: bool(_LINK.match(url))  # type: ignore[method-assign]
    parser.core.ruler.push("document_place", _fit_into_document)
    parser.add_render_rule("image", _alternative)
    return parser


def _fit_into_document(state: StateCore) -> None:
    """Turn headings into bold lines, scope table heads, drop links that lead nowhere."""
    for token in state.tokens:
        match token.type:
            case "heading_open":
                token.tag = "p"
                token.attrSet("class", "prose-heading")
            case "heading_close":
                token.tag = "p"
            case "th_open":
                token.attrSet("scope", "col")
            case "inline" if token.children:
                token.children = _without_lost_links(token.children, state.env["anchors"])


def _without_lost_links(tokens: Sequence[Token], anchors: Collection[str]) -> list[Token]:
    kept: list[Token] = []
    lost = False
    for token in tokens:
        if token.type == "link_open":
            target = str(token.attrGet("href"))
            lost = target.startswith("#") and target[1:] not in anchors
        if not (lost and token.type in {"link_open", "link_close"}):
            kept.append(token)
        if token.type == "link_close":
            lost = False
    return kept


def _alternative(
    renderer: RendererHTML, tokens: Sequence[Token], index: int, options: OptionsDict, env: EnvType
) -> str:
    return renderer.renderInline(tokens[index].children or [], options, env)
