"""Findings on the terminal: where, what, and carets under the right characters."""

import re
import unicodedata
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.text import Text

from speccomp.findings import Finding, Related, Severity, Span
from speccomp.render.excerpt import render_excerpt, render_visible
from speccomp.render.terminal import render_findings, tally

TEXT = "process: PD-1\nsteps:\n  - id: weigh\n    with: [bench-scale]\n"
AT = Span("a.yaml", 4, 12, 4, 23)


def finding(severity=Severity.ERROR, span=AT, **other):
    fields = {"rule": "weigh.window-empty", "message": "24.0 g on a scale with ± 1 g"}
    return Finding(severity, span=span, **(fields | other))


def shown(*findings, text=TEXT, colour=False):
    return render_findings(findings, {"a.yaml": text}, lambda name: f"demo/{name}", colour)


def test_a_finding_reads_as_agreed():
    related = Related(Span("plant.yaml", 33, 7, 33, 9), "the scale is described here")
    assert shown(finding(hint="use a finer scale", related=(related,))) == (
        "demo/a.yaml:4:12: error weigh.window-empty\n"
        "    4 |     with: [bench-scale]\n"
        "      |            ^^^^^^^^^^^\n"
        "   24.0 g on a scale with ± 1 g\n"
        "   hint: use a finer scale\n"
        "   note: demo/plant.yaml:33:7: the scale is described here\n"
        "   more: speccomp explain weigh.window-empty\n"
        "\n"
        "1 error\n"
    )


def test_the_page_of_a_rule_is_named_once():
    text = shown(finding(), finding(message="again"), finding(rule="cure.steam"))
    assert text.count("speccomp explain weigh.window-empty") == 1
    assert text.count("speccomp explain cure.steam") == 1


def test_a_waived_finding_stays_visible_and_is_counted_apart():
    text = shown(finding(Severity.WARNING, waiver="new scale ordered"))
    assert "warning (waived) weigh.window-empty" in text
    assert "   waived: new scale ordered\n" in text
    assert text.endswith("\n1 waived\n")


@pytest.mark.parametrize(
    ("severities", "summary"),
    [
        ("", "no findings"),
        ("e", "1 error"),
        ("eew", "2 errors, 1 warning"),
        ("wwn", "2 warnings, 1 note"),
        ("ewnnxx", "1 error, 1 warning, 2 notes, 2 waived"),
    ],
)
def test_summary(severities, summary):
    kinds = {"e": Severity.ERROR, "w": Severity.WARNING, "n": Severity.NOTE}
    found = [
        finding(kinds.get(letter, Severity.ERROR), waiver="why" if letter == "x" else None)
        for letter in severities
    ]
    assert shown(*found).splitlines()[-1] == summary
    assert tally(found).waived == severities.count("x")


def test_a_file_that_is_not_at_hand_is_named_all_the_same():
    text = shown(finding(span=Span("gone.yaml")))
    assert text.startswith("demo/gone.yaml:1:1: error")
    assert " | " not in text


@pytest.mark.parametrize("line", [0, 6, 900])
def test_a_span_outside_the_text_shows_no_line(line):
    assert list(render_excerpt(TEXT, Span("a.yaml", line, 1, line, 2))) == []


def carets(text, span):
    """Return the source text in the cells above the carets, row by row."""
    rows = list(render_excerpt(text, span))
    found = []
    for source, marks in pairwise(rows):
        if marks.carets:
            start, end = marks.text.index("^"), len(marks.text)
            taken, cells = "", 0
            for character in source.text:
                if start <= cells < end and (cell_len(character) or taken):
                    taken += character
                cells += cell_len(character)
            found.append(taken)
    return found


def span_of(text, part):
    index = text.index(part)
    line, column = text.count("\n", 0, index) + 1, index - text.rfind("\n", 0, index)
    return Span("a.yaml", line, column, line, column + len(part))


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("with: [bench-scale]", "bench-scale"),
        ("\twith:\tscale", "scale"),
        ("\t\twith: x\ty", "with"),
        ("材料: 粉末 # powder", "粉末"),
        ("材料: 粉末 # powder", "powder"),
        ("e\u0301tude: cafe\u0301 noir", "noir"),
        ("\u00e9tude: caf\u00e9", "caf\u00e9"),
        ("a" * 300 + "FAULT" + "b" * 300, "FAULT"),
        ("粉" * 300 + "FAULT" + "末" * 300, "FAULT"),
        ("FAULT" + "b" * 300, "FAULT"),
        ("a" * 300 + "FAULT", "FAULT"),
    ],
)
def test_carets_stand_under_the_fault(text, part):
    assert carets(text, span_of(text, part)) == [part.replace("\t", " ")]


