"""Logging in and out, and changing the password."""

import pytest
from django.contrib.auth import get_user_model
from django.urls import reverse

pytestmark = pytest.mark.django_db


@pytest.fixture
def lead():
    return get_user_model().objects.create_user("lead@crew.example", "gravel under frost", name="Ada Lund")


def log_in(client, email="lead@crew.example", password="gravel under frost", follow=False):
    return client.post(reverse("login"), {"username": email, "password": password, "next": "/health"}, follow=follow)


def test_the_login_page_is_open_to_strangers(client):
    answer = client.get(reverse("login"))
    assert answer.status_code == 200
    assert b'name="username"' in answer.content and b'autocomplete="current-password"' in answer.content


@pytest.mark.parametrize("email", ["lead@crew.example", "Lead@Crew.example", " lead@crew.example "])
def test_the_address_logs_in_however_a_phone_writes_it(client, lead, email):
    answer = log_in(client, email=email)
    assert (answer.status_code, answer.headers.get("Location")) == (302, "/health")
    assert client.session["_auth_user_id"] == str(lead.pk)


def test_a_wrong_password_keeps_the_address_and_says_so(client, lead):
    answer = log_in(client, password="gravel")
    assert answer.status_code == 200
    assert b"lead@crew.example" in answer.content
    assert b"correct" in answer.content
    assert "_auth_user_id" not in client.session


def test_a_link_elsewhere_is_not_followed(client, lead):
    answer = client.post(
        reverse("login"),
        {"username": lead.email, "password": "gravel under frost", "next": "https://elsewhere.example/"},
    )
    assert answer.headers["Location"] == "/"


def test_logging_out_ends_the_session(client, lead):
    log_in(client)
    answer = client.post(reverse("logout"))
    assert answer.status_code == 200 and b"logged out" in answer.content
    assert client.get(reverse("password_change")).status_code == 302


def test_a_link_cannot_log_anybody_out(client, lead):
    log_in(client)
    assert client.get(reverse("logout")).status_code == 405
    assert client.get(reverse("password_change")).status_code == 200


def test_the_password_can_be_changed(client, lead):
    log_in(client)
    fresh = {"new_password1": "stone over drain", "new_password2": "stone over drain"}
    answer = client.post(reverse("password_change"), {"old_password": "gravel under frost", **fresh}, follow=True)
    assert answer.redirect_chain == [(reverse("password_change_done"), 302)]
    lead.refresh_from_db()
    assert lead.check_password("stone over drain")


def test_a_short_password_is_refused_with_what_would_do(client, lead):
    log_in(client)
    answer = client.post(
        reverse("password_change"),
        {"old_password": "gravel under frost", "new_password1": "gravel", "new_password2": "gravel"},
    )
    assert b"at least 10 characters" in answer.content
