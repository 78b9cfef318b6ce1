"""Where the job is not as planned, in a browser: asked and answered in place, and again from the address alone."""

from __future__ import annotations

import copy

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from jobs import plans
from takeoff.plan import Stage
from tests.browser.helpers import assert_accessible, assert_fits, log_in, shot
from tests.cast import make_cast
from tests.inspections.real import RealSite, document

pytestmark = pytest.mark.look


@pytest.fixture
def site(transactional_db) -> RealSite:
    """A house with steel released on A and the plan revised since: two walls are longer."""
    site = RealSite(make_cast(), "kettle-road")
    site.passed(Stage.FOOTING, "footing_steel", *site.legs)
    changed = copy.deepcopy(document())
    for leg in changed["walks"][0]["legs"]:
        if leg["name"] in ("South", "North"):
            leg["length"] = "44-0"
    plans.lock(by=site.cast.builder, house=site.house, document=changed, note="Two feet longer")
    return site


def test_each_question_is_answered_in_its_place(site, phone, ears):
    ears(phone).allow("422")
    log_in(phone, site.cast.field_lead)
    phone.goto(reverse("inspections:house", args=[site.house.pk]))
    phone.get_by_role("link", name="Not as planned").click()

    footing = phone.locator("#footing")
    footing.get_by_label("Leg South, off by").fill("19")
    footing.get_by_role("button", name="What to do").click()
    expect(footing.locator(".error")).to_contain_text('a whole course of 18" or more')
    expect(footing.get_by_label("Leg South, off by")).to_have_value("19")
    phone.locator("#id_height").fill("16")  # stays while another question is asked
    footing.get_by_label("Leg South, off by").fill("3/4")
    footing.get_by_role("button", name="What to do").click()
    expect(footing.locator(".answer h3")).to_be_focused()
    expect(footing).to_contain_text("A: Build the low legs up")
    expect(phone.locator("#id_height")).to_have_value("16")

    short = phone.locator("#short")
    short.get_by_label("Corner units").fill("12")
    short.get_by_role("button", name="How far can we go").click()
    expect(short.locator(".answer")).to_contain_text("courses can be laid all round")

    blocks = phone.locator("#blocks")
    blocks.get_by_label("What came", exact=True).select_option("generic-16")
    blocks.get_by_role("button", name="What changes").click()
    expect(blocks.locator(".answer")).to_contain_text("Horizontal bars over each leg")

    revised = phone.locator("#revised")
    revised.get_by_role("button", name="Add, return, cut").click()
    expect(revised.locator(".answer")).to_contain_text("given on A, to be asked for again")
    assert_fits(phone)
    assert_accessible(phone)
    for scheme in ("dark", "light"):
        phone.emulate_media(color_scheme=scheme)
        shot(phone, f"differences-phone-{scheme}")


def test_the_address_alone_asks_again_and_prints_only_what_was_asked(site, desk):
    log_in(desk, site.cast.builder)
    url = reverse("inspections:differences", args=[site.house.pk, 2])
    desk.goto(f"{url}?ask=revised&ordered=1&stages=full_wall&stages=footing")
    expect(desk.locator("#revised .answer")).to_contain_text("Ordered on A for footing, full-height wall")
    for scheme in ("dark", "light"):
        desk.emulate_media(color_scheme=scheme)
        shot(desk, f"differences-desk-{scheme}")
    assert_fits(desk)
    desk.emulate_media(media="print")
    expect(desk.locator("#blocks")).to_be_hidden()
    expect(desk.locator("#revised form")).to_be_hidden()
    expect(desk.locator("#revised .answer")).to_be_visible()
    shot(desk, "differences-print")
