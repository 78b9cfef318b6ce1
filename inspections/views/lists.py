"""The three first screens, each by role: the board, today, asked of me."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.access import PersonRequest


@require_safe
def home(request: PersonRequest) -> HttpResponse:
    """The first screen of whoever asks."""
    return board(request)


@require_safe
def board(request: PersonRequest) -> HttpResponse:
    """The person's houses."""
    return render(request, "inspections/board.html")


@require_safe
def today(request: PersonRequest) -> HttpResponse:
    """What the field lead looks at now."""
    return render(request, "inspections/today.html")


@require_safe
def asked(request: PersonRequest) -> HttpResponse:
    """What waits for the person's word."""
    return render(request, "inspections/asked.html")
