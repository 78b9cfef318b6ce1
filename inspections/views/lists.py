"""The three first screens, each by role: the board, today, asked of me."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_safe

from inspections.page_queries import asked as asked_page
from inspections.page_queries import board as board_page
from inspections.page_queries import today as today_page
from inspections.views.common import decided, show
from jobs.access import PersonRequest
from jobs.models import FirmMember, HouseMember, Role

_SIGNERS = {Role.INSPECTOR, Role.ENGINEER, Role.SURVEYOR}


@require_safe
def home(request: PersonRequest) -> HttpResponse:
    """The first screen of whoever asks: a builder's board, a field lead's checks, an inspector's list."""
    if FirmMember.objects.filter(person=request.user).exists():
        return redirect("inspections:board")
    roles = set(HouseMember.objects.filter(person=request.user, ended_at=None).values_list("role", flat=True))
    if Role.FIELD_LEAD in roles:
        return redirect("inspections:today")
    return redirect("inspections:asked" if roles & _SIGNERS else "inspections:board")


@require_safe
def board(request: PersonRequest) -> HttpResponse:
    """All the person's houses, each as its own section through the ground."""
    page, rows = board_page.board(request.user, request.GET.get("page"))
    is_builder = FirmMember.objects.filter(person=request.user).exists()
    return render(request, "inspections/board.html", {"page": page, "rows": rows, "is_builder": is_builder})


@require_safe
def today(request: PersonRequest) -> HttpResponse:
    """What is checked now on one house, and whether its next work may go on."""
    houses, found = today_page.today(request.user, request.GET.get("house", ""))
    if found is None:
        return render(request, "inspections/today.html", {"houses": houses})
    context = {"houses": houses, "today": found, **decided(found.mine)}
    return show(request, found.mine.house, "inspections/today.html", context)


@require_safe
def asked(request: PersonRequest) -> HttpResponse:
    """What waits for the person's word, and what they said before."""
    return render(request, "inspections/asked.html", {"asked": asked_page.asked(request.user, request.GET.get("page"))})
