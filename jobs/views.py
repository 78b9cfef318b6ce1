"""Pages of a house: the house itself, its ground, its stages."""

from __future__ import annotations

from datetime import date

from django.contrib import messages
from django.forms import Form
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from jobs import access, actions, details, queries
from jobs.access import PersonRequest
from jobs.exceptions import Refused, StalePage
from jobs.forms import HouseForm, NewStageForm, SiteForm, StageForm, posted, whole
from jobs.models import House, HouseStage
from takeoff.site import Site
from takeoff.soils import IBC_TABLE_1610_1, LateralLoad, lateral_load, lateral_loads

#: Which printed column each button of the ground page proposes from.
_COLUMNS = {"propose_active": "active", "propose_at_rest": "at-rest"}


def _first(row: object, labels: dict[str, str]) -> dict[str, object]:
    return {name: getattr(row, name) for name in labels}


@require_http_methods(["GET", "POST"])
def house_new(request: PersonRequest) -> HttpResponse:
    """A new house and its ground on one page, so that no default of the ground goes unseen."""
    firm = access.get_firm(request.user)
    initial = {"version": 1, **_first(Site(), details.SITE_LABELS)}
    form, ground = HouseForm(posted(request), initial=initial), SiteForm(posted(request), initial=initial)
    if request.method == "POST" and not _propose(request, ground, form) and form.is_valid() and ground.is_valid():
        try:
            house = actions.add_house(
                by=request.user, firm=firm, house=form.details(), site=ground.site(), **form.sent()
            )
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, f"{house} is added. Next: walk its plan, and invite the people who work on it.")
            return redirect("inspections:house", house.pk)
    return _house_page(request, form, ground)


def _house_page(request: PersonRequest, form: HouseForm, ground: SiteForm) -> HttpResponse:
    context = {"form": form, "ground": ground, "loads": lateral_loads().values()}
    return render(request, "jobs/house_new.html", context, status=422 if form.errors or ground.errors else 200)


@require_http_methods(["GET", "POST"])
def house_edit(request: PersonRequest, pk: int) -> HttpResponse:
    """The papers of a house: name, lot, address, jurisdiction, permit, days."""
    house = queries.house_for_builder(request.user, pk)
    initial = {"version": house.version, **_first(house, details.HOUSE_LABELS)}
    form = HouseForm(posted(request), initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            actions.edit_house(
                by=request.user,
                house=house,
                version=form.version_seen,
                changed=form.details(),
                **form.sent(),
            )
        except StalePage as stale:
            form.told_stale(stale, House.objects.get(pk=pk), form.details(), details.in_words)
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "Saved.")
            return redirect("inspections:house", pk)
    return render(request, "jobs/house_edit.html", {"house": house, "form": form}, status=_status(form))


@require_http_methods(["GET", "POST"])
def site_edit(request: PersonRequest, pk: int) -> HttpResponse:
    """The ground of a house."""
    house = queries.house_for_builder(request.user, pk)
    initial = {"version": house.version, **_first(house.site, details.SITE_LABELS)}
    form = SiteForm(posted(request), initial=initial)
    if request.method == "POST" and not _propose(request, form) and form.is_valid():
        try:
            actions.edit_site(
                by=request.user,
                house=house,
                version=form.version_seen,
                changed=form.site(),
                **form.sent(),
            )
        except StalePage as stale:
            form.told_stale(stale, House.objects.get(pk=pk).site, form.site(), details.in_words)
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, "Saved. A plan already locked keeps the ground it was locked with.")
            return redirect("inspections:house", pk)
    context = {"house": house, "form": form, "loads": lateral_loads().values()}
    return render(request, "jobs/site_edit.html", context, status=_status(form))


