"""One point of a stage: present it, release or reject it, put it right."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST, require_safe

from inspections import actions, asbuilt, permissions
from inspections.exceptions import EvidenceRefused
from inspections.forms import CorrectionForm, PresentForm, SignForm
from inspections.models import CorrectionClosed, Presentation, Record, SignOff
from inspections.page_queries import pictures, words
from inspections.page_queries import point as point_page
from inspections.page_queries.mine import Mine
from inspections.page_queries.point import PointPage, Subject
from inspections.process import CLOSES, EvidenceKind
from inspections.standing import WHOLE_HOUSE
from inspections.views.common import decided, sent_before, show, status_of, subject
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.models import Role
from takeoff.units import Length

#: Points at which the decision to pour is looked at beside what is shown.
READY_TO_POUR = ("frost_go", "pour_go")
#: Receipts by the word in the address.
_RECEIPTS: dict[str, type[Record]] = {"presented": Presentation, "signed": SignOff, "put-right": CorrectionClosed}


@require_safe
def point(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """What is looked at, the numbers, how it stands, what was shown and said, and what this person may do."""
    return _page(request, subject(request, pk, stage_pk, key), receipt=request.GET.get("receipt", ""))


@require_POST
def present(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """Say it is ready to be looked at, with evidence."""
    about = subject(request, pk, stage_pk, key)
    form = _present_form(about, None, request)
    role = permissions.role_for(request.user, about.house, about.point.presents)
    if role is None:
        return _not_yours(request, about, about.point.presents, "present")
    if not form.is_valid():
        if before := sent_before(request, Presentation, stage=about.stage, point=key):
            return _done(request, about, "presented", before)
        form.mourn_files()
        return _page(request, about, 422, present=form)
    try:
        made = actions.present(
            by=request.user,
            role=role,
            house=about.house,
            stage=about.stage,
            point=key,
            legs=form.chosen(),
            revision=form.cleaned_data["revision"],
            evidence=form.given(),
            note=form.cleaned_data["note"],
            deviation=form.cleaned_data.get("deviation", ""),
            **form.sent(),
        )
    except EvidenceRefused as refused:
        form.told(refused)
        form.mourn_files()
        return _page(request, about, 422, present=form)
    except Refused as refused:
        form.mourn_files()
        return _page(request, about, status_of(refused), present=form, problem=str(refused))
    return _done(request, about, "presented", made)


@require_POST
def sign(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """Release or reject what was presented, on all its legs or on some."""
    about = subject(request, pk, stage_pk, key)
    role = permissions.role_for(request.user, about.house, about.point.releases)
    if role is None:
        return _not_yours(request, about, about.point.releases, "release or reject")
    rows = Presentation.objects.filter(stage=about.stage, point=key)
    presentation = get_object_or_404(rows, pk=_whole(request.POST.get("presentation")))
    form = SignForm(request.POST, legs=presentation.legs, auto_id=f"sign-{presentation.pk}-%s")
    forms = {"sign": {presentation.pk: form}}
    if not form.is_valid():
        return _page(request, about, 422, **forms)
    released = form.cleaned_data["decision"] == "released"
    action = actions.release if released else actions.reject
    try:
        made = action(
            by=request.user,
            role=role,
            house=about.house,
            presentation=presentation,
            legs=form.cleaned_data.get("legs"),
            revision=form.cleaned_data["revision"],
            reason=form.cleaned_data["reason"],
            **form.sent(),
        )
    except Refused as refused:
        return _page(request, about, status_of(refused), problem=str(refused), **forms)
    return _done(request, about, "signed", made)


@require_POST
def close_correction(request: PersonRequest, pk: int, stage_pk: int, key: str) -> HttpResponse:
    """Say what was put right after a rejection."""
    about = subject(request, pk, stage_pk, key)
    role = permissions.role_for(request.user, about.house, CLOSES)
    if role is None:
        return _not_yours(request, about, CLOSES, "close a correction of")
    rows = SignOff.objects.filter(stage=about.stage, point=key)
    sign_off = get_object_or_404(rows, pk=_whole(request.POST.get("sign_off")))
    form = CorrectionForm(request.POST, request.FILES, legs=sign_off.legs, auto_id=f"fix-{sign_off.pk}-%s")
    forms = {"fix": {sign_off.pk: form}}
    if not form.is_valid():
        form.mourn_files()
        return _page(request, about, 422, **forms)
    try:
        made = actions.close_correction(
            by=request.user,
            role=role,
            house=about.house,
            sign_off=sign_off,
            legs=form.cleaned_data.get("legs"),
            done=form.cleaned_data["done"],
            evidence=form.given(),
            **form.sent(),
        )
    except EvidenceRefused as refused:
        form.told(refused)
        form.mourn_files()
        return _page(request, about, 422, **forms)
    except Refused as refused:
        form.mourn_files()
        return _page(request, about, status_of(refused), problem=str(refused), **forms)
    return _done(request, about, "put-right", made)


# -- shared ----------------------------------------------------------------------------------------------
def _not_yours(request: PersonRequest, about: Subject, allowed: tuple[Role, ...], verb: str) -> HttpResponse:
    """The page again, with a word on who may."""
    problem = f"Only {words.role_words(allowed)} may {verb} “{about.point.title}”."
    return _page(request, about, 403, problem=problem)


def _done(request: PersonRequest, about: Subject, kind: str, made: Record) -> HttpResponse:
    """The receipt: on the page again, or with htmx in place."""
    if request.htmx:  # type: ignore[attr-defined]
        fresh = subject(request, about.house.pk, about.stage.pk, about.point.key)
        return _page(request, fresh, receipt=f"{kind}-{made.pk}")
    return redirect(f"{words.point_url(about.house, about.row, about.point.key)}?receipt={kind}-{made.pk}")


def _page(request: PersonRequest, about: Subject, status: int = 200, **more: Any) -> HttpResponse:
    page = point_page.read(about)
    number = page.revision.number if page.revision else 0
    form = more.pop("present", None)
    may = page.to_present
    if form is None and may.is_open and may.role:
        form = _present_form(about, may.legs, None, number)
    if form is not None:
        form.must = _must(page)
    context = {
        "page": page,
        "present_form": form,
        "decisions": [(d, _sign_form(d, number, more.get("sign", {}))) for d in page.decisions],
        "fixes": [(f, _fix_form(f, more.get("fix", {}))) for f in page.fixes],
        "stray_forms": _stray(page, more),
        "problem": more.get("problem", ""),
        "receipt": _receipt(about, more.get("receipt", "")),
    }
    if about.point.key in READY_TO_POUR:
        mine = Mine(about.person.pk, about.house, about.roles, about.ledger)
        context |= decided(mine, about.row)
    template = "inspections/_point.html" if request.htmx else "inspections/point.html"  # type: ignore[attr-defined]
    return show(request, about.house, template, context, status)


def _present_form(
    about: Subject, legs: tuple[str, ...] | None, request: PersonRequest | None, number: int = 0
) -> PresentForm:
    """The evidence form, bound to what was sent. It offers the legs it can be presented on, and those that were sent:
    whether they still can is for the action to say."""
    if legs is None:
        sent = set(request.POST.getlist("legs")) if request else set()
        now = point_page.to_present(about).legs
        legs = tuple(name for name in about.names if name != WHOLE_HOUSE and (name in sent or name in now))
    return PresentForm(
        *((request.POST, request.FILES) if request else ()),
        point=about.point,
        legs=legs,
        planned=_planned(about),
        auto_id="present-%s",
        initial={"revision": number, "permit_number": about.house.permit_number},
    )


def _must(page: PointPage) -> dict[str, list[str]]:
    """What each reading is compared with, in words: '20" or more, legs A and B'."""
    out: dict[str, list[str]] = {}
    for figure in page.figures:
        out.setdefault(figure.key, []).append(f"{figure.number}, {figure.on}" if figure.on else figure.number)
    return out


def _planned(about: Subject) -> dict[str, Length]:
    """The plan's levels beside those shot."""
    if not any(e.kind is EvidenceKind.LEVELS for e in about.point.evidence) or about.point.key != asbuilt.POINT:
        return {}
    kept = pictures.plans([about.house]).get(about.house.pk)
    return {leg.name: leg.footing_top for leg in kept.plan.legs()} if kept else {}


