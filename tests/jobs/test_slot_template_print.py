"""A cutting template in a PDF: an inch on the sheet is an inch on the foam."""

from __future__ import annotations

import io

import pikepdf
import pytest

from jobs import pdf
from takeoff.drawings.slot_template import BAR, LETTER, pages
from takeoff.drawings.svg import render
from takeoff.geometry import place
from takeoff.radius import arc_legs
from tests.takeoff import plans

PAGE = (
    '<html lang="en"><head><title>Template</title><style>@page {{ size: letter landscape; margin: 0.5in }} '
    "body {{ margin: 0 }} img {{ display: block; max-width: none; max-height: none }}</style></head>"
    "<body>{}</body></html>"
)

Matrix = tuple[float, ...]


def after(first: Matrix, then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    p, q, r, s, x, y = then
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + x, e * q + f * s + y)


def lines(page: pikepdf.Page) -> list[tuple[float, float, float, float]]:
    """Every straight line on a page [pt of paper], as the viewer draws it."""
    here: Matrix = (1, 0, 0, 1, 0, 0)
    kept: list[Matrix] = []
    out, at = [], (0.0, 0.0)
    for operands, operator in pikepdf.parse_content_stream(page):
        name = str(operator)
        if name == "q":
            kept.append(here)
        elif name == "Q":
            here = kept.pop()
        elif name == "cm":
            here = after(tuple(float(n) for n in operands), here)
        elif name in ("m", "l"):
            x, y = (float(n) for n in operands)
            to = (here[0] * x + here[2] * y + here[4], here[1] * x + here[3] * y + here[5])
            if name == "l":
                out.append((*at, *to))
            at = to
    return out


@pytest.mark.slow
def test_a_bar_of_six_inches_is_six_inches_on_paper():
    plan = plans.porch_arc()
    (arc,) = arc_legs(plan, place(plan))
    sheets = {f"s{k}": render(scene, LETTER.wide * 72, "pt", height=LETTER.high * 72)
              for k, scene in enumerate(pages(arc))}  # fmt: skip
    body = "".join(f'<img alt="Sheet" src="drawing:{name}">' for name in sheets)
    with pikepdf.open(io.BytesIO(pdf.render_pdf(PAGE.format(body), sheets))) as document:
        assert len(document.pages) == len(sheets)
        for page in document.pages:
            level = [x1 - x0 for x0, y0, x1, y1 in lines(page) if abs(y1 - y0) < 1e-6]
            assert any(abs(long - BAR * 72) < 0.05 for long in level)
