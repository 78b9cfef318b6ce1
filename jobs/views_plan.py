"""Pages where the wall is walked: the plan, its specification, its preview while typing, and locking it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, HttpResponseBadRequest
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs import (
    access,
    form_data,
    plan_differences,
    plan_edits,
    plan_forms,
    plan_look,
    plan_names,
    plan_units,
    plans,
)
from jobs import (
    plan_spec as spec_page,
)
from jobs.access import PersonRequest
from jobs.exceptions import Refused, StalePage
from jobs.models import FormSystemRecord, House
from jobs.plan_fields import SPEC, WALKED, Shape
from jobs.plan_forms import ASIDE, PAGE, Document
from jobs.plan_page import PlanPage
from jobs.plan_views import dom_id
from takeoff.problems import Problem
from takeoff.units import exact_text, format_length

#: Where what was taken out waits to be put back, in the session.
_TAKEN = "plan_taken_out"


# -- what pages share ------------------------------------------------------------------------------
def walked_house(request: PersonRequest, pk: int) -> House:
    """The house where the person may walk its plan; 404 otherwise."""
    house = access.get_house(request.user, pk)
    access.require_role(request.user, house, *plans.WALKERS)
    return house


def systems_of(house: House, document: Document) -> list[tuple[str, str, tuple[str, ...]]]:
    """Form systems a leg may name: key, name and cores as text. Retired ones only where the plan uses them."""
    retired = set(
        FormSystemRecord.objects.filter(firm=house.firm).exclude(retired_at=None).values_list("key", flat=True)
    )
    used, out = form_data.forms_named(document), []
    for data in plans.complete(house, document).get("forms", []):
        try:
            system = form_data.from_data(data)
        except (ValueError, TypeError, AttributeError):
            continue
        if system.key not in retired or system.key in used:
            cores = tuple(format_length(core, "in", 64) for core in sorted(system.cores()))
            out.append((system.key, system.name, cores))
    return out


def page_of(house: House, document: Document, open_at: str = "", focus: bool = False) -> PlanPage:
    """The document looked at, ready to be shown; ``focus``: the first field of what is open has the focus."""
    grade = house.site.exterior_grade
    urls = {
        "site": reverse("jobs:site_edit", args=[house.pk]),
        "spec": reverse("jobs:plan_spec", args=[house.pk]),
        "forms": reverse("jobs:form_systems"),
    }
    return PlanPage(
        document=plan_forms.plan_part(document),
        look=plan_look.look(plans.complete(house, document)),
        systems=systems_of(house, document),
        site_grade=exact_text(grade) if grade is not None else "",
        open_at=open_at,
        focus=focus,
        urls=urls,
    )


def typed(request: HttpRequest, house: House, shape: Shape) -> Document:
    """The draft with what this page's fields say; what the page has no fields for stays as stored."""
    stored, _ = plans.draft_of(house)
    own = {e.name for e in shape.entries} | set(shape.parts) | set(shape.lists)
    kept = {k: v for k, v in stored.items() if k not in own and k != PAGE}
    data = request.POST.dict()
    out = {**kept, **plan_names.carry(plan_forms.from_fields(data, shape), data)}
    if shape is WALKED and plan_units.keep_meaning(out, stored):
        said = "Numbers typed before keep their unit, which is now written behind them."
        messages.info(request, said)
    return out


def context_of(house: House, page: PlanPage, version: int, **more: Any) -> dict[str, Any]:
    """What the plan's templates need."""
    latest = plans.latest(house)
    return {
        "house": house,
        "page": page,
        "look": page.look,
        "version": version,
        "latest": latest,
        "next_letter": plans.letter_after(latest),
        "unchanged": latest is not None
        and page.look.plan is not None
        and plans.digest_of(page.look.plan) == latest.digest,
        "wrong": page.told(page.look.wrong),
        "missing": page.told(page.look.missing),
        "remarks": (remarks := page.told(page.look.remarks)),
        "to_look_at": sum(told.severity != "note" for told in remarks),
        **more,
    }


def whole(text: str | None) -> int:
    """A number from a form, 0 where it is none."""
    return int(text) if text and text.isdecimal() and len(text) < 10 else 0


def _page_id(request: HttpRequest) -> str:
    return request.POST.get("page", "")[:40]


