"""Who may come onto a house: invitations, their single use, and what the builder's own firm may not be."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.core import mail
from django.http import Http404
from django.utils import timezone

from jobs import access, actions
from jobs.exceptions import AddressTaken, InvitationRefused, InvitationSpent, Refused
from jobs.models import Event, FirmMember, HouseMember, Invitation, Offer, Person, Role
from tests.factories import PASSWORD, HouseMemberFactory, InvitationFactory, PersonFactory


def test_invitation_makes_a_secret_link_and_mails_it(cast, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        invitation = actions.invite(
            by=cast.builder,
            house=cast.house,
            email="Ines@Example.org",
            name="Ines",
            role=Role.INSPECTOR,
            link_to=lambda i: f"https://server.example/{i.token}",
        )
    assert invitation.email == "ines@example.org"
    assert len(invitation.token) >= 40
    (letter,) = mail.outbox
    assert letter.to == ["ines@example.org"]
    assert f"https://server.example/{invitation.token}" in letter.body
    assert "Bodil Builder of Northfoot Builders invites you to Lot 12 as inspector" in letter.body
    assert Event.objects.get(verb="invite").summary == "Invited Ines as inspector"


def test_mail_that_fails_leaves_the_invitation_standing(cast, monkeypatch, django_capture_on_commit_callbacks):
    def broken(*_):
        raise ConnectionRefusedError

    monkeypatch.setattr("jobs.actions.offers.send_mail", broken)
    with django_capture_on_commit_callbacks(execute=True):
        invitation = actions.invite(
            by=cast.builder, house=cast.house, email="a@example.org", role=Role.SURVEYOR, link_to=lambda i: i.token
        )
    assert Invitation.objects.get(pk=invitation.pk).is_open


def test_invitation_sent_twice_counts_once(cast):
    client_id = uuid4()
    made = {
        actions.invite(
            by=cast.builder, house=cast.house, email="a@example.org", role=Role.ENGINEER, client_id=client_id
        ).pk
        for _ in range(2)
    }
    assert len(made) == 1
    assert Invitation.objects.count() == 1


def test_the_same_offer_is_not_open_twice(cast):
    actions.invite(by=cast.builder, house=cast.house, email="a@example.org", role=Role.ENGINEER)
    with pytest.raises(InvitationRefused, match="already invited as engineer of record"):
        actions.invite(by=cast.builder, house=cast.house, email="A@example.org", role=Role.ENGINEER)


def test_nobody_is_invited_to_what_he_already_is(cast):
    with pytest.raises(InvitationRefused, match="already is inspector"):
        actions.invite(by=cast.builder, house=cast.house, email=cast.inspector.email, role=Role.INSPECTOR)


@pytest.mark.parametrize("part", ["field_lead", "inspector", "engineer", "surveyor", "stranger"])
def test_only_the_builder_invites_withdraws_and_ends(cast, part):
    invitation = InvitationFactory(house=cast.house, invited_by=cast.builder)
    member = HouseMember.objects.get(house=cast.house, role=Role.FIELD_LEAD)
    person = cast.person(part)
    with pytest.raises(Http404):
        actions.invite(by=person, house=cast.house, email="b@example.org", role=Role.ENGINEER)
    with pytest.raises(Http404):
        actions.withdraw_invitation(by=person, invitation=invitation)
    with pytest.raises(Http404):
        actions.end_role(by=person, member=member)


def test_accepting_gives_the_role_once(cast):
    person = PersonFactory(email="ines@example.org")
    invitation = InvitationFactory(house=cast.house, email=person.email, role=Role.INSPECTOR)

    actions.accept_invitation(by=person, invitation=invitation)

    assert access.roles_on(person, cast.house) == {Role.INSPECTOR}
    with pytest.raises(InvitationSpent, match="works once"):
        actions.accept_invitation(by=PersonFactory(), invitation=invitation, other_address_confirmed=True)


def test_accepting_sent_twice_is_answered_with_the_same_role(cast):
    person = PersonFactory(email="ines@example.org")
    invitation = InvitationFactory(house=cast.house, email=person.email)
    client_id = uuid4()
    members = {actions.accept_invitation(by=person, invitation=invitation, client_id=client_id).pk for _ in range(2)}
    assert len(members) == 1


def test_another_address_must_be_confirmed(cast):
    person = PersonFactory(email="ines.private@example.org")
    invitation = InvitationFactory(house=cast.house, email="ines@county.example")

    with pytest.raises(InvitationRefused, match=r"sent to ines@county.example .* logged in as ines.private"):
        actions.accept_invitation(by=person, invitation=invitation)
    actions.accept_invitation(by=person, invitation=invitation, other_address_confirmed=True)

    assert "invited at ines@county.example" in Event.objects.get(verb="accept_invitation").summary


def test_withdrawn_invitation_opens_nothing(cast):
    invitation = InvitationFactory(house=cast.house, invited_by=cast.builder)
    actions.withdraw_invitation(by=cast.builder, invitation=invitation)
    with pytest.raises(InvitationSpent, match="withdrawn"):
        actions.accept_invitation(by=PersonFactory(email=invitation.email), invitation=invitation)
    with pytest.raises(InvitationSpent):
        actions.withdraw_invitation(by=cast.builder, invitation=invitation)


def test_taken_up_invitation_cannot_be_withdrawn(cast):
    person = PersonFactory()
    invitation = InvitationFactory(house=cast.house, email=person.email)
    actions.accept_invitation(by=person, invitation=invitation)
    with pytest.raises(InvitationSpent):
        actions.withdraw_invitation(by=cast.builder, invitation=invitation)


def test_new_person_joins_with_the_invited_address(cast):
    invitation = InvitationFactory(house=cast.house, email="new@example.org", role=Role.SURVEYOR)
    actions.join(invitation=invitation, name="Nils New", password=PASSWORD)

    person = Person.objects.get(email="new@example.org")
    assert person.check_password(PASSWORD)
    assert access.roles_on(person, cast.house) == {Role.SURVEYOR}


def test_joining_with_a_known_address_asks_to_log_in(cast):
    invitation = InvitationFactory(house=cast.house, email=cast.stranger.email)
    with pytest.raises(AddressTaken, match="log in with it"):
        actions.join(invitation=invitation, name="Somebody", password=PASSWORD)
    assert Invitation.objects.get(pk=invitation.pk).is_open


def test_refused_joining_leaves_no_login_behind(cast):
    invitation = InvitationFactory(house=cast.house, email="new@example.org")
    actions.withdraw_invitation(by=cast.builder, invitation=invitation)
    with pytest.raises(InvitationSpent):
        actions.join(invitation=invitation, name="Nils New", password=PASSWORD)
    assert not Person.objects.filter(email="new@example.org").exists()


class TestOwnFirmDoesNotInspect:
    """The builder's own firm cannot hold the inspector's role on its house."""

    def test_refused_when_invited(self, cast):
        partner = PersonFactory(name="Per Partner")
        FirmMember.objects.create(firm=cast.firm, person=partner)
        with pytest.raises(InvitationRefused) as refused:
            actions.invite(by=cast.builder, house=cast.house, email=partner.email, role=Role.INSPECTOR)
        assert str(refused.value) == (
            "Per Partner belongs to Northfoot Builders, which builds this house. "
            "The builder's own firm cannot hold the inspector's role on its house; invite somebody from outside."
        )

    def test_refused_when_taken_up_under_another_address(self, cast):
        invitation = InvitationFactory(house=cast.house, email="office@example.org", role=Role.INSPECTOR)
        with pytest.raises(InvitationRefused, match="cannot hold the inspector's role"):
            actions.accept_invitation(by=cast.builder, invitation=invitation, other_address_confirmed=True)
        assert Role.INSPECTOR not in access.roles_on(cast.builder, cast.house)

    def test_other_roles_are_open_to_it(self, cast):
        invitation = actions.invite(by=cast.builder, house=cast.house, email=cast.builder.email, role=Role.FIELD_LEAD)
        actions.accept_invitation(by=cast.builder, invitation=invitation)
        assert access.roles_on(cast.builder, cast.house) == {Role.BUILDER, Role.FIELD_LEAD}

    def test_it_may_inspect_another_firms_house(self, cast):
        invitation = InvitationFactory(house=cast.strange_house, email=cast.builder.email, role=Role.INSPECTOR)
        actions.accept_invitation(by=cast.builder, invitation=invitation)
        assert access.roles_on(cast.builder, cast.strange_house) == {Role.INSPECTOR}


@pytest.mark.parametrize(("part", "role"), [("field_lead", Role.INSPECTOR), ("inspector", Role.FIELD_LEAD)])
def test_field_lead_and_inspector_are_two_people(cast, part, role):
    with pytest.raises(InvitationRefused, match="cannot be field lead and inspector"):
        actions.invite(by=cast.builder, house=cast.house, email=cast.person(part).email, role=role)


def test_ended_role_shows_the_house_no_longer(cast):
    member = HouseMember.objects.get(house=cast.house, role=Role.FIELD_LEAD)
    actions.end_role(by=cast.builder, member=member)

    assert access.roles_on(cast.field_lead, cast.house) == frozenset()
    with pytest.raises(Http404):
        access.get_house(cast.field_lead, cast.house.pk)
    assert HouseMember.objects.get(pk=member.pk).ended_at is not None
    with pytest.raises(Refused, match="already ended"):
        actions.end_role(by=cast.builder, member=member)


def test_a_person_may_come_back_after_a_role_ended(cast):
    member = HouseMemberFactory(house=cast.house, role=Role.SURVEYOR)
    actions.end_role(by=cast.builder, member=member)
    invitation = actions.invite(by=cast.builder, house=cast.house, email=member.person.email, role=Role.SURVEYOR)
    actions.accept_invitation(by=member.person, invitation=invitation)
    assert access.roles_on(member.person, cast.house) == {Role.SURVEYOR}


class TestExpiry:
    """An invitation works for 30 days."""

    def test_the_mail_says_until_when(self, cast, django_capture_on_commit_callbacks):
        with django_capture_on_commit_callbacks(execute=True):
            invitation = actions.invite(
                by=cast.builder, house=cast.house, email="a@example.org", role=Role.SURVEYOR, link_to=lambda i: i.token
            )
        day = timezone.localtime(invitation.invited_at) + timedelta(days=30)
        assert f"until {day:%b} {day.day}, {day.year}" in mail.outbox[0].body

    @pytest.mark.parametrize(("age", "opens"), [(Offer.LIFE - timedelta(minutes=1), True), (Offer.LIFE, False)])
    def test_not_a_day_longer(self, cast, age, opens):
        person = PersonFactory()
        invitation = InvitationFactory(house=cast.house, email=person.email, invited_at=timezone.now() - age)
        assert invitation.is_open is opens
        assert Invitation.objects.open().exists() is opens
        if opens:
            actions.accept_invitation(by=person, invitation=invitation)
        else:
            with pytest.raises(InvitationSpent, match="has expired; a link works for 30 days"):
                actions.accept_invitation(by=person, invitation=invitation)
        assert bool(access.roles_on(person, cast.house)) is opens

    def test_no_login_is_made_with_it(self, cast):
        invitation = InvitationFactory(house=cast.house, invited_at=timezone.now() - Offer.LIFE)
        with pytest.raises(InvitationSpent):
            actions.join(invitation=invitation, name="Nils New", password=PASSWORD)
        assert not Person.objects.filter(email=invitation.email).exists()

    def test_a_new_one_takes_its_place(self, cast):
        old = InvitationFactory(house=cast.house, role=Role.ENGINEER, invited_at=timezone.now() - Offer.LIFE)
        new = actions.invite(by=cast.builder, house=cast.house, email=old.email, role=Role.ENGINEER)
        assert list(Invitation.objects.unanswered()) == [new]

    def test_it_can_be_taken_off_the_list(self, cast):
        old = InvitationFactory(house=cast.house, invited_at=timezone.now() - Offer.LIFE)
        actions.withdraw_invitation(by=cast.builder, invitation=old)
        assert not Invitation.objects.unanswered().exists()
