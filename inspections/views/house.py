"""One house: its page, its log, its sections."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_safe

from jobs import access
from jobs.access import PersonRequest


@require_safe
def house(request: PersonRequest, pk: int) -> HttpResponse:
    """Everything of one house."""
    return render(request, "inspections/house.html", {"house": access.get_house(request.user, pk)})


@require_safe
def log(request: PersonRequest, pk: int) -> HttpResponse:
    """All that was recorded."""
    return render(request, "inspections/log.html", {"house": access.get_house(request.user, pk)})


@require_http_methods(["GET", "POST"])
def sections(request: PersonRequest, pk: int) -> HttpResponse:
    """Split a section by legs."""
    return render(request, "inspections/sections.html", {"house": access.get_house(request.user, pk)})
