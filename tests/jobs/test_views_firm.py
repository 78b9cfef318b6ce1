"""The firm's page, the page behind a colleague's invitation, and the start of a new firm."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import access
from jobs.models import Firm, FirmInvitation, FirmMember, Offer, Person
from tests.factories import PASSWORD, FirmInvitationFactory, PersonFactory

URL = "/firm/"


def link(invitation):
    return reverse("jobs:firm_invitation", args=[invitation.token])


@pytest.fixture
def colleague(cast) -> Person:
    """A second builder of the firm."""
    person = PersonFactory(name="Connie Colleague")
    FirmMember.objects.create(firm=cast.firm, person=person)
    return person


def end(client, person, **more):
    member = FirmMember.objects.get(person=person, ended_at=None)
    return client.post(URL, {"do": "end", "member": member.pk}, **more)


class TestFirm:
    """Who builds for the firm."""

    def test_is_reached_from_the_navigation_by_builders_only(self, clients):
        assert b'href="/firm/"' in clients["builder"].get("/account/password/").content
        assert b'href="/firm/"' not in clients["field_lead"].get("/account/password/").content

    def test_alone_it_says_why_two_are_needed(self, clients, cast):
        page = clients["builder"].get(URL).content.decode()
        assert "Nobody releases a point they presented themselves" in page
        assert "?end=" not in page

    def test_each_firm_sees_its_own_people(self, clients, cast, colleague):
        page = clients["builder"].get(URL).content.decode()
        assert "Connie Colleague" in page and "Leave the firm" in page
        assert "Nobody releases a point they presented themselves" not in page
        assert "Connie" not in clients["stranger"].get(URL).content.decode()

    def test_invited(self, clients, cast):
        answer = clients["builder"].post(URL, {"do": "invite", "email": "c@example.org", "name": "Connie"}, follow=True)
        page = answer.content.decode()
        assert f"http://testserver{link(FirmInvitation.objects.get())}" in page
        assert "Invited Connie into the firm" in page
        assert "Works until" in page and "for 30 days" in page

    def test_refused_and_what_was_typed_stays(self, clients, cast):
        answer = clients["builder"].post(URL, {"do": "invite", "email": cast.inspector.email, "name": "Ines"})
        page = answer.content.decode()
        assert answer.status_code == 422
        assert "is inspector on Lot 12" in page
        assert f'value="{cast.inspector.email}"' in page and 'value="Ines"' in page

    @pytest.mark.parametrize("email", ["", "no address"])
    def test_an_address_is_needed(self, clients, email):
        assert clients["builder"].post(URL, {"do": "invite", "email": email}).status_code == 422

    def test_an_expired_one_says_so_and_shows_no_link(self, clients, cast):
        old = FirmInvitationFactory(firm=cast.firm, invited_at=timezone.now() - Offer.LIFE)
        page = clients["builder"].get(URL).content.decode()
        assert "Expired on" in page and "Take it off the list" in page
        assert old.token not in page

    def test_withdrawing_asks_once_more(self, clients, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, name="Connie")
        question = clients["builder"].get(URL, {"withdraw": invitation.pk}).content.decode()
        assert "Withdraw the invitation of Connie?" in question
        clients["builder"].post(URL, {"do": "withdraw", "invitation": invitation.pk})
        assert not FirmInvitation.objects.unanswered().exists()
        again = clients["builder"].post(URL, {"do": "withdraw", "invitation": invitation.pk}, follow=True)
        assert "This invitation was withdrawn" in again.content.decode()

    def test_leaving_asks_once_more_and_shows_the_houses_no_longer(self, cast, colleague):
        client = Client()
        client.force_login(colleague)
        member = FirmMember.objects.get(person=colleague)
        assert "Leave Northfoot Builders?" in client.get(URL, {"end": member.pk}).content.decode()
        assert access.firm_of(colleague) == cast.firm
        assert end(client, colleague).url == "/"
        assert client.get(URL).status_code == 404
        assert client.get(reverse("jobs:house_edit", args=[cast.house.pk])).status_code == 404

    def test_ending_a_colleagues_membership(self, clients, cast, colleague):
        member = FirmMember.objects.get(person=colleague)
        question = clients["builder"].get(URL, {"end": member.pk}).content.decode()
        assert "End Connie Colleague&#x27;s membership" in question
        page = end(clients["builder"], colleague, follow=True).content.decode()
        assert "Connie Colleague no longer builds for Northfoot Builders." in page
        assert "No longer here" in page

    def test_the_last_one_is_told_why_not(self, clients, cast):
        page = end(clients["builder"], cast.builder, follow=True).content.decode()
        assert "is the only one left in Northfoot Builders" in page
        assert access.firm_of(cast.builder) == cast.firm

    def test_people_of_another_firm_are_not_there(self, clients, cast):
        theirs = FirmInvitationFactory(firm=cast.strange_firm)
        member = FirmMember.objects.get(person=cast.stranger)
        for sent in ({"do": "withdraw", "invitation": theirs.pk}, {"do": "end", "member": member.pk}, {"do": "end"}):
            assert clients["builder"].post(URL, sent).status_code == 404
        for asked in ({"withdraw": theirs.pk}, {"end": member.pk}, {"end": "x"}):
            assert clients["builder"].get(URL, asked).status_code == 404


class TestInvitation:
    """The page behind the secret link."""

    JOIN = {"name": "Connie", "password": PASSWORD}

    def test_new_login_joins(self, cast):
        client, invitation = Client(), FirmInvitationFactory(firm=cast.firm, email="connie@example.org")
        page = client.get(link(invitation)).content.decode()
        assert "You are invited to build with Northfoot Builders" in page and "Works until" in page
        answer = client.post(link(invitation), self.JOIN, follow=True)
        assert "You build for Northfoot Builders now." in answer.content.decode()
        connie = Person.objects.get(email="connie@example.org")
        assert client.session["_auth_user_id"] == str(connie.pk)
        assert client.get(link(invitation)).status_code == 410

    def test_known_address_logs_in_first(self, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.surveyor.email)
        assert f"/account/login/?next={link(invitation)}" in Client().get(link(invitation)).content.decode()
        Client().post(link(invitation), self.JOIN)
        assert access.firm_of(cast.surveyor) is None

    def test_joined_with_the_invited_login(self, clients, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.surveyor.email)
        assert clients["surveyor"].post(link(invitation)).url == URL
        assert access.firm_of(cast.surveyor) == cast.firm

    def test_another_login_must_confirm(self, clients, cast):
        invitation = FirmInvitationFactory(firm=cast.firm, email="office@example.org")
        answer = clients["surveyor"].post(link(invitation))
        assert answer.status_code == 422
        assert "Confirm that it is meant for you" in answer.content.decode()
        assert clients["surveyor"].post(link(invitation), {"confirmed": "on"}).status_code == 302

    @pytest.mark.parametrize(
        ("part", "sentence"),
        [("inspector", "is inspector on Lot 12"), ("stranger", "builds for Southfoot Builders")],
    )
    def test_refused_with_the_reason(self, clients, cast, part, sentence):
        invitation = FirmInvitationFactory(firm=cast.firm, email=cast.person(part).email)
        answer = clients[part].post(link(invitation))
        assert answer.status_code == 422
        assert sentence in answer.content.decode()

    def test_expired(self, cast):
        invitation = FirmInvitationFactory(
            firm=cast.firm, invited_by=cast.builder, invited_at=timezone.now() - Offer.LIFE
        )
        answer = Client().post(link(invitation), self.JOIN)
        assert answer.status_code == 410
        page = answer.content.decode()
        assert "It expired on" in page and "an invitation works for 30 days" in page
        assert "Ask Bodil Builder of Northfoot Builders" in page

    def test_unknown_link(self, db):
        assert Client().get("/firm/invitations/guess").status_code == 404


class TestStart:
    """A new firm."""

    FORM = {"firm_name": "Coldframe", "name": "Cora", "email": "cora@example.org", "password": PASSWORD}

    def test_the_login_page_leads_there(self, db):
        assert b'href="/start"' in Client().get("/account/login/").content

    def test_new_builder(self, db):
        client = Client()
        assert client.get("/start").status_code == 200
        assert client.post("/start", self.FORM).url == "/houses/new"
        assert Firm.objects.get(name="Coldframe").members.get().email == "cora@example.org"
        assert client.get("/houses/new").status_code == 200

    def test_known_address(self, cast):
        answer = Client().post("/start", self.FORM | {"email": cast.builder.email})
        assert answer.status_code == 422
        assert "already has a login here" in answer.content.decode()
        assert 'value="Coldframe"' in answer.content.decode()

    def test_somebody_logged_in_gives_only_the_firms_name(self, clients, cast):
        assert b'name="password"' not in clients["inspector"].get("/start").content
        clients["inspector"].post("/start", {"firm_name": "Own"})
        assert access.firm_of(cast.inspector).name == "Own"

    def test_builder_has_a_firm_already(self, clients):
        assert clients["builder"].get("/start").url == "/houses/new"
