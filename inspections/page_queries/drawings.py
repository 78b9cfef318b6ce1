"""Drawings of a stage: the section through the ground of each wall section, and the footing as poured."""

from __future__ import annotations

from typing import Any

from inspections.page_queries import pictures
from inspections.page_queries.stage import StagePage, as_built, shows_as_built
from jobs import plans
from jobs.frozen import frozen_from_json
from jobs.models import House, PlanRevision
from takeoff.drawings.section import section
from takeoff.drawings.svg import render
from takeoff.results import Takeoff

#: Width of a section drawing [px].
WIDTH = 560


def of_stage(house: House, page: StagePage, revision: PlanRevision | None) -> dict[str, Any]:
    """What the page of a stage draws: sections through the ground, and the footing top as shot."""
    kept = pictures.plans([house]).get(house.pk)
    if kept is None or revision is None:
        return {"drawings": [], "as_built": None}
    shot = as_built(page.ledger, kept.plan, frozen_from_json(revision.frozen)) if shows_as_built(page.row) else None
    return {"drawings": list(_sections(kept, page, revision)), "as_built": shot}


def _sections(kept: pictures.Kept, page: StagePage, revision: PlanRevision) -> Any:
    for row in page.sections:
        leg = row.legs[0]
        svg = _section(kept, leg, revision)
        if svg:
            yield svg, f"{row.name}: section through leg {leg}"


def _section(kept: pictures.Kept, leg: str, revision: PlanRevision) -> str:
    found = _drawn_before(kept.key, leg)
    return found or _remember(kept.key, leg, plans.takeoff_of(revision))


_drawn: dict[tuple[tuple[int, str], str], str] = {}


def _drawn_before(key: tuple[int, str], leg: str) -> str:
    return _drawn.get((key, leg), "")


def _remember(key: tuple[int, str], leg: str, takeoff: Takeoff) -> str:
    while len(_drawn) >= 500:
        _drawn.pop(next(iter(_drawn)), None)
    _drawn[key, leg] = render(section(takeoff, leg), WIDTH)
    return _drawn[key, leg]
