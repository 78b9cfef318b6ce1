"""A firm's form systems: the list, a new one, one edited or retired."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from jobs import access, actions, form_data, queries
from jobs import form_system_forms as fsf
from jobs.access import PersonRequest
from jobs.exceptions import Refused, StalePage
from jobs.forms import posted
from jobs.models import FormSystemRecord
from takeoff.forms import FormSystem


@require_safe
def form_systems(request: PersonRequest) -> HttpResponse:
    """What the firm's forms measure, in use and retired."""
    firm = access.get_firm(request.user)
    rows = queries.form_systems_of(firm)
    context = {
        "firm": firm,
        "heights": queries.mixed_heights(firm, rows),
        "rows": [row for row in rows if row.record.retired_at is None],
        "retired": [row for row in rows if row.record.retired_at is not None],
    }
    return render(request, "jobs/form_systems.html", context)


@require_http_methods(["GET", "POST"])
def form_system_new(request: PersonRequest) -> HttpResponse:
    """A form system typed in from the supplier's sheet."""
    firm = access.get_firm(request.user)
    form = fsf.FormSystemForm(posted(request), initial={"version": 1})
    corners = fsf.CornerFormSet(posted(request), prefix="corners")
    flat = fsf.FlatCornerFormSet(posted(request), prefix="corners_45")
    system = fsf.read(form, corners, flat) if request.method == "POST" else None
    if system is not None:
        try:
            actions.add_form_system(by=request.user, firm=firm, system=system, client_id=form.client_id_sent)
        except Refused as refused:
            form.add_error("name", str(refused))
        else:
            messages.success(request, f"“{system.name}” is added.")
            return redirect("jobs:form_systems")
    return _page(request, form, (corners, flat), None)


@require_http_methods(["GET", "POST"])
def form_system_edit(request: PersonRequest, key: str) -> HttpResponse:
    """One form system: its dimensions, and whether it is offered for new plans."""
    record = get_object_or_404(FormSystemRecord, firm=access.get_firm(request.user), key=key)
    if request.method == "POST" and request.POST.get("do") in ("retire", "restore"):
        return _retire_or_restore(request, record)
    stored = form_data.from_data(record.data)
    form = fsf.FormSystemForm(posted(request), initial={"version": record.version, **fsf.initial_of(stored)})
    corners = fsf.CornerFormSet(posted(request), initial=fsf.corners_of(stored.corners), prefix="corners")
    flat = fsf.FlatCornerFormSet(posted(request), initial=fsf.corners_of(stored.corners_45), prefix="corners_45")
    system = fsf.read(form, corners, flat, key) if request.method == "POST" else None
    if system is not None and _saved(request, record, form, system):
        messages.success(request, "Saved. Plans already locked keep the dimensions they were locked with.")
        return redirect("jobs:form_systems")
    return _page(request, form, (corners, flat), record)


def _saved(request: PersonRequest, record: FormSystemRecord, form: fsf.FormSystemForm, system: FormSystem) -> bool:
    try:
        actions.edit_form_system(
            by=request.user, record=record, version=form.version_seen, system=system, client_id=form.client_id_sent
        )
    except StalePage as stale:
        record.refresh_from_db()
        form.told_stale(stale, form_data.from_data(record.data), system, form_data.in_words)
        return False
    except Refused as refused:
        form.add_error(None, str(refused))
        return False
    return True


def _retire_or_restore(request: PersonRequest, record: FormSystemRecord) -> HttpResponse:
    try:
        if request.POST["do"] == "retire":
            actions.retire_form_system(by=request.user, record=record)
            messages.success(request, f"“{record}” is no longer offered for new plans.")
        else:
            actions.restore_form_system(by=request.user, record=record)
            messages.success(request, f"“{record}” is offered for new plans again.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("jobs:form_systems")


def _page(
    request: PersonRequest, form: fsf.FormSystemForm, rows: tuple[Any, Any], record: FormSystemRecord | None
) -> HttpResponse:
    stale = hasattr(form, "stale")
    corners, flat = rows
    wrong = bool(form.errors) or any(part.is_bound and not part.is_valid() for part in rows)
    row = queries.FormSystemRow(record, form_data.from_data(record.data)) if record else None
    context = {
        "form": form,
        "corners": corners,
        "flat_corners": flat,
        "rows_wrong": corners.total_error_count() + flat.total_error_count() if corners.is_bound else 0,
        "record": record,
        "row": row,
    }
    return render(request, "jobs/form_system.html", context, status=409 if stale else 422 if wrong else 200)
