"""Logging in by hand, on the phone and at the desk."""

import pytest
from django.contrib.auth import get_user_model

from tests.browser.helpers import assert_accessible, assert_fits, log_in, shot

pytestmark = pytest.mark.look


@pytest.fixture
def lead():
    return get_user_model().objects.create_user("lead@crew.example", "gravel under frost", name="Ada Lund")


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_a_person_logs_in_by_hand(request, size, lead):
    page = request.getfixturevalue(size)
    page.goto("/account/password/")
    assert page.url.endswith("/account/login/?next=/account/password/")
    assert_accessible(page)
    assert_fits(page)
    shot(page, f"login-{size}")
    page.fill("input[name=username]", "lead@crew.example")
    page.fill("input[name=password]", "wrong")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert "correct" in page.inner_text("main")
    assert page.input_value("input[name=username]") == "lead@crew.example"
    assert_accessible(page)
    page.fill("input[name=password]", "gravel under frost")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    assert page.url.endswith("/account/password/") and "login" not in page.url
    assert_accessible(page)
    assert_fits(page)
    shot(page, f"account-{size}")


def test_a_session_can_be_handed_to_the_browser(desk, lead):
    log_in(desk, lead)
    desk.goto("/account/password/")
    assert "lead@crew.example" in desk.inner_text("main")
