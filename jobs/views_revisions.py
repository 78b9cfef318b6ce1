"""Pages of plan revisions: the list, one revision, one leg of it, two compared; plan files out and in."""

from __future__ import annotations

import json
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.text import slugify
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs import (
    access,
    order_changes,
    plan_differences,
    plan_imports,
    plan_look,
    plans,
    revision_checks,
    revision_page,
    slot_sheets,
)
from jobs.access import PersonRequest
from jobs.exceptions import PdfUnavailable
from jobs.frozen import facts_from_json, frozen_from_json
from jobs.models import House, PlanRevision
from jobs.views_plan import page_of, walked_house
from takeoff.drawings.elevation import elevation
from takeoff.drawings.plan_view import plan_view
from takeoff.drawings.section import section
from takeoff.drawings.svg import render as svg
from takeoff.geometry import place
from takeoff.plan import Arc
from takeoff.strength.checks import DEFER


def _revision(request: PersonRequest, pk: int, number: int) -> tuple[House, PlanRevision]:
    house = access.get_house(request.user, pk)
    revision = get_object_or_404(PlanRevision.objects.select_related("locked_by"), house=house, number=number)
    return house, revision


def _may_walk(request: PersonRequest, house: House) -> bool:
    return bool(access.roles_on(request.user, house) & set(plans.WALKERS))


@require_GET
def revisions(request: PersonRequest, pk: int) -> HttpResponse:
    """All revisions of a house, newest first."""
    house = access.get_house(request.user, pk)
    found = list(house.revisions.select_related("locked_by").defer("document", "frozen", "facts"))
    rows = [(r, found[k + 1] if k + 1 < len(found) else None) for k, r in enumerate(found)]
    context = {"house": house, "rows": rows, "may_walk": _may_walk(request, house)}
    return render(request, "jobs/revisions.html", context)


