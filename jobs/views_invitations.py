"""The page behind an invitation's secret link: a role on a house or a place in a firm, taken up with the login one has
or with a new one made here. Both kinds walk the same way; :class:`_Offered` holds in what they differ."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, cast

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from jobs import actions, queries
from jobs.access import PersonRequest
from jobs.exceptions import InvitationSpent, Refused
from jobs.forms import AcceptForm, JoinForm, posted
from jobs.models import Firm, FirmInvitation, FirmMember, HouseMember, Invitation, Offer, Role

#: What a role may do, told to whoever is offered it.
ROLE_IN_WORDS = {
    Role.FIELD_LEAD: "You see what must be checked today, record it, and present hold points.",
    Role.INSPECTOR: "You see what is presented to you with its evidence, and release or reject it.",
    Role.ENGINEER: "You see the plan and its numbers, and release what the engineer of record must decide.",
    Role.SURVEYOR: "You see the levels and stakes asked of you, and release them.",
}
BUILDER_IN_WORDS = (
    "You see all houses of the firm, with their plans, orders and stages, and work on them as a builder. "
    "Nobody of the firm can be inspector on its houses."
)


@dataclass(frozen=True, slots=True)
class _Offered:
    """An offer, how the page tells it, and what taking it up does."""

    invitation: Offer
    firm: Firm
    heading: str
    role: str
    address: str
    in_words: str
    accept: Callable[..., HouseMember | FirmMember]
    join: Callable[..., HouseMember | FirmMember]
    welcome: str
    goes_to: str


def _of_house(found: Invitation) -> _Offered:
    role, house = Role(found.role), found.house
    return _Offered(
        invitation=found,
        firm=house.firm,
        heading=f"You are invited to {house}",
        role=role.label,
        address=house.address,
        in_words=ROLE_IN_WORDS[role],
        accept=actions.accept_invitation,
        join=actions.join,
        welcome=f"You are {role.label} on {house}.",
        goes_to=reverse("inspections:house", args=[house.pk]),
    )


def _of_firm(found: FirmInvitation) -> _Offered:
    return _Offered(
        invitation=found,
        firm=found.firm,
        heading=f"You are invited to build with {found.firm}",
        role="builder, on all its houses",
        address="",
        in_words=BUILDER_IN_WORDS,
        accept=actions.join_firm,
        join=actions.join_firm_as_new_person,
        welcome=f"You build for {found.firm} now.",
        goes_to=reverse("jobs:firm"),
    )


@require_http_methods(["GET", "POST"])
@login_not_required
@never_cache
@sensitive_post_parameters("password")
def invitation(request: HttpRequest, token: str) -> HttpResponse:
    """A role on a house."""
    found = queries.invitation_of(token)
    if found is None:
        raise Http404("No such invitation.")
    return _page(request, _of_house(found))


@require_http_methods(["GET", "POST"])
@login_not_required
@never_cache
@sensitive_post_parameters("password")
def firm_invitation(request: HttpRequest, token: str) -> HttpResponse:
    """A place in a firm."""
    found = queries.firm_invitation_of(token)
    if found is None:
        raise Http404("No such invitation.")
    return _page(request, _of_firm(found))


def _page(request: HttpRequest, offered: _Offered) -> HttpResponse:
    if not offered.invitation.is_open:
        return render(request, "jobs/invitation_spent.html", {"offered": offered}, status=410)
    if request.user.is_authenticated:
        return _accept(cast(PersonRequest, request), offered)
    if queries.has_login(offered.invitation.email):
        return render(request, "jobs/invitation.html", {"offered": offered, "log_in": True})
    return _join(request, offered)


def _accept(request: PersonRequest, offered: _Offered) -> HttpResponse:
    form = AcceptForm(posted(request))
    other = request.user.email != offered.invitation.email
    if request.method == "POST" and form.is_valid():
        confirmed = form.cleaned_data["confirmed"]
        try:
            offered.accept(
                by=request.user,
                invitation=offered.invitation,
                other_address_confirmed=confirmed,
                client_id=form.client_id_sent,
            )
        except InvitationSpent:
            return redirect(request.path)
        except Refused as refused:
            form.add_error("confirmed" if other and not confirmed else None, str(refused))
        else:
            return _welcome(request, offered)
    return _show(request, offered, form, "Take it up", other_address=other)


def _join(request: HttpRequest, offered: _Offered) -> HttpResponse:
    form = JoinForm(posted(request), email=offered.invitation.email, initial={"name": offered.invitation.name})
    if request.method == "POST" and form.is_valid():
        typed = {name: form.cleaned_data[name] for name in ("name", "phone", "password")}
        try:
            member = offered.join(invitation=offered.invitation, client_id=form.client_id_sent, **typed)
        except InvitationSpent:
            return redirect(request.path)
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            login(request, member.person)
            return _welcome(request, offered)
    return _show(request, offered, form, "Make my login and take it up")


def _show(
    request: HttpRequest, offered: _Offered, form: AcceptForm | JoinForm, button: str, **more: Any
) -> HttpResponse:
    context = {"offered": offered, "form": form, "button": button, **more}
    return render(request, "jobs/invitation.html", context, status=422 if form.errors else 200)


def _welcome(request: HttpRequest, offered: _Offered) -> HttpResponse:
    messages.success(request, offered.welcome)
    return redirect(offered.goes_to)