def _sign_form(decision: point_page.Decision, number: int, bound: dict[int, SignForm]) -> SignForm | None:
    if decision.role is None:
        return None
    pk = decision.attempt.presentation.pk
    form = bound.pop(pk, None)
    if form is not None:
        return form
    mark = "again" if decision.released else "sign"
    return SignForm(legs=decision.legs, auto_id=f"{mark}-{pk}-%s", initial={"revision": number, "presentation": pk})


def _fix_form(fix: point_page.Fix, bound: dict[int, CorrectionForm]) -> CorrectionForm | None:
    if fix.role is None:
        return None
    pk = fix.sign_off.pk
    return bound.pop(pk, None) or CorrectionForm(legs=fix.legs, auto_id=f"fix-{pk}-%s", initial={"sign_off": pk})


def _stray(page: PointPage, more: dict[str, Any]) -> list[SignForm | CorrectionForm]:
    """Forms that came back and no longer have their place on the page: what was typed is shown all the same."""
    return [*more.get("sign", {}).values(), *more.get("fix", {}).values()]


def _receipt(about: Subject, wanted: str) -> dict[str, Any] | None:
    """The record just made, as kept: what, on which legs, who, as what, when."""
    kind, _, pk = wanted.rpartition("-")
    model = _RECEIPTS.get(kind)
    if model is None:
        return None
    rows = model._default_manager.filter(house=about.house, stage=about.stage, by=about.person)
    row = rows.select_related("by", "revision").filter(pk=_whole(pk)).first()
    if row is None:
        return None
    word = {"presented": "Presented", "put-right": "Put right"}.get(kind) or str(row.decision).capitalize()  # type: ignore[attr-defined]
    return {"word": word, "row": row, "on": words.where(row.legs), "kind": kind}


def _whole(text: str | None) -> int:
    return int(text) if text and text.isdecimal() and len(text) < 18 else 0
