"""One point of a stage: present it, release or reject it, put it right."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_POST, require_safe

from jobs import access
from jobs.access import PersonRequest


@require_safe
def point(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """What is looked at, what was shown, what may be done."""
    return render(request, "inspections/point.html", {"house": access.get_house(request.user, pk)})


@require_POST
def present(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """Say it is ready to be looked at."""
    return point(request, pk, stage_pk, key)


@require_POST
def sign(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """Release or reject."""
    return point(request, pk, stage_pk, key)


@require_POST
def close_correction(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """Say what was put right."""
    return point(request, pk, stage_pk, key)