def _propose(request: PersonRequest, ground: SiteForm, *others: Form) -> bool:
    """Where a proposal was asked for: put the printed load into the form, and say in a sentence where it is from."""
    column = next((word for button, word in _COLUMNS.items() if button in request.POST), None)
    if column is None:
        return False
    symbol = request.POST.get("soil_class", "")
    row = lateral_load(symbol)
    value = _printed(row, column)
    typed = request.POST.dict()
    if row is None or value is None:
        ground.proposal = (
            f"{IBC_TABLE_1610_1} gives no load for {symbol or 'this soil'}: it is not to be used as backfill, "
            "or an engineer must decide. Nothing was changed."
        )
    else:
        typed["equivalent_fluid_pcf"] = f"{value:g}"
        ground.proposal = (
            f"Proposed: {value:g} psf per ft of depth, {column} pressure, for {symbol} ({row.description}). "
            f"Source: {IBC_TABLE_1610_1}. Not saved yet."
        )
    for form in (ground, *others):
        # Shown unbound, so that fields not filled in yet are not called wrong; everything typed stays.
        form.is_bound, form.initial = False, {**form.initial, **typed}
    return True


def _printed(row: LateralLoad | None, column: str) -> float | None:
    if row is None:
        return None
    return row.active_psf_per_ft if column == "active" else row.at_rest_psf_per_ft


def _status(form: HouseForm | SiteForm) -> int:
    return 409 if hasattr(form, "stale") else 422 if form.errors else 200


@require_http_methods(["GET", "POST"])
def stages_edit(request: PersonRequest, pk: int) -> HttpResponse:
    """The stages of a house: dates and names, moved, left out, added. Each button names what it does."""
    house = queries.house_for_builder(request.user, pk)
    wrong: StageForm | None = None
    new = NewStageForm(request.POST if request.POST.get("do") == "add" else None, stages=_places(house), prefix="new")
    if request.method == "POST":
        try:
            wrong = _deal(request, house, new)
        except Refused as refused:
            messages.error(request, str(refused))
            return redirect("jobs:stages_edit", pk)
        if wrong is None and not new.errors:
            return redirect("jobs:stages_edit", pk)
    rows = [
        (row, wrong if wrong and wrong.prefix == f"s{row.stage.pk}" else _stage_form(row.stage))
        for row in queries.stage_rows(house)
    ]
    context = {"house": house, "rows": rows, "new": new}
    return render(request, "jobs/stages_edit.html", context, status=422 if wrong or new.errors else 200)


def _deal(request: PersonRequest, house: House, new: NewStageForm) -> StageForm | None:
    """Do what the button named; the form where something in it is wrong."""
    do, by = request.POST.get("do", ""), request.user
    if do == "add":
        if new.is_valid():
            typed = {name: new.cleaned_data[name] for name in ("kind", "title", "after")}
            stage = actions.add_stage(by=by, house=house, client_id=new.client_id_sent, **typed)
            messages.success(request, f"“{stage}” is added in place {stage.position}.")
        return None
    stage = get_object_or_404(HouseStage, house=house, pk=whole(request.POST.get("stage")))
    if do == "remove":
        actions.remove_stage(by=by, house=house, stage=stage)
        messages.success(request, f"“{stage}” is left out.")
    elif do in ("earlier", "later"):
        actions.move_stage(by=by, house=house, stage=stage, by_places=-1 if do == "earlier" else 1)
    else:
        form = StageForm(request.POST, prefix=f"s{stage.pk}")
        if not form.is_valid():
            return form
        typed = {name: form.cleaned_data[name] for name in ("title", "start", "end")}
        actions.date_stage(by=by, house=house, stage=stage, client_id=form.client_id_sent, **typed)
        messages.success(request, f"“{form.cleaned_data['title']}” is saved.")
    return None


def _stage_form(stage: HouseStage) -> StageForm:
    days: dict[str, date | None] = {"start": stage.planned_start_date, "end": stage.planned_end_date}
    return StageForm(prefix=f"s{stage.pk}", initial={"title": stage.title, **days})


def _places(house: House) -> list[tuple[int, str]]:
    return list(house.stages.order_by("position").values_list("position", "title"))