def test_a_combining_mark_belongs_to_its_letter():
    text = "x: cafe\u0301 y"
    marks = list(render_excerpt(text, span_of(text, "cafe\u0301")))[1]
    assert marks.text == "   ^^^^"


def test_a_long_fault_is_marked_as_far_as_it_is_shown():
    rows = list(render_excerpt("k: " + "v" * 500, Span("a.yaml", 1, 4, 1, 504)))
    assert cell_len(rows[0].text) < 110
    assert len(rows[1].text) <= cell_len(rows[0].text)


def test_an_empty_span_gets_one_caret():
    assert [r.text for r in render_excerpt("ab", Span("a.yaml", 1, 3, 1, 3))] == ["ab", "  ^"]
    assert [r.text for r in render_excerpt("", Span("a.yaml", 1, 1, 1, 1))] == ["", "^"]


def test_a_span_of_two_lines_shows_both():
    text = "a:\n  b: 1\n  c: 2\n"
    assert carets(text, Span("a.yaml", 2, 3, 3, 7)) == ["b: 1", "c: 2"]


def test_a_span_of_many_lines_shows_the_first_and_the_last():
    text = "a:\n  b: 1\n  c: 2\n  d: 3\ne: 4\n"
    rows = list(render_excerpt(text, Span("a.yaml", 1, 1, 5, 1)))
    assert [row.margin.strip(" |") for row in rows] == ["1", "", "", "4", ""]
    assert [row.text for row in rows] == ["a:", "^^", "…", "  d: 3", "  ^^^^"]


def test_control_characters_are_shown_and_not_sent():
    text = shown(
        finding(message="title \x1b]0;x\x07", hint="\u202eevil", span=Span("a.yaml", 1, 1, 1, 4)),
        text="\x1b[31mred\r",
    )
    assert "\x1b" not in text and "\x07" not in text and "\r" not in text and "\u202e" not in text
    assert "␛[31mred␍" in text


def test_colour_only_when_asked():
    plain, coloured = shown(finding()), shown(finding(), colour=True)
    assert "\x1b" not in plain
    assert coloured != plain
    assert Text.from_ansi(coloured).plain.split() == plain.split()
    assert re.search(r"\x1b\[[\d;]*31m", coloured)


@settings(max_examples=200, deadline=None)
@given(
    st.text(max_size=200),
    st.integers(-2, 9), st.integers(1, 250), st.integers(-2, 9), st.integers(1, 250),
)  # fmt: skip
def test_any_text_and_any_span_can_be_shown(text, line, column, end_line, end_column):
    out = shown(finding(span=Span("a.yaml", line, column, end_line, end_column)), text=text)
    assert all(c == "\n" or unicodedata.category(c) != "Cc" for c in out.replace("\t", ""))


@given(st.text(max_size=60))
def test_making_visible_keeps_the_number_of_characters(text):
    assert len(render_visible(text)) == len(text)


def test_lines_for_one_place_are_given_once_together():
    where = "add at the end of the file:"
    one = finding(rule="caution.missing", hint=where, paste="cautions:\n  - topic: eye-wash")
    two = finding(
        rule="caution.missing", hint=where, message="b", paste="cautions:\n  - topic: no-boil"
    )
    text = shown(one, two)
    assert text.count("cautions:\n") == 1
    assert text.count("   hint: the lines to add stand below, with the others\n") == 2
    assert text.endswith(
        "demo/a.yaml: caution.missing, all 2 at once: add at the end of the file:\n"
        "cautions:\n  - topic: eye-wash\n  - topic: no-boil\n\n2 errors\n"
    )


def test_lines_for_a_list_in_brackets_are_joined_by_commas():
    entries = [
        finding(rule="r.a", hint="add to `cautions`:", message=name, paste=f"{{topic: {name}}}")
        for name in ("a", "b")
    ]
    assert "add to `cautions`:\n{topic: a}, {topic: b}\n" in shown(*entries)


def test_lines_for_different_places_stay_with_their_findings():
    one = finding(hint="add to `cautions`:", paste="  - topic: a")
    two = finding(hint="write in the entry of b:", message="b", paste="    before: [mix]")
    other = finding(span=Span("b.yaml"), hint="add to `cautions`:", paste="  - topic: a")
    text = shown(one, two, other)
    assert "at once" not in text
    assert text.count("  - topic: a\n") == 2
    assert text.count("    before: [mix]\n") == 1
