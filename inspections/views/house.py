"""One house: its page, its log, its sections."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_safe

from inspections.forms import SplitForm
from inspections.page_queries import house as house_page
from inspections.views.common import decided, mine, show, status_of
from jobs import access, plans
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.forms import posted
from jobs.models import Event, Role

LOG_PAGE = 40


@require_safe
def house(request: PersonRequest, pk: int) -> HttpResponse:
    """Its section through the ground, stages, next moves, people, ground, papers."""
    found = house_page.read(mine(request, pk))
    context = {"page": found, "builds": Role.BUILDER in found.mine.roles, **decided(found.mine)}
    return show(request, found.mine.house, "inspections/house.html", context)


@require_safe
def log(request: PersonRequest, pk: int) -> HttpResponse:
    """All that was recorded on the house, latest first."""
    found = access.get_house(request.user, pk)
    events = Event.objects.filter(house=found).select_related("by", "stage")
    page = Paginator(events, LOG_PAGE).get_page(request.GET.get("page"))
    return show(request, found, "inspections/log.html", {"page": page})


@require_http_methods(["GET", "POST"])
def sections(request: PersonRequest, pk: int) -> HttpResponse:
    """The sections of the plan in force; some legs of one can be split off, so that they move at their own pace."""
    each = mine(request, pk)
    walks = bool(each.roles & set(plans.WALKERS))
    facts = each.ledger.facts
    legs = [leg.name for leg in facts.legs] if facts else []
    form, status = SplitForm(posted(request), legs=legs), 200
    if request.method == "POST":
        access.require_role(request.user, each.house, *plans.WALKERS)
        if form.is_valid():
            try:
                revision = plans.split_section(
                    by=request.user,
                    house=each.house,
                    legs=tuple(form.cleaned_data["legs"]),
                    name=form.cleaned_data["name"],
                    **form.sent(),
                )
            except Refused as refused:
                form.add_error(None, str(refused))
                status = status_of(refused)
            else:
                messages.success(request, f"Split. Revision {revision.letter} is in force; no release is void by it.")
                return redirect("inspections:house", pk)
        status = 422 if status == 200 else status
    rows = [(name, [x for x in facts.legs if x.section == key]) for key, name in facts.sections] if facts else []
    return show(request, each.house, "inspections/sections.html", {"form": form, "rows": rows, "walks": walks}, status)
