"""The page of a pour, and its records as they are written down."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from inspections import queries
from inspections.gates import role_words
from inspections.page_queries import words
from inspections.page_queries.mine import Mine
from inspections.pours import actions, page
from inspections.pours.checks import WrongSaid
from inspections.pours.forms import PourForm
from inspections.pours.forms_warmth import FORMS, WALLS_ONLY
from inspections.pours.kinds import ESTIMATE, KINDS, LEVEL, MIX, POURED, TRUCK, Kind
from inspections.pours.models import PourRecord, TruckLoad
from inspections.pours.page import PourPage
from inspections.views.common import decided, mine, show, stage_of, status_of
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.forms import whole
from jobs.models import HouseStage
from takeoff.plan import Stage
from takeoff.pour.pressure import CAUTION
from takeoff.weather.rules_306r import MOST_ABOVE_LEAST_F


@require_safe
def pour(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """What is to be poured, where the pour stands, its trucks and what follows it."""
    each, stage = _asked(request, pk, stage_pk)
    with timezone.override(each.house.timezone):
        return _page(request, each, stage, request.GET.get("leg", ""))


@require_POST
def write(request: PersonRequest, pk: int, stage_pk: int, kind: str) -> HttpResponse:
    """One record: written and told, or the page again with what is wrong beside its field."""
    each, stage = _asked(request, pk, stage_pk)
    found = KINDS.get(kind) if kind in FORMS else None
    if found is None or (kind in WALLS_ONLY and stage.stage_kind is Stage.FOOTING):
        raise Http404("No such record.")
    with timezone.override(each.house.timezone):
        role = next((r for r in found.writes if r in each.roles), None)
        if role is None:
            problem = f"Only {role_words(found.writes)} may write down “{found.title}”."
            return _page(request, each, stage, request.POST.get("leg", ""), 403, problem=problem)
        return _written(request, each, stage, found)


def _asked(request: PersonRequest, pk: int, stage_pk: int) -> tuple[Mine, HouseStage]:
    """The house and one of its stages that is poured; 404 otherwise."""
    each = mine(request, pk)
    stage = stage_of(each, stage_pk)
    if stage.stage_kind not in POURED:
        raise Http404("Nothing is poured in this stage.")
    return each, stage


def _written(request: PersonRequest, each: Mine, stage: HouseStage, kind: Kind) -> HttpResponse:
    leg = request.POST.get("leg", "")
    told = _read(each, stage, leg)
    form = _form(request, each, kind, told)
    if told is None or not form.is_valid():
        return _page(request, each, stage, leg, 422, tried=form)
    role = told.may[kind.key]
    try:
        actions.log(
            by=request.user,
            role=role,
            house=each.house,
            stage=stage,
            kind=kind.key,
            legs=form.chosen(),
            said=form.said(),
            revision=form.cleaned_data["revision"],
            replaces=form.cleaned_data["replaces"],
            **form.sent(),
        )
    except WrongSaid as wrong:
        form.told(wrong)
        return _page(request, each, stage, leg, 422, tried=form)
    except Refused as refused:
        return _page(request, each, stage, leg, status_of(refused), tried=form, problem=str(refused))
    messages.success(request, f"Written down: {kind.says(form.said())}.")
    return redirect(page.url(each.house.pk, stage.pk, form.chosen()[0]))


# -- the page ----------------------------------------------------------------------------------------
def _read(each: Mine, stage: HouseStage, leg: str) -> PourPage | None:
    revision = queries.revision_in_force(each.house)
    return page.read(each, stage, revision, leg, timezone.now()) if revision else None


def _page(
    request: PersonRequest, each: Mine, stage: HouseStage, leg: str, status: int = 200, problem: str = "",
    tried: PourForm | None = None,
) -> HttpResponse:  # fmt: skip
    told = _read(each, stage, leg)
    context: dict[str, Any] = {"page": told, "stage": stage, "problem": problem, "caution": CAUTION, "tried": tried}
    if told is not None:
        # once concrete is placed the decision is behind the pour
        context |= decided(each, told.row, told.legs) if told.live is None and not told.done else {}
        context["forms"] = _forms(request, each, told, tried)
    return show(request, each.house, "inspections/pour.html", context, status)


def _forms(request: PersonRequest, each: Mine, told: PourPage, tried: PourForm | None) -> dict[str, PourForm]:
    """A form for each kind of record the person may write; the one that was tried as it was sent."""
    out = {}
    for key, kind in KINDS.items():
        if key in FORMS and key in told.may and _asked_here(kind, told):
            mine_ = tried is not None and tried.kind is kind
            out[key] = tried if tried is not None and mine_ else _form(request, each, kind, told, fresh=True)
    return out


def _asked_here(kind: Kind, told: PourPage) -> bool:
    """An estimate is accepted where there is one, a level read where there are forms, warmth kept of a wall."""
    if kind is ESTIMATE:
        return told.estimate is not None
    return told.is_wall or (kind is not LEVEL and kind.key not in WALLS_ONLY)


def _form(request: PersonRequest, each: Mine, kind: Kind, told: PourPage | None, fresh: bool = False) -> PourForm:
    """The form of a kind: empty with its usual values, or bound to what was sent."""
    sent = () if fresh else (request.POST, request.FILES)
    asked: dict[str, Any] = {
        "legs": told.legs if told else (),
        "zone": words.zone(each.house),
        "now": told.now if told else timezone.now(),
        "auto_id": f"{kind.key}-%s",
        "initial": {"revision": told.revision.number, "leg": told.legs[0]} if told else {},
    }
    if kind is TRUCK:
        asked |= _truck(request, told, fresh)
    elif told is not None and kind is MIX:
        asked["initial"] |= _usual_mix(told)
        asked["every"] = [leg.name for leg in each.ledger.legs_of(told.row)]
        asked["is_wall"] = told.is_wall
    elif told is not None and kind is LEVEL:
        asked["next_leg"] = told.next_leg
    elif told is not None and kind.key == "alignment":
        asked["is_wall"] = told.is_wall
    elif told is not None and kind.key == "cylinder":
        asked["cast"] = told.live.begun if told.live else None
    if told is not None and fresh and request.GET.get("correct") == kind.key:
        asked["record"] = _corrected(told, kind, request.GET.get("record"))
    return FORMS[kind.key](*sent, **asked)


def _corrected(told: PourPage, kind: Kind, pk: str | None) -> PourRecord | None:
    """The record that is to be corrected, None where it is not one of this pour."""
    rows = {
        "level": told.records.levels,
        "temperature": told.records.temperatures,
        "logger": told.records.loggers,
        "protection": told.records.protections,
        "alignment": told.records.alignments,
        "moment": told.records.moments,
        "cylinder": told.records.cylinders,
    }.get(kind.key, ())
    return next((row for row in rows if row.pk == whole(pk)), None)


def _truck(request: PersonRequest, told: PourPage | None, fresh: bool) -> dict[str, Any]:
    """Which truck the form goes on with: the one asked for, else the oldest that is not done, else a new one."""
    if told is None:
        return {}
    loads = {row.load.pk: row for row in told.trucks}
    sent = request.GET.get("truck", "") if fresh else request.POST.get("replaces", "")
    chosen = loads.get(whole(sent))
    if chosen is None and fresh and sent != "new":
        left = [row for row in told.trucks if row.step in ("decide", "empty")]
        chosen = left[-1] if left else None
    correct = (request.GET.get("correct") if fresh else request.POST.get("correct")) == "yes"
    initial: dict[str, Any] = {"revision": told.revision.number, "leg": told.legs[0]}
    if chosen is None and told.mix is not None:
        initial["mix"] = told.mix.mix
    record: TruckLoad | None = chosen.load if chosen else None
    return {"record": record, "correct": correct, "initial": initial}


def _usual_mix(told: PourPage) -> dict[str, Any]:
    """What was agreed, or what the plan says and is usual."""
    mix, spec = told.mix, told.plan.spec.concrete
    if mix is not None:
        names = (
            "slump_in", "approved_by", "least_f", "most_f", "limit_min", "mix", "air_percent", "protection",
            "cement_lb", "water_ratio", "curve",
        )  # fmt: skip
        return {name: getattr(mix, name) for name in names}
    least = spec.minimum_temperature_f
    return {
        "slump_in": spec.slump_in,
        "approved_by": spec.slump_approved_by,
        "least_f": least,
        "most_f": least + MOST_ABOVE_LEAST_F,
        "limit_min": 90.0,
        "air_percent": spec.air_percent,
    }
