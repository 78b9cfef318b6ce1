"""Where the job is not as planned: other blocks, a short delivery, a footing off its level, a revised plan."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_safe

from inspections.page_queries import differences as page_of
from inspections.views.common import mine, show
from jobs import plans
from jobs.access import PersonRequest
from jobs.models import PlanRevision


@require_safe
def differences(request: PersonRequest, pk: int, number: int) -> HttpResponse:
    """Four questions about one revision; each is asked by GET and answered below itself. Writes nothing."""
    each = mine(request, pk)
    revision = get_object_or_404(PlanRevision, house=each.house, number=number)
    page = page_of.read(each, revision, plans.latest(each.house) or revision, request.GET)
    return show(request, each.house, "inspections/differences.html", {"page": page}, 422 if page.is_refused else 200)
