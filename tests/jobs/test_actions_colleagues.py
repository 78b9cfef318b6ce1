"""Who builds for a firm: invitations, who is refused, leaving."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from threading import Barrier
from uuid import uuid4

import pytest
from django.core import mail
from django.db import IntegrityError, connection, transaction
from django.http import Http404
from django.utils import timezone

from jobs import access, actions
from jobs.exceptions import (
    AddressTaken,
    AlreadyInAFirm,
    InvitationRefused,
    InvitationSpent,
    LastOfTheFirm,
    Refused,
)
from jobs.models import Event, FirmInvitation, FirmMember, HouseMember, Offer, Person, Role
from tests.cast import make_cast
from tests.factories import (
    PASSWORD,
    FirmInvitationFactory,
    HouseFactory,
    HouseMemberFactory,
    InvitationFactory,
    PersonFactory,
)


@pytest.fixture
def colleague(cast) -> Person:
    """A second builder of the firm."""
    person = PersonFactory(name="Connie Colleague", email="connie@example.org")
    FirmMember.objects.create(firm=cast.firm, person=person)
    return person


def membership(person) -> FirmMember:
    """The latest membership of a person."""
    return FirmMember.objects.filter(person=person).latest("pk")


class TestInviting:
    def test_makes_a_secret_link_and_mails_it(self, cast, django_capture_on_commit_callbacks):
        with django_capture_on_commit_callbacks(execute=True):
            made = actions.invite_colleague(
                by=cast.builder,
                firm=cast.firm,
                email=" Connie@Example.org ",
                name="Connie",
                link_to=lambda i: f"https://server.example/{i.token}",
            )
        assert made.email == "connie@example.org"
        assert len(made.token) >= 40
        (letter,) = mail.outbox
        assert letter.to == ["connie@example.org"]
        assert f"https://server.example/{made.token}" in letter.body
        assert "Bodil Builder invites you to build with Northfoot Builders" in letter.body
        until = timezone.localtime(made.invited_at) + timedelta(days=30)
        assert f"until {until:%b} {until.day}, {until.year}" in letter.body
        event = Event.objects.get(verb="invite_colleague")
        assert (event.firm, event.by, event.summary) == (cast.firm, cast.builder, "Invited Connie into the firm")

    def test_sent_twice_counts_once(self, cast):
        again = {"by": cast.builder, "firm": cast.firm, "email": "a@example.org", "client_id": uuid4()}
        assert actions.invite_colleague(**again) == actions.invite_colleague(**again)
        assert FirmInvitation.objects.count() == 1

    def test_the_same_address_is_not_invited_twice(self, cast):
        actions.invite_colleague(by=cast.builder, firm=cast.firm, email="a@example.org")
        with pytest.raises(InvitationRefused, match="already invited; copy the link below"):
            actions.invite_colleague(by=cast.builder, firm=cast.firm, email="A@example.org")

    def test_a_new_one_takes_the_place_of_an_expired_one(self, cast):
        FirmInvitationFactory(firm=cast.firm, email="a@example.org", invited_at=timezone.now() - Offer.LIFE)
        new = actions.invite_colleague(by=cast.builder, firm=cast.firm, email="a@example.org")
        assert list(FirmInvitation.objects.unanswered()) == [new]

    def test_not_who_is_there_already(self, cast, colleague):
        with pytest.raises(AlreadyInAFirm, match="Connie Colleague already builds for Northfoot Builders"):
            actions.invite_colleague(by=cast.builder, firm=cast.firm, email=colleague.email)

    def test_not_who_builds_elsewhere_and_the_other_firm_is_not_named(self, cast):
        with pytest.raises(AlreadyInAFirm, match="already builds for another firm") as refused:
            actions.invite_colleague(by=cast.builder, firm=cast.firm, email=cast.stranger.email)
        assert "Southfoot" not in str(refused.value)

    def test_not_who_inspects_one_of_its_houses(self, cast):
        HouseMemberFactory(house=HouseFactory(firm=cast.firm, name="Lot 3"), person=cast.inspector, role=Role.INSPECTOR)
        with pytest.raises(InvitationRefused) as refused:
            actions.invite_colleague(by=cast.builder, firm=cast.firm, email=cast.inspector.email)
        assert str(refused.value) == (
            "Inspector Person is inspector on Lot 12 and Lot 3, and the builder's own firm cannot hold the "
            "inspector's role on its house. End that role first, or ask somebody else into Northfoot Builders."
        )

    @pytest.mark.parametrize("part", ["field_lead", "inspector", "stranger"])
    def test_only_the_firms_own_people_deal_with_it(self, cast, part):
        person, invitation = cast.person(part), FirmInvitationFactory(firm=cast.firm)
        with pytest.raises(Http404):
            actions.invite_colleague(by=person, firm=cast.firm, email="b@example.org")
        with pytest.raises(Http404):
            actions.withdraw_colleague(by=person, invitation=invitation)
        with pytest.raises(Http404):
            actions.end_membership(by=person, member=membership(cast.builder))

    def test_withdrawn_opens_nothing(self, cast):
        invitation = FirmInvitationFactory(firm=cast.firm)
        actions.withdraw_colleague(by=cast.builder, invitation=invitation)
        with pytest.raises(InvitationSpent, match="withdrawn"):
            actions.join_firm(by=PersonFactory(email=invitation.email), invitation=invitation)
        with pytest.raises(InvitationSpent):
            actions.withdraw_colleague(by=cast.builder, invitation=invitation)


class TestJoining:
    def test_gives_the_builders_role_on_every_house_once(self, cast):
        person, second = PersonFactory(), HouseFactory(firm=cast.firm)
        invitation = FirmInvitationFactory(firm=cast.firm, email=person.email)
        actions.join_firm(by=person, invitation=invitation)
        assert set(access.houses_of(person)) == {cast.house, second}
        assert access.roles_on(person, cast.house) == {Role.BUILDER}
        assert Event.objects.get(verb="join_firm").by == person
        with pytest.raises(InvitationSpent, match="works once"):
            actions.join_firm(by=PersonFactory(), invitation=invitation, other_address_confirmed=True)

    def test_sent_twice_is_answered_with_the_same_membership(self, cast):
        person = PersonFactory()
        invitation, client_id = FirmInvitationFactory(firm=cast.firm, email=person.email), uuid4()
        made = {actions.join_firm(by=person, invitation=invitation, client_id=client_id).pk for _ in range(2)}
        assert made == {membership(person).pk}

    def test_with_a_new_login(self, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, email="new@example.org")
        actions.join_firm_as_new_person(invitation=invitation, name="Nils New", password=PASSWORD, phone="555-0199")
        person = Person.objects.get(email="new@example.org")
        assert person.check_password(PASSWORD) and person.phone == "555-0199"
        assert access.firm_of(person) == cast.firm

    def test_a_known_address_logs_in(self, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.surveyor.email)
        with pytest.raises(AddressTaken):
            actions.join_firm_as_new_person(invitation=invitation, name="Somebody", password=PASSWORD)
        assert access.firm_of(cast.surveyor) is None

    def test_another_address_must_be_confirmed(self, cast):
        person, invitation = PersonFactory(email="home@example.org"), FirmInvitationFactory(firm=cast.firm)
        with pytest.raises(InvitationRefused, match=r"logged in as home@example.org"):
            actions.join_firm(by=person, invitation=invitation)
        actions.join_firm(by=person, invitation=invitation, other_address_confirmed=True)
        assert f"invited at {invitation.email}" in Event.objects.get(verb="join_firm").summary

    def test_expired_makes_neither_member_nor_login(self, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, invited_at=timezone.now() - Offer.LIFE)
        with pytest.raises(InvitationSpent, match="has expired; a link works for 30 days"):
            actions.join_firm_as_new_person(invitation=invitation, name="Nils New", password=PASSWORD)
        assert not Person.objects.filter(email=invitation.email).exists()

    def test_an_inspector_of_its_house_is_refused_also_under_another_address(self, cast):
        """Asked at the office's address, opened by the inspector."""
        invitation = FirmInvitationFactory(firm=cast.firm, email="office@example.org")
        with pytest.raises(InvitationRefused, match="is inspector on Lot 12"):
            actions.join_firm(by=cast.inspector, invitation=invitation, other_address_confirmed=True)
        assert access.roles_on(cast.inspector, cast.house) == {Role.INSPECTOR}

    def test_who_once_inspected_may_join(self, cast):
        HouseMember.objects.filter(person=cast.inspector).update(ended_at=timezone.now())
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.inspector.email)
        actions.join_firm(by=cast.inspector, invitation=invitation)
        assert access.roles_on(cast.inspector, cast.house) == {Role.BUILDER}

    def test_an_inspector_of_somebody_elses_house_may_join(self, cast):
        person = HouseMemberFactory(house=cast.strange_house, role=Role.INSPECTOR).person
        actions.join_firm(by=person, invitation=FirmInvitationFactory(firm=cast.firm, email=person.email))
        assert access.firm_of(person) == cast.firm

    def test_who_has_joined_cannot_take_up_an_inspectors_role_offered_before(self, cast):
        person = PersonFactory()
        as_inspector = InvitationFactory(house=cast.house, email=person.email, role=Role.INSPECTOR)
        actions.join_firm(by=person, invitation=FirmInvitationFactory(firm=cast.firm, email=person.email))
        with pytest.raises(InvitationRefused, match="own firm cannot hold the inspector's role"):
            actions.accept_invitation(by=person, invitation=as_inspector)

    def test_a_field_lead_of_its_house_may_join_and_keeps_the_role(self, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.field_lead.email)
        actions.join_firm(by=cast.field_lead, invitation=invitation)
        assert access.roles_on(cast.field_lead, cast.house) == {Role.BUILDER, Role.FIELD_LEAD}

    def test_a_builder_of_another_firm_leaves_it_first(self, cast):
        partner = PersonFactory()
        FirmMember.objects.create(firm=cast.strange_firm, person=partner)
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.stranger.email)
        with pytest.raises(AlreadyInAFirm, match="builds for Southfoot Builders, and a person builds for one firm"):
            actions.join_firm(by=cast.stranger, invitation=invitation)
        actions.end_membership(by=cast.stranger, member=membership(cast.stranger))
        actions.join_firm(by=cast.stranger, invitation=invitation)
        assert list(access.houses_of(cast.stranger)) == [cast.house]

    def test_the_database_holds_one_firm_at_a_time(self, cast):
        with pytest.raises(IntegrityError), transaction.atomic():
            FirmMember.objects.create(firm=cast.strange_firm, person=cast.builder)


