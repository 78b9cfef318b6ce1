"""What every answer carries, and who gets one."""

from unittest.mock import patch

import pytest
from django.core.exceptions import RequestDataTooBig
from django.db import OperationalError, connection
from django.urls import reverse

from foundation.uploads import RefuseHugeRequests

POLICY = {
    "default-src 'none'",
    "script-src 'self'",
    "style-src 'self'",
    "connect-src 'self'",
    "worker-src 'self'",
    "manifest-src 'self'",
    "form-action 'self'",
    "img-src 'self' data: blob:",
    "font-src 'self'",
    "base-uri 'none'",
    "frame-ancestors 'none'",
}


@pytest.mark.django_db
def test_health_is_open_to_all_and_asks_the_database(client, django_assert_num_queries):
    with django_assert_num_queries(1):
        answer = client.get("/health")
    assert (answer.status_code, answer.content) == (200, b"ok\n")


@pytest.mark.django_db
def test_health_says_when_the_database_does_not_answer(client):
    with patch.object(connection, "cursor", side_effect=OperationalError("gone")):
        answer = client.get("/health")
    assert (answer.status_code, answer.content) == (503, b"The database does not answer.\n")


@pytest.mark.django_db
@pytest.mark.parametrize("address", ["/health", "/no/such/page"])
def test_every_answer_forbids_what_is_not_ours(client, address):
    headers = client.get(address).headers
    assert set(headers["Content-Security-Policy"].split("; ")) == POLICY
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["X-Frame-Options"] == "DENY"
    assert headers["Referrer-Policy"] == "same-origin"


@pytest.mark.django_db
def test_strangers_are_asked_to_log_in(client):
    answer = client.get(reverse("password_change"))
    assert answer.status_code == 302
    assert answer.headers["Location"] == "/account/login/?next=/account/password/"


@pytest.mark.django_db
def test_uploads_are_not_served(client, settings):
    settings.MEDIA_ROOT.mkdir(parents=True)
    (settings.MEDIA_ROOT / "photo.jpg").write_bytes(b"a photo")
    for address in ("/media/photo.jpg", "/var/media/photo.jpg", "/photo.jpg"):
        assert client.get(address).status_code == 404


def test_a_request_longer_than_any_form_of_ours_is_refused_unread(settings):
    refuse = RefuseHugeRequests()
    refuse.handle_raw_input(None, {}, settings.REQUEST_MAX_BYTES, "b")
    with pytest.raises(RequestDataTooBig, match="More than 40 MB in one request"):
        refuse.handle_raw_input(None, {}, settings.REQUEST_MAX_BYTES + 1, "b")


@pytest.mark.django_db
def test_such_a_request_is_answered_with_a_page(client, settings):
    answer = client.post(reverse("login"), {"username": "a@b.example"}, CONTENT_LENGTH=settings.REQUEST_MAX_BYTES + 1)
    assert answer.status_code in (400, 413)
    assert b"<h1>" in answer.content


def test_a_phone_stays_logged_in_for_a_month(settings):
    assert settings.SESSION_COOKIE_AGE == 30 * 24 * 3600
