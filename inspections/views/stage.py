"""One stage of a house, and the work recorded on it."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST, require_safe

from jobs import access
from jobs.access import PersonRequest


@require_safe
def stage(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """Purpose, gates, points, numbers, drawings, records."""
    return render(request, "inspections/stage.html", {"house": access.get_house(request.user, pk)})


@require_POST
def work(request: PersonRequest, pk: int, stage_pk: int, operation: str) -> HttpResponse:
    """Record that an operation took place."""
    return render(request, "inspections/stage.html", {"house": access.get_house(request.user, pk)})
