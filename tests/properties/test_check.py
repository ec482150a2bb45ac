"""Whatever a file holds, checking it ends with findings that lie inside the files."""

import shutil
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from speccomp.findings import Finding, Span, in_reading_order
from speccomp.pipeline import Checked, check_file
from speccomp.rules.table import RULES
from speccomp.source.yaml_tree import dump_scalar
from tests.rules.fragments import BASE

TODAY = date(2026, 11, 25)
TEXT = (BASE / "definition.yaml").read_text(encoding="utf-8")
LINES = TEXT.splitlines()
FAST = settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("project")
    shutil.copytree(BASE, folder, dirs_exist_ok=True)
    return folder


def check(project: Path, data: bytes, name: str = "definition.yaml") -> Checked:
    whole = {path: path.read_bytes() for path in BASE.iterdir()}
    for path, kept in whole.items():
        (project / path.name).write_bytes(kept)
    (project / name).write_bytes(data)
    checked = check_file(project / "definition.yaml", TODAY, project)
    hold(checked)
    return checked


def hold(checked: Checked) -> None:
    """Assert what holds for the findings of any file whatever."""
    assert checked.findings == in_reading_order(checked.findings)
    for finding in checked.findings:
        assert finding.rule in RULES
        assert not finding.rule.startswith("internal."), finding.message
        assert finding.message
        assert "\n" not in finding.message + finding.hint
        for span in spans_of(finding):
            lies_inside(span, checked)


def spans_of(finding: Finding) -> list[Span]:
    return [finding.span, *(related.span for related in finding.related)]


def lies_inside(span: Span, checked: Checked) -> None:
    assert 1 <= span.line <= span.end_line
    assert span.column >= 1
    assert (span.line, span.column) <= (span.end_line, span.end_column)
    text = checked.texts.get(span.file)
    if text is None:
        # A file that is no text has no places to show but its beginning or a byte of it.
        assert finding_about_a_whole_file(span, checked)
        return
    lines = text.split("\n")
    assert span.end_line <= len(lines)
    assert span.column <= len(lines[span.line - 1]) + 1
    assert span.end_column <= len(lines[span.end_line - 1]) + 1


def finding_about_a_whole_file(span: Span, checked: Checked) -> bool:
    rules = {finding.rule for finding in checked.findings if finding.span.file == span.file}
    return any(rule.startswith("source.") for rule in rules)


@FAST
@given(data=st.binary(max_size=200))
def test_any_bytes(project: Path, data: bytes) -> None:
    check(project, data)


@FAST
@given(text=st.text(max_size=200))
def test_any_text(project: Path, text: str) -> None:
    check(project, text.encode("utf-8", "surrogatepass"))


plain = st.recursive(
    st.one_of(
        st.sampled_from(["", "26 ± 1 g", "mix", "$(x)", "2026-02-30", "-1", "1e9", "powder.yaml"]),
        st.text(max_size=12),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.sampled_from(["id", "operation", "value", "x", "by"]), inner, max_size=3
        ),
    ),
    max_leaves=6,
)


def flow(value: object) -> str:
    """Write plain data as YAML on one line."""
    match value:
        case dict():
            return "{" + ", ".join(f"{dump_scalar(k)}: {flow(v)}" for k, v in value.items()) + "}"
        case list():
            return "[" + ", ".join(map(flow, value)) + "]"
        case _:
            return dump_scalar(str(value))


KEYS = (
    "process",
    "title",
    "revision",
    "date",
    "author",
    "plant",
    "parts",
    "materials",
    "ratio",
    "batch",
    "steps",
    "cautions",
    "waivers",
    "reactions",
    "history",
    "change",
)


@FAST
@given(key=st.sampled_from(KEYS), value=plain)
def test_any_value_in_any_field(project: Path, key: str, value: object) -> None:
    kept = [line for line in LINES if not line.startswith(f"{key}:")]
    if key in ("parts", "steps"):
        start = LINES.index(f"{key}:")
        end = next((n for n in range(start + 1, len(LINES)) if LINES[n][0] not in " -"), len(LINES))
        kept = LINES[:start] + LINES[end:]
    check(project, "\n".join([*kept, f"{key}: {flow(value)}"]).encode())


STEP_KEYS = ("with", "limits", "look_for", "profile", "record", "images", "specimen", "material")


@FAST
@given(key=st.sampled_from((*STEP_KEYS, "do", "use", "set", "covered", "keep")), value=plain)
def test_any_value_in_a_step(project: Path, key: str, value: object) -> None:
    step = f"  - {{id: extra, operation: mix, {key}: {flow(value)}}}"
    check(project, "\n".join([*LINES, step]).encode())


@FAST
@given(value=st.text(max_size=30))
def test_any_text_as_a_limit(project: Path, value: str) -> None:
    text = TEXT.replace("mixing time: 3 to 5 min", f"mixing time: {dump_scalar(value)}")
    check(project, text.encode("utf-8", "surrogatepass"))


@FAST
@given(
    name=st.sampled_from([path.name for path in BASE.glob("*.yaml")]),
    cuts=st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=3),
    fill=st.sampled_from([b"", b": ", b"\t", b"[", b"}", b"- ", b"\xff", b"&a ", b"*a", b"\n"]),
)
def test_a_spoilt_file(
    project: Path, name: str, cuts: list[tuple[float, float]], fill: bytes
) -> None:
    data = (BASE / name).read_bytes()
    for place, length in cuts:
        start = int(place * len(data))
        data = data[:start] + fill + data[start + int(length * 40) :]
    check(project, data, name)


@FAST
@given(order=st.permutations(range(len(LINES))))
def test_lines_in_any_order(project: Path, order: list[int]) -> None:
    check(project, "\n".join(LINES[number] for number in order).encode())


def test_the_base_itself_passes(project: Path) -> None:
    assert check(project, TEXT.encode()).passed
