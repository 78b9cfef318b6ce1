"""The page every screen is drawn on, in a browser: what app.js adds to forms, and the pages for logging in."""

import re
from datetime import UTC, datetime
from urllib.parse import parse_qs

import pytest
from playwright.sync_api import Page, expect

from tests.browser.helpers import assert_accessible, assert_fits, log_in

pytestmark = pytest.mark.look

HEAD = """<!doctype html><html lang="en"><head><title>made up</title>
<meta name="csrf-token" content="token-of-the-page">
<meta name="htmx-config" content='{"includeIndicatorStyles":false,"allowEval":false,"selfRequestsOnly":true,
"responseHandling":[{"code":"[23]..","swap":true},{"code":"422","swap":true},{"code":"[45]..","swap":false,"error":true}]}'>
<script src="/static/django_htmx/htmx-2.min.js" defer></script>
<script type="module" src="/static/app.js"></script></head><body><main><div id="messages"></div>"""

RECORD = """<form method="post" action="/made-up/sent" %s>
<input type="hidden" name="client_id" value="first-id"><input type="hidden" name="device_at">
<label>Lap <input name="lap"></label><button>Record</button></form>"""


@pytest.fixture
def made_up(phone: Page):
    """Opens a made-up page with this body; what is sent to /made-up/sent is kept, and answered as told."""
    phone.sent = []

    def open_page(body: str, answer: str = "<p id='thanks'>Kept.</p>", status: int = 200) -> Page:
        def keep(route) -> None:
            phone.sent.append((parse_qs(route.request.post_data or "", keep_blank_values=True), route.request.headers))
            route.fulfill(body=answer, content_type="text/html", status=status)

        phone.route("**/made-up", lambda route: route.fulfill(body=HEAD + body, content_type="text/html"))
        phone.route("**/made-up/sent", keep)
        phone.goto("/made-up")
        return phone

    return open_page


def test_a_record_carries_the_time_of_the_device(made_up):
    page = made_up(RECORD % "")
    page.fill("[name=lap]", "30")
    page.click("button")
    page.wait_for_selector("#thanks")
    sent = page.sent[0][0]
    assert sent["client_id"] == ["first-id"] and sent["lap"] == ["30"]
    made = datetime.fromisoformat(sent["device_at"][0])
    assert abs((datetime.now(UTC) - made).total_seconds()) < 30


def test_a_sent_form_that_is_changed_makes_another_record_and_a_repeated_one_does_not(made_up):
    page = made_up(RECORD % 'hx-post="/made-up/sent" hx-target="#messages"')
    page.fill("[name=lap]", "30")
    page.click("button")
    page.wait_for_selector("#thanks")
    page.click("button")
    expect(page.locator("#thanks")).to_be_visible()
    page.fill("[name=lap]", "31")
    page.click("button")
    page.wait_for_load_state("networkidle")
    ids = [sent["client_id"][0] for sent, _ in page.sent]
    assert ids[:2] == ["first-id", "first-id"]
    assert re.fullmatch(r"[0-9a-f-]{36}", ids[2])


def test_htmx_sends_the_token_and_the_time(made_up):
    page = made_up(RECORD % 'hx-post="/made-up/sent" hx-target="#messages"')
    page.click("button")
    page.wait_for_selector("#thanks")
    sent, headers = page.sent[0]
    assert headers["x-csrftoken"] == "token-of-the-page"
    assert sent["device_at"][0]


def test_the_list_of_errors_has_the_focus_when_a_form_comes_back(made_up, ears):
    errors = '<div data-errors tabindex="-1">Not saved yet</div>'
    page = made_up(RECORD % 'hx-post="/made-up/sent" hx-target="#messages"', answer=errors, status=422)
    ears(page).allow("422")
    page.click("button")
    expect(page.locator("[data-errors]")).to_be_focused()


def test_a_failing_server_is_told_in_words_and_nothing_typed_is_lost(made_up, ears):
    page = made_up(RECORD % 'hx-post="/made-up/sent" data-unsaved', answer="broken", status=500)
    ears(page).allow("500")
    page.fill("[name=lap]", "30")
    page.click("button")
    expect(page.locator("#messages")).to_contain_text("The server could not do that")
    assert page.input_value("[name=lap]") == "30"
    assert page.get_attribute("form", "data-changed") == "yes"


def test_leaving_with_something_typed_is_asked_about(made_up):
    page = made_up(RECORD % "data-unsaved")
    page.fill("[name=lap]", "30")
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.goto("/health")
    assert asked == ["beforeunload"]


def test_a_photo_is_seen_before_it_is_sent(made_up):
    box = '<div data-photo><input type="file" aria-label="Photo"><output class="photo-preview"></output></div>'
    page = made_up(f'<form method="post">{box}</form>')
    dot = b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>'
    page.set_input_files("input[type=file]", {"name": "lap.svg", "mimeType": "image/svg+xml", "buffer": dot})
    expect(page.locator("output img")).to_have_count(1)
    expect(page.locator("output")).to_contain_text("lap.svg, 0.0 MB")


# -- the pages of the account -------------------------------------------------------------------------
@pytest.mark.parametrize("size", ["phone", "desk"])
def test_the_pages_for_logging_in_have_no_barriers(size, request):
    page = request.getfixturevalue(size)
    page.goto("/account/login/")
    assert_accessible(page)
    assert_fits(page)
    page.fill("[name=username]", "nobody@example.org")
    page.fill("[name=password]", "a wrong password")
    page.click("main button")
    expect(page.locator("[data-errors]")).to_be_focused()
    assert page.input_value("[name=username]") == "nobody@example.org"
    assert_accessible(page)


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_the_account_page_has_no_barriers_and_logs_out(size, request, cast):
    page = request.getfixturevalue(size)
    log_in(page, cast.inspector)
    page.goto("/account/password/")
    assert_accessible(page)
    assert_fits(page)
    page.get_by_role("button", name="Log out on this device").click()
    expect(page.get_by_role("heading", level=1)).to_have_text(re.compile("Log(ged out| in)"))


def test_the_keyboard_can_skip_the_head(desk, cast):
    log_in(desk, cast.inspector)
    desk.goto("/account/password/done/")
    desk.keyboard.press("Tab")
    skip = desk.get_by_role("link", name="Skip to the page")
    expect(skip).to_be_focused()
    desk.keyboard.press("Enter")
    expect(desk.locator("#main")).to_be_focused()
