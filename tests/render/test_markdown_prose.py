"""Markdown of prose fields: what is let through, what is not."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from speccomp.render.markdown import render_inline, render_plain, render_prose


def test_paragraphs_emphasis_and_lists_are_read():
    html = render_prose("Stir **slowly**.\n\n- one\n- two\n")
    assert html == (
        "<p>Stir <strong>slowly</strong>.</p>\n<ul>\n<li>one</li>\n<li>two</li>\n</ul>\n"
    )


def test_html_is_shown_and_not_obeyed():
    html = render_prose("<script>alert(1)</script>\n\nA <b>bold</b> <img src=x onerror=y>")
    assert "<script" not in html and "<b>" not in html and "<img" not in html
    assert "&lt;script&gt;" in html


@pytest.mark.parametrize("text", ["# Big", "###### Small", "Title\n=====", "Title\n---"])
def test_headings_become_bold_lines(text):
    html = render_prose(text)
    assert not re.search(r"<h\d", html)
    assert html.startswith('<p class="prose-heading">')


@pytest.mark.parametrize(
    "target", ["https://a.example/x", "http://a.example", "mailto:a@b.example", "HTTPS://a.example"]
)
def test_links_to_web_and_mail_stay(target):
    assert f'href="{target}"' in render_prose(f"[there]({target})")


@pytest.mark.parametrize(
    "target",
    [
        "javascript:alert(1)",
        "java&#115;cript:alert(1)",
        "file:///etc/passwd",
        "data:text/html,x",
        "other.pdf",
        "//a.example/x",
        "vbscript:x",
        "http:",
    ],
)
def test_other_links_are_text(target):
    assert "<a" not in render_prose(f"[there]({target})")


def test_a_link_inside_the_document_needs_a_place_there():
    text = "See [mixing](#step-mix) and [nothing](#step-none)."
    html = render_prose(text, {"step-mix"})
    assert html == '<p>See <a href="#step-mix">mixing</a> and nothing.</p>\n'


def test_pictures_become_their_text():
    html = render_prose("![the *right* level](https://a.example/x.png)")
    assert html == "<p>the <em>right</em> level</p>\n"


def test_table_heads_have_a_scope():
    html = render_prose("| a | b |\n|---|---|\n| 1 | 2 |\n")
    assert html.count('<th scope="col">') == 2


def test_inline_makes_no_blocks():
    assert render_inline("- 5 °C\n\n# *smooth*") == "- 5 °C # <em>smooth</em>"


def test_plain_is_inline_without_markup():
    text = "Smooth, **no** `dry` lumps, [like cream](https://a.example) & <thick>"
    assert render_plain(text) == "Smooth, no dry lumps, like cream & <thick>"


@settings(max_examples=150, deadline=None)
@given(st.text(alphabet=st.sampled_from("a<>&\"'[]()!#*_`-=|:/\n\\ h1javscript")))
def test_no_text_breaks_out(text):
    html = render_prose(text)
    for tag in re.findall(r"</?([a-zA-Z][^\s/>]*)", html):
        assert tag in {
            "p", "em", "strong", "code", "pre", "ul", "ol", "li", "blockquote", "hr", "br", "a",
            "table", "thead", "tbody", "tr", "th", "td",
        }  # fmt: skip
    assert "javascript:" not in "".join(re.findall(r'href="([^"]*)"', html)).lower()