class TestLeaving:
    def test_ended_not_deleted(self, cast, colleague):
        member = membership(colleague)
        actions.end_membership(by=colleague, member=member)
        member.refresh_from_db()
        assert member.ended_at is not None
        assert access.firm_of(colleague) is None
        assert access.roles_on(colleague, cast.house) == frozenset()
        with pytest.raises(Http404):
            access.get_house(colleague, cast.house.pk)
        event = Event.objects.get(verb="end_membership")
        assert (event.by, event.summary) == (colleague, "Connie Colleague left Northfoot Builders")

    def test_a_role_of_ones_own_stays(self, cast, colleague):
        HouseMemberFactory(house=cast.house, person=colleague, role=Role.FIELD_LEAD)
        actions.end_membership(by=colleague, member=membership(colleague))
        assert access.roles_on(colleague, cast.house) == {Role.FIELD_LEAD}

    def test_a_colleagues_membership_is_ended_by_name(self, cast, colleague):
        actions.end_membership(by=cast.builder, member=membership(colleague))
        summary = Event.objects.get(verb="end_membership").summary
        assert summary == "Ended Connie Colleague's membership of Northfoot Builders"

    def test_the_last_one_cannot(self, cast, colleague):
        actions.end_membership(by=colleague, member=membership(colleague))
        with pytest.raises(LastOfTheFirm, match="Bodil Builder is the only one left in Northfoot Builders"):
            actions.end_membership(by=cast.builder, member=membership(cast.builder))
        assert access.firm_of(cast.builder) == cast.firm

    def test_sent_twice_counts_once(self, cast, colleague):
        client_id = uuid4()
        for _ in range(2):
            actions.end_membership(by=colleague, member=membership(colleague), client_id=client_id)
        assert Event.objects.filter(verb="end_membership").count() == 1

    def test_nobody_leaves_twice(self, cast, colleague):
        actions.end_membership(by=cast.builder, member=membership(colleague))
        with pytest.raises(Refused, match="has already left"):
            actions.end_membership(by=cast.builder, member=membership(colleague))

    def test_who_left_may_come_back_or_start_a_firm(self, cast, colleague):
        actions.end_membership(by=colleague, member=membership(colleague))
        invitation = actions.invite_colleague(by=cast.builder, firm=cast.firm, email=colleague.email)
        actions.join_firm(by=colleague, invitation=invitation)
        assert FirmMember.objects.filter(person=colleague).count() == 2
        actions.end_membership(by=colleague, member=membership(colleague))
        own = actions.add_firm(by=colleague, name="On my own")
        assert access.firm_of(colleague) == own


