"""Pages of a pour: the window in the weather, and the posts that give weather to the house."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from inspections import queries
from inspections.page_queries import words
from inspections.page_queries.mine import Mine
from inspections.page_queries.mine import mine as all_mine
from inspections.pours import actions as pours
from inspections.pours import decisions
from inspections.pours.checks import WrongSaid
from inspections.pours.kinds import DECISION, POURED
from inspections.pours.models import PourDecision
from inspections.views.common import mine, show, status_of
from inspections.winter import asked as asking
from inspections.winter import decide_page, forms_page, order_page, window_page
from inspections.winter.asked import Asked
from inspections.winter.conditions import TICKS
from inspections.winter.decide_page import DecideForm
from inspections.winter.giving import DaysForm, FetchForm, FileForm, PlaceForm, initial_of
from jobs import access
from jobs.access import PersonRequest
from jobs.exceptions import PdfUnavailable, Refused
from jobs.models import HouseStage, Role
from jobs.weather import actions, reading
from jobs.weather.records import WeatherKind, WeatherSource
from takeoff.plan import Stage


@require_safe
def window(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Ten days hour by hour: go, go with protection, or no; and where the weather comes from."""
    return _window(request, about(request, pk, stage_pk))


@require_POST
def typed(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Keep typed highs and lows."""
    found = _giving(request, pk, stage_pk)
    form = DaysForm(request.POST, first=found.now.date())
    if not form.is_valid():
        return _window(request, found, 422, days_form=form)
    try:
        made = actions.add_days(by=request.user, house=found.house, days=form.days(), **form.sent())
    except Refused as refused:
        form.add_error(None, str(refused))
        return _window(request, found, 422, days_form=form)
    return _given(request, found, made)


@require_POST
def file(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Keep an uploaded file of hours."""
    found = _giving(request, pk, stage_pk)
    form = FileForm(request.POST, request.FILES)
    if not form.is_valid():
        return _window(request, found, 422, file_form=form)
    upload = form.cleaned_data["file"]
    try:
        made = actions.add_file(
            by=request.user, house=found.house, content=upload.read(), name=upload.name or "", **form.sent()
        )
    except Refused as refused:
        form.add_error("file", str(refused))
        return _window(request, found, 422, file_form=form)
    return _given(request, found, made)


@require_POST
def place(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Say where the site lies."""
    found = _giving(request, pk, stage_pk)
    form = PlaceForm(request.POST)
    if not form.is_valid():
        return _window(request, found, 422, place_form=form)
    where = {name: form.cleaned_data[name] for name in ("latitude", "longitude")}
    actions.place(by=request.user, house=found.house, **where, **form.sent())
    messages.success(request, "The site's place is kept; the forecast can be fetched now.")
    return redirect(f"{_url('weather', found)}#forecast")


@require_POST
def fetch(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Fetch the forecast now; where that fails, say so with the age of what is shown instead."""
    found = _giving(request, pk, stage_pk)
    form = FetchForm(request.POST)
    sent = form.sent() if form.is_valid() else {}
    try:
        made = actions.fetch_forecast(by=request.user, house=found.house, **sent)
    except Refused as refused:
        kept = next((s for s in found.sources if s.kind == WeatherKind.FORECAST), None)
        rest = f" The last forecast kept is {asking.age_of(kept, found.now)}." if kept else " None is kept from before."
        return _window(request, found, status_of(refused), fetch_problem=f"{refused}{rest}")
    return _given(request, found, made)


@require_http_methods(["GET", "HEAD", "POST"])
def decide(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """What the guide says of the hours chosen; the builder decides on them."""
    found = about(request, pk, stage_pk)
    each = mine(request, pk)
    if request.method != "POST":
        return _decide(request, found, each)
    form = DecideForm(request.POST)
    if Role.BUILDER not in each.roles:
        return _decide(request, found, each, 403, form=form, refused="Only the builder may decide on a pour.")
    if not form.is_valid():
        return _decide(request, found, each, 422, form=form)
    if _sent_before(request, found, form):
        return redirect(_url("weather_decide", found))
    made = decide_page.read(found, each)
    if made.said is None:
        return _decide(request, found, each, 409, form=form, refused=made.problem or "Put right what is asked under.")
    said = made.said | {name: form.cleaned_data[name] for name in ("verdict", "note")}
    try:
        pours.log(
            by=request.user, role=Role.BUILDER, house=found.house, stage=found.stage, kind=DECISION.key,
            legs=made.legs, said=said, revision=form.cleaned_data["revision"], **form.sent(),
        )  # fmt: skip
    except WrongSaid as wrong:
        form.told(wrong.problems)
        return _decide(request, found, each, 422, form=form)
    except Refused as refused:
        return _decide(request, found, each, status_of(refused), form=form, refused=str(refused))
    messages.success(request, f"{DECISION.says(said)}.")
    return redirect(_url("weather_decide", found))


def _sent_before(request: PersonRequest, found: Asked, form: DecideForm) -> bool:
    """Whether this very post came before: its answer was worked out then, by the weather of then."""
    record = form.client_id_sent
    if record is None:
        return False
    earlier = PourDecision.objects.filter(client_id=record, by=request.user, stage=found.stage).first()
    return earlier is not None and all(getattr(earlier, n) == form.cleaned_data[n] for n in ("verdict", "note"))


def _decide(
    request: PersonRequest, found: Asked, each: Mine, status: int = 200, form: DecideForm | None = None,
    refused: str = "",
) -> HttpResponse:  # fmt: skip
    made, may = decide_page.read(found, each), Role.BUILDER in each.roles
    worse = may and any(row.is_worse for row in made.standing)
    usual = {"revision": found.revision.number} if found.revision else {}
    context = {
        "page": made,
        "may_decide": may and made.said is not None,
        "decide_form": form or DecideForm(initial=usual),
        "refused": refused,
        "decided": made.standing,
        "others": decisions.other_pours(all_mine(request.user), found.house, found.stage.pk) if worse else (),
        "decide_url": f"{_url('weather_decide', found)}?{found.spelled_out}",
    }
    return page(request, found, "weather_decide", "inspections/winter/decide.html", context, status)


@require_safe
def forms(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """How fast the forms may be filled, lift by lift and truck by truck."""
    found = about(request, pk, stage_pk)
    return page(request, found, "weather_forms", "inspections/winter/forms.html", {"page": forms_page.read(found)})


@require_safe
def order(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """The concrete order, to be read out, copied or sent."""
    found = about(request, pk, stage_pk)
    pdf_url = f"{_url('weather_order_pdf', found)}?{found.carried}".rstrip("?")
    context = {"page": order_page.read(found), "pdf_url": pdf_url}
    return page(request, found, "weather_order", "inspections/winter/order.html", context)


@require_safe
def order_pdf(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """The concrete order on paper; the page that says why where there is none."""
    found = about(request, pk, stage_pk)
    made = order_page.read(found)
    if made.order is None:
        return page(request, found, "weather_order", "inspections/winter/order.html", {"page": made}, 409)
    try:
        sheet = order_page.pdf(found, made, request.build_absolute_uri(_url("weather_order", found)))
    except PdfUnavailable as missing:
        told = replace(made, problem=str(missing))
        return page(request, found, "weather_order", "inspections/winter/order.html", {"page": told}, 503)
    response = HttpResponse(sheet, content_type="application/pdf")
    name = slugify(f"{found.house.name} {found.stage.title} concrete order") or "concrete-order"
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    response["Cache-Control"] = "private, no-cache"
    return response


@require_safe
def strength(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """How warm the wall stays, when it survives a freeze, when protection may end, when it may be filled."""
    # the heat model is loaded where it is asked for
    from inspections.winter import footing_page, strength_page

    found = about(request, pk, stage_pk)
    made = footing_page.read(found) if found.kind is Stage.FOOTING else strength_page.read(found)
    template = "inspections/winter/strength.html"
    return page(request, found, "weather_strength", template, {"page": made}, shown=SHOWN[made.shows])


# -- shared ---------------------------------------------------------------------------------------------
def about(request: PersonRequest, pk: int, stage_pk: int) -> Asked:
    """The poured stage asked about; 404 for whoever does not belong, and for a stage that is not poured."""
    house = access.get_house(request.user, pk)
    stage = get_object_or_404(HouseStage, house=house, pk=stage_pk)
    if stage.stage_kind not in asking.POURED:
        raise Http404("Nothing is poured in this stage.")
    return asking.asked(house, stage, request.GET)


def _giving(request: PersonRequest, pk: int, stage_pk: int) -> Asked:
    found = about(request, pk, stage_pk)
    access.require_role(request.user, found.house, *actions.GIVES)
    return found


def _given(request: PersonRequest, found: Asked, made: WeatherSource) -> HttpResponse:
    """Back to the page, which shows the newest weather first."""
    messages.success(request, f"Kept: {made.source}.")
    query = request.GET.copy()
    query.pop("weather", None)
    return redirect(_url("weather", found) + (f"?{query.urlencode()}" if query else ""))


def _url(name: str, found: Asked) -> str:
    return reverse(f"inspections:{name}", args=[found.house.pk, found.stage.pk])


def tabs(found: Asked, here: str) -> list[tuple[str, str, bool]]:
    """Label, address and whether it is this one, of the pages of a pour; what was typed goes along."""
    return [(label, f"{_url(name, found)}?{found.carried}".rstrip("?"), name == here) for name, label in PAGES]


#: Pages of a pour by the name of their address.
PAGES = (
    ("weather", "When to pour"),
    ("weather_decide", "Go or no go"),
    ("weather_forms", "Forms and lifts"),
    ("weather_order", "Concrete order"),
    ("weather_strength", "Warmth and strength"),
)
#: Conditions each page shows; the others are carried unseen.
SHOWN = {
    "weather_decide": (
        "sections", "pour_day", "pour_hour", "need_h", "weather", "guide", "thickness_in", "concrete_f", "service",
        "ground", "wind_mph", "gust_mph", "covers", "heat", "base_warm", "accelerator", "pump",
    ),
    "weather": (
        "sections", "weather", "from_day", "guide", "thickness_in", "concrete_f", "service", "ground", "need_h",
        "wind_mph", "gust_mph", "covers", "heat", "base_warm", "accelerator", "pump",
    ),
    "weather_forms": ("sections", "concrete_f", "pump_yd3_h", "haul_min", "cold_joint_min"),
    "weather_order": (
        "sections", "pour_day", "pour_hour", "weather", "concrete_f", "haul_min", "pump_yd3_h", "weathering",
        "plant_phone", "aggregate_f", "cement_lb", "water_ratio", "exposed", "accelerator", "pump",
    ),
    "footing": (
        "pour_day", "pour_hour", "weather", "concrete_f", "soil_dry_pcf", "soil_water", "ground_f", "bare_from",
        "bare_until", "strength_psi", "cement_lb", "water_ratio", "blanket_r", "blanket_days", "soil_fine",
    ),
    "footing_logged": ("soil_dry_pcf", "soil_water", "ground_f", "bare_from", "bare_until", "soil_fine"),
    "weather_strength": (
        "sections", "pour_day", "pour_hour", "weather", "concrete_f", "wanted_psi", "brace_psi", "strength_psi",
        "cement_lb", "water_ratio", "blanket_r", "blanket_days", "heat_f", "heat_days", "help_r", "help_f",
    ),
    "strength_logged": (
        "wanted_psi", "brace_psi", "blanket_r", "blanket_days", "heat_f", "heat_days", "help_r", "help_f",
    ),
}  # fmt: skip


def page(
    request: PersonRequest, found: Asked, here: str, template: str, context: dict[str, Any], status: int = 200,
    shown: tuple[str, ...] | None = None,
) -> HttpResponse:  # fmt: skip
    """One page of a pour with its tabs and its conditions."""
    shown = shown or SHOWN[here]
    form = found.form
    fields = [form[name] for name in shown if name != "sections" or found.sections]
    more = {
        "stage": found.stage,
        "revision": found.revision,
        "tabs": tabs(found, here),
        "page_name": dict(PAGES)[here],
        "form": form,
        "ticks": [f for f in fields if f.name in TICKS],
        "fields": [f for f in fields if f.name not in TICKS],
        # what nobody typed is left to the next page: tomorrow its usual may be another
        "carried": [f for f in form if f.name not in shown and (f.name in found.query or f.name in TICKS)],
        "here": _url(here, found),
        "as_decided": _as_decided(found),
        "poured_url": _poured_url(found) if here != "weather_strength" else "",
        "here_query": found.carried,
        "wrong": bool(form.errors),
    }
    if form.errors and status == 200:
        status = 422
    return show(request, found.house, template, {**more, **context}, status)


def _poured_url(found: Asked) -> str:
    """The page of the pour where all of the stage is poured: what these pages ask of the days ahead is behind it."""
    ledger = queries.ledger(found.house)
    row = ledger.stage(found.stage.pk)
    legs = ledger.legs_of(row) if row else ()
    if row is None or not legs or not all(ledger.is_done(row, POURED[row.kind], leg.name) for leg in legs):
        return ""
    return reverse("inspections:pour", args=[found.house.pk, found.stage.pk])


def _as_decided(found: Asked) -> str:
    """Whose decision the conditions are taken from that nobody typed here, '' where there is none."""
    if not any(name not in found.query for name in found.remembered):
        return ""
    latest = found.decisions[0]
    return f"{latest.by}, {words.moment(found.house, latest.at)}"


def _window(request: PersonRequest, found: Asked, status: int = 200, **more: Any) -> HttpResponse:
    today, kept = found.now.date(), next((s for s in found.sources if s.kind == WeatherKind.TYPED), None)
    typed_already = initial_of(reading.days_of(kept.text), today) if kept else {}
    ground, each = found.house.site, mine(request, found.house.pk)
    row = each.ledger.stage(found.stage.pk)
    place = {"latitude": ground.latitude, "longitude": ground.longitude}
    forecast = next((s for s in found.sources if s.kind == WeatherKind.FORECAST), None)
    context = {
        "page": window_page.read(found),
        "gives": bool(access.roles_on(request.user, found.house) & set(actions.GIVES)),
        "decides": Role.BUILDER in each.roles,
        "decided": decisions.told(each, found.now, row) if row else (),
        "decide_url": _url("weather_decide", found),
        "sources": [(s, asking.source_name(s)) for s in found.sources],
        "days_form": DaysForm(first=today, initial=typed_already),
        "file_form": FileForm(),
        "place_form": PlaceForm(initial={k: v for k, v in place.items() if v is not None}),
        "placed": ground.latitude is not None,
        "forecast_age": asking.age_of(forecast, found.now) if forecast else "",
        **more,
    }
    return page(request, found, "weather", "inspections/winter/window.html", context, status)
