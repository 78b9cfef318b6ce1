"""The section through the ground of a house, for pages. Plans read and drawings drawn are kept by their content."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from django.db.models import Max, OuterRef, Subquery

from inspections import states
from inspections.page_queries.words import stage_url
from inspections.standing import Ledger
from jobs.models import House, PlanRevision
from takeoff.drawings.svg import render
from takeoff.drawings.tracker import PartState, tracker
from takeoff.plan import Plan, Stage
from takeoff.planfile import read_plan

#: Width of the small drawing, and of the large one on a phone and at a desk [px].
SMALL, PHONE, DESK = 340, 340, 720
_MOST_PLANS = 200

Parts = tuple[tuple[tuple[str, Stage], PartState], ...]


@dataclass(frozen=True, slots=True)
class Kept:
    """A plan as read from a revision; equal where its revision and its content are."""

    key: tuple[int, str]
    plan: Plan = field(compare=False)


_kept: dict[tuple[int, str], Kept] = {}


def plans(houses: Iterable[House]) -> dict[int, Kept]:
    """House row id -> the plan in force, read. Two queries, the second only where one was not read before; houses
    without a locked plan (or with one that cannot be read) are left out."""
    keys = [house.pk for house in houses]
    latest = PlanRevision.objects.filter(house=OuterRef("house")).order_by().values("house")
    rows = PlanRevision.objects.filter(
        house__in=keys, number=Subquery(latest.annotate(latest=Max("number")).values("latest"))
    ).values_list("house", "pk", "digest")
    wanted = {house: (pk, digest) for house, pk, digest in rows}
    missing = [key[0] for key in wanted.values() if key not in _kept]
    if missing:
        for pk, digest, document in PlanRevision.objects.filter(pk__in=missing).values_list("pk", "digest", "document"):
            _keep((pk, digest), document)
    return {house: _kept[key] for house, key in wanted.items() if key in _kept}


def _keep(key: tuple[int, str], document: Any) -> None:
    plan = read_plan(document).plan
    if plan is None:
        return
    while len(_kept) >= _MOST_PLANS:
        _kept.pop(next(iter(_kept)), None)
    _kept[key] = Kept(key, plan)


def small(kept: Kept | None, ledger: Ledger) -> str:
    """The drawing of a board: cuts side by side, no links. '' without a plan."""
    if kept is None:
        return ""
    return _drawn(kept, _parts(ledger), SMALL, False, f"ground-{ledger.house}", ())


def large(kept: Kept | None, ledger: Ledger, house: House, width: int) -> str:
    """The drawing of a house: every part named, and a link to its stage. '' without a plan."""
    if kept is None:
        return ""
    links = tuple({stage.kind.value: stage_url(house, stage) for stage in reversed(ledger.stages)}.items())
    name = f"ground-{house.pk}-{'phone' if width == PHONE else 'desk'}"
    return _drawn(kept, _parts(ledger), width, True, name, links)


def _parts(ledger: Ledger) -> Parts:
    return tuple(states.part_states(ledger).items())


@lru_cache(maxsize=512)
def _drawn(kept: Kept, parts: Parts, width: int, detail: bool, name: str, links: Sequence[tuple[str, str]]) -> str:
    scene = tracker(kept.plan, dict(parts), width, detail, name)
    address = dict(links)
    return render(scene, width, link=(lambda key: address.get(key.rsplit("/", 1)[-1])) if links else None)
