"""HTML to PDF: what may be fetched, what is drawn, how arcs are written, and what is said where Pango is missing."""

from __future__ import annotations

import io
import logging
import math
import re
import threading
from importlib import import_module

import pikepdf
import pytest
import tinyhtml5

from jobs import pdf
from jobs.exceptions import AddressRefused, PdfUnavailable
from takeoff.drawings.elevation import elevation
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.section import section
from takeoff.drawings.svg import render
from tests.takeoff.drawings.samples import house, laid

PAGE = '<!doctype html><html lang="en"><head><title>Sheet</title></head><body>{}</body></html>'


@pytest.fixture(autouse=True)
def _no_words_from_the_engine(caplog):
    """Every test here fails on a warning of the PDF engine."""
    caplog.set_level(logging.WARNING, logger="weasyprint")
    yield
    assert [r.getMessage() for r in caplog.records if r.name.startswith("weasyprint")] == []


def opened(content: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(content))


# -- what may be fetched ---------------------------------------------------------------------------
@pytest.mark.parametrize(
    "address",
    [
        "https://example.org/pixel.png",
        "http://127.0.0.1:8000/media/photo.jpg",
        "ftp://example.org/x",
        "file:///etc/passwd",
        "file://example.org/etc/passwd",
        (pdf.STATIC / ".." / "manage.py").as_uri(),
        pdf.STATIC.as_uri() + "/%2e%2e/manage.py",
        pdf.STATIC.as_uri() + "/fonts/../../manage.py",
        pdf.STATIC.as_uri() + "-elsewhere/print.css",
        "javascript:alert(1)",
        "",
    ],
)
def test_nothing_outside_the_static_folder_is_opened(address):
    with pytest.raises(AddressRefused):
        pdf.own_file(address)


def test_own_files_are_opened():
    assert pdf.own_file(pdf.STATIC.as_uri() + "/print.css") == pdf.STATIC / "print.css"


def test_the_engine_asks_our_fetcher_and_is_refused(caplog, monkeypatch):
    pdf.render_pdf(PAGE.format("style and fonts are read once"))
    asked = []
    own_file = pdf.own_file
    monkeypatch.setattr(pdf, "own_file", lambda url: (asked.append(url), own_file(url))[1])
    made = pdf.render_pdf(PAGE.format('<p>Here</p><img alt="x" src="file:///etc/hostname"><img alt="y" src="data:,x">'))
    assert len(opened(made).pages) == 1
    assert asked == ["file:///etc/hostname"]
    said = [r.getMessage() for r in caplog.records]
    assert len(said) == 2
    assert "nothing but its own files" in said[0]
    caplog.clear()


# -- what is made ----------------------------------------------------------------------------------
def test_a_page_is_tagged_and_says_its_language_and_title():
    with opened(pdf.render_pdf(PAGE.format("<h1>Footing</h1><p>Concrete 55 °F or more</p>"))) as document:
        root = document.Root
        assert root.MarkInfo.Marked
        assert str(root.Lang) == "en"
        assert "/StructTreeRoot" in root
        assert document.docinfo["/Title"] == "Sheet"
        with document.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"


@pytest.fixture(scope="module")
def drawings() -> dict[str, str]:
    """A plan with an arc and turned lettering, an elevation, a section: every element our drawings are made of."""
    takeoff = laid(house())
    scenes = {"plan": plan_view(house()), "elevation": elevation(takeoff, "A"), "section": section(takeoff, "A")}
    return {name: render(scene, 500, "pt", height=300) for name, scene in scenes.items()}


def test_drawings_are_drawn_with_their_lettering_and_hatches(drawings):
    body = "".join(f'<p><img src="drawing:{name}" alt="{name}"></p>' for name in drawings)
    with opened(pdf.render_pdf(PAGE.format(body), drawings)) as document:
        content = b"".join(page.Contents.read_bytes() for page in document.pages)
        assert content.count(b"BT") > 60
        assert content.count(b" c") > 4
        patterns = [name for page in document.pages for name in page.Resources.get("/Pattern", {})]
        assert len(patterns) >= 6
        fonts = {str(font.BaseFont) for page in document.pages for font in page.Resources.Font.values()}
    assert any("Arimo" in font or "Liberation" in font for font in fonts)


def test_a_drawing_is_as_large_on_paper_as_it_says(drawings):
    paper = import_module("jobs.paper")
    drawing = paper.Drawing(drawings["plan"], None, {})
    width, height, ratio = drawing.get_intrinsic_size(1, 1)
    assert width == pytest.approx(500 * 96 / 72, rel=0.01)
    assert height <= 300 * 96 / 72 + 1
    assert ratio == pytest.approx(width / height)


def test_what_is_turned_on_the_screen_is_turned_on_paper():
    """A quarter turn about (20, 30), of a patch that clears the lines under a text and of the text on it."""
    turn = 'transform="rotate(90 20 30)"'
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 72 72"><g transform="translate(5 0)">'
        f'<rect x="10" y="25" width="20" height="10" fill="#fff" {turn} />'
        f'<text x="20" y="30" font-size="8" fill="#000" text-anchor="middle" {turn}>12</text></g></svg>'
    )
    with opened(pdf.render_pdf(PAGE.format('<img src="drawing:a" alt="a">'), {"a": svg})) as document:
        operators = [
            (str(operator), [float(n) for n in operands])
            for operands, operator in pikepdf.parse_content_stream(document.pages[0])
            if str(operator) in ("cm", "re")
        ]
    # x' = 50 - y, y' = 10 + x in the drawing: the matrix (0 1 -1 0 50 10)
    turns = [n for operator, n in operators if operator == "cm" and n[0] == pytest.approx(0)]
    assert len(turns) == 2
    for matrix in turns:
        assert matrix == pytest.approx([0, 1, -1, 0, 50, 10], abs=1e-6)
    patch = operators.index(("re", [10, 25, 20, 10]))
    assert operators[patch - 1] == ("cm", turns[0])


