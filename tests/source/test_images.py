"""Pictures by their content; the imaging library writes them and is the referee for sizes."""

import io
from pathlib import Path

import pytest
from PIL import Image

from speccomp.findings import Finding, Span
from speccomp.source.reader import MAX_IMAGE_BYTES, Project, SourceImage, read_image

AT = Span("parts/a.yaml", 4, 10, 4, 22)


def picture(kind: str, size: tuple[int, int] = (3, 2), **options: object) -> bytes:
    stream = io.BytesIO()
    Image.new("1" if kind == "PNG" else "L", size).save(stream, kind, **options)
    return stream.getvalue()


def svg(inner: str, attributes: str = "") -> bytes:
    root = f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}>{inner}</svg>'
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{root}'.encode()


@pytest.fixture
def project(tmp_path: Path) -> Project:
    (tmp_path / "parts").mkdir()
    return Project(tmp_path.resolve())


def read(project: Project, data: bytes) -> SourceImage:
    (project.root / "parts" / "p.png").write_bytes(data)
    outcome = read_image(project, "parts/a.yaml", "p.png", AT)
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value


def fault(project: Project, data: bytes) -> Finding:
    (project.root / "parts" / "p.png").write_bytes(data)
    outcome = read_image(project, "parts/a.yaml", "p.png", AT)
    assert outcome.value is None
    (finding,) = outcome.findings
    assert (finding.rule, finding.span) == ("source.image", AT)
    assert finding.message.startswith("`parts/p.png` ")
    assert finding.hint
    return finding


def test_the_media_type_is_that_of_the_content(project: Project) -> None:
    assert read(project, picture("PNG")).media_type == "image/png"
    assert read(project, picture("JPEG")).media_type == "image/jpeg"
    assert read(project, picture("JPEG", progressive=True)).media_type == "image/jpeg"
    assert read(project, svg("<path d='M0 0'/>")).media_type == "image/svg+xml"
    assert read(project, b"\xef\xbb\xbf <svg/>").media_type == "image/svg+xml"


def test_path_bytes_and_digest(project: Project) -> None:
    data = picture("PNG")
    image = read(project, data)
    assert (image.path, image.data, len(image.sha512)) == ("parts/p.png", data, 128)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"text",
        b"<html></html>",
        b"%PDF-1.7\n",
        b"GIF89a",
        "<svg/>".encode("utf-16"),
        picture("TIFF"),
        b"\x89PNG\r\n",
    ],
)
def test_other_content(project: Project, data: bytes) -> None:
    assert fault(project, data).message == (
        "`parts/p.png` is not a PNG, JPEG or SVG picture by its content"
    )


def test_broken_pictures(project: Project) -> None:
    assert "without its header" in fault(project, picture("PNG")[:20]).message
    assert "without its size" in fault(project, picture("JPEG")[:40]).message
    assert "line 1 is no valid XML" in fault(project, b"<svg><g></svg>").message
    assert "line 1 is no valid XML" in fault(project, b"<svg>\xb0</svg>").message


def test_pixels_of_pictures(project: Project) -> None:
    for kind in ("PNG", "JPEG"):
        assert read(project, picture(kind, (4_000, 1_000)))
        wide = picture(kind, (40_001, 1_000))
        message = fault(project, wide).message
        assert "has 40001 × 1000 pixels; 1 to 40000000 are possible" in message
        assert len(wide) < MAX_IMAGE_BYTES


def test_size_of_files(project: Project) -> None:
    data = picture("PNG")
    assert read(project, data + b"\0" * (MAX_IMAGE_BYTES - len(data)))
    (project.root / "parts" / "p.png").write_bytes(data + b"\0" * MAX_IMAGE_BYTES)
    (finding,) = read_image(project, "parts/a.yaml", "p.png", AT).findings
    assert (finding.rule, finding.span) == ("source.too-large", AT)


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (svg("<script>x()</script>"), "holds a <script>"),
        (svg("<s:SCRIPT xmlns:s='http://www.w3.org/2000/svg'/>"), "holds a <script>"),
        (svg("<foreignObject/>"), "holds a <foreignobject>"),
        (svg("<a><set attributeName='href'/></a>"), "holds a <set>"),
        (svg("<g onclick='x()'/>"), "holds the script attribute `onclick`"),
        (svg("", "onload='x()'"), "holds the script attribute `onload`"),
        (svg("<image href='https://x.example/a.png'/>"), "needs content from elsewhere"),
        (svg("<image href=' //x.example/a.png'/>"), "needs content from elsewhere"),
        (svg("<a href='javascript:x()'/>"), "needs content from elsewhere"),
        (
            svg("<image xmlns:x='http://www.w3.org/1999/xlink' x:href='a.png'/>"),
            "needs content from elsewhere",
        ),
        (svg("<image href='data:image/svg+xml;base64,AAAA'/>"), "needs content from elsewhere"),
        (svg("<g xml:base='https://x.example/'/>"), "needs content from elsewhere"),
        (svg("<g style='fill: url(https://x.example/#a)'/>"), "has a style that needs content"),
        (svg("<g fill='URL( \"a.svg#b\")'/>"), "has a style that needs content"),
        (svg("<g fill='u\\72l(a.svg#b)'/>"), "has a style that needs content"),
        (svg("<style>@import 'x.css';</style>"), "has a style that needs content"),
        (svg("<style><![CDATA[g{fill:url(x)}]]></style>"), "has a style that needs content"),
        (b'<!DOCTYPE svg [<!ENTITY a "b">]><svg>&a;</svg>', "declares an entity"),
        (
            b'<!DOCTYPE svg [<!ENTITY a SYSTEM "file:///etc/passwd">]><svg>&a;</svg>',
            "declares an entity",
        ),
        (b"<?xml-stylesheet href='x.css'?><svg/>", "holds an instruction <?xml-stylesheet>"),
        (b"<?xml version='1.0' encoding='utf-7'?><svg/>", "is in the encoding utf-7"),
        (svg("<g>" * 100 + "</g>" * 100), "holds elements more than 100 deep"),
        (
            svg("<g id='a'><use href='#b'/></g><g id='b'/><use href='#a'/>"),
            "repeats parts that repeat others",
        ),
        (svg("<g id='a'><use href='#a'/></g>"), "repeats parts that repeat others"),
        (
            svg("<g id='a'>" + "<g/>" * 999 + "</g>" + "<use href='#a'/>" * 300),
            "draws 301301 elements; at most 200000 are drawn",
        ),
    ],
)
def test_drawings_that_do_more_than_show(project: Project, data: bytes, message: str) -> None:
    assert fault(project, data).message.removeprefix("`parts/p.png` ").startswith(message)


def test_drawings_that_hold_all_they_need(project: Project) -> None:
    drawing = svg(
        "<style>.a{fill:url(#b)}</style><defs><linearGradient id='b'/><path id='c'/></defs>"
        "<use href='#c'/><use href='#c'/><g style='fill: url(\"#b\")' stroke='url( #b)'/>"
        "<image href='data:image/png;base64,AAAA'/><text>onload=x url(y) @import</text>"
    )
    assert read(project, drawing)
    doctype = b'<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/x.dtd"><svg/>'
    assert read(project, doctype)


def test_a_picture_that_is_not_there_or_not_in_the_project(project: Project) -> None:
    for reference, rule in {
        "q.png": "not-found",
        "../../q.png": "outside-project",
        "..\\q.png": "backslash",
        "": "not-found",
        "..": "not-readable",
    }.items():
        (finding,) = read_image(project, "parts/a.yaml", reference, AT).findings
        assert (finding.rule, finding.span) == (f"source.{rule}", AT)
