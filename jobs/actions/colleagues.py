"""Who builds for a firm: colleagues invited, taken in, and leaving. A membership ends; it is never deleted."""

from __future__ import annotations

from collections.abc import Callable
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from jobs import access, events
from jobs.actions import offers
from jobs.exceptions import AlreadyInAFirm, InvitationRefused, LastOfTheFirm, Refused
from jobs.models import Firm, FirmInvitation, FirmMember, HouseMember, Person, Role


@events.once("invite_colleague")
def invite_colleague(
    *,
    by: Person,
    firm: Firm,
    email: str,
    name: str = "",
    link_to: Callable[[FirmInvitation], str] | None = None,
    client_id: UUID | None = None,
) -> FirmInvitation:
    """Ask somebody to build for the firm. The secret link is mailed (where ``link_to`` makes one) and shown."""
    row = _lock(by, firm)
    email = email.strip().lower()
    _check_offer(row, email)
    earlier = FirmInvitation.objects.filter(firm=row, email=email).unanswered()
    earlier.update(withdrawn_at=timezone.now())  # expired ones: the new offer takes their place
    invitation = FirmInvitation.objects.create(
        firm=row, email=email, name=name.strip(), token=offers.new_token(), invited_by=by
    )
    _told(client_id, "invite_colleague", by, row, f"Invited {name.strip() or email} into the firm", invitation)
    subject = f"{row}: you are invited to build with us"
    offers.mail(invitation, link_to, subject=subject, template="jobs/firm_invitation_mail.txt")
    return invitation


@events.once("withdraw_colleague")
def withdraw_colleague(*, by: Person, invitation: FirmInvitation, client_id: UUID | None = None) -> FirmInvitation:
    """Take an offer back; its link no longer opens anything."""
    row = _lock(by, invitation.firm)
    invitation = offers.unanswered(invitation)
    invitation.withdrawn_at = timezone.now()
    invitation.save()
    _told(client_id, "withdraw_colleague", by, row, f"Withdrew the invitation of {invitation.email}", invitation)
    return invitation


@events.once("join_firm")
def join_firm(
    *, by: Person, invitation: FirmInvitation, other_address_confirmed: bool = False, client_id: UUID | None = None
) -> FirmMember:
    """Take up a place in a firm, once. With another address than the one invited, only when confirmed."""
    row = lock_firm(invitation.firm)
    invitation = offers.still_open(invitation)
    offers.check_address(invitation, by, other_address_confirmed)
    Person.objects.select_for_update(no_key=True).get(pk=by.pk)  # nobody joins two firms at the same moment
    check_may_build(row, by)
    member = FirmMember.objects.create(firm=row, person=by)
    as_other = offers.take_up(invitation, by)
    _told(client_id, "join_firm", by, row, f"{by} joined {row}{as_other}", member)
    return member


@transaction.atomic
def join_firm_as_new_person(
    *, invitation: FirmInvitation, name: str, password: str, phone: str = "", client_id: UUID | None = None
) -> FirmMember:
    """Make a login for the invited address and take the place in the firm up with it."""
    person = offers.new_person(email=invitation.email, name=name, password=password, phone=phone)
    return join_firm(by=person, invitation=invitation, client_id=client_id)


@events.once("end_membership")
def end_membership(*, by: Person, member: FirmMember, client_id: UUID | None = None) -> FirmMember:
    """Leave the firm, or end a colleague's membership. What they recorded and signed stays.

    Any member may end any membership: somebody who no longer works there must not keep seeing the houses. Raises
    :class:`LastOfTheFirm` for the only one left: the firm's houses would have no builder.
    """
    row = _lock(by, member.firm)
    member = FirmMember.objects.select_related("person").get(pk=member.pk)
    if member.ended_at is not None:
        raise Refused(f"{member.person} has already left {row}.")
    if row.members.count() == 1:
        raise LastOfTheFirm(
            f"{member.person} is the only one left in {row}, and its houses would have no builder. "
            "Invite a colleague first; when they have joined, the membership can end."
        )
    member.ended_at = timezone.now()
    member.save()
    own = member.person_id == by.pk
    summary = f"{by} left {row}" if own else f"Ended {member.person}'s membership of {row}"
    _told(client_id, "end_membership", by, row, summary, member)
    return member


def check_may_build(firm: Firm, person: Person) -> None:
    """Raises where the person may not build for the firm: who builds elsewhere, who inspects one of its houses.

    The builder's own firm cannot hold the inspector's role on its house, so an inspector there cannot become part
    of the firm while holding the role.
    """
    own = access.firm_of(person)
    if own == firm:
        raise AlreadyInAFirm(f"{person} already builds for {firm}.")
    if own is not None:
        raise AlreadyInAFirm(
            f"{person} builds for {own}, and a person builds for one firm at a time. "
            f"Leave {own} first, on its page; nothing recorded there is lost."
        )
    check_inspects_none(firm, person)


def check_inspects_none(firm: Firm, person: Person) -> None:
    """Raises :class:`InvitationRefused` where the person inspects a house of the firm."""
    held = HouseMember.objects.filter(house__firm=firm, person=person, role=Role.INSPECTOR, ended_at=None)
    houses = list(held.order_by("house__name").values_list("house__name", flat=True))
    if houses:
        listed = houses[0] if len(houses) == 1 else f"{', '.join(houses[:-1])} and {houses[-1]}"
        raise InvitationRefused(
            f"{person} is inspector on {listed}, and the builder's own firm cannot hold the inspector's role on its "
            f"house. End that role first, or ask somebody else into {firm}."
        )


def lock_firm(firm: Firm) -> Firm:
    """The firm as it is now, with everybody else's writes on it waiting until this transaction ends."""
    return Firm.objects.select_for_update(no_key=True).get(pk=firm.pk)


def _check_offer(firm: Firm, email: str) -> None:
    person = Person.objects.filter(email=email).first()
    if person is not None:
        own = access.firm_of(person)
        if own is not None and own != firm:
            # The other firm's name is none of this firm's business.
            raise AlreadyInAFirm(
                f"{email} already builds for another firm, and a person builds for one firm at a time. "
                "They must leave it before you can ask them in."
            )
        check_may_build(firm, person)
    if FirmInvitation.objects.filter(firm=firm, email=email).open().exists():
        raise InvitationRefused(f"{email} is already invited; copy the link below, or withdraw it to make a new one.")


def _lock(by: Person, firm: Firm) -> Firm:
    row = lock_firm(firm)
    access.require_firm(by, row)
    return row


def _told(
    client_id: UUID | None, verb: str, by: Person, firm: Firm, summary: str, subject: FirmInvitation | FirmMember
) -> None:
    events.record(client_id=client_id, verb=verb, by=by, role=Role.BUILDER, firm=firm, summary=summary, subject=subject)