def test_a_page_is_read_as_the_standard_reads_it():
    """HTML Living Standard, section 13.2, by the PDF engine's own parser: the same elements, attributes and words."""
    body = (
        '<header class="running-head"><img alt="&quot;x&quot;" src="data:,"></header>'
        "<main><p>Häuser &amp; Söhne<br>1 &lt; 2</p></main>"
        "<main><section><h2>Ein</h2><ul><li>one <b>two</b> three</li><li></li></ul>"
        "<table><thead><tr><th>h</th></tr></thead><tbody><tr><td>½″ × 3</td><td></td></tr></tbody></table>"
        '<figure><img src="drawing:a" alt=""><figcaption>°F</figcaption></figure></section></main>'
    )
    ours = pdf._read(PAGE.format(body))
    theirs = tinyhtml5.parse(PAGE.format(body), namespace_html_elements=False)
    assert [(e.tag, dict(e.attrib), e.text, e.tail) for e in ours.iter()] == [
        (e.tag, dict(e.attrib), e.text, e.tail) for e in theirs.iter()
    ]


def test_head_and_foot_are_drawn_once_however_many_sheets_there_are():
    body = '<header class="running-head"><p>Juniper Bend</p></header><footer class="running-foot"><p>Foot</p></footer>'
    body += '<p class="new-sheet">Sheet</p>' * 3
    across = '<div class="wide-sheet">Across</div>'
    with opened(pdf.render_pdf(PAGE.format(body + across))) as document:
        stamps = [list(page.Resources.XObject) for page in document.pages]
        shown = [page.Contents.read_bytes().count(b" Do") for page in document.pages]
    assert len(shown) == 4 and set(shown) == {2}
    assert {name for names in stamps for name in names} == {"/x0", "/x1", "/x2"}


def test_a_long_name_in_the_head_loses_no_line():
    said = '<header class="running-head"><p class="house">{}</p><p class="running">Footing</p></header><p>Sheet</p>'
    lines = []
    for name in (
        "Juniper Bend",
        "The house at the old mill by the river, behind the second bridge on the way to Juniper",
    ):
        with opened(pdf.render_pdf(PAGE.format(said.format(name)))) as document:
            lines.append(document.pages[0].Resources.XObject["/x0"].read_bytes().count(b"Tm"))
    assert lines[0] == 2 and lines[1] >= 4


# -- arcs ------------------------------------------------------------------------------------------
def _points(operators: list[str]) -> list[tuple[float, float]]:
    """Ends and middles of the curves (De Casteljau at the middle)."""
    out = []
    for text in operators:
        n = [float(x) for x in text.split()[:-1]]
        out.append(((n[0], n[1]), (n[2], n[3]), (n[4], n[5])))
    return out


@pytest.mark.parametrize("large", [False, True])
@pytest.mark.parametrize("sweep", [False, True])
def test_an_arc_is_the_one_of_four_that_the_flags_name(large, sweep):
    """SVG 2, 9.5.1 elliptical arcs: large is more than half a turn; sweep is with rising angle, y down."""
    paper = import_module("jobs.paper")
    start, end, radius = (10.0, 0.0), (0.0, 10.0), 10.0
    curves = _points(list(paper.arc_data(start, end, radius, large, sweep)))
    centre = (0.0, 0.0) if large != sweep else (10.0, 10.0)
    turned, at = 0.0, start
    for first, second, to in curves:
        middle = tuple((a + 3 * b + 3 * c + d) / 8 for a, b, c, d in zip(at, first, second, to, strict=True))
        for point in (middle, to):
            assert math.dist(point, centre) == pytest.approx(radius, abs=0.02)
        before, after = (math.atan2(p[1] - centre[1], p[0] - centre[0]) for p in (at, to))
        turned += (after - before + math.pi) % math.tau - math.pi
        at = to
    assert at == pytest.approx(end, abs=1e-3)
    assert turned == pytest.approx((1 if sweep else -1) * math.pi / 2 * (3 if large else 1), abs=1e-3)


def test_paths_are_written_as_the_page_wants_them():
    paper = import_module("jobs.paper")
    assert paper.path_data("M1 2L3 -4.5C1 1 2 2 3 3Z") == "1 2 m 3 -4.5 l 1 1 2 2 3 3 c h"


# -- a machine without Pango -----------------------------------------------------------------------
def test_without_pango_it_says_which_line_to_run(monkeypatch):
    def missing(name: str) -> object:
        raise OSError("cannot load library 'libpango-1.0-0'")

    monkeypatch.setattr(pdf, "import_module", missing)
    monkeypatch.setattr(pdf, "_KEPT", threading.local())
    with pytest.raises(PdfUnavailable, match=re.escape(pdf.INSTALL_LINE)):
        pdf.render_pdf(PAGE.format("x"))
