"""The hand-out of a stage as one document: its parts as HTML, then as a PDF with one count of pages."""

from __future__ import annotations

from dataclasses import dataclass

import segno
from django.template.loader import render_to_string

from inspections.handouts.crew import crew
from inspections.handouts.orders import orders
from inspections.handouts.request import request
from inspections.handouts.subject import Subject
from jobs.pdf import collecting_later, render_pdf

#: Parts by the name an address uses.
PARTS = {"crew": "Crew sheet", "order": "Order sheet", "request": "Inspection request"}


@dataclass(frozen=True, slots=True)
class Page:
    """The HTML of a hand-out and the drawings it shows by name."""

    html: str
    drawings: dict[str, str]


def page(subject: Subject, address: str, part: str = "") -> Page:
    """The hand-out as HTML. ``address`` is where the stage lives on the web; ``part`` '' prints all three."""
    wanted = [part] if part else list(PARTS)
    sheet = crew(subject) if "crew" in wanted else None
    order = orders(subject) if "order" in wanted else None
    context = {
        "subject": subject,
        "house": subject.house,
        "stage": subject.stage,
        "revision": subject.revision,
        "plan": subject.takeoff.plan,
        "printed": printed(subject),
        "titleblock": titleblock(subject),
        "legs": subject.leg_words(subject.legs),
        "section_names": [dict(subject.facts.sections)[key] for key in subject.sections],
        "address": address,
        "qr": qr(address),
        "title": PARTS[part] if part else "Hand-out",
        "crew": sheet,
        "orders": order,
        "request": request(subject) if "request" in wanted else None,
    }
    shown = [*(sheet.pictures if sheet else ()), *(order.bars.sketches if order and order.bars else ())]
    drawings = {picture.name: picture.svg for picture in shown}
    return Page(render_to_string("handouts/handout.html", context), drawings)


def pdf(subject: Subject, address: str, part: str = "") -> bytes:
    """The hand-out as a PDF. Raises :class:`jobs.exceptions.PdfUnavailable` where this machine cannot make one."""
    with collecting_later():
        made = page(subject, address, part)
        return render_pdf(made.html, made.drawings)


def titleblock(subject: Subject, across: int = 4) -> list[list[tuple[str, str, int]]]:
    """What names a sheet, in rows: label, value and cells taken; what is not known is left out."""
    house = subject.house
    cells = [
        ("House", house.name),
        ("Lot", house.lot if house.lot not in house.name else ""),
        ("Address", house.address),
        ("Jurisdiction", house.jurisdiction),
        ("Permit", house.permit_number),
        ("Plan revision", subject.revision.letter),
        ("Drawing", subject.takeoff.plan.drawing),
        ("Printed", printed(subject)),
    ]
    known = [(label, value) for label, value in cells if value]
    rows = [[(label, value, 1) for label, value in known[k : k + across]] for k in range(0, len(known), across)]
    label, value, _ = rows[-1][-1]
    rows[-1][-1] = label, value, across - len(rows[-1]) + 1
    return rows


def printed(subject: Subject) -> str:
    """'Nov 3, 2026'."""
    return f"{subject.printed_at:%b} {subject.printed_at.day}, {subject.printed_at.year}"


def qr(address: str) -> str:
    """A code that leads a phone to the address, as a picture inside the page."""
    return str(segno.make(address, error="m", micro=False).png_data_uri(scale=6, border=2))
