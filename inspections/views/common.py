"""What the views of a house share: finding it, its clock, and how a refusal is answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, TypeVar
from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from inspections import permissions, queries
from inspections.exceptions import NotYours
from inspections.models import Record
from inspections.page_queries.mine import Mine
from inspections.page_queries.point import Subject
from inspections.pours import decisions
from inspections.standing import StageRow
from jobs import access
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.models import House, HouseStage, Role

RecordT = TypeVar("RecordT", bound=Record)


def mine(request: PersonRequest, pk: int) -> Mine:
    """The house, the person's roles on it, its ledger; 404 for whoever does not belong."""
    house = access.get_house(request.user, pk)
    return Mine(request.user.pk, house, permissions.roles(request.user, house), queries.ledger(house))


def stage_of(each: Mine, stage_pk: int) -> HouseStage:
    """A stage of the house; 404 otherwise."""
    return get_object_or_404(HouseStage, house=each.house, pk=stage_pk)


def subject(request: PersonRequest, pk: int, stage_pk: int, key: str) -> Subject:
    """A point of a stage of a house; 404 where one of them is not there."""
    each = mine(request, pk)
    stage = stage_of(each, stage_pk)
    row = each.ledger.stage(stage.pk)
    point = row.process.point(key) if row else None
    if row is None or point is None:
        raise Http404("No such point.")
    return Subject(request.user, each.house, stage, row, point, each.ledger, each.roles)


def sent_before(request: PersonRequest, kind: type[RecordT], **where: Any) -> RecordT | None:
    """The record that this very post made when it came first: same id, person, place and legs. Asked where the form no
    longer fits the plan, which may have changed since; sent twice, it is answered as it was and counts once."""
    try:
        client_id = UUID(request.POST.get("client_id", ""))
    except ValueError:
        return None
    found = kind._default_manager.filter(client_id=client_id, by=request.user, **where).first()
    return found if found is not None and sorted(found.legs) == sorted(request.POST.getlist("legs")) else None


def decided(each: Mine, stage: StageRow | None = None, legs: Sequence[str] = ()) -> dict[str, Any]:
    """What the pages of a house, a stage and a pour tell of decisions to pour: those that stand, whether one of them no
    longer holds, which is told first, and whether the person may decide anew."""
    now = timezone.now()
    rows = decisions.told(each, now, stage, legs) if stage else decisions.told_of([each], now)[each.house.pk]
    return {"decided": rows, "flipped": any(row.is_worse for row in rows), "decides": Role.BUILDER in each.roles}


def show(
    request: PersonRequest, house: House, template: str, context: dict[str, Any], status: int = 200
) -> HttpResponse:
    """A page of a house, its times by the clock of the site."""
    with timezone.override(house.timezone):
        return render(request, template, {"house": house, **context}, status=status)


def status_of(refused: Refused) -> int:
    """403 for what is not the person's to do, 409 for what cannot be done as things stand."""
    return 403 if isinstance(refused, NotYours) else 409
