"""Who works on a house: who is there, who is invited, whose role ends."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from jobs import access, actions, queries
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.forms import InvitationForm, RecordForm, whole
from jobs.models import House, HouseMember, Invitation, Offer, Role


@require_http_methods(["GET", "POST"])
def people(request: PersonRequest, pk: int) -> HttpResponse:
    """Everybody on a house, for everybody on it; the builder invites, withdraws and ends roles."""
    house = access.get_house(request.user, pk)
    builds = Role.BUILDER in access.roles_on(request.user, house)
    inviting = request.POST.get("do") == "invite"
    form = InvitationForm(request.POST if inviting else None)
    if request.method == "POST":
        access.require_role(request.user, house, Role.BUILDER)
        if not inviting:
            return _end_or_withdraw(request, house)
        if form.is_valid() and _invite(request, house, form):
            return redirect("jobs:people", pk)
    elif builds and ("end" in request.GET or "withdraw" in request.GET):
        return _ask_once_more(request, house)
    everybody = queries.people_on(house)
    links = [(i, request.build_absolute_uri(_link(i))) for i in everybody.invitations] if builds else []
    context = {"house": house, "people": everybody, "links": links, "builds": builds, "form": form}
    context["life"] = Offer.LIFE.days
    return render(request, "jobs/people.html", context, status=422 if form.errors else 200)


def _invite(request: PersonRequest, house: House, form: InvitationForm) -> bool:
    try:
        invitation = actions.invite(
            by=request.user,
            house=house,
            email=form.cleaned_data["email"],
            name=form.cleaned_data["name"],
            role=form.cleaned_data["role"],
            link_to=lambda made: request.build_absolute_uri(_link(made)),
            client_id=form.client_id_sent,
        )
    except Refused as refused:
        form.add_error(None, str(refused))
        return False
    messages.success(
        request, f"{invitation.name or invitation.email} is invited; the link is below and goes out by mail."
    )
    return True


def _link(invitation: Invitation) -> str:
    return reverse("jobs:invitation", args=[invitation.token])


def _ask_once_more(request: PersonRequest, house: House) -> HttpResponse:
    back_url = reverse("jobs:people", args=[house.pk])
    if "end" in request.GET:
        member = _member(house, request.GET["end"])
        context = {
            "heading": f"End {member.person}'s role as {member.get_role_display()}?",
            "sentences": [
                f"{member.person} will no longer see {house}. What was recorded and signed stays, with the name on it."
            ],
            "action": "End the role",
            "hidden": [("do", "end"), ("member", member.pk)],
        }
    else:
        invitation = _invitation(house, request.GET["withdraw"])
        context = {
            "heading": f"Withdraw the invitation of {invitation.name or invitation.email}?",
            "sentences": ["The link already sent will no longer open anything."],
            "action": "Withdraw it",
            "hidden": [("do", "withdraw"), ("invitation", invitation.pk)],
        }
    return render(request, "confirm.html", {**context, "house": house, "back_url": back_url, "danger": True})


def _end_or_withdraw(request: PersonRequest, house: House) -> HttpResponse:
    sent = RecordForm(request.POST)
    client_id = sent.client_id_sent if sent.is_valid() else None
    try:
        if request.POST.get("do") == "end":
            found_member = _member(house, request.POST.get("member", ""))
            member = actions.end_role(by=request.user, member=found_member, client_id=client_id)
            messages.success(request, f"{member.person} is no longer {member.get_role_display()} on {house}.")
        elif request.POST.get("do") == "withdraw":
            found = _invitation(house, request.POST.get("invitation", ""))
            actions.withdraw_invitation(by=request.user, invitation=found, client_id=client_id)
            messages.success(request, f"The invitation of {found.email} is withdrawn.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("jobs:people", house.pk)


def _member(house: House, pk: str) -> HouseMember:
    return get_object_or_404(HouseMember.objects.select_related("person"), house=house, pk=whole(pk))


def _invitation(house: House, pk: str) -> Invitation:
    return get_object_or_404(Invitation, house=house, pk=whole(pk))
