"""The browser fixtures themselves: that they reach the server, and that they hear what must not happen."""

import pytest

from tests.browser.helpers import DESK, assert_accessible, assert_fits, shot

pytestmark = pytest.mark.look

CSP = "Content-Security-Policy"


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_health_answers_in_a_browser(size, request):
    page = request.getfixturevalue(size)
    assert page.goto("/health").ok
    assert page.url.startswith("http://localhost:")
    assert page.inner_text("body").strip() == "ok"
    assert page.evaluate("isSecureContext")


def test_console_errors_and_exceptions_are_heard(phone, ears):
    phone.goto("/health")
    phone.evaluate("console.error('forbidden style')")
    with phone.context.expect_event("weberror"):
        phone.evaluate("setTimeout(() => { throw new Error('broken script') }, 0)")
    assert [text.split(" (")[0] for text in ears(phone).problems] == ["forbidden style", "broken script"]
    ears(phone).allow("forbidden style|broken script")
    assert ears(phone).problems == []


@pytest.mark.parametrize("body", ["<p style='color: red'>no</p>", "<script>1</script>", "<p onclick='1'>no</p>"])
def test_what_the_policy_forbids_is_heard(phone, ears, body):
    policy = phone.request.get("/health").headers["content-security-policy"]
    phone.route("**/made-up", lambda route: route.fulfill(body=body, content_type="text/html", headers={CSP: policy}))
    with phone.expect_console_message(lambda message: "Policy" in message.text):
        phone.goto("/made-up")
    assert any("Content Security Policy" in text for text in ears(phone).problems)
    ears(phone).allow("Content Security Policy")


def test_barriers_are_found(phone):
    phone.goto("/health")
    phone.evaluate("document.body.append(document.createElement('button'))")
    with pytest.raises(AssertionError, match="button-name"):
        assert_accessible(phone)


def test_a_page_too_wide_is_found(phone):
    phone.goto("/health")
    phone.evaluate("document.head.innerHTML = '<meta name=viewport content=\"width=device-width\">'")
    phone.wait_for_timeout(50)
    assert_fits(phone)
    phone.evaluate("document.body.append(Object.assign(document.createElement('canvas'), {width: 500}))")
    with pytest.raises(AssertionError, match="390 px"):
        assert_fits(phone)


def test_windows_do_not_share_cookies(window):
    first, second = window(DESK), window(DESK)
    first.goto("/health")
    second.goto("/health")
    first.context.add_cookies([{"name": "who", "value": "first", "url": first.url}])
    assert "who" in first.evaluate("document.cookie")
    assert second.evaluate("document.cookie") == ""


def test_pictures_go_where_they_are_asked_for(desk, tmp_path, monkeypatch):
    monkeypatch.setenv("SHOTS", str(tmp_path / "shots"))
    desk.goto("/health")
    shot(desk, "health")
    assert (tmp_path / "shots" / "health.png").read_bytes().startswith(b"\x89PNG")
