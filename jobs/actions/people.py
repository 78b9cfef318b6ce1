"""Who comes onto a house and who leaves it: invitations offered, withdrawn and taken up, roles ended."""

from __future__ import annotations

from collections.abc import Callable
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from jobs import access, events
from jobs.actions import offers
from jobs.actions.colleagues import lock_firm
from jobs.exceptions import InvitationRefused, Refused
from jobs.models import House, HouseMember, Invitation, Person, Role

#: Roles that may not be held together on one house: whoever builds does not inspect.
_BUILDS = (Role.FIELD_LEAD,)


@events.once("invite")
def invite(
    *,
    by: Person,
    house: House,
    email: str,
    role: Role,
    name: str = "",
    link_to: Callable[[Invitation], str] | None = None,
    client_id: UUID | None = None,
) -> Invitation:
    """Offer a role. The secret link is sent by mail (where ``link_to`` makes one) and shown to be copied."""
    row = events.lock(house)
    own_role = access.require_role(by, row, Role.BUILDER)
    email = email.strip().lower()
    _check_offer(row, email, role)
    earlier = Invitation.objects.filter(house=row, email=email, role=role).unanswered()
    earlier.update(withdrawn_at=timezone.now())  # expired ones: the new offer takes their place
    invitation = Invitation.objects.create(
        house=row, email=email, name=name.strip(), role=role, token=offers.new_token(), invited_by=by
    )
    events.record(
        client_id=client_id,
        verb="invite",
        by=by,
        role=own_role,
        house=row,
        summary=f"Invited {name.strip() or email} as {role.label}",
        subject=invitation,
    )
    subject = f"{row}: you are invited as {role.label}"
    offers.mail(invitation, link_to, subject=subject, template="jobs/invitation_mail.txt")
    return invitation


@events.once("withdraw_invitation")
def withdraw_invitation(*, by: Person, invitation: Invitation, client_id: UUID | None = None) -> Invitation:
    """Take an offer back; its link no longer opens anything."""
    row = events.lock(invitation.house)
    own_role = access.require_role(by, row, Role.BUILDER)
    invitation = offers.unanswered(invitation)
    invitation.withdrawn_at = timezone.now()
    invitation.save()
    events.record(
        client_id=client_id,
        verb="withdraw_invitation",
        by=by,
        role=own_role,
        house=row,
        summary=f"Withdrew the invitation of {invitation.email} as {invitation.get_role_display()}",
        subject=invitation,
    )
    return invitation


@events.once("accept_invitation")
def accept_invitation(
    *, by: Person, invitation: Invitation, other_address_confirmed: bool = False, client_id: UUID | None = None
) -> HouseMember:
    """Take up an offered role, once. With another address than the one invited, only when confirmed."""
    row = events.lock(invitation.house)
    lock_firm(row.firm)  # nobody joins the firm while it is asked whether they belong to it
    invitation = offers.still_open(invitation)
    role = Role(invitation.role)
    offers.check_address(invitation, by, other_address_confirmed)
    check_may_hold(row, by, role)
    member, _ = HouseMember.objects.get_or_create(house=row, person=by, role=role, ended_at=None)
    as_other = offers.take_up(invitation, by)
    events.record(
        client_id=client_id,
        verb="accept_invitation",
        by=by,
        role=role,
        house=row,
        summary=f"{by} took up the role of {role.label}{as_other}",
        subject=member,
    )
    return member


@transaction.atomic
def join(
    *, invitation: Invitation, name: str, password: str, phone: str = "", client_id: UUID | None = None
) -> HouseMember:
    """Make a login for the invited address and take the role up with it."""
    person = offers.new_person(email=invitation.email, name=name, password=password, phone=phone)
    return accept_invitation(by=person, invitation=invitation, client_id=client_id)


@events.once("end_role")
def end_role(*, by: Person, member: HouseMember, client_id: UUID | None = None) -> HouseMember:
    """End somebody's role on a house. What they recorded and signed stays."""
    row = events.lock(member.house)
    own_role = access.require_role(by, row, Role.BUILDER)
    member = HouseMember.objects.select_related("person").get(pk=member.pk)
    if member.ended_at is not None:
        raise Refused(f"{member.person}'s role as {member.get_role_display()} has already ended.")
    member.ended_at = timezone.now()
    member.save()
    events.record(
        client_id=client_id,
        verb="end_role",
        by=by,
        role=own_role,
        house=row,
        summary=f"Ended {member.person}'s role as {member.get_role_display()}",
        subject=member,
    )
    return member


def check_may_hold(house: House, person: Person, role: Role) -> None:
    """Raises :class:`InvitationRefused` where the person may not hold the role on this house.

    The builder's own firm cannot hold the inspector's role on its house, nor can whoever leads its crew there:
    nobody releases the work of his own side.
    """
    if role == Role.INSPECTOR and house.firm.members.filter(pk=person.pk).exists():
        raise InvitationRefused(
            f"{person} belongs to {house.firm}, which builds this house. "
            "The builder's own firm cannot hold the inspector's role on its house; invite somebody from outside."
        )
    held = set(HouseMember.objects.filter(house=house, person=person, ended_at=None).values_list("role", flat=True))
    clash = held & ({Role.INSPECTOR} if role in _BUILDS else set(_BUILDS) if role == Role.INSPECTOR else set())
    if clash:
        raise InvitationRefused(
            f"{person} is already {Role(clash.pop()).label} on this house, and one person cannot be "
            "field lead and inspector of the same house. End the other role first, or invite somebody else."
        )


def _check_offer(house: House, email: str, role: Role) -> None:
    person = Person.objects.filter(email=email).first()
    if person is not None:
        check_may_hold(house, person, role)
        if HouseMember.objects.filter(house=house, person=person, role=role, ended_at=None).exists():
            raise InvitationRefused(f"{person} already is {role.label} on this house.")
    if Invitation.objects.filter(house=house, email=email, role=role).open().exists():
        raise InvitationRefused(
            f"{email} is already invited as {role.label}; copy the link below, or withdraw it to make a new one."
        )
