"""The full-size template of a revision's bent walls as a PDF of its own: an inch on the sheet is an inch of foam."""

from __future__ import annotations

from dataclasses import dataclass

from django.template.loader import render_to_string

from jobs.models import House, PlanRevision
from jobs.pdf import render_pdf
from takeoff.drawings.scene import Scene
from takeoff.drawings.slot_template import FULL_SIZE, LETTER, pages
from takeoff.drawings.svg import render
from takeoff.geometry import place
from takeoff.plan import Plan
from takeoff.radius import arc_legs


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet: the name of its drawing in the page, and what it shows in words."""

    name: str
    title: str
    words: str
    svg: str


def sheets_of(plan: Plan) -> tuple[Sheet, ...]:
    """The sheets of every bent leg, in walking order; none where no leg is bent."""
    scenes = [scene for arc in arc_legs(plan, place(plan)) for scene in pages(arc, LETTER)]
    return tuple(
        Sheet(f"slots-{k}", scene.title, scene.description, _drawn(scene)) for k, scene in enumerate(scenes, start=1)
    )


def _drawn(scene: Scene) -> str:
    """The whole of what a printer reaches, not scaled."""
    return render(scene, LETTER.wide * FULL_SIZE, "pt", height=LETTER.high * FULL_SIZE)


def pdf(house: House, revision: PlanRevision, sheets: tuple[Sheet, ...]) -> bytes:
    """The sheets as a PDF on Letter laid level. Raises :class:`jobs.exceptions.PdfUnavailable`."""
    html = render_to_string("jobs/slot_sheets.html", {"house": house, "revision": revision, "sheets": sheets})
    return render_pdf(html, {sheet.name: sheet.svg for sheet in sheets}, full_size=True)