# -- the plan -----------------------------------------------------------------------------------------
@require_http_methods(["GET", "POST"])
def plan_edit(request: PersonRequest, pk: int) -> HttpResponse:
    """The plan as it is being walked; every button saves what is typed first."""
    house = walked_house(request, pk)
    if request.method == "GET":
        document, version = plans.draft_of(house)
        return _plan(request, house, document, version, request.GET.get("open", ""))
    if "title" not in request.POST:
        return HttpResponseBadRequest("This post holds no plan.")
    document, do = typed(request, house, WALKED), request.POST.get("do", "")
    try:
        edited = _edited(request, house, document, do)
        draft = _save(request, house, edited.document, do)
    except StalePage as stale:
        return _stale(request, house, document, stale)
    except Refused as refused:
        messages.error(request, str(refused))
        draft = _save(request, house, document, "")
        edited = plan_edits.Edited(draft.document)
    _remember(request, house, do, edited)
    if request.htmx:  # type: ignore[attr-defined]
        return _plan(request, house, draft.document, draft.version, edited.at)
    where = "put-back" if edited.taken is not None else dom_id(edited.at or "plan")
    return redirect(f"{reverse('jobs:plan_edit', args=[pk])}?open={edited.at}#{where}")


def _edited(request: PersonRequest, house: House, document: Document, do: str) -> plan_edits.Edited:
    verb = do.partition(":")[0]
    if do == "put_back":
        waiting = request.session.pop(_TAKEN, {})
        if waiting.get("house") != house.pk:
            raise Refused("There is nothing left to put back.")
        return plan_edits.put_back(document, waiting["holder"], waiting["place"], waiting["item"])
    if verb == "aside":
        return _taken_back(request, document, whole(do.partition(":")[2]))
    if do in ("", "save") or verb in ("mine", "theirs"):
        return plan_edits.Edited(document, request.POST.get("open", ""))
    return plan_edits.edit(document, do)


def _taken_back(request: PersonRequest, document: Document, place: int) -> plan_edits.Edited:
    """Change places: what was set aside becomes the draft, the draft is set aside."""
    kept = document.get(ASIDE) or []
    if place >= len(kept):
        raise Refused("That is not set aside any more; nothing was changed.")
    chosen, others = kept[place], [entry for k, entry in enumerate(kept) if k != place]
    aside = plans.set_aside({**document, ASIDE: others}, request.user, "put aside for an earlier one")
    return plan_edits.Edited({**chosen["document"], ASIDE: aside})


def _save(request: PersonRequest, house: House, document: Document, do: str) -> Any:
    """Store the draft. 'mine:7' stores over version 7 and sets that aside; 'theirs:7' keeps it and sets mine aside."""
    verb, _, newer = do.partition(":")
    version, page = whole(request.POST.get("version")), _page_id(request)
    if verb in ("mine", "theirs"):
        stored, version = plans.draft_of(house)[0], whole(newer)
        kept, lost, why = (
            (document, stored, "newer, but not kept") if verb == "mine" else (stored, document, "not kept")
        )
        aside = plans.set_aside(lost, request.user, why, also=stored)
        document, page = {**plan_forms.plan_part(kept), ASIDE: aside}, page if verb == "mine" else str(uuid4())
    return plans.save_draft(by=request.user, house=house, document=document, version=version, page=page)


def _remember(request: HttpRequest, house: House, do: str, edited: plan_edits.Edited) -> None:
    if edited.taken is None:
        return
    holder, _, place = do.partition(":")[2].rpartition(".")
    request.session[_TAKEN] = {"house": house.pk, "holder": holder, "place": int(place), "item": edited.taken}
    messages.info(request, f"{edited.said} It can be put back until the next one is taken out.")


def _taken_out(request: HttpRequest, house: House, document: Document) -> dict[str, Any] | None:
    """What was taken out last and can be put back, and whether the page shows it where it was."""
    taken = request.session.get(_TAKEN) or {}
    if taken.get("house") != house.pk:
        return None
    holder = taken["holder"]
    there = holder.startswith("walks.") and plan_forms.value_at(document, holder.rpartition(".")[0]) is not None
    just_now = request.POST.get("do", "").startswith("remove:")
    said = plan_edits.called(holder, taken["item"])
    return {**taken, "among_legs": there, "just_now": just_now, "said": said}


def _plan(
    request: PersonRequest,
    house: House,
    document: Document,
    version: int,
    open_at: str = "",
    status: int = 200,
    **more: Any,
) -> HttpResponse:
    page = page_of(house, document, open_at, focus=bool(open_at) and open_at != request.POST.get("open"))
    context = context_of(
        house,
        page,
        version,
        page_id=_page_id(request) or str(uuid4()),
        taken=_taken_out(request, house, document),
        aside=document.get(ASIDE) or [],
        note=request.POST.get("note", ""),
        **more,
    )
    template = "jobs/plan_swap.html" if request.htmx else "jobs/plan_edit.html"  # type: ignore[attr-defined]
    return render(request, template, context, status=status)


