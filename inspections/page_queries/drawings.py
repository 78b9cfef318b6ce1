"""Drawings of a stage: the section through the ground of each wall section, and the footing as poured."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from inspections.page_queries import pictures
from inspections.page_queries.stage import StagePage, as_built, shows_as_built
from jobs import plans
from jobs.frozen import frozen_from_json
from jobs.models import House, PlanRevision
from takeoff.drawings.section import section
from takeoff.drawings.svg import render

#: Width of a section drawing at a desk and on a phone [px].
DESK, PHONE = 680, 340
_MOST = 500
#: (revision, its digest), leg -> the drawing for a desk and for a phone.
_drawn: dict[tuple[tuple[int, str], str], tuple[str, str]] = {}


@dataclass(frozen=True, slots=True)
class Drawing:
    """One section through the ground, for both sizes."""

    desk: str
    phone: str
    caption: str


def of_stage(house: House, page: StagePage, revision: PlanRevision | None) -> dict[str, Any]:
    """What the page of a stage draws: sections through the ground, and the footing top as shot."""
    kept = pictures.plans([house]).get(house.pk)
    if kept is None or revision is None:
        return {"drawings": [], "as_built": None}
    shot = as_built(page.ledger, kept.plan, frozen_from_json(revision.frozen)) if shows_as_built(page.row) else None
    return {"drawings": list(_sections(kept, page, revision)), "as_built": shot}


def _sections(kept: pictures.Kept, page: StagePage, revision: PlanRevision) -> Iterator[Drawing]:
    for row in page.sections:
        leg = row.legs[0]
        desk, phone = _section(kept, leg, revision)
        yield Drawing(desk, phone, f"{row.name}: section through leg {leg}")


def _section(kept: pictures.Kept, leg: str, revision: PlanRevision) -> tuple[str, str]:
    """Drawn once for each leg of a revision: the takeoff behind it takes longer than the page."""
    key = kept.key, leg
    if key not in _drawn:
        while len(_drawn) >= _MOST:
            _drawn.pop(next(iter(_drawn)), None)
        takeoff = plans.takeoff_of(revision)
        _drawn[key] = (
            render(section(takeoff, leg, key=f"desk-section-{leg}"), DESK),
            render(section(takeoff, leg, key=f"phone-section-{leg}"), PHONE),
        )
    return _drawn[key]
