"""The stages of a house: added, left out, moved, dated."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from django.db.models import F, Max, ProtectedError

from jobs import access, events
from jobs.details import check_dates, in_words
from jobs.exceptions import Refused, StageInUse
from jobs.models import Event, House, HouseStage, Person, Role
from jobs.stages import TITLES
from takeoff.plan import Stage

#: Out of the way of every real place while places are dealt anew, so that no two rows ever share one.
_ASIDE = 1000
MOST_STAGES = 30


@events.once("add_stage")
def add_stage(
    *, by: Person, house: House, kind: Stage, title: str = "", after: int | None = None, client_id: UUID | None = None
) -> HouseStage:
    """One more stage, after the stage in place ``after`` (at the end where None, first where 0)."""
    row, role = _begin(by, house)
    last = row.stages.aggregate(last=Max("position"))["last"] or 0
    if row.stages.count() >= MOST_STAGES:
        raise Refused(f"A house may have {MOST_STAGES} stages; take one out first.")
    stage = HouseStage.objects.create(house=row, position=last + 1, kind=kind, title=title.strip() or TITLES[kind])
    if after is not None:
        order = list(row.stages.exclude(pk=stage.pk).order_by("position").values_list("pk", flat=True))
        place = sum(
            1 for position in row.stages.exclude(pk=stage.pk).values_list("position", flat=True) if position <= after
        )
        order.insert(place, stage.pk)
        _deal(row, order)
        stage.refresh_from_db()
    _told(client_id, "add_stage", by, role, row, stage, f"Added stage {stage.title} in place {stage.position}")
    return stage


@events.once("remove_stage")
def remove_stage(*, by: Person, house: House, stage: HouseStage, client_id: UUID | None = None) -> None:
    """Leave a stage out. One with records on it stays; see :func:`in_use`."""
    row, role = _begin(by, house)
    stage = _still(row, stage)
    title, pk = stage.title, stage.pk
    if in_use(stage):
        raise StageInUse(f"“{title}” has records on it and stays. Records are never deleted.")
    try:
        stage.delete()
    except ProtectedError:
        raise StageInUse(f"“{title}” has records on it and stays. Records are never deleted.") from None
    _deal(row, list(row.stages.order_by("position").values_list("pk", flat=True)))
    stage.pk = pk
    _told(client_id, "remove_stage", by, role, row, stage, f"Left out stage {title}")


@events.once("move_stage")
def move_stage(
    *, by: Person, house: House, stage: HouseStage, by_places: int, client_id: UUID | None = None
) -> HouseStage:
    """Move a stage earlier (negative) or later. Moving past either end leaves it there."""
    row, role = _begin(by, house)
    stage = _still(row, stage)
    order = list(row.stages.order_by("position").values_list("pk", flat=True))
    here = order.index(stage.pk)
    there = min(max(here + by_places, 0), len(order) - 1)
    order.insert(there, order.pop(here))
    _deal(row, order)
    stage = row.stages.get(pk=stage.pk)
    if here != there:
        _told(client_id, "move_stage", by, role, row, stage, f"Moved stage {stage.title} to place {stage.position}")
    return stage


@events.once("date_stage")
def date_stage(
    *,
    by: Person,
    house: House,
    stage: HouseStage,
    start: date | None,
    end: date | None,
    title: str = "",
    client_id: UUID | None = None,
) -> HouseStage:
    """Plan a stage's days, and call it what the site calls it."""
    row, role = _begin(by, house)
    stage = _still(row, stage)
    check_dates(start, end, f"the start of {stage.title}", f"The end of {stage.title}")
    title = title.strip() or stage.title
    if (stage.planned_start_date, stage.planned_end_date, stage.title) == (start, end, title):
        return stage
    stage.planned_start_date, stage.planned_end_date, stage.title = start, end, title
    stage.save()
    summary = f"Planned {stage.title}: start {in_words('', start)}, end {in_words('', end)}"
    _told(client_id, "date_stage", by, role, row, stage, summary)
    return stage


def in_use(stage: HouseStage) -> bool:
    """Whether records stand on the stage: every record made on a stage leaves an event that names it."""
    return Event.objects.filter(stage=stage).exists()


def _begin(by: Person, house: House) -> tuple[House, Role]:
    row = events.lock(house)
    return row, access.require_role(by, row, Role.BUILDER)


def _still(house: House, stage: HouseStage) -> HouseStage:
    found = house.stages.filter(pk=stage.pk).first()
    if found is None:
        raise Refused("That stage is no longer on this house; somebody left it out meanwhile.")
    return found


def _deal(house: House, order: list[int]) -> None:
    house.stages.update(position=F("position") + _ASIDE)
    for place, pk in enumerate(order, start=1):
        house.stages.filter(pk=pk).update(position=place)


def _told(
    client_id: UUID | None, verb: str, by: Person, role: Role, house: House, stage: HouseStage, summary: str
) -> None:
    # The event does not name the stage in ``stage``: planning it is not a record on it.
    events.record(client_id=client_id, verb=verb, by=by, role=role, house=house, summary=summary, subject=stage)