@require_POST
def plan_preview(request: PersonRequest, pk: int) -> HttpResponse:
    """Keep what is typed and show it drawn, with how it closes and what is wrong."""
    house = walked_house(request, pk)
    if "title" not in request.POST:
        return HttpResponseBadRequest("This post holds no plan.")
    document = typed(request, house, WALKED)
    try:
        draft = _save(request, house, document, "")
    except StalePage as stale:
        return _stale(request, house, document, stale)
    context = context_of(house, page_of(house, document), draft.version, saved=draft.updated_at)
    return render(request, "jobs/plan_live.html", context)


def _stale(request: PersonRequest, house: House, document: Document, stale: StalePage) -> HttpResponse:
    """Both plans side by side, what was typed still in its fields, and the choice between them."""
    newer, version = plans.draft_of(house)
    told: dict[str, Any] = {
        "stale": stale,
        "newer_version": version,
        "newer": plan_look.look(plans.complete(house, newer), "plan-newer"),
        "differences": plan_differences.of_documents(plan_forms.plan_part(newer), plan_forms.plan_part(document)),
    }
    if request.htmx and request.headers.get("HX-Target") == "plan-view":  # type: ignore[attr-defined]
        context = context_of(house, page_of(house, document), whole(request.POST.get("version")), **told)
        return render(request, "jobs/plan_live.html", context, status=409)
    return _plan(request, house, document, whole(request.POST.get("version")), status=409, **told)


# -- specification ---------------------------------------------------------------------------------------
@require_http_methods(["GET", "POST"])
def plan_spec(request: PersonRequest, pk: int) -> HttpResponse:
    """What the takeoff chooses that is not geometry: footing, bars, concrete, membrane, earth, braces."""
    house = walked_house(request, pk)
    document, version = plans.draft_of(house)
    stale, status, differences = None, 200, None
    if request.method == "POST" and "version" not in request.POST:
        return HttpResponseBadRequest("This post holds no specification.")
    if request.method == "POST":
        document = typed(request, house, SPEC)
        try:
            draft = _save(request, house, document, request.POST.get("do", ""))
        except StalePage as refused:
            stale, status, version = refused, 409, refused.version
            differences = plan_differences.of_documents(plans.draft_of(house)[0], document)
        else:
            version = draft.version
            if not _spec_trouble(page := page_of(house, document)):
                messages.success(request, "The specification is kept with the plan.")
                return redirect("jobs:plan_edit", pk)
            messages.warning(request, "Kept as typed; something below must still be mended.")
            status = 422
    page = page_of(house, document)
    parts = _parts_here(page)
    told = {"stale": stale, "differences": differences, "trouble": page.told(_spec_trouble(page))}
    context = context_of(house, page, version, parts=parts, **told)
    return render(request, "jobs/plan_spec.html", context, status=status)


def _parts_here(page: PlanPage) -> tuple[spec_page.SpecPart, ...]:
    """The specification's parts, problems leading to fields on this page."""
    page.urls.pop("spec", None)
    return spec_page.spec_parts(page)


def _spec_trouble(page: PlanPage) -> list[Problem]:
    return [p for p in page.look.wrong if p.path.startswith("spec")]


# -- locking -----------------------------------------------------------------------------------------------
@require_POST
def plan_lock(request: PersonRequest, pk: int) -> HttpResponse:
    """Make the next revision of what is typed."""
    house = walked_house(request, pk)
    document, version = plans.draft_of(house)
    if "title" in request.POST:
        document = typed(request, house, WALKED)
    try:
        if "title" in request.POST:
            version = _save(request, house, document, "").version
        revision = plans.lock(
            by=request.user,
            house=house,
            version=version,
            note=request.POST.get("note", ""),
            client_id=_uuid(request.POST),
        )
    except StalePage as stale:
        return _stale(request, house, document, stale)
    except plans.PlanRefused as refused:
        page = page_of(house, document)
        return _plan(
            request, house, document, version, status=422, refused=refused, blockers=page.told(refused.problems)
        )
    except plans.PlanUnchanged as unchanged:
        messages.info(request, str(unchanged))
        return redirect("jobs:revision", pk, unchanged.revision.number)
    messages.success(request, f"Revision {revision.letter} is locked. It can be read by everybody on the house.")
    return redirect("jobs:revision", pk, revision.number)


def _uuid(post: Mapping[str, str]) -> UUID | None:
    try:
        return UUID(post.get("client_id", ""))
    except ValueError:
        return None


@require_GET
def plan_export(request: PersonRequest, pk: int) -> HttpResponse:
    """The plan being walked as a file, right or wrong, as it stands."""
    house = walked_house(request, pk)
    document, _ = plans.draft_of(house)
    return plans.as_file(plans.complete(house, document), f"{house.name} plan as walked")