def at_once(*deeds: Callable[[], object]) -> list[bool]:
    """Which of the deeds, started at the same moment on connections of their own, were not refused."""
    start = Barrier(len(deeds))

    def run(deed: Callable[[], object]) -> bool:
        start.wait()
        try:
            deed()
            return True
        except Refused:
            return False
        finally:
            connection.close()

    with ThreadPoolExecutor(len(deeds)) as people:
        return [future.result() for future in [people.submit(run, deed) for deed in deeds]]


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
class TestAtTheSameMoment:
    """Real connections racing each other, on whichever database the run is on."""

    def test_two_leaving_leave_one_behind(self):
        cast, second = make_cast(), PersonFactory()
        FirmMember.objects.create(firm=cast.firm, person=second)
        both = [lambda p=p: actions.end_membership(by=p, member=membership(p)) for p in (cast.builder, second)]
        assert sorted(at_once(*both)) == [False, True]
        assert cast.firm.members.count() == 1

    def test_one_person_joins_one_of_two_firms(self):
        cast, person = make_cast(), PersonFactory()
        offers = [FirmInvitationFactory(firm=f, email=person.email) for f in (cast.firm, cast.strange_firm)]
        both = [lambda i=i: actions.join_firm(by=person, invitation=i) for i in offers]
        assert sorted(at_once(*both)) == [False, True]
        assert FirmMember.objects.filter(person=person).count() == 1

    def test_nobody_becomes_colleague_and_inspector(self):
        cast, person = make_cast(), PersonFactory()
        as_colleague = FirmInvitationFactory(firm=cast.firm, email=person.email)
        as_inspector = InvitationFactory(house=cast.house, email=person.email, role=Role.INSPECTOR)
        told = at_once(
            lambda: actions.join_firm(by=person, invitation=as_colleague),
            lambda: actions.accept_invitation(by=person, invitation=as_inspector),
        )
        assert sorted(told) == [False, True]
        assert len(access.roles_on(person, cast.house)) == 1
