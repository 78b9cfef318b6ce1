"""A builder's firm: its start, and the page of those who build for it."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth import login
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods

from jobs import access, actions, queries
from jobs.access import PersonRequest
from jobs.exceptions import Refused
from jobs.forms import ColleagueForm, FirmForm, RecordForm, StartForm, posted, whole
from jobs.models import Firm, FirmInvitation, FirmMember, Offer, Person


@require_http_methods(["GET", "POST"])
def firm(request: PersonRequest) -> HttpResponse:
    """Who builds for the firm; each of them invites colleagues, withdraws invitations and ends memberships."""
    own = access.get_firm(request.user)
    inviting = request.POST.get("do") == "invite"
    form = ColleagueForm(request.POST if inviting else None)
    if request.method == "POST":
        if not inviting:
            return _end_or_withdraw(request, own)
        if form.is_valid() and _invite(request, own, form):
            return redirect("jobs:firm")
    elif "end" in request.GET or "withdraw" in request.GET:
        return _ask_once_more(request, own)
    people = queries.colleagues_of(own)
    links = [(i, request.build_absolute_uri(_link(i))) for i in people.invitations]
    context = {"firm": own, "people": people, "links": links, "form": form, "life": Offer.LIFE.days}
    return render(request, "jobs/firm.html", context, status=422 if form.errors else 200)


def _invite(request: PersonRequest, own: Firm, form: ColleagueForm) -> bool:
    try:
        invitation = actions.invite_colleague(
            by=request.user,
            firm=own,
            email=form.cleaned_data["email"],
            name=form.cleaned_data["name"],
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


def _link(invitation: FirmInvitation) -> str:
    return reverse("jobs:firm_invitation", args=[invitation.token])


def _ask_once_more(request: PersonRequest, own: Firm) -> HttpResponse:
    if "end" in request.GET:
        member = _member(own, request.GET["end"])
        context = _leaving(own) if member.person_id == request.user.pk else _ending(own, member.person)
        context["hidden"] = [("do", "end"), ("member", member.pk)]
    else:
        invitation = _invitation(own, request.GET["withdraw"])
        context = {
            "heading": f"Withdraw the invitation of {invitation.name or invitation.email}?",
            "sentences": ["The link already sent will no longer open anything."],
            "action": "Withdraw it",
            "hidden": [("do", "withdraw"), ("invitation", invitation.pk)],
        }
    return render(request, "confirm.html", {**context, "back_url": reverse("jobs:firm"), "danger": True})


def _leaving(own: Firm) -> dict[str, object]:
    return {
        "heading": f"Leave {own}?",
        "sentences": [
            f"You will no longer see the houses of {own}, unless you hold a role of your own on one of them. "
            "What you recorded and signed stays, with your name on it.",
            "To come back you need a new invitation.",
        ],
        "action": "Leave the firm",
        "keep": "Stay",
    }


def _ending(own: Firm, person: Person) -> dict[str, object]:
    return {
        "heading": f"End {person}'s membership of {own}?",
        "sentences": [
            f"{person} will no longer see the houses of {own}, unless by a role on one of them. "
            "What they recorded and signed stays, with their name on it."
        ],
        "action": "End the membership",
    }


def _end_or_withdraw(request: PersonRequest, own: Firm) -> HttpResponse:
    sent = RecordForm(request.POST)
    client_id = sent.client_id_sent if sent.is_valid() else None
    try:
        if request.POST.get("do") == "end":
            member = _member(own, request.POST.get("member", ""))
            actions.end_membership(by=request.user, member=member, client_id=client_id)
            if member.person_id == request.user.pk:
                messages.success(request, f"You have left {own}.")
                return redirect("/")
            messages.success(request, f"{member.person} no longer builds for {own}.")
        elif request.POST.get("do") == "withdraw":
            found = _invitation(own, request.POST.get("invitation", ""))
            actions.withdraw_colleague(by=request.user, invitation=found, client_id=client_id)
            messages.success(request, f"The invitation of {found.email} is withdrawn.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("jobs:firm")


def _member(own: Firm, pk: str) -> FirmMember:
    return get_object_or_404(FirmMember.objects.select_related("person", "firm"), firm=own, pk=whole(pk))


def _invitation(own: Firm, pk: str) -> FirmInvitation:
    return get_object_or_404(FirmInvitation.objects.select_related("firm"), firm=own, pk=whole(pk))


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
