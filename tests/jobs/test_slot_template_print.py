"""The cutting template as it is printed: an inch on the sheet is an inch on the foam, and who may have it."""

from __future__ import annotations

import io

import pikepdf
import pytest
from django.urls import reverse

from jobs import plans, slot_sheets
from jobs.exceptions import PdfUnavailable
from jobs.models import House, PlanRevision
from takeoff.drawings.slot_template import BAR, INSET
from takeoff.geometry import place
from takeoff.planfile import write_plan
from takeoff.radius import arc_legs
from tests.takeoff.plans import l_shape, porch_arc

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
def test_a_bar_of_six_inches_is_six_inches_on_paper_and_slots_stand_where_they_are_cut():
    """Letter laid level, 792 by 612 points of 1/72 in; a viewer is asked not to fit it to the paper."""
    plan = porch_arc()
    (arc,) = arc_legs(plan, place(plan))
    sheets = slot_sheets.sheets_of(plan)
    made = slot_sheets.pdf(House(name="Porch"), PlanRevision(number=1), sheets)
    with pikepdf.open(io.BytesIO(made)) as document:
        assert len(document.pages) == len(sheets) == 3
        assert document.Root.ViewerPreferences.PrintScaling == "/None"
        assert document.Root.ViewerPreferences.DisplayDocTitle
        for page in document.pages:
            assert [float(n) for n in page.MediaBox] == [0, 0, 792, 612]
            level = [x1 - x0 for x0, y0, x1, y1 in lines(page) if abs(y1 - y0) < 1e-6]
            assert any(abs(long - BAR * 72) < 0.05 for long in level)
        upright = [x0 for x0, y0, x1, y1 in lines(document.pages[0]) if abs(x1 - x0) < 1e-6 and abs(y1 - y0) > 100]
    second = arc.bend.web + arc.bend.slot / 2  # far edge of slot 1 [in from the unit's end]
    assert any(abs(x - (0.5 + INSET + second) * 72) < 0.05 for x in upright)


def template(house: House, number: int = 1) -> str:
    return reverse("jobs:revision_template", args=[house.pk, number])


@pytest.fixture
def bent(cast, house) -> PlanRevision:
    """A house with a round porch."""
    return plans.lock(by=cast.builder, house=house, document=write_plan(porch_arc()))


def test_the_revision_leads_to_it_where_a_wall_is_bent(clients, cast, house, bent):
    shown = clients["inspector"].get(reverse("jobs:revision", args=[house.pk, 1])).content.decode()
    assert template(house) in shown
    answer = clients["inspector"].get(template(house))
    assert answer["Content-Type"] == "application/pdf"
    assert "slot-template-rev-a.pdf" in answer["Content-Disposition"]
    plans.lock(by=cast.builder, house=house, document=write_plan(l_shape()))
    straight = clients["inspector"].get(reverse("jobs:revision", args=[house.pk, 2])).content.decode()
    assert template(house, 2) not in straight
    assert clients["inspector"].get(template(house, 2)).status_code == 404


def test_a_machine_that_makes_no_pdf_says_so(clients, house, bent, monkeypatch):
    def missing(*_):
        raise PdfUnavailable("This machine cannot make PDFs yet.")

    monkeypatch.setattr(slot_sheets, "pdf", missing)
    answer = clients["builder"].get(template(house))
    assert answer.status_code == 503
    assert "cannot make PDFs yet" in answer.content.decode()