@require_GET
def revision(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    """One revision: its drawing, how it closed, quantities by stage with their sums, numbers to be found on site."""
    house, row = _revision(request, pk, number)
    takeoff = plans.takeoff_of(row)
    placement = place(takeoff.plan)
    frozen, facts = frozen_from_json(row.frozen), facts_from_json(row.facts)
    others = house.revisions.exclude(pk=row.pk).only("number", "house")
    context = {
        "house": house,
        "revision": row,
        "plan": takeoff.plan,
        "svg": svg(plan_view(takeoff.plan, placement), 1100),
        "closures": placement.closures,
        "stages": revision_page.stages_of(row),
        "problems": revision_page.problems_of(frozen),
        "tables": frozen.checks and revision_checks.tables_of(frozen.checks, facts, takeoff.plan),
        "defer": DEFER,
        "engine_then": "" if row.engine_version == plans.ENGINE_VERSION else row.engine_version,
        "engine_now": plans.ENGINE_VERSION,
        "bent": any(isinstance(leg.path, Arc) for leg in takeoff.plan.legs()),
        "facts": facts,
        "others": others,
        "in_force": plans.latest(house) == row,
        "may_walk": _may_walk(request, house),
    }
    return render(request, "jobs/revision.html", context)


@require_GET
def revision_json(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    """The revision's plan as a file."""
    house, row = _revision(request, pk, number)
    return plans.as_file(row.document, f"{house.name} plan rev {row.letter}")


@require_GET
def revision_template(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    """The full-size template of the revision's bent walls, to be printed, cut out and laid along a unit."""
    house, row = _revision(request, pk, number)
    sheets = slot_sheets.sheets_of(plans.takeoff_of(row).plan)
    if not sheets:
        raise Http404("No wall of this revision is bent to a radius.")
    try:
        made = slot_sheets.pdf(house, row, sheets)
    except PdfUnavailable as missing:
        context = {"house": house, "revision": row, "sentence": str(missing)}
        return render(request, "jobs/revision_told.html", context, status=503)
    answer = HttpResponse(made, content_type="application/pdf")
    name = slugify(f"{house.name} slot template rev {row.letter}") or "slot-template"
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    answer["Cache-Control"] = "private, no-cache"
    return answer


@require_GET
def revision_elevation(request: PersonRequest, pk: int, number: int, leg: str) -> HttpResponse:
    """One leg of a revision: block by block, course by course, its bars, and the section through the ground."""
    house, row = _revision(request, pk, number)
    takeoff = plans.takeoff_of(row)
    names = [x.name for x in takeoff.plan.legs()]
    placement = place(takeoff.plan)
    if leg not in placement.legs:
        raise Http404("No such leg.")
    at = names.index(leg)
    with_bars = request.GET.get("bars") != "no"
    context = {
        "house": house,
        "revision": row,
        "leg": takeoff.plan.leg(leg),
        "section_name": takeoff.plan.section(takeoff.plan.leg(leg).section).name,
        "before": names[at - 1] if at else None,
        "after": names[at + 1] if at + 1 < len(names) else None,
        "with_bars": with_bars,
        "elevation": svg(elevation(takeoff, leg, placement, bars=with_bars), 1150),
        "cut": svg(section(takeoff, leg, placement=placement), 700),
        "courses": revision_page.courses_of(takeoff, leg),
        "bars": revision_page.bars_of(takeoff, leg),
        "seams": [seam for seam in takeoff.seams if seam.leg == leg],
    }
    return render(request, "jobs/revision_elevation.html", context)


@require_GET
def revision_compare(request: PersonRequest, pk: int, number: int, other: int) -> HttpResponse:
    """What a revision changes against another: what was typed, which stages of which legs, which quantities."""
    house, newer = _revision(request, pk, number)
    _, older = _revision(request, pk, other)
    if older.number > newer.number:
        older, newer = newer, older
    context = {
        "house": house,
        "older": older,
        "newer": newer,
        "typed": plan_differences.of_documents(older.document, newer.document),
        "stages": [s for s in plan_differences.by_stage(older, newer) if s.any],
        "orders": order_changes.between(older, newer),
    }
    return render(request, "jobs/revision_compare.html", context)


@require_POST
def revision_start(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    """Walk on from a revision: its plan becomes the draft, what was there is set aside."""
    house = walked_house(request, pk)
    row = get_object_or_404(PlanRevision, house=house, number=number)
    plans.replace_draft(
        by=request.user, house=house, document=plans.start_of(row), why=f"before starting from revision {row.letter}"
    )
    messages.success(request, f"The plan now starts from revision {row.letter}. What was there is set aside below.")
    return redirect("jobs:plan_edit", pk)


# -- files in -------------------------------------------------------------------------------------------
@require_http_methods(["GET", "POST"])
def plan_import(request: PersonRequest, pk: int) -> HttpResponse:
    """A plan from a file. It takes the draft's place; where something is walked there, only when that is confirmed."""
    house = walked_house(request, pk)
    context: dict[str, Any] = {
        "house": house,
        "revisions": house.revisions.only("number", "house", "note", "locked_at"),
    }
    if request.method == "GET":
        return render(request, "jobs/plan_import.html", context)
    try:
        document = _uploaded(request)
    except plan_imports.NotAPlan as trouble:
        return render(request, "jobs/plan_import.html", context | {"trouble": str(trouble)}, status=422)
    draft, _ = plans.draft_of(house)
    if plan_imports.is_begun(draft) and "confirmed" not in request.POST:
        page = page_of(house, document)
        context |= {
            "look": plan_look.look(plans.complete(house, document)),
            "text": json.dumps(document),
            "wrong": [*page.told(page.look.wrong), *page.told(page.look.missing)],
            "differences": plan_differences.of_documents(draft, document),
            "overruled": plan_imports.overruled(house, document),
        }
        return render(request, "jobs/plan_import.html", context)
    plans.replace_draft(by=request.user, house=house, document=document, why="before a file was read in")
    messages.success(request, "The file is read in.")
    for sentence in plan_imports.overruled(house, document):
        messages.warning(request, sentence)
    return redirect(reverse("jobs:plan_edit", args=[pk]))


def _uploaded(request: PersonRequest) -> dict[str, Any]:
    """The document in the uploaded file, or in the page that asks for confirmation."""
    file = request.FILES.get("file")
    if file is not None:
        if file.size is not None and file.size > plan_imports.LARGEST:
            raise plan_imports.NotAPlan(plan_imports.too_large(file.size))
        return plan_imports.read_file(file.read())
    if text := request.POST.get("document"):
        return plan_imports.read_text(text)
    raise plan_imports.NotAPlan("No file is chosen; choose a plan file that was exported here, ending in .json.")
