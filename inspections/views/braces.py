"""Braces over all houses of the builder's firm."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from inspections.forms import BracesDownForm
from inspections.page_queries import braces as braces_page
from jobs import access, actions
from jobs.access import PersonRequest
from jobs.forms import BracesForm, posted


@require_http_methods(["GET", "HEAD", "POST"])
def braces(request: PersonRequest) -> HttpResponse:
    """Who needs how many and when, where they stand, when too few; how many are owned is typed here."""
    firm = access.get_firm(request.user)
    form = BracesForm(posted(request), initial={"owned": firm.braces_owned})
    if request.method == "POST" and form.is_valid():
        owned = form.cleaned_data["owned"]
        actions.count_braces(by=request.user, firm=firm, braces=owned, client_id=form.client_id_sent)
        messages.success(request, f"{firm} owns {owned} brace{'' if owned == 1 else 's'}.")
        return redirect(request.get_full_path())
    down = BracesDownForm(request.GET or None)
    after = down.cleaned_data["after"] if down.is_bound and down.is_valid() else None
    context = {"firm": firm, "page": braces_page.read(request.user, firm, after), "form": form, "down": down}
    return render(request, "inspections/braces.html", context, status=422 if form.errors else 200)
