"""One stage of a house, and the work recorded on it."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from inspections import actions, permissions
from inspections.exceptions import GateHeld
from inspections.forms import WorkForm
from inspections.models import WorkDone
from inspections.page_queries import drawings, words
from inspections.page_queries import stage as stage_page
from inspections.page_queries.mine import Mine
from inspections.process import Operation
from inspections.views.common import decided, mine, sent_before, show, stage_of, status_of
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.models import HouseStage, Role


@require_safe
def stage(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Purpose, gates by section, points, numbers, drawings, records."""
    each = mine(request, pk)
    return _page(request, each, stage_of(each, stage_pk))


def _page(request: PersonRequest, each: Mine, row: HouseStage, status: int = 200, **more: Any) -> HttpResponse:
    revision = stage_page.revision_of(each.house)
    page = stage_page.read(each.house, row, each.ledger, each.roles, revision)
    context = {"page": page, "revision": revision, "roles": each.roles, **more}
    if request.htmx:  # type: ignore[attr-defined]
        return show(request, each.house, "inspections/_gates.html", context, status)
    context |= drawings.of_stage(each.house, page, revision)
    if page.is_poured:
        context |= decided(each, page.row)
    return show(request, each.house, "inspections/stage.html", context, status)


@require_POST
def work(request: PersonRequest, pk: int, stage_pk: int, operation: str) -> HttpResponse:
    """Record that an operation took place. Where the gate is held: every reason, and nothing recorded."""
    each = mine(request, pk)
    row = stage_of(each, stage_pk)
    found = each.ledger.stage(row.pk)
    wanted = found.process.operation(operation) if found else None
    if found is None or wanted is None:
        raise Http404("No such work.")
    form = WorkForm(request.POST, legs=[leg.name for leg in each.ledger.legs_of(found)], auto_id="work-%s")
    tried: dict[str, Any] = {"tried": wanted, "form": form}
    role = permissions.role_for(request.user, each.house, wanted.does)
    if role is None:
        problem = f"Only {words.role_words(wanted.does)} may record “{wanted.title}”."
        return _page(request, each, row, 403, problem=problem, **tried)
    if not form.is_valid():
        before = sent_before(request, WorkDone, stage=row, operation=wanted.key)
        return _told(request, each, row, wanted, before) if before else _page(request, each, row, 422, **tried)
    return _recorded(request, each, row, role, tried)


def _recorded(request: PersonRequest, each: Mine, row: HouseStage, role: Role, tried: dict[str, Any]) -> HttpResponse:
    """Record it and say so; or the page with what stands in the way."""
    form: WorkForm = tried["form"]
    operation: Operation = tried["tried"]
    try:
        done = actions.do_work(
            by=request.user,
            role=role,
            house=each.house,
            stage=row,
            operation=operation.key,
            legs=form.cleaned_data["legs"],
            revision=form.cleaned_data["revision"],
            note=form.cleaned_data["note"],
            **form.sent(),
        )
    except GateHeld as held:
        reasons = words.whys(each.house, each.ledger, held.gate.reasons)
        return _page(request, each, row, 409, held=reasons, **tried)
    except Refused as refused:
        return _page(request, each, row, status_of(refused), problem=str(refused), **tried)
    return _told(request, each, row, operation, done)


def _told(request: PersonRequest, each: Mine, row: HouseStage, operation: Operation, done: WorkDone) -> HttpResponse:
    """Where the person came from, with a word on what is recorded."""
    past = words.upper_first(operation.past)
    on = words.leg_words(tuple(done.legs))
    messages.success(request, f"Recorded: {past} on {on}, {words.moment(each.house, done.at)}.")
    if request.htmx:  # type: ignore[attr-defined]
        return _page(request, mine(request, each.house.pk), row)
    back = f"{reverse('inspections:today')}?house={each.house.pk}" if request.POST.get("from") == "today" else None
    return redirect(back or reverse("inspections:stage", args=[each.house.pk, row.pk]))
