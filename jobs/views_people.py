"""Who works on a house: the people page, the invitation behind a secret link, and the start of a new firm."""

from __future__ import annotations

from typing import cast

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from jobs import access, actions, queries
from jobs.access import PersonRequest
from jobs.exceptions import InvitationSpent, Refused
from jobs.forms import AcceptForm, FirmForm, InvitationForm, JoinForm, StartForm, posted
from jobs.models import House, HouseMember, Invitation, Person, Role

#: What a role may do, told to whoever is offered it.
ROLE_IN_WORDS = {
    Role.FIELD_LEAD: "You see what must be checked today, record it, and present hold points.",
    Role.INSPECTOR: "You see what is presented to you with its evidence, and release or reject it.",
    Role.ENGINEER: "You see the plan and its numbers, and release what the engineer of record must decide.",
    Role.SURVEYOR: "You see the levels and stakes asked of you, and release them.",
}


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
    try:
        if request.POST.get("do") == "end":
            member = actions.end_role(by=request.user, member=_member(house, request.POST.get("member", "")))
            messages.success(request, f"{member.person} is no longer {member.get_role_display()} on {house}.")
        elif request.POST.get("do") == "withdraw":
            found = _invitation(house, request.POST.get("invitation", ""))
            actions.withdraw_invitation(by=request.user, invitation=found)
            messages.success(request, f"The invitation of {found.email} is withdrawn.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("jobs:people", house.pk)


def _member(house: House, pk: str) -> HouseMember:
    return get_object_or_404(HouseMember.objects.select_related("person"), house=house, pk=_whole(pk))


def _invitation(house: House, pk: str) -> Invitation:
    return get_object_or_404(Invitation, house=house, pk=_whole(pk))


def _whole(text: str) -> int:
    return int(text) if text.isdecimal() and len(text) < 18 else 0


@require_http_methods(["GET", "POST"])
@login_not_required
@never_cache
@sensitive_post_parameters("password")
def invitation(request: HttpRequest, token: str) -> HttpResponse:
    """A role offered through a secret link: taken up with one's login, or with a new one made here."""
    found = queries.invitation_of(token)
    if found is None:
        raise Http404("No such invitation.")
    context = {"invitation": found, "house": found.house, "role_in_words": ROLE_IN_WORDS[Role(found.role)]}
    if not found.is_open:
        return render(request, "jobs/invitation_spent.html", context, status=410)
    if request.user.is_authenticated:
        return _accept(cast(PersonRequest, request), found, context)
    if queries.has_login(found.email):
        return render(request, "jobs/invitation.html", {**context, "log_in": True})
    return _join(request, found, context)


def _accept(request: PersonRequest, found: Invitation, context: dict[str, object]) -> HttpResponse:
    form = AcceptForm(posted(request))
    other = request.user.email != found.email
    if request.method == "POST" and form.is_valid():
        try:
            actions.accept_invitation(
                by=request.user,
                invitation=found,
                other_address_confirmed=form.cleaned_data["confirmed"],
                client_id=form.client_id_sent,
            )
        except InvitationSpent:
            return redirect(request.path)
        except Refused as refused:
            form.add_error("confirmed" if other and not form.cleaned_data["confirmed"] else None, str(refused))
        else:
            return _welcome(request, found)
    context |= {"form": form, "other_address": other, "button": "Take up the role"}
    return render(request, "jobs/invitation.html", context, status=422 if form.errors else 200)


def _join(request: HttpRequest, found: Invitation, context: dict[str, object]) -> HttpResponse:
    form = JoinForm(posted(request), email=found.email, initial={"name": found.name})
    if request.method == "POST" and form.is_valid():
        typed = {name: form.cleaned_data[name] for name in ("name", "phone", "password")}
        try:
            member = actions.join(invitation=found, client_id=form.client_id_sent, **typed)
        except InvitationSpent:
            return redirect(request.path)
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            login(request, member.person)
            return _welcome(request, found)
    context |= {"form": form, "button": "Make my login and take up the role"}
    return render(request, "jobs/invitation.html", context, status=422 if form.errors else 200)


def _welcome(request: HttpRequest, found: Invitation) -> HttpResponse:
    messages.success(request, f"You are {found.get_role_display()} on {found.house}.")
    return redirect("inspections:house", found.house_id)


@require_http_methods(["GET", "POST"])
@login_not_required
@sensitive_post_parameters("password")
def firm_new(request: HttpRequest) -> HttpResponse:
    """A builder's firm starts here: its name, and the login of its first person where there is none yet."""
    known: Person | None = request.user if request.user.is_authenticated else None
    own = access.firm_of(known) if known else None
    if own is not None:
        messages.info(request, f"You build for {own}.")
        return redirect("jobs:house_new")
    form = FirmForm(posted(request)) if known else StartForm(posted(request))
    if request.method == "POST" and form.is_valid():
        try:
            by = known or _start(form)
            if known:
                actions.add_firm(by=known, name=form.cleaned_data["firm_name"], client_id=form.client_id_sent)
            else:
                login(request, by)
        except Refused as refused:
            form.add_error(None, str(refused))
        else:
            messages.success(request, f"{form.cleaned_data['firm_name']} is set up. Add its first house.")
            return redirect("jobs:house_new")
    return render(request, "jobs/firm_new.html", {"form": form}, status=422 if form.errors else 200)


def _start(form: FirmForm) -> Person:
    typed = {name: form.cleaned_data[name] for name in ("firm_name", "name", "email", "phone", "password")}
    firm = actions.start_firm(client_id=form.client_id_sent, **typed)
    return firm.members.get()
