"""The people page, and the page behind an invitation's link."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import access
from jobs.models import HouseMember, Invitation, Offer, Person, Role
from tests.factories import PASSWORD, InvitationFactory


@pytest.fixture
def url(house):
    return reverse("jobs:people", args=[house.pk])


def link(invitation):
    return reverse("jobs:invitation", args=[invitation.token])


class TestPeople:
    """Who is on the house."""

    @pytest.mark.parametrize("part", ["builder", "field_lead", "inspector", "engineer", "surveyor"])
    def test_everybody_on_the_house_sees_who_is_there(self, clients, url, part):
        page = clients[part].get(url).content.decode()
        for name in ("Bodil Builder", "Field lead Person", "Inspector Person"):
            assert name in page

    def test_only_the_builder_sees_links_and_the_form(self, clients, cast, url):
        invitation = InvitationFactory(house=cast.house, invited_by=cast.builder)
        assert f"http://testserver{link(invitation)}" in clients["builder"].get(url).content.decode()
        page = clients["field_lead"].get(url).content.decode()
        assert invitation.token not in page
        assert "Invite somebody" not in page

    def test_invited(self, clients, cast, url):
        form = {"do": "invite", "role": "inspector", "email": "ines@example.org", "name": "Ines"}
        answer = clients["builder"].post(url, form, follow=True)
        invitation = Invitation.objects.get(email="ines@example.org")
        assert f"http://testserver{link(invitation)}" in answer.content.decode()

    def test_own_firm_as_inspector_is_refused_and_what_was_typed_stays(self, clients, cast, url):
        form = {"do": "invite", "role": "inspector", "email": cast.builder.email, "name": "Me"}
        answer = clients["builder"].post(url, form)
        page = answer.content.decode()
        assert answer.status_code == 422
        assert "own firm cannot hold the inspector&#x27;s role on its house" in page
        assert f'value="{cast.builder.email}"' in page
        assert not Invitation.objects.exists()

    def test_builder_is_no_role_to_offer(self, clients, url):
        form = {"do": "invite", "role": "builder", "email": "a@example.org"}
        assert clients["builder"].post(url, form).status_code == 422
        assert not Invitation.objects.exists()

    def test_ending_a_role_asks_once_more(self, clients, cast, url):
        member = HouseMember.objects.get(house=cast.house, role=Role.FIELD_LEAD)
        question = clients["builder"].get(url, {"end": member.pk}).content.decode()
        assert "End Field lead Person" in question
        assert access.roles_on(cast.field_lead, cast.house) == {Role.FIELD_LEAD}

        clients["builder"].post(url, {"do": "end", "member": member.pk})
        assert access.roles_on(cast.field_lead, cast.house) == frozenset()
        assert "No longer on the house" in clients["builder"].get(url).content.decode()

    def test_withdrawing_asks_once_more(self, clients, cast, url):
        invitation = InvitationFactory(house=cast.house, invited_by=cast.builder)
        assert "Withdraw the invitation" in clients["builder"].get(url, {"withdraw": invitation.pk}).content.decode()
        clients["builder"].post(url, {"do": "withdraw", "invitation": invitation.pk})
        assert not Invitation.objects.get(pk=invitation.pk).is_open
        again = clients["builder"].post(url, {"do": "withdraw", "invitation": invitation.pk}, follow=True)
        assert "This invitation was withdrawn" in again.content.decode()

    @pytest.mark.parametrize("part", ["field_lead", "inspector", "engineer", "surveyor", "stranger"])
    @pytest.mark.parametrize("do", ["invite", "end", "withdraw"])
    def test_nobody_else_writes(self, clients, url, part, do):
        assert clients[part].post(url, {"do": do, "role": "surveyor", "email": "a@example.org"}).status_code == 404

    def test_roles_of_another_house_are_not_there(self, clients, cast, url):
        theirs = InvitationFactory(house=cast.strange_house)
        assert clients["builder"].post(url, {"do": "withdraw", "invitation": theirs.pk}).status_code == 404
        assert clients["builder"].get(url, {"withdraw": theirs.pk}).status_code == 404
        assert clients["builder"].get(url, {"end": "x"}).status_code == 404


class TestInvitation:
    """The page behind the secret link."""

    JOIN = {"name": "Ines", "password": PASSWORD}

    def test_new_login_takes_the_role_up(self, cast):
        client, invitation = Client(), InvitationFactory(house=cast.house, email="ines@example.org")
        assert "You are invited to Lot 12" in client.get(link(invitation)).content.decode()
        answer = client.post(link(invitation), self.JOIN)
        assert answer.url == f"/houses/{cast.house.pk}/"
        ines = Person.objects.get(email="ines@example.org")
        assert access.roles_on(ines, cast.house) == {Role.INSPECTOR}
        assert client.session["_auth_user_id"] == str(ines.pk)

    @pytest.mark.parametrize(
        ("password", "sentence"),
        [("short", "too short"), ("4815162342108", "entirely numeric"), ("ines@example.org", "too similar")],
    )
    def test_weak_password_is_refused_and_the_name_stays(self, cast, password, sentence):
        invitation = InvitationFactory(house=cast.house, email="ines@example.org")
        answer = Client().post(link(invitation), {"name": "Ines Example", "password": password})
        assert answer.status_code == 422
        assert sentence in answer.content.decode()
        assert 'value="Ines Example"' in answer.content.decode()

    def test_link_works_once(self, cast):
        invitation = InvitationFactory(house=cast.house, email="ines@example.org")
        Client().post(link(invitation), self.JOIN)
        for client in (Client(),):
            assert client.get(link(invitation)).status_code == 410
            assert client.post(link(invitation), self.JOIN).status_code == 410

    def test_known_address_logs_in_first(self, cast):
        invitation = InvitationFactory(house=cast.house, email=cast.stranger.email)
        page = Client().get(link(invitation)).content.decode()
        assert f"/account/login/?next={link(invitation)}" in page
        Client().post(link(invitation), self.JOIN)
        assert invitation.house.memberships.filter(person=cast.stranger).count() == 0

    def test_taken_up_with_the_invited_login(self, clients, cast):
        invitation = InvitationFactory(house=cast.house, email=cast.stranger.email)
        assert clients["stranger"].post(link(invitation)).status_code == 302
        assert access.roles_on(cast.stranger, cast.house) == {Role.INSPECTOR}

    def test_another_login_must_confirm(self, clients, cast):
        invitation = InvitationFactory(house=cast.house, email="ines@example.org")
        answer = clients["stranger"].post(link(invitation))
        assert answer.status_code == 422
        assert "Confirm that it is meant for you" in answer.content.decode()
        clients["stranger"].post(link(invitation), {"confirmed": "on"})
        assert access.roles_on(cast.stranger, cast.house) == {Role.INSPECTOR}

    def test_own_firm_cannot_take_up_the_inspectors_role(self, clients, cast):
        invitation = InvitationFactory(house=cast.house, email="office@example.org")
        answer = clients["builder"].post(link(invitation), {"confirmed": "on"})
        assert answer.status_code == 422
        assert "own firm cannot hold the inspector&#x27;s role" in answer.content.decode()

    def test_withdrawn(self, clients, cast):
        invitation = InvitationFactory(house=cast.house, invited_by=cast.builder)
        clients["builder"].post(
            reverse("jobs:people", args=[cast.house.pk]), {"do": "withdraw", "invitation": invitation.pk}
        )
        answer = Client().get(link(invitation))
        assert answer.status_code == 410
        assert "It was withdrawn" in answer.content.decode()

    def test_expired(self, cast):
        """Said on the day it stops working, by GET and by POST, and on the page of the house."""
        invitation = InvitationFactory(
            house=cast.house, invited_by=cast.builder, invited_at=timezone.now() - Offer.LIFE
        )
        for answer in (Client().get(link(invitation)), Client().post(link(invitation), self.JOIN)):
            assert answer.status_code == 410
            assert "an invitation works for 30 days" in answer.content.decode()
        client = Client()
        client.force_login(cast.builder)
        page = client.get(reverse("jobs:people", args=[cast.house.pk])).content.decode()
        assert "Expired on" in page and invitation.token not in page

    def test_says_until_when_it_works(self, clients, cast):
        invitation = InvitationFactory(house=cast.house, invited_by=cast.builder)
        page = clients["builder"].get(reverse("jobs:people", args=[cast.house.pk])).content.decode()
        assert "Works until" in page and "works once, for 30 days" in page
        assert "Works until" in Client().get(link(invitation)).content.decode()

    @pytest.mark.parametrize("token", ["guess", "%00", "a%20b"])
    def test_unknown_link(self, db, token):
        assert Client().get(f"/invitations/{token}").status_code == 404
